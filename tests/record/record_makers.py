"""A small shop in a store, with a job that can be signed off: a windshield, one card, one set-up that is accepted."""

from __future__ import annotations

from pathlib import Path

from standtrue.demo import write_demo
from standtrue.model.shop import Shop
from standtrue.show.answers.exchange import of_taken_in
from standtrue.show.answers.kept import said_of
from standtrue.show.answers.measured import of_measured
from standtrue.show.answers.needs import of_needs
from standtrue.show.answers.sign import of_signed
from standtrue.work.ask import open_shop
from standtrue.work.exchange.folders import TakenIn
from standtrue.work.keep.answers import Said
from standtrue.work.keep.signing import Told

JOB = "corrow windshield"

ORDER = """\
kind = "job"
schema = 1
name = "corrow windshield"
site = "Tanbark Row"
vehicle = "Tavlin Corrow"
order_number = "RO-4711"
plate = "ABC 123"
demonstration = true

[[events]]
event = "windshield replaced"
"""

TOLD: Told = (
    lambda needs: said_of(of_needs(needs)),
    lambda measured: said_of(of_measured(measured)),
    lambda signed: said_of(of_signed(signed)),
)
"""How the command line writes down what a sign-off keeps."""


def import_said(taken: TakenIn) -> Said:
    """How the command line writes down what an import brought."""
    return said_of(of_taken_in(taken))


def write_shop(folder: Path, order: str = ORDER, setup: str = "corrow-camera-moved") -> Shop:
    """The demonstration shop with that order, and one of its set-ups made for it."""
    write_demo(folder)
    text = (folder / f"setup-{setup}.toml").read_text(encoding="utf-8")
    for file in folder.glob("setup-*.toml"):
        file.unlink()
    (folder / "order.toml").write_text(order, encoding="utf-8")
    (folder / "setup.toml").write_text(text.replace('job = "corrow front"', f'job = "{JOB}"'), encoding="utf-8")
    return open_shop(folder)

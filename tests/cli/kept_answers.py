"""The same question about the same documents is answered once in a run of the tests, whoever asks it again.

Only for tests of what is made of an answer: what is said of it, drawn, printed and written. Never for those of the
answering itself: that the same comes out twice, that it can be stopped, or what it says with a part of it replaced.

An answer is kept as bytes, so that each test has an answer of its own, as if it had asked.
"""

from __future__ import annotations

import hashlib
import os
import pickle
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any, ParamSpec, TypeVar
from unittest import mock

from standtrue.model.asking import Asking
from standtrue.model.shop import Shop
from standtrue.work.aim.laying import lay_targets_out
from standtrue.work.drive.arrivals import reached_from
from standtrue.work.needs.jobs import answer_job
from standtrue.work.place.places import find_places
from standtrue.work.plan.plans import find_plan
from standtrue.work.sheet.job import find_job_sheet
from standtrue.work.sheet.room import find_room_sheets
from standtrue.work.study.ahead import find_ahead
from standtrue.work.study.sizes import find_sizes
from standtrue.work.study.studies import find_study

P = ParamSpec("P")
T = TypeVar("T")

ASKED_BY_COMMANDS: tuple[tuple[str, Callable[..., Any]], ...] = (
    ("standtrue.cli.planning.find_plan", find_plan),
    ("standtrue.cli.sheets.find_job_sheet", find_job_sheet),
    ("standtrue.cli.studying.find_study", find_study),
    ("standtrue.cli.aiming.lay_targets_out", lay_targets_out),
    ("standtrue.cli.studying.find_sizes", find_sizes),
    ("standtrue.work.study.ahead.find_ahead", find_ahead),
    ("standtrue.cli.placing.find_places", find_places),
    ("standtrue.work.needs.jobs.answer_job", answer_job),
    ("standtrue.work.drive.arrivals.reached_from", reached_from),
    ("standtrue.work.sheet.cards.lay_targets_out", lay_targets_out),
    ("standtrue.work.sheet.room.find_room_sheets", find_room_sheets),
)
"""What takes seconds, by the name under which a command asks it."""

_folder: list[Path] = []

_told: dict[int, tuple[Any, str]] = {}
"""Answers told, held so that no other value gets their place: where one is asked about, its question is its name."""


def keep_in(folder: Path) -> None:
    """Keep answers in a folder that all processes of this run of the tests have in common."""
    folder.mkdir(exist_ok=True)
    _folder[:] = [folder]


def kept(ask: Callable[P, T]) -> Callable[P, T]:
    """The same use case, which remembers what it was asked. Nobody stops it, and nobody is told of its progress."""

    def asked(*args: P.args, **named: P.kwargs) -> T:
        values = [*args, *named.values()]
        shops = [value for value in values if isinstance(value, Shop)]
        mark = _mark(ask, args, named)
        file = _folder[0] / mark
        if not file.exists():
            answer = ask(*map(_unwatched, args), **{name: _unwatched(value) for name, value in named.items()})
            own = file.with_suffix(f".{os.getpid()}")
            own.write_bytes(pickle.dumps((answer, [_looked_up(shop) for shop in shops])))
            own.replace(file)
        told: T
        told, looked_up = pickle.loads(file.read_bytes())
        for shop, touched in zip(shops, looked_up, strict=True):
            shop._touched.update(touched)
        _told[id(told)] = told, mark
        return told

    return asked


@contextmanager
def commands_ask_once() -> Iterator[None]:
    """Within this, commands take what another of this run of the tests was answered already."""
    with ExitStack() as replaced:
        for name, ask in ASKED_BY_COMMANDS:
            replaced.enter_context(mock.patch(name, kept(ask)))
        yield


def _mark(ask: Callable[..., Any], args: tuple[Any, ...], named: dict[str, Any]) -> str:
    """What a question is known by: the use case, the documents' digests, what was looked up in them, and the rest."""
    given = [_known_by(value) for value in args], [(name, _known_by(value)) for name, value in sorted(named.items())]
    return hashlib.sha256(pickle.dumps((ask.__module__, ask.__name__, given))).hexdigest()


def _known_by(value: Any) -> Any:
    if isinstance(value, Shop):
        return value.written.marks, value.written.warnings, value.written.doubts, _looked_up(value)
    if id(value) in _told:
        return _told[id(value)][1]
    return _unwatched(value)


def _looked_up(shop: Shop) -> list[tuple[str, str]]:
    return sorted(shop._touched)


def _unwatched(value: Any) -> Any:
    return Asking() if isinstance(value, Asking) else value

"""What place says is a code with values: each has a sentence, and no metric figure in it under US units."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import standtrue
from standtrue.model.reason import Length, Reason, Ref, Term, because
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.show.words.reasons import sentences
from standtrue.show.words.reasons.place_engine import SENTENCES

METRIC = re.compile(r"\d (mm|m)\b")

WHEELBASE = because("wheelbase-outside-lift", wheelbase=Length(2.825), least=Length(2.4), most=Length(2.8))
SAID: tuple[Reason, ...] = (
    because("ruled-out", carrier=Ref("lift state", "up", of="L"), why=WHEELBASE),
    because("too-high-for-ceiling", part=Ref("body"), top=Length(3.1), ceiling=Length(3.0), over=Length(0.1)),
    because(
        "target-out-of-reach",
        target=Ref("target", "board"),
        height=Length(1.5),
        equipment=Ref("equipment", "stand"),
        least=Length(0.2),
        most=Length(1.4),
    ),
    because("support-not-allowed", card=Ref("card", "radar"), supports=(Term("floor"), Term("lift up"))),
)


def codes() -> set[str]:
    found = set()
    for path in (Path(standtrue.__file__).parent / "place").glob("**/*.py"):
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.Call) and ast.unparse(node.func) == "because":
                found.add(ast.literal_eval(node.args[0]))
    return found


def test_every_code_of_place_has_a_sentence() -> None:
    assert codes() <= sentences().keys()
    assert SENTENCES.keys() <= codes() | {"seen-at-stance", "not-considered"}


def test_no_metric_figure_under_us_units() -> None:
    for language in ("en", "es"):
        for reason in SAID:
            assert METRIC.search(Reader("us", language).reason(reason)) is None
    assert ENGLISH.reason(SAID[0]) == "L/up: the wheelbase of 2.825 m is outside its 2.400 m to 2.800 m"
    assert "100 mm too high" in ENGLISH.reason(SAID[1])

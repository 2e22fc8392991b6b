"""Reasons kept as data are read back, and say the same in every language and in both unit systems."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Mapping
from typing import Any

import pytest

from standtrue.aim.alignment import check_alignment
from standtrue.demo import MAIN_JOB, demo_files
from standtrue.documents import gather, load_text
from standtrue.model.reason import (
    Angle,
    Duration,
    Length,
    Light,
    Mass,
    Number,
    Reason,
    Ref,
    Share,
    Speed,
    Term,
    Text,
    because,
)
from standtrue.model.shop import Shop
from standtrue.show.answers.parts import Coded, coded
from standtrue.show.answers.uncoded import told_again, uncoded
from standtrue.show.words.reader import LANGUAGES, Reader
from standtrue.work.aim.aiming import judge_measured
from standtrue.work.needs.jobs import find_job_needs

READERS = [Reader(units, language) for units in ("metric", "us") for language in LANGUAGES]


def shop() -> Shop:
    return gather(load_text(content, name) for name, content in demo_files().items()).shop()


def kept(reason: Reason) -> Coded:
    """The reason as it is read from an answer's bytes."""
    (told,) = coded((reason,))
    return Coded.from_json(json.loads(json.dumps(told.to_json())))


def reasons_in(value: object, seen: set[int]) -> Iterator[Reason]:
    """Every reason anywhere in a result."""
    if id(value) in seen:
        return
    seen.add(id(value))
    if isinstance(value, Reason):
        yield value
    elif isinstance(value, Mapping):
        for part in value.values():
            yield from reasons_in(part, seen)
    elif isinstance(value, tuple | list | frozenset):
        for part in value:
            yield from reasons_in(part, seen)
    else:
        for field in getattr(value, "__attrs_attrs__", ()):
            yield from reasons_in(getattr(value, field.name, None), seen)


def test_the_reasons_of_real_answers_say_the_same_when_they_are_read_back() -> None:
    asked = shop()
    found = dict.fromkeys(reasons_in(find_job_needs(asked, asked.jobs[MAIN_JOB]), set()))
    for setup in asked.setups.values():
        found |= dict.fromkeys(reasons_in(judge_measured(asked, setup), set()))
    said = 0
    for reason in found:
        for reader in READERS:
            try:
                sentence = reader.reason(reason)
            except KeyError:
                continue
            said += 1
            assert reader.reason(uncoded(kept(reason))) == sentence
    assert said > 100


@pytest.mark.parametrize(
    "value",
    [Length(0.0254), Angle(math.radians(2.0)), Duration(90.0), Mass(1200.0), Light(350.0), Speed(1.5), Share(0.81),
     Number(12.25, 2), Number(7.0), Ref("deck", "left", of="lift", number=2, state="up"), Term("windshield replaced"),
     "own words", 3, None, Text("bent", "doblada"), Text("", "doblada"), because("inner", off=Length(0.001)),
     (Length(1.0), Length(2.0)), (Ref("bay", "north"), Term("lidar")), ()],
)  # fmt: skip
def test_every_kind_of_value_comes_back(value: Any) -> None:
    reason = Reason("some-code", (("what", value), ("other", Length(1.0))))
    back = uncoded(kept(reason))
    assert back.code == reason.code
    assert [name for name, _ in back.values] == ["what", "other"]
    assert back["what"] == value


def test_an_alignment_that_nobody_read_says_so_in_spanish() -> None:
    car = next(iter(shop().vehicles.values()))
    holds = check_alignment(car, {}).holds
    spanish = Reader("metric", "es")
    assert told_again(coded(holds), [], spanish) == [spanish.reason(r) for r in holds]

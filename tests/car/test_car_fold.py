"""What happened at a car comes to the same however it arrives, and what hangs on a thing goes when that moves."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import count
from random import Random
from typing import Any

import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.work.car.fold import AtStep, counting, folded
from standtrue.work.car.happened import MOVED, NEXT, STOPS, Happened, What
from standtrue.work.car.steps import CarStep, Handed

STEP = CarStep("1.1", 1, "calibration", ("card", "board"), "board")
HANDED = (Handed(1, "owner A", "2026-03-02T13:00:00.000Z", (STEP,)),)
CAR = [f"car {n}" for n in range(1, 7)]
BOARD = [f"board {n}" for n in range(7, 16)]
NAMES: dict[What, Sequence[str]] = {
    "moved": MOVED,
    "stopped": STOPS,
    "next": NEXT,
    "tool": ("finished", "not finished"),
    "reading": (*CAR[:3], *BOARD[:3]),
    "condition": ("light", "tires"),
}


def at(*happened: Happened) -> AtStep:
    """The step after these."""
    told = folded(HANDED, happened)
    assert told is not None
    return told.steps[0]


_keys = count()


def said(what: What, name: str = "", *, device: str = "tablet 1", by: str = "A", **more: object) -> Happened:
    n = next(_keys)
    part = "board" if name.startswith("board") else ""
    moment = f"2026-03-02T14:{n // 60 % 60:02}:{n % 60:02}.{n // 3600:03}Z"
    told: dict[str, Any] = dict(more)
    return evolve(Happened(f"key {n:06}", moment, by, device, "1.1", what, name, part), **told)


def read_all() -> list[Happened]:
    return [said("reading", name, value=1.0, typed="1000 mm") for name in (*CAR, *BOARD)]


@st.composite
def stories(draw: st.DrawFn) -> list[Happened]:
    whats: list[What] = [
        "begun", "leg", "condition", "stands", "reading", "reading", "reading", "moved", "verdict", "tool", "next",
        "photo", "signed", "stopped", "back", "asked", "given", "kept", "taken", "taken back",
    ]  # fmt: skip
    told: list[Happened] = []
    for n in range(draw(st.integers(0, 14))):
        what = draw(st.sampled_from(whats))
        name = draw(st.sampled_from(NAMES.get(what, ("",))))
        undoes = draw(st.sampled_from([one.key for one in told])) if what == "taken back" and told else ""
        moment = f"2026-03-02T14:00:{draw(st.integers(0, 20)):02}.000Z"
        device = draw(st.sampled_from(("tablet 1", "tablet 2")))
        part = "board" if name.startswith("board") else ""
        told.append(
            Happened(f"k{n:02}", moment, "A", device, "1.1", what, name, part, float(n), f"{n} mm", undoes=undoes)
        )
    return told


@settings(max_examples=150, deadline=None)
@given(stories(), st.randoms(use_true_random=False))
def test_it_comes_to_the_same_in_any_order_and_however_often_it_is_sent(story: list[Happened], luck: Random) -> None:
    sent = [*story, *(one for one in story if luck.random() < 0.5)]
    luck.shuffle(sent)
    assert folded(HANDED, sent) == folded(HANDED, story)


@settings(max_examples=150, deadline=None)
@given(stories())
def test_what_counts_is_told_once_and_was_not_taken_back(story: list[Happened]) -> None:
    counted = counting(story)
    keys = [one.key for one in counted]
    assert len(set(keys)) == len(keys)
    gone = {one.undoes for one in story if one.what == "taken back"}
    assert set(keys) == {one.key for one in story} - gone


@settings(max_examples=150, deadline=None)
@given(stories())
def test_no_reading_is_lost_and_none_counts_twice(story: list[Happened]) -> None:
    """Each reading that was not taken back either counts or is set aside, once."""
    step = at(*story)
    kept = [*step.readings.values(), *(one for one in step.aside if one.what == "reading")]
    assert sorted(one.key for one in kept) == sorted(one.key for one in counting(story) if one.what == "reading")


@settings(max_examples=150, deadline=None)
@given(stories(), st.sampled_from(MOVED))
def test_what_hangs_on_a_thing_goes_when_it_moves(story: list[Happened], moved: str) -> None:
    before = at(*story)
    after = at(*story, Happened("z", "2026-03-02T15:00:00.000Z", "A", "tablet 1", "1.1", "moved", moved))
    gone = {"nothing": set(), "target": {n for n, r in before.readings.items() if r.part}, "car": set(before.readings)}
    assert set(after.readings) == set(before.readings) - gone[moved]
    assert not after.look
    assert after.verdict is None or moved == "nothing"


def test_nine_of_fifteen_are_read_again_when_the_board_moves() -> None:
    step = at(*read_all(), said("verdict"), said("moved", "target"))
    assert step.unread((*CAR, *BOARD)) == tuple(BOARD)
    assert len(step.aside) == 9
    assert step.verdict is None


def test_all_are_read_again_when_the_car_moves() -> None:
    assert len(at(*read_all(), said("moved", "car")).unread((*CAR, *BOARD))) == 15


def test_what_comes_late_from_a_dead_tablet_does_not_beat_what_was_read_after_it() -> None:
    early = said("reading", "car 1", value=1.0, typed="1000 mm")
    late = said("reading", "car 1", value=2.0, typed="2000 mm", device="tablet 2", by="B")
    for sent in ([early, late], [late, early]):
        step = at(*sent)
        assert (step.readings["car 1"].by, step.aside) == ("B", (early,))


def test_the_same_key_counts_once_though_it_came_twice() -> None:
    one = said("reading", "car 1")
    assert at(one, one, one).aside == ()


def test_a_tool_that_did_not_finish_keeps_the_attempt_and_asks_for_the_board_again() -> None:
    read, failed = read_all(), said("tool", "not finished", text="target not found", codes=("C1A67",))
    step = at(*read, failed)
    assert [(one.said.text, one.said.codes, one.readings) for one in step.attempts] == [
        ("target not found", ("C1A67",), 15)
    ]
    assert step.waits == "choice"
    assert step.unread((*CAR, *BOARD)) == tuple(BOARD)
    assert at(*read, failed, said("next", "again")).look


def test_who_comes_back_is_asked_first_and_has_the_step() -> None:
    step = at(*read_all(), said("stopped", "called away"), said("back", device="tablet 2", by="B"))
    assert step.look
    assert step.holder == ("tablet 2", "B")
    assert {one.by for one in step.readings.values()} == {"A"}
    assert not at(said("begun"), said("stopped", "called away"), said("back")).look


def test_a_second_device_asks_and_is_given_the_step() -> None:
    asked = [said("begun"), said("reading", "car 1"), said("asked", device="tablet 2", by="B")]
    step = at(*asked)
    assert (step.has("tablet 2"), step.asker) == (False, ("tablet 2", "B"))
    kept = at(*asked, said("kept"))
    assert (kept.has("tablet 1"), kept.asker) == (True, None)
    given_ = at(*asked, said("given", "B", to="tablet 2"))
    assert (given_.holder, given_.asker, given_.look) == (("tablet 2", "B"), None, True)


def test_a_signature_is_taken_back_by_an_entry_and_the_step_is_open_again() -> None:
    story = [*read_all(), said("tool", "finished"), signed := said("signed")]
    assert at(*story).over
    again = at(*story, said("taken back", text="wrong car", undoes=signed.key))
    assert not again.over
    assert again.look
    assert len(again.readings) == 15


def test_what_was_read_at_another_car_is_put_aside() -> None:
    step = at(*read_all(), said("condition", "light", typed="510 lux"), said("stopped", "other car"))
    assert (step.readings, step.conditions, len(step.aside)) == ({}, {}, 16)


@pytest.mark.parametrize("number", [1, 2])
def test_the_last_order_of_work_is_worked_by(number: int) -> None:
    orders = [evolve(HANDED[0], number=n, steps=(evolve(STEP, key=f"{n}.1"),)) for n in (1, 2)]
    told = folded(orders[number - 1 :], [said("signed")])
    assert told is not None
    assert told.handed.number == 2
    assert told.current is not None

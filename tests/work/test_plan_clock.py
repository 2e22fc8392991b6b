"""A whole plan by the clock: when the car is ready, told in data and in words, and why it is not told."""

from __future__ import annotations

from datetime import datetime
from functools import cache
from pathlib import Path

import pytest
from attrs import evolve

from standtrue.documents import read_folder
from standtrue.model.order import Times
from standtrue.model.shop import Shop
from standtrue.show.answers.plan import PlanShape, of_plan
from standtrue.show.words.clock import not_before, ready_words, untimed_words
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.clock import clock_of, seconds_of
from standtrue.work.plan.plans import find_plan, tell_otherwise

SHOP = read_folder(Path(__file__).parent / "plan_shop")
US, SPANISH = Reader("us"), Reader("us", "es")
WEEK = tuple(
    (day, *span)
    for day in ("monday", "tuesday", "wednesday", "thursday", "friday")
    for span in (("08:00", "12:00"), ("12:30", "17:00"))
)
MONDAY = "2026-03-02T16:00:00"


@cache
def planned() -> PlanAnswer:
    return find_plan(SHOP.shop(), SHOP.jobs["large"], alternatives=False)


def answer(arrives: str = MONDAY, promised: str = "", hours: tuple[tuple[str, str, str], ...] = WEEK) -> PlanAnswer:
    """The plan of a shop that is open from eight to five but for half an hour at noon."""
    found = planned()
    job = evolve(found.needs.job, arrives=arrives, promised=promised)
    ordered = evolve(found.ordered, clock=clock_of(evolve(found.site, hours=hours), job))
    assert ordered.plan is not None
    return evolve(found, ordered=ordered, timed=ordered.timed(ordered.plan))


def ready(first: str, last: str, promised: str = "") -> PlanAnswer:
    """The same plan, ready at these moments."""
    found = answer(promised=promised)
    assert found.timed is not None
    times = [seconds_of(datetime.fromisoformat(moment)) for moment in (first, last)]
    span: Times = (times[0], times[1], times[1])
    return evolve(found, timed=evolve(found.timed, ready_s=span))


def test_no_step_of_the_shop_is_done_while_it_is_closed() -> None:
    """Nor before the car comes; a plan of hours that begins at four ends on another day."""
    shape = of_plan(answer())
    assert shape.ready is not None
    assert shape.ready.earliest.startswith("2026-03-03T")
    assert shape.steps[0].starts == ("2026-03-02T16:00", "2026-03-02T16:00")
    for step in shape.steps:
        assert step.starts is not None
        assert step.ends is not None
        assert step.starts[0] <= step.starts[1] <= step.ends[1]
        if step.kind not in ("work", "wait"):
            moments = (step.starts[0], step.ends[0])
            assert all("08:00" <= m[11:] <= "12:00" or "12:30" <= m[11:] <= "17:01" for m in moments), step
    assert max(step.ends[1] for step in shape.steps if step.ends) == shape.ready.latest
    assert PlanShape.from_json(shape.to_json()) == shape


def test_ready_against_what_is_promised() -> None:
    found = ready("2026-03-03T15:50", "2026-03-04T14:15", "2026-03-06T16:00:00")
    told = (
        "Ready Tuesday 3:50 p.m. at the earliest, Wednesday 2:15 p.m. at the latest; promised Friday 4 p.m.: in time."
    )
    assert ready_words(found, US) == told
    assert ready_words(found, SPANISH) == (
        "Listo el martes 15:50 como muy pronto, el miércoles 14:15 como muy tarde; "
        "prometido para el viernes 16:00: a tiempo."
    )
    assert ready_words(found, Reader()).startswith("Ready Tuesday 15:50 at the earliest")
    shape = of_plan(found).ready
    assert shape is not None
    assert (shape.earliest, shape.latest) == ("2026-03-03T15:50", "2026-03-04T14:15")
    assert (shape.promised, shape.late) == ("2026-03-06T16:00", "no")


@pytest.mark.parametrize(
    ("promised", "late", "told"),
    [
        ("2026-03-03T15:49:00", "yes", "promised Tuesday 3:49 p.m.: late."),
        ("2026-03-03T15:50:00", "may be", "promised Tuesday 3:50 p.m.: maybe late."),
        ("2026-03-04T14:14:00", "may be", "promised Wednesday 2:14 p.m.: maybe late."),
        ("2026-03-04T14:15:00", "no", "promised Wednesday 2:15 p.m.: in time."),
        ("2026-03-04", "no", "promised Wednesday: in time."),
        ("2026-03-03", "may be", "promised Tuesday: maybe late."),
        ("2026-03-02", "yes", "promised Monday: late."),
        ("2026-03-12T12:00:00", "no", "promised Thursday, March 12, noon: in time."),
        ("", None, "at the latest."),
    ],
)
def test_late_or_maybe_late(promised: str, late: str | None, told: str) -> None:
    found = ready("2026-03-03T15:50", "2026-03-04T14:15", promised)
    assert found.late == late
    assert ready_words(found, US).endswith(told)


def test_minutes_are_told_down_for_the_earliest_and_up_for_the_latest() -> None:
    found = ready("2026-03-03T15:50:40", "2026-03-03T15:50:40", "2026-03-03T15:50:00")
    assert ready_words(found, US) == (
        "Ready Tuesday 3:50 p.m. at the earliest, Tuesday 3:51 p.m. at the latest; "
        "promised Tuesday 3:50 p.m.: maybe late."
    )


def test_without_hours_or_an_arrival_a_duration_only_and_why() -> None:
    for found, codes, told in (
        (answer(hours=()), ["no-opening-hours"], "no opening hours entered"),
        (answer(arrives=""), ["no-arrival"], "no arrival entered"),
        (answer("", hours=()), ["no-opening-hours", "no-arrival"], "no opening hours entered and no arrival entered"),
        (answer(hours=(("monday", "08:00", "08:00"),)), ["never-ready"], "by the hours entered it is not ready"),
    ):
        shape = of_plan(found)
        assert shape.ready is None
        assert shape.elapsed_min is not None
        assert all(step.starts is None and step.ends is None for step in shape.steps)
        assert [c.code for c in shape.not_ready_because_coded] == codes
        assert ready_words(found, US) == ""
        assert untimed_words(found, US).startswith(told)
        assert not_before(found, 0, US) == "0 s"
    assert not_before(answer(), 0, US) == "Monday 4 p.m."
    assert of_plan(answer()).not_ready_because == []
    assert untimed_words(answer(), ENGLISH) == ""


def test_the_plan_is_the_one_that_is_ready_first_by_the_clock() -> None:
    """Of a front whose quicker plan would end after closing, the other is ready no later: the clock decides."""
    found = answer()
    for plan in found.ordered.front.plans:
        timed = found.ordered.timed(plan)
        assert timed is not None
        assert found.ordered.ready_key(plan) == timed.ready_s[1]
    bare = answer(hours=())
    assert [bare.ordered.ready_key(p) for p in bare.ordered.front.plans] == [
        p.elapsed_s[1] for p in bare.ordered.front.plans
    ]


def test_alternatives_and_the_front_say_when_the_car_is_ready() -> None:
    """As each of them says when it is told as the plan; late or not against the same promise."""
    shop = SHOP.shop()
    site = evolve(SHOP.sites["bay with a covered pit"], hours=WEEK)
    shop = Shop(evolve(shop.written, sites={site.name: site}))
    job = evolve(SHOP.jobs["covered"], arrives=MONDAY, promised="2026-03-03T09:00:00")
    found = find_plan(shop, job)
    shape = of_plan(found)
    assert shape.ready is not None
    assert shape.ready in [plan.ready for plan in shape.front]
    assert len(shape.alternatives) == len(found.alternatives) > 0
    for told, other in zip(shape.alternatives, found.alternatives, strict=True):
        assert told.ready is not None
        assert told.ready == of_plan(tell_otherwise(found, other)).ready
        assert told.ready.late in ("no", "may be", "yes")

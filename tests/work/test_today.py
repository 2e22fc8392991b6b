"""The day as a pure function of orders, what was handed over and done, and the moment."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

import pytest
from attrs import evolve

from standtrue.model.basics import Place
from standtrue.model.job import Done, Event, Job, Work
from standtrue.model.procedure import Minutes, Procedure, Source
from standtrue.model.reason import Ref, Text, because
from standtrue.needs import Need, NeedsAnswer
from standtrue.needs.answer import Link, OpenQuestion
from standtrue.work.orders.planned import Planned, PlannedStep
from standtrue.work.today.standing import find_today, progress_of
from standtrue.work.today.values import Order, Progress, Row, Today

NOW = datetime(2026, 3, 2, 13, 40)
HERE = Place(4.0, 2.0, 0.0)


def at(hour: float) -> datetime:
    return datetime(2026, 3, 2) + timedelta(hours=hour)


def step(what: str, first: float, last: float, *people: str) -> PlannedStep:
    early, late = at(first), at(last)
    return PlannedStep("work", what, (early, early), (late, late), people, HERE, "floor")


def order(**more: Any) -> Order:
    """An order that came at ten, with a glass that cures for an hour to an hour and a half, and a camera."""
    glass = Work("glass", (3600.0, 3600.0), wait_s=(3600.0, 5400.0), blocks="drive")
    job = Job("one", "hall", "car", order_number="TR-1", work=(glass,), arrives="2026-03-02T10:00:00",
              promised="2026-03-02T17:00:00", events=(Event("windshield replaced"),))  # fmt: skip
    plan = Planned("A", "B", "2026-03-02T10:00Z", (step("glass", 12, 13, "A"), step("camera card", 15, 15.5, "B")),
                   (at(15.5), at(16)))  # fmt: skip
    need = Need("forward camera", None, "required", (), (Link("camera card", "camera card", "static"),))
    return evolve(Order(job, NeedsAnswer("one", "car", (need,)), planned=plan), **more)


def changed(made: Order, **more: Any) -> Order:
    return evolve(made, job=evolve(made.job, **more))


def one(made: Order, now: datetime = NOW) -> Row:
    return find_today([made], ("A", "B"), now).rows[0]


def told(row: Row) -> list[tuple[str, str]]:
    return [(wait.kind, wait.urgency) for wait in row.waits]


def done(*what: str, hour: float = 13) -> Progress:
    return Progress(tuple(Done(name, at(hour).isoformat(), "A") for name in what))


def test_an_order_in_its_time_waits_for_nobody() -> None:
    row = one(order(), at(12.5))
    assert (row.state, told(row), row.now and row.now.operation) == ("now", [], "glass")
    assert [s.operation for s in row.then] == ["camera card"]
    assert row.keeps == "no"


def test_before_its_first_step_it_is_only_planned() -> None:
    row = one(order(), at(11))
    assert (row.state, row.now, row.here) == ("planned", None, True)


def test_a_step_that_nobody_says_is_done_is_late_once_it_should_be() -> None:
    row = one(order())
    assert (row.state, told(row)) == ("late", [("step", "late")])
    assert (row.waits[0].since, row.waits[0].who, row.waits[0].what) == (at(13), ("A",), (Ref("work", "glass"),))


def test_what_cures_waits_for_time_alone_and_until_when() -> None:
    row = one(order(progress=done("glass")))
    assert (row.state, told(row)) == ("time", [("cure", "time")])
    assert row.waits[0].until == (at(14), at(14.5))
    assert one(order(progress=done("glass")), at(14.5)).state == "planned"


def test_the_car_stands_where_the_last_step_done_was_planned_and_outside_before() -> None:
    assert one(order()).at is None
    assert one(order(progress=done("glass"))).at == HERE
    assert one(order(progress=Progress(at=Place(9.0, 9.0, 0.0), on="lift/up"))).at == Place(9.0, 9.0, 0.0)


def test_an_order_that_nobody_planned_is_late_once_the_car_is_there() -> None:
    bare = order(planned=None)
    assert told(one(bare)) == [("plan", "late")]
    coming = changed(bare, arrives="2026-03-03T08:00:00")
    row = one(coming)
    assert (row.state, row.here, told(row)) == ("decide", False, [("plan", "decide")])
    assert row.waits[0].by == datetime(2026, 3, 3, 8)


def test_a_plan_of_documents_that_changed_is_out_of_date() -> None:
    made = order()
    assert made.planned is not None
    row = one(evolve(made, planned=evolve(made.planned, changed=(("site", "hall"),))), at(12.5))
    assert told(row) == [("plan again", "decide")]
    assert row.waits[0].what == (Ref("site", "hall"),)


def test_what_only_a_person_can_say_waits_until_the_step_that_needs_it() -> None:
    looked = Need("forward camera", None, "conditional", (), (Link("camera card", "camera card", "static"),))
    made = order(needs=NeedsAnswer("one", "car", (looked,)), progress=done("glass"))
    row = one(made)
    assert told(row) == [("look", "decide"), ("cure", "time")]
    assert row.waits[0].by == at(15)
    assert told(one(made, at(15.25)))[0] == ("look", "late")


def test_an_event_that_no_rule_knows_and_what_is_not_done_here_want_a_decision() -> None:
    event = Event("a ladder fell on it")
    question = OpenQuestion(because("event", event="a ladder fell on it"), event, (), spoken=False)
    made = order(progress=done("glass"))
    assert made.planned is not None
    made = evolve(
        made,
        needs=NeedsAnswer("one", "car", (), unknown=(question,)),
        planned=evolve(made.planned, undone=("camera card",)),
    )
    assert [kind for kind, _ in told(one(made))] == ["decide", "not done", "cure"]


def test_a_card_that_one_person_read_waits_for_a_second() -> None:
    source = Source("manual", status="transcribed")
    card = Procedure("camera card", "forward camera", "static", source, minutes=Minutes(run_s=(60.0, 60.0)))
    row = one(order(cards=(card,), progress=done("glass")))
    assert (row.waits[0].kind, row.waits[0].what) == ("reader", (Ref("procedure", "camera card"),))
    verified = evolve(card, source=evolve(source, status="verified"))
    assert told(one(order(cards=(verified,), progress=done("glass")))) == [("cure", "time")]


def test_when_all_is_done_it_waits_for_a_signature_and_then_for_its_owner() -> None:
    finished = order(progress=done("glass", "camera card", hour=10))
    row = one(finished)
    assert (row.state, told(row), row.waits[0].who) == ("done", [("sign", "decide")], ("A",))
    assert told(one(evolve(finished, signed=True))) == [("owner", "time")]


def test_a_promise_that_has_passed_is_late_whatever_was_planned() -> None:
    row = one(order(progress=done("glass", hour=9)), at(17.5))
    assert row.state == "late"
    assert row.waits[0].since in (at(17), at(15.5))


@pytest.mark.parametrize(("promised", "keeps"), [("15:00", "yes"), ("15:45", "may be"), ("16:00", "no")])
def test_what_was_planned_is_held_against_the_promise(promised: str, keeps: str) -> None:
    assert one(changed(order(), promised=f"2026-03-02T{promised}:00"), at(12.5)).keeps == keeps


def test_an_order_put_aside_waits_for_nobody() -> None:
    day = find_today([changed(order(planned=None), put_aside=Text("later"))], (), NOW)
    assert (day.in_hand, day.waits, day.rows[0].state) == ((), (), "aside")


def test_people_have_what_is_in_hand_and_what_comes_next() -> None:
    day = find_today([order()], ("A", "B", "C"), at(12.5))
    first, second, third = day.people
    assert first.now is not None
    assert first.now[1].operation == "glass"
    assert (second.now, second.next and second.next[1].operation) == (None, "camera card")
    assert (third.now, third.next) == (None, None)


def test_the_step_in_hand_at_the_car_comes_first() -> None:
    row = one(order(progress=Progress(in_hand="camera card", by="B")), at(11))
    assert row.now is not None
    assert row.now.operation == "camera card"


def test_thirty_orders_stand_late_first_then_decisions_then_those_to_come() -> None:
    made = [changed(order(), name=f"n{i}", order_number=f"TR-{i}") for i in range(10)]
    late = [evolve(one, planned=None) for one in made[:3]]
    coming = [changed(one, arrives=f"2026-03-0{3 + i % 5}T08:00:00") for i, one in enumerate(made[3:])]
    cured = [changed(order(progress=done("glass")), name=f"c{i}", order_number=f"TC-{i}") for i in range(20)]
    day: Today = find_today([*coming, *cured, *late], ("A",), NOW)
    states = [row.state for row in day.rows]
    assert states[:3] == ["late"] * 3
    assert states[3:23] == ["time"] * 20
    assert not any(row.here for row in day.rows[23:])
    arrivals = [row.arrives for row in day.rows[23:]]
    assert arrivals == sorted(arrivals, key=lambda when: when or datetime.max)
    assert [wait.urgency for _, wait in day.waits][:3] == ["late"] * 3


def test_progress_by_the_document_alone() -> None:
    assert progress_of(order().job) == Progress()

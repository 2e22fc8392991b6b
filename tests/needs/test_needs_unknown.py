"""Events that no rule knows, what people decide on them, and what stands in every later answer."""

from __future__ import annotations

import needs_makers as make
import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st
from needs_makers import book, car, card, hows, need_of, order, rule, said

from standtrue.documents import default_rules
from standtrue.model.job import Decision, Event, Job
from standtrue.model.reason import Text
from standtrue.model.rules import EVENTS, WHERES, Calibrate, Where
from standtrue.model.sensor_kinds import SENSOR_KINDS
from standtrue.model.vehicle import Sensor, Vehicle
from standtrue.needs import find_needs, only_required, order_of_work
from standtrue.show.words.needs import standing_words
from standtrue.show.words.reader import ENGLISH, Reader

DEFAULTS = (default_rules(),)
CAMERA, RADAR, REAR = Sensor("forward camera"), Sensor("front radar"), Sensor("rear camera")
LEFT, RIGHT = Sensor("rear corner radar", "left"), Sensor("rear corner radar", "right")
WEIGHT = Sensor("occupant weight sensor")
LADDER = Event("struck by a ladder")


def decided(event: str, verdict: str, because: str = "Only the paint is scratched.", by: str = "Robin") -> Decision:
    return Decision("", "keep" if verdict == "keep" else "drop", Text(because), by, "2026-03-02", event)


def test_an_event_that_no_rule_knows_is_a_question_and_makes_every_sensor_look_first() -> None:
    answer = find_needs(order(LADDER, Event("windshield replaced")), car(CAMERA, RADAR, REAR), (), DEFAULTS)
    assert hows(answer)["forward camera", None] == "required"
    assert hows(answer)["rear camera", None] == "conditional"
    assert said(*need_of(answer, "rear camera").because)[0] == (
        "struck by a ladder: No rule knows this: look whether it touched this sensor."
    )
    (line,) = standing_words(answer, ENGLISH)
    assert line == (
        "Open question: No rule knows 'struck by a ladder'. Look first at: forward camera, "
        "front radar and rear camera. "
        "Then write a decision that names the event, with reason and name."
    )
    assert answer.look_first


@pytest.mark.parametrize(
    ("where", "asked"),
    [
        (None, {"forward camera", "front radar", "rear camera", "rear corner radar", "occupant weight sensor"}),
        ("front", {"forward camera", "front radar", "occupant weight sensor"}),
        ("rear", {"rear camera", "rear corner radar", "occupant weight sensor"}),
        ("roof", {"forward camera", "rear camera", "occupant weight sensor"}),
        ("under", {"front radar", "occupant weight sensor"}),
    ],
)
def test_it_asks_for_what_sits_where_it_was(where: Where | None, asked: set[str]) -> None:
    vehicle = car(CAMERA, RADAR, REAR, LEFT, RIGHT, WEIGHT)
    answer = find_needs(order(evolve(LADDER, where=where)), vehicle, (), DEFAULTS)
    assert {kind for kind, _ in hows(answer)} == asked


def test_on_one_side_the_other_sides_sensors_are_left_alone() -> None:
    answer = find_needs(order(evolve(LADDER, where="left")), car(RADAR, LEFT, RIGHT), (), DEFAULTS)
    assert set(hows(answer)) == {("front radar", None), ("rear corner radar", "left")}


@pytest.mark.parametrize(
    ("written", "near"),
    [
        ("windsheild replaced", "windshield replaced"),
        ("front bumper cover replaced", "front bumper replaced"),
        ("door skin replaced", "door replaced"),
        ("rear view camera replaced", "camera replaced"),
        ("hood dented", "hood replaced"),
        ("windscreen replace", "windshield replaced"),
    ],
)
def test_the_nearest_events_are_named(written: str, near: str) -> None:
    (question,) = find_needs(order(Event(written)), car(CAMERA), (), DEFAULTS).open_questions
    assert near in [ENGLISH.write(one) for one in question.nearest]
    assert f"'{written}'; the nearest they know:" in ENGLISH.reason(question.reason)


def test_nothing_is_near_a_word_that_nobody_knows() -> None:
    (question,) = find_needs(order(Event("frobnicated")), car(CAMERA), (), DEFAULTS).open_questions
    assert question.nearest == ()


def test_a_shops_own_event_needs_a_rule_of_its_own_and_no_more() -> None:
    rules = book(rule("struck by a ladder", Calibrate("front radar")))
    answer = find_needs(order(Event("Struck by a ladder")), car(CAMERA, RADAR), (), rules)
    assert hows(answer) == {("front radar", None): "required"}
    assert not answer.unknown


def test_a_decision_that_it_touches_nothing_closes_the_question_and_is_told_at_every_sensor() -> None:
    job = order(LADDER, Event("windshield replaced"), decisions=[decided("Struck by a ladder", "drop")])
    answer = find_needs(job, car(CAMERA, REAR), (), DEFAULTS)
    assert not answer.open_questions
    assert not answer.warnings
    camera, rear = need_of(answer, "forward camera"), need_of(answer, "rear camera")
    assert (camera.how, camera.dropped) == ("required", False)
    assert (rear.how, rear.dropped) == ("conditional", True)
    assert rear.overruled == job.decisions[0]
    told = "struck by a ladder: Robin decided that it touches no sensor: Only the paint is scratched."
    assert told in said(*rear.because)
    assert told in said(*camera.because)
    assert not any(step.sensor == "rear camera" for step in order_of_work(answer, job))
    assert not answer.dropped


def test_a_decision_that_it_touches_them_requires_every_sensor_there() -> None:
    job = order(evolve(LADDER, where="front"), decisions=[decided("struck by a ladder", "keep", "It bent the mount.")])
    answer = find_needs(job, car(RADAR, REAR), (), DEFAULTS)
    assert hows(answer) == {("front radar", None): "required"}
    assert said(*need_of(answer, "front radar").because)[0].endswith(
        "Robin decided that it touches this sensor: It bent the mount."
    )


def test_a_sensor_kept_by_a_decision_of_its_own_stays_though_the_event_is_dropped() -> None:
    keep = Decision("rear camera", "keep", Text("Its glass is cracked."), "Robin", "2026-03-02")
    job = order(LADDER, decisions=[decided("struck by a ladder", "drop"), keep])
    answer = find_needs(job, car(CAMERA, REAR), (), DEFAULTS)
    assert not need_of(answer, "rear camera").dropped
    assert need_of(answer, "forward camera").dropped
    assert not answer.warnings


@pytest.mark.parametrize(("because", "by"), [("", "Robin"), ("Looked.", " ")])
def test_a_decision_without_reason_or_name_leaves_the_question_open(because: str, by: str) -> None:
    job = order(LADDER, decisions=[decided("struck by a ladder", "drop", because, by)])
    answer = find_needs(job, car(CAMERA), (), DEFAULTS)
    assert answer.open_questions
    assert hows(answer) == {("forward camera", None): "conditional"}
    assert [warning.code for warning in answer.warnings] == ["event-decision-unsigned"]


def test_a_decision_on_an_event_that_the_rules_know_does_nothing_and_says_so() -> None:
    job = order(Event("windshield replaced"), decisions=[decided("windshield replaced", "drop")])
    answer = find_needs(job, car(CAMERA), (), DEFAULTS)
    assert not need_of(answer, "forward camera").dropped
    assert [warning.code for warning in answer.warnings] == ["event-decision-without-question"]


def test_a_dropped_required_calibration_is_told_with_name_date_and_reason() -> None:
    drops = [
        Decision("forward camera", "drop", Text("Customer declined.", "El cliente no quiso."), "Robin", "2026-03-02"),
        Decision("front radar", "drop", Text("Behind the bumper."), "Robin"),
    ]
    answer = find_needs(order(Event("windshield replaced"), decisions=drops), car(CAMERA, RADAR), (), DEFAULTS)
    assert [need.sensor for need in answer.dropped] == ["forward camera"]
    assert list(standing_words(answer, ENGLISH)) == [
        "Required, but dropped by Robin on 2026-03-02: forward camera (Customer declined.)"
    ]
    assert list(standing_words(answer, Reader("metric", "es"))) == [
        "Obligatorio, pero descartado por Robin el 2026-03-02: cámara delantera (El cliente no quiso.)"
    ]
    both = find_needs(order(Event("front bumper removed"), decisions=drops[1:]), car(RADAR), (), DEFAULTS)
    assert "Robin, no date given" in next(standing_words(both, ENGLISH))


def test_only_what_is_required_leaves_out_what_is_to_be_looked_at_first() -> None:
    cards = [card("Cam", "forward camera", after=("Aim",)), card("Aim", "front radar"), card("Rear", "rear camera")]
    drop = Decision("rear camera", "drop", Text("Not touched."), "Robin")
    job = order(Event("windshield replaced"), LADDER, decisions=[drop])
    answer = find_needs(job, car(CAMERA, RADAR, REAR, WEIGHT), cards, DEFAULTS)
    less = only_required(answer, job)
    assert {need.sensor: need.dropped for need in less.needs} == {"forward camera": False, "rear camera": True}
    steps = [step.name for step in order_of_work(less, job) if step.kind != "confirm"]
    assert steps == ["pre-scan", "Cam", "post-scan"]
    assert less.needs[0].order == 3
    assert less.open_questions == answer.open_questions
    assert only_required(less, job) == less


KINDS = ("forward camera", "rear corner radar", "surround-view camera", "steering-angle sensor", "adaptive headlamp")
cars = st.lists(
    st.builds(Sensor, kind=st.sampled_from(KINDS), side=st.sampled_from(make.SIDES)), min_size=1, max_size=5
).map(lambda sensors: car(*sensors))
texts = st.one_of(
    st.sampled_from(EVENTS), st.sampled_from(("hail", "hood dented", "Türe ersetzt", "x")), st.text(max_size=9)
)
events = st.builds(
    Event,
    event=texts,
    where=st.sampled_from((None, *WHERES)),
    part=st.sampled_from((None, "bracket", "driver's seat", *SENSOR_KINDS[:5])),
)
some_decisions = st.lists(
    st.builds(
        decided,
        event=st.sampled_from((*EVENTS[:3], "hail", "hood dented", "x")),
        verdict=st.sampled_from(("keep", "drop")),
        because=st.sampled_from(("Looked at it.", "")),
    ),
    max_size=2,
)


@settings(derandomize=True, deadline=None, max_examples=120)
@given(st.lists(events, min_size=1, max_size=3), cars, some_decisions)
def test_no_sensor_that_an_event_touches_is_ever_dropped_silently(
    happened: list[Event], vehicle: Vehicle, decisions: list[Decision]
) -> None:
    """Alone, each event calls for some sensors; together, and whatever is decided, all of them stay in the list, and
    each that is dropped names a signed decision. An event that calls for none at all is an open question."""
    job: Job = order(*happened, decisions=decisions)
    answer = find_needs(job, vehicle, (), DEFAULTS)
    for event in happened:
        alone = find_needs(order(event), vehicle, (), DEFAULTS)
        assert set(hows(alone)) <= set(hows(answer))
        if event.where is None and alone.unknown and not alone.unknown[0].spoken:
            assert len(alone.needs) == len({(sensor.kind, sensor.side) for sensor in vehicle.sensors})
        assert alone.needs or alone.open_questions or event.event in EVENTS
    for need in answer.needs:
        assert need.causes
        if need.dropped:
            assert need.overruled is not None
            assert need.overruled.because
    asked = {question.of for question in answer.open_questions}
    assert asked == {q.of for q in answer.unknown if not any(d.because and d.event == q.of.event for d in decisions)}

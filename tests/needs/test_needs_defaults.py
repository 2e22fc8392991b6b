"""The default rules: complete, in sentences, without contradictions. What they say is common practice, no source."""

from __future__ import annotations

import re
import tomllib
from collections import defaultdict

import pytest
from needs_makers import car, hows, order

from standtrue.documents import default_rules, default_rules_text, load_text
from standtrue.model.basics import Side
from standtrue.model.job import Event
from standtrue.model.rules import EVENTS, FACTS, OTHER_EVENTS, WHERES, Where
from standtrue.model.sensor_kinds import SENSOR_KINDS
from standtrue.model.vehicle import Sensor
from standtrue.needs import NeedsAnswer, find_needs
from standtrue.needs.words import words

RULES = default_rules().rules
ALIGNED = "wheel alignment measured and within limits"
SIDED = ("front corner radar", "rear corner radar", "surround-view camera", "adaptive headlamp")
EVERY_SENSOR = car(
    *(Sensor(kind, side) for kind in SENSOR_KINDS for side in (("left", "right") if kind in SIDED else (None,)))
)
BY_PART = ("sensor disturbed", "module replaced", "fault stored")


def answered(event: str, where: Where | None = None, part: str | None = None) -> NeedsAnswer:
    return find_needs(order(Event(event, where, part)), EVERY_SENSOR, (), (default_rules(),))


def found(event: str, where: Where | None = None, part: str | None = None) -> dict[tuple[str, Side | None], str]:
    return dict(hows(answered(event, where, part)))


def test_the_document_is_sound_and_read_like_any_other() -> None:
    document = load_text(default_rules_text(), "rules.toml")
    assert document.faults == ()
    assert document.mark is not None
    assert (document.mark.kind, document.mark.name, document.mark.demonstration) == ("rules", "common practice", False)


def test_every_known_event_and_fact_is_in_the_rules_and_no_other() -> None:
    assert {rule.event for rule in RULES} == set(EVENTS)
    assert {first for rule in RULES for first in rule.before} == set(FACTS)
    assert {call.sensor for rule in RULES for call in rule.calibrate} == set(SENSOR_KINDS)
    assert set(OTHER_EVENTS.values()) <= set(EVENTS)
    assert len({words(event) for event in (*EVENTS, *OTHER_EVENTS)}) == len(EVENTS) + len(OTHER_EVENTS)


def test_every_reason_is_a_sentence_of_its_own_in_both_languages() -> None:
    owners = defaultdict(set)
    for rule in tomllib.loads(default_rules_text())["rules"]:
        for text in (rule["because"]["en"], rule["because"]["es"]):
            assert re.fullmatch(r"[A-Z][^.]+\.", text), text
            assert 6 <= len(text.split()) <= 30, text
        assert rule["because"]["en"] != rule["because"]["es"]
        assert rule["source"] == "common practice"
        kinds = str([call["sensor"] if isinstance(call, dict) else call for call in rule["calibrate"]])
        for language in ("en", "es"):
            owners[rule["because"][language]].add((str(rule["event"]), kinds))
    shared = {text: pairs for text, pairs in owners.items() if len(pairs) > 1}
    assert not {text for text, pairs in shared.items() if len({event for event, _ in pairs}) > 1}


def test_no_two_rules_contradict_each_other() -> None:
    conditions = [(rule.event, rule.where, rule.part, call) for rule in RULES for call in rule.calibrate]
    assert len(conditions) == len(set(conditions))


@pytest.mark.parametrize("event", EVENTS)
def test_every_event_touches_something_wherever_it_was(event: str) -> None:
    wheres: tuple[Where | None, ...] = (None, "front", "rear", "left", "right", "roof", "under")
    assert set(wheres[1:]) == set(WHERES)
    for where in wheres:
        assert found(event, where), (event, where)
    assert not answered(event).unknown


@pytest.mark.parametrize(
    ("event", "sensor", "how"),
    [
        ("windshield replaced", "forward camera", "required"),
        ("windshield removed", "forward camera", "required"),
        ("windshield repaired", "forward camera", "conditional"),
        ("front bumper removed", "front radar", "required"),
        ("front bumper replaced", "front radar", "required"),
        ("wheel alignment", "steering-angle sensor", "required"),
        ("wheel alignment", "forward camera", "conditional"),
        ("wheel alignment", "front radar", "conditional"),
        ("airbag deployed", "occupant weight sensor", "required"),
        ("battery disconnected", "steering-angle sensor", "conditional"),
        ("ride height changed", "ride-height sensor", "required"),
        ("seat removed", "occupant weight sensor", "conditional"),
        ("liftgate removed", "rear camera", "required"),
        ("trunk lid removed", "rear camera", "required"),
        ("rear glass replaced", "forward camera", None),
        ("grille removed", "front radar", "conditional"),
        ("emblem replaced", "front radar", "conditional"),
        ("hood replaced", "front radar", "conditional"),
        ("subframe removed", "steering-angle sensor", "required"),
        ("subframe removed", "forward camera", "conditional"),
        ("steering column replaced", "steering-angle sensor", "required"),
        ("tow bar fitted", "rear camera", "conditional"),
        ("towed", "ultrasonic", "conditional"),
        ("flood", "lidar", "conditional"),
        ("software update", "forward camera", "conditional"),
        ("camera removed", "forward camera", "conditional"),
        ("camera removed", "front radar", None),
    ],
)
def test_well_known_pairs(event: str, sensor: str, how: str | None) -> None:
    assert found(event).get((sensor, None)) == how


@pytest.mark.parametrize("event", ["door removed", "door replaced", "door mirror removed", "door mirror replaced"])
def test_sensors_in_doors_and_mirrors(event: str) -> None:
    at = found(event, "left")
    assert at["rear corner radar", "left"] == "conditional"
    assert at["surround-view camera", "left"] == ("required" if "mirror" in event else "conditional")
    assert at["ultrasonic", None] == "conditional"


@pytest.mark.parametrize("event", ["liftgate removed", "liftgate replaced", "trunk lid removed"])
def test_rear_corner_radars_and_cameras_beside_what_opens_at_the_rear(event: str) -> None:
    at = found(event)
    assert at["rear corner radar", "left"] == at["surround-view camera", "right"] == "conditional"
    assert at["rear camera", None] == "required"


def test_the_grille_requires_the_front_radar_only_where_the_order_says_so() -> None:
    assert found("grille removed")["front radar", None] == "conditional"
    assert found("grille removed", part="upper grille")["front radar", None] == "conditional"
    assert found("grille removed", part="front radar")["front radar", None] == "required"


@pytest.mark.parametrize(
    ("part", "how"),
    [
        (None, "conditional"),
        ("passenger seat", "required"),
        ("front passenger's seat", "required"),
        ("driver seat", None),
        ("driver's seat", None),
        ("rear seat", None),
        ("both front seats", "conditional"),
        ("occupant weight sensor", "conditional"),
    ],
)
def test_the_weight_sensor_is_in_the_passengers_seat(part: str | None, how: str | None) -> None:
    at = found("seat removed", part=part)
    assert at.get(("occupant weight sensor", None)) == how
    assert ("yaw-rate sensor", None) in at


@pytest.mark.parametrize(
    "event",
    ["airbag deployed", "suspension work", "steering work", "subframe removed", "tie rod replaced", "curb strike"],
)
def test_alignment_comes_first_after_work_that_moves_wheels(event: str) -> None:
    aimed = [need for need in answered(event).needs if need.sensor in ("front radar", "steering-angle sensor")]
    assert len(aimed) == 2
    for need in aimed:
        firsts = [getattr(first, "word", first) for first in need.before]
        assert ALIGNED in firsts
        assert ("structure measured and within limits" in firsts) == (event == "airbag deployed")


def test_pairs_with_sides() -> None:
    assert found("headlamp removed", "left")["adaptive headlamp", "left"] == "required"
    assert found("headlamp removed", "left")["adaptive headlamp", "right"] == "conditional"
    assert found("headlamp removed")["front corner radar", "right"] == "conditional"
    assert found("door mirror removed", "right")["surround-view camera", "right"] == "required"


def test_a_minor_collision_touches_the_end_that_was_hit() -> None:
    assert "front radar" in {kind for kind, _ in found("minor collision", "front")}
    rear = {kind for kind, _ in found("minor collision", "rear")}
    assert rear == {"rear corner radar", "rear camera", "surround-view camera", "ultrasonic", "occupant weight sensor"}
    left = set(found("minor collision", "left"))
    assert ("rear corner radar", "left") in left
    assert ("rear corner radar", "right") not in left
    assert set(found("minor collision").values()) == {"conditional"}


@pytest.mark.parametrize("kind", SENSOR_KINDS)
def test_the_part_names_the_sensor(kind: str) -> None:
    for event, how in (
        ("sensor disturbed", "required"),
        ("module replaced", "required"),
        ("fault stored", "conditional"),
    ):
        named = found(event, part=kind)
        assert {sensor for sensor, _ in named} == {kind}
        assert set(named.values()) == {how}


def test_a_camera_or_radar_that_was_removed_is_named_by_its_part() -> None:
    assert set(found("camera removed", part="forward camera").values()) == {"required"}
    assert set(found("radar replaced", part="left rear corner radar")) == {
        ("rear corner radar", "left"), ("rear corner radar", "right"),
    }  # fmt: skip
    cameras = {kind for kind, _ in found("camera removed", part="camera bracket")}
    assert cameras == {kind for kind in SENSOR_KINDS if "camera" in kind}


def test_without_a_part_or_with_an_unknown_one_every_sensor_is_conditional() -> None:
    for event in BY_PART:
        for part in (None, "body control module"):
            every = found(event, part=part)
            assert {kind for kind, _ in every} == set(SENSOR_KINDS)
            assert set(every.values()) == {"conditional"}

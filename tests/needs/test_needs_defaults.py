"""The default table: complete, in sentences, without contradictions. What it says is common practice, no source."""

from __future__ import annotations

import re
import tomllib
from collections import defaultdict
from pathlib import Path

import pytest
from needs_makers import car, hows, order

from standtrue.model.basics import Side
from standtrue.model.job import Event
from standtrue.model.reason import Text
from standtrue.model.rules import EVENTS, WHERES, Where
from standtrue.model.sensor_kinds import SENSOR_KINDS, SENSORS
from standtrue.model.vehicle import Sensor
from standtrue.needs import default_rules, default_rules_toml, default_table, find_needs
from standtrue.needs.defaults import default_table_markdown
from standtrue.needs.table import BEFORE, BY_PART, BY_PLACE, COLUMNS, NOT_BEFORE, REASONS, TASKS

RULES = default_rules().rules
SIDED = ("front corner radar", "rear corner radar", "surround-view camera", "adaptive headlamp")
EVERY_SENSOR = car(
    *(Sensor(kind, side) for kind in SENSOR_KINDS for side in (("left", "right") if kind in SIDED else (None,)))
)


def found(event: str, where: Where | None = None, part: str | None = None) -> dict[tuple[str, Side | None], str]:
    answer = find_needs(order(Event(event, where, part)), EVERY_SENSOR, (), (default_rules(),))
    return dict(hows(answer))


def test_every_pair_is_decided() -> None:
    assert set(default_table()) == {(event, kind) for event in EVENTS for kind in SENSOR_KINDS}
    assert tuple(COLUMNS.values()) == tuple(sensor.name for sensor in SENSORS if not sensor.like)
    assert set(default_table().values()) == {"required", "conditional", None}


def test_sentences_stand_for_the_pairs_that_are_touched_and_for_no_others() -> None:
    for event in EVENTS:
        touched = {column for column, kind in COLUMNS.items() if default_table()[event, kind]}
        assert touched == set(TASKS if event in BY_PART else REASONS[event]), event
    assert set(REASONS) | set(BY_PART) == set(EVENTS)
    assert not set(REASONS) & set(BY_PART)
    assert set(BEFORE) <= set(EVENTS)
    assert set(NOT_BEFORE) <= {first for firsts in BEFORE.values() for first in firsts}


def test_the_rules_come_to_what_the_table_says() -> None:
    strongest = defaultdict(set)
    for rule in RULES:
        strongest[rule.event, rule.calibrate[0].sensor].add(rule.how)
    for pair, how in default_table().items():
        assert how == ("required" if "required" in strongest[pair] else "conditional" if strongest[pair] else None)


def test_every_reason_is_a_sentence_of_its_own() -> None:
    owners = defaultdict(set)
    for rule in RULES:
        for text in (rule.because.en, rule.because.es):
            assert re.fullmatch(r"[A-Z][^.]+\.", text), text
            assert 6 <= len(text.split()) <= 30, text
        assert rule.source == "common practice"
        owners[rule.because].add((rule.event, rule.calibrate))
    like = {sensor.name: sensor.like or sensor.name for sensor in SENSORS}
    by_sentence = {text: {(event, like[calls[0].sensor]) for event, calls in pairs} for text, pairs in owners.items()}
    assert all(len(pairs) == 1 for pairs in by_sentence.values())


def test_no_two_rules_contradict_each_other() -> None:
    conditions = [(rule.event, rule.where, rule.part, rule.calibrate) for rule in RULES]
    assert len(conditions) == len(set(conditions))
    for event, places in BY_PLACE.items():
        assert set(places) <= set(REASONS[event])
        assert all(len(pairs) == len({where for where, _ in pairs}) for pairs in places.values())


@pytest.mark.parametrize("event", EVENTS)
def test_every_event_touches_something_wherever_it_was(event: str) -> None:
    wheres: tuple[Where | None, ...] = (None, "front", "rear", "left", "right", "roof", "under")
    assert set(wheres[1:]) == set(WHERES)
    for where in wheres:
        assert found(event, where), (event, where)


@pytest.mark.parametrize(
    ("event", "sensor", "how"),
    [
        ("windshield replaced", "forward camera", "required"),
        ("front bumper removed", "front radar", "required"),
        ("wheel alignment", "steering-angle sensor", "required"),
        ("wheel alignment", "forward camera", "conditional"),
        ("wheel alignment", "front radar", "conditional"),
        ("airbag deployed", "occupant weight sensor", "required"),
        ("battery disconnected", "steering-angle sensor", "conditional"),
        ("ride height changed", "ride-height sensor", "required"),
        ("seat removed", "occupant weight sensor", "required"),
        ("liftgate removed", "rear camera", "required"),
        ("rear glass replaced", "forward camera", None),
    ],
)
def test_well_known_pairs(event: str, sensor: str, how: str | None) -> None:
    assert found(event).get((sensor, None)) == how


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


def test_without_a_part_or_with_an_unknown_one_every_sensor_is_conditional() -> None:
    for event in BY_PART:
        for part in (None, "body control module"):
            every = found(event, part=part)
            assert {kind for kind, _ in every} == set(SENSOR_KINDS)
            assert set(every.values()) == {"conditional"}


def test_the_document_says_the_same_as_the_rules() -> None:
    document = tomllib.loads(default_rules_toml())
    head = {key: value for key, value in document.items() if key != "rules"}
    assert head == {"kind": "rules", "schema": 1, "name": "common practice", "demonstration": False}
    assert [
        (
            made["event"],
            made.get("where"),
            made.get("part"),
            [(call["sensor"], call.get("side")) for call in made["calibrate"]],
            made["how"],
            Text(**made["because"]),
            tuple(made.get("before", ())),
            made["source"],
        )
        for made in document["rules"]
    ] == [
        (
            rule.event,
            rule.where,
            rule.part,
            [(call.sensor, call.side) for call in rule.calibrate],
            rule.how,
            rule.because,
            rule.before,
            rule.source,
        )
        for rule in RULES
    ]


def test_the_explanation_shows_the_table_as_it_is() -> None:
    page = Path(__file__).parents[2] / "docs" / "explanation" / "needs.md"
    head = "<!-- table: made from standtrue.needs.table; do not edit by hand -->\n"
    shown = page.read_text(encoding="utf-8").split(head)[1].split("<!-- end of table -->")[0]
    assert shown.strip() == default_table_markdown().strip()

"""One table of synonyms: documents are read by it, and orders, cards and rules are compared by it."""

from __future__ import annotations

import pytest

from standtrue.documents import read_document
from standtrue.model.rules import EVENTS
from standtrue.model.sensor_kinds import OTHER_WORDS, SENSORS
from standtrue.model.trade_words import american, word_key
from standtrue.needs.words import kinds_named, same


@pytest.mark.parametrize(
    ("written", "event"),
    [
        ("headlight removed", "headlamp removed"),
        ("Windscreen replaced", "windshield replaced"),
        ("tailgate removed", "liftgate removed"),
        ("tyres replaced", "tires replaced"),
        ("wing removed", "fender removed"),
        ("wing mirror removed", "door mirror removed"),
    ],
)
def test_an_event_in_other_words_is_read_and_compared_alike(written: str, event: str) -> None:
    assert event in EVENTS
    assert american(written) == event
    assert same(written, event)
    job = {"kind": "job", "schema": 1, "name": "j", "site": "s", "vehicle": "v", "events": [written]}
    assert read_document(job, "j").faults == ()


@pytest.mark.parametrize("word", OTHER_WORDS)
def test_other_words_for_a_sensor_are_read_and_compared_alike(word: str) -> None:
    assert kinds_named(word) == (OTHER_WORDS[word],)
    car = {
        "kind": "vehicle",
        "schema": 1,
        "name": "v",
        "units": "m",
        "length": 4.6,
        "width": 1.8,
        "wheelbase": 2.8,
        "sensors": [{"kind": word}],
    }
    assert read_document(car, "v").faults == ()


def test_a_kind_and_its_other_words_stand_once() -> None:
    words = [word_key(word) for sensor in SENSORS for word in (sensor.name, *sensor.also)]
    assert len(set(words)) == len(words)

"""The cautions: each fact calls for one, the order is the table's, and the standing one is always last."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.model.cautions import CAUTIONS, Fact, cautions_for, propulsion_facts, sensor_facts
from standtrue.model.sensor_kinds import SENSOR_KINDS, SENSORS
from standtrue.show.words.reader import Reader


def codes(*facts: Fact) -> list[str]:
    return [caution.code for caution in cautions_for(frozenset(facts))]


def test_the_standing_caution_is_alone_where_nothing_calls_for_more() -> None:
    assert codes() == ["maker-governs"]


@pytest.mark.parametrize("fact", list(Fact))
def test_every_fact_calls_for_a_caution(fact: Fact) -> None:
    assert len(codes(fact)) >= 2
    assert codes(fact)[-1] == "maker-governs"


def test_codes_and_texts_are_unique_sentences() -> None:
    for reader in (Reader(), Reader(language="es")):
        texts = [reader.reason(caution.reason) for caution in CAUTIONS]
        assert len({caution.code for caution in CAUTIONS}) == len(set(texts)) == len(CAUTIONS)
        assert all(text[0].isupper() and text.endswith(".") for text in texts)
    assert [caution.code for caution in CAUTIONS if not caution.calls] == ["maker-governs"]


def test_what_calls_for_what() -> None:
    assert codes(Fact.OVERLOAD, Fact.RAISED) == ["overload", "raised-lift", "maker-governs"]
    assert codes(Fact.CAR_PUSHED) == ["moving-car", "pushed-car", "maker-governs"]
    assert codes(Fact.DEMONSTRATION, Fact.UNVERIFIED_CARD) == ["unverified-card", "demonstration-data", "maker-governs"]


@settings(derandomize=True, deadline=None)
@given(st.frozensets(st.sampled_from(list(Fact))))
def test_the_cautions_of_several_facts_are_those_of_each_in_the_tables_order(facts: frozenset[Fact]) -> None:
    single = {caution for fact in facts for caution in cautions_for(frozenset({fact}))} | {CAUTIONS[-1]}
    assert cautions_for(facts) == tuple(caution for caution in CAUTIONS if caution in single)
    assert all(CAUTIONS.index(one) < CAUTIONS.index(two) for one, two in combinations(cautions_for(facts), 2))


def test_sensors_that_emit() -> None:
    assert [k.name for k in SENSORS if k.emits == "radar"] == [kind for kind in SENSOR_KINDS if kind.endswith("radar")]
    assert sensor_facts(["front radar", "lidar"]) == {Fact.RADAR, Fact.LIDAR}
    assert sensor_facts(["forward camera", "ultrasonic"]) == frozenset()
    assert sensor_facts(iter(["forward camera", "rear corner radar"])) == {Fact.RADAR}


@pytest.mark.parametrize(
    ("propulsion", "high_voltage"),
    [("electric", True), ("Plug-in hybrid", True), ("gasoline", False), ("diesel", False), ("BEV", True), ("", False)],
)
def test_high_voltage_follows_the_propulsion(propulsion: str, high_voltage: bool) -> None:
    assert (Fact.HIGH_VOLTAGE in propulsion_facts(propulsion)) == high_voltage

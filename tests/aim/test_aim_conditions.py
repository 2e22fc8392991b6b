"""Conditions of a card, checked and recorded."""

from __future__ import annotations

import math

import aim_makers as make
import numpy as np
import pytest
from attrs import evolve

from standtrue.aim.conditions import Standing, check_conditions
from standtrue.model.condition_units import converted
from standtrue.model.procedure import Condition
from standtrue.model.setup import ConditionReading
from standtrue.show.words.reader import ENGLISH

PRESSURE = Condition("tire pressure", 2.2, 2.6, "bar")


@pytest.mark.parametrize(
    ("found", "standing", "because"),
    [
        (ConditionReading("Tire  pressure", 2.4, "bar"), "met", ""),
        (ConditionReading("tire pressure", 2.6, ""), "met", ""),
        (ConditionReading("tire pressure", 2.1, "bar"), "not met", "tire pressure is below 2.2 bar"),
        (ConditionReading("tire pressure", 2.7, "bar"), "not met", "tire pressure is above 2.6 bar"),
        (ConditionReading("tire pressure", 35.0, "psi"), "met", ""),
        (ConditionReading("tire pressure", 240.0, "kPa"), "met", ""),
        (ConditionReading("tire pressure", 31.9, "psi"), "not met", "tire pressure is below 2.2 bar"),
        (
            ConditionReading("tire pressure", 35.0, "kg"),
            "cannot tell",
            "tire pressure is asked in bar and was recorded in kg",
        ),
        (
            ConditionReading("tire pressure", 35.0, "marks"),
            "cannot tell",
            "tire pressure is asked in bar and was recorded in marks",
        ),
        (ConditionReading("tire pressure", 2.25, "bar", 0.02), "met", ""),
        (
            ConditionReading("tire pressure", 2.25, "bar", 0.04),
            "cannot tell",
            "tire pressure is too close to 2.2 bar to tell",
        ),
        (
            ConditionReading("tire pressure", 2.15, "bar", 0.04),
            "cannot tell",
            "tire pressure is too close to 2.2 bar to tell",
        ),
        (ConditionReading("tire pressure", 2.75, "bar", 0.04), "not met", "tire pressure is above 2.6 bar"),
        (
            ConditionReading("tire pressure", 32.63, "psi", 0.6),
            "cannot tell",
            "tire pressure is too close to 2.2 bar to tell",
        ),
        (ConditionReading("fuel", 1.0), "not recorded", "tire pressure was not recorded"),
    ],
)
def test_one_condition(found: ConditionReading, standing: str, because: str) -> None:
    (check,) = check_conditions(evolve(make.card(), conditions=(PRESSURE,)), [found])
    assert check.standing.value == standing
    assert ("" if check.because is None else ENGLISH.reason(check.because)) == because


def test_the_light_that_a_card_asks_for_is_a_condition() -> None:
    card = evolve(make.card(), light_lux=300.0)
    assert [c.standing for c in check_conditions(card, [])] == [Standing.NOT_RECORDED]
    assert check_conditions(card, [ConditionReading("Light", 310.0, "lux")])[0].standing is Standing.MET
    (dark,) = check_conditions(card, [ConditionReading("light", 290.0, "lux")])
    assert dark.standing is Standing.NOT_MET
    assert dark.because is not None
    assert ENGLISH.reason(dark.because) == "light is below 300 lux"
    own = evolve(card, conditions=(Condition("light", 500.0, None, "lux"),))
    assert len(check_conditions(own, [])) == 1


def test_a_condition_without_limits_is_met_once_recorded() -> None:
    card = evolve(make.card(), conditions=(Condition("doors closed"),))
    assert check_conditions(card, [ConditionReading("doors closed", 1.0)])[0].standing is Standing.MET
    assert check_conditions(make.card(), []) == ()


# NIST SP 811 (2008), appendix B.8 and 4.2.1.1; from the definitions of 1959 and of the Celsius scale.
@pytest.mark.parametrize(
    ("value", "unit", "to", "expected"),
    [
        (1.0, "psi", "kPa", 6.894757293168),
        (2.5, "bar", "psi", 36.2594345),
        (1.0, "fc", "lux", 10.7639104),
        (1.0, "lb", "kg", 0.45359237),
        (1.0, "in", "mm", 25.4),
        (68.0, "°F", "°C", 20.0),
        (-40.0, "deg C", "F", -40.0),
        (20.0, "C", "K", 293.15),
    ],
)
def test_units_are_converted_exactly(value: float, unit: str, to: str, expected: float) -> None:
    found = converted(value, unit, to)
    assert found == pytest.approx(expected, rel=1e-8)
    assert found is not None
    assert converted(found, to, unit) == pytest.approx(value, rel=1e-12)


def test_what_cannot_be_converted_is_not() -> None:
    assert converted(1.0, "bar", "kg") is None
    assert converted(1.0, "marks", "kg") is None
    assert converted(1.0, "marks", "Marks") == 1.0
    assert converted(1.8, "°F", "°C", difference=True) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("truth", "low", "high"), [(2.2, 2.2, 2.6), (2.6, 2.2, 2.6), (2.2, 2.2, None), (2.6, None, 2.6)]
)
def test_conditions_are_decided_wrongly_no_more_often_than_stated(
    truth: float, low: float | None, high: float | None
) -> None:
    """At a limit, typed in psi with its uncertainty: neither met nor not met in more than 5 %."""
    rng, count, u = np.random.default_rng(8), 1000, 0.4
    card = evolve(make.card(), conditions=(Condition("tire pressure", low, high, "bar"),))
    true = converted(truth, "bar", "psi")
    assert true is not None
    found = [
        check_conditions(card, [ConditionReading("tire pressure", true + u * float(e), "psi", u)])[0].standing
        for e in rng.normal(size=count)
    ]
    allowed = 0.05 + 2 * math.sqrt(0.05 * 0.95 / count)
    assert found.count(Standing.MET) / count <= allowed
    assert found.count(Standing.NOT_MET) / count <= allowed

"""Conditions of a card, checked and recorded."""

from __future__ import annotations

import aim_makers as make
import pytest
from attrs import evolve

from standtrue.aim.conditions import Standing, check_conditions
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
        (
            ConditionReading("tire pressure", 35.0, "psi"),
            "cannot tell",
            "tire pressure is asked in bar and was recorded in psi",
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

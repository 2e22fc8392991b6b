"""The conditions of a card, as found: checked and recorded before it starts."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from attrs import frozen

from standtrue.model.procedure import Condition, Procedure
from standtrue.model.setup import ConditionReading

Standing = Literal["met", "not met", "not recorded", "cannot tell"]

LIGHT = "light"


@frozen
class ConditionCheck:
    """One condition of a card and what was found; `because` says what stands against it."""

    condition: Condition
    found: ConditionReading | None
    standing: Standing
    because: str = ""


def check_conditions(card: Procedure, found: Sequence[ConditionReading]) -> tuple[ConditionCheck, ...]:
    """Each condition of the card against what was recorded under its name. Units are compared, never converted.

    The light that a card asks for is a condition named `light`, in lux.
    """
    by_name = {_plain(one.what): one for one in found}
    return tuple(_check(condition, by_name.get(_plain(condition.what))) for condition in conditions_of(card))


def conditions_of(card: Procedure) -> tuple[Condition, ...]:
    """The card's conditions with the light that it asks for; a condition that the card calls light itself stands."""
    named = {_plain(c.what) for c in card.conditions}
    if card.light_lux is None or LIGHT in named:
        return card.conditions
    return (*card.conditions, Condition(LIGHT, card.light_lux, None, "lux"))


def _check(condition: Condition, found: ConditionReading | None) -> ConditionCheck:
    if found is None:
        return ConditionCheck(condition, None, "not recorded", f"{condition.what} was not recorded")
    limited = condition.low is not None or condition.high is not None
    if limited and condition.unit and found.unit and _plain(condition.unit) != _plain(found.unit):
        said = f"{condition.what} is asked in {condition.unit} and was recorded in {found.unit}"
        return ConditionCheck(condition, found, "cannot tell", said)
    if condition.low is not None and found.value < condition.low:
        return _not_met(condition, found, "below", condition.low)
    if condition.high is not None and found.value > condition.high:
        return _not_met(condition, found, "above", condition.high)
    return ConditionCheck(condition, found, "met")


def _not_met(condition: Condition, found: ConditionReading, where: str, limit: float) -> ConditionCheck:
    said = f"{condition.what} is {where} {limit:g} {condition.unit}".strip()
    return ConditionCheck(condition, found, "not met", said)


def _plain(words: str) -> str:
    return " ".join(words.casefold().split())

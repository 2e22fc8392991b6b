"""The conditions of a card, as found: checked and recorded before it starts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from enum import Enum

from attrs import frozen

from standtrue.aim.conformity import decide
from standtrue.model.condition_units import converted
from standtrue.model.procedure import Condition, Procedure
from standtrue.model.reason import Number, Reason, Term, because
from standtrue.model.setup import ConditionReading
from standtrue.model.verdict import Verdict

LIGHT = "light"


class Standing(Enum):
    """What was recorded, against what a card asks."""

    MET = "met"
    NOT_MET = "not met"
    NOT_RECORDED = "not recorded"
    CANNOT_TELL = "cannot tell"


@frozen
class ConditionCheck:
    """One condition of a card and what was found; `because` says what stands against it.

    `value` is what was found in the card's unit, None where it cannot be told in that.
    """

    condition: Condition
    found: ConditionReading | None
    standing: Standing
    because: Reason | None = None
    value: float | None = None

    @property
    def named(self) -> str | Term:
        """What it is called: the card's own words, or the word for light."""
        return name_of(self.condition)


def check_conditions(card: Procedure, found: Sequence[ConditionReading]) -> tuple[ConditionCheck, ...]:
    """Each condition of the card against what was recorded under its name, in the card's unit.

    Where the reading says how well it is known, the limit is guard-banded. A figure without a unit is in the card's.
    The light that a card asks for is a condition named `light`, in lux.
    """
    by_name = {_plain(one.what): one for one in found}
    return tuple(_check(c, by_name.get(_plain(c.what))) for c in conditions_of(card))


def conditions_of(card: Procedure) -> tuple[Condition, ...]:
    """The card's conditions with the light that it asks for; a condition that the card calls light itself stands."""
    named = {_plain(c.what) for c in card.conditions}
    if card.light_lux is None or LIGHT in named:
        return card.conditions
    return (*card.conditions, Condition(LIGHT, card.light_lux, None, "lux"))


def name_of(condition: Condition) -> str | Term:
    """What a condition is called: the card's own words, or the word for light."""
    return Term(LIGHT) if condition.what == LIGHT else condition.what


def _check(condition: Condition, found: ConditionReading | None) -> ConditionCheck:
    what = name_of(condition)
    if found is None:
        return ConditionCheck(condition, None, Standing.NOT_RECORDED, because("condition-not-recorded", what=what))
    if condition.low is None and condition.high is None:
        return ConditionCheck(condition, found, Standing.MET, None, found.value)
    unit = found.unit or condition.unit
    value, u = (converted(x, unit, condition.unit or unit, d) for x, d in ((found.value, False), (found.u, True)))
    if value is None or u is None:
        other = because("condition-other-unit", what=what, asked=condition.unit, recorded=found.unit)
        return ConditionCheck(condition, found, Standing.CANNOT_TELL, other)
    low = -math.inf if condition.low is None else condition.low
    high = math.inf if condition.high is None else condition.high
    tested = decide(value, u, low, high)
    if tested.verdict is Verdict.ACCEPT:
        return ConditionCheck(condition, found, Standing.MET, None, value)
    below = condition.high is None or (condition.low is not None and value - low < high - value)
    limit = _figure(low if below else high)
    if tested.verdict is Verdict.REJECT:
        against = because(
            "condition-below" if below else "condition-above", what=what, limit=limit, unit=condition.unit
        )
        return ConditionCheck(condition, found, Standing.NOT_MET, against, value)
    near = because("condition-too-near-limit", what=what, limit=limit, unit=condition.unit)
    return ConditionCheck(condition, found, Standing.CANNOT_TELL, near, value)


def _figure(value: float) -> Number:
    """A figure of a card with as many digits as it has, six at most."""
    return Number(value, next((n for n in range(6) if math.isclose(value, round(value, n), rel_tol=1e-9)), 6))


def _plain(words: str) -> str:
    return " ".join(words.casefold().split())

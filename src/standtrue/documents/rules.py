"""Rules: which events call for which calibrations. Their form and their model."""

from __future__ import annotations

from typing import Annotated, cast

from pydantic import Field

from standtrue.documents.fields import Given, Names, PlainText, TradeText
from standtrue.documents.leaves import LONGEST_NAME, Context, Leaf, choice, text, words
from standtrue.documents.parts import SENSOR_KIND, SIDE, DocumentForm, Form, Kind, side_of, table_of
from standtrue.model.rules import EVENTS, WHERES, Calibrate, How, Rule, Rules, Where
from standtrue.needs.words import event_called

_ANY_EVENT = text(least=1, most=LONGEST_NAME, name=True)


def _event(value: object, context: Context) -> str:
    """What happened, in anybody's words: a known event by its own name, whatever the case, spelling and plural."""
    return event_called(_ANY_EVENT.parse(value, context))


EVENT = Leaf(_event, {"type": "string", "minLength": 1, "examples": list(EVENTS)}, "")
WHERE = choice(WHERES)
HOW = choice(("required", "conditional"))


class CalibrateForm(Form):
    sensor: Annotated[str, SENSOR_KIND]
    side: Annotated[str, SIDE] | None = None


class RuleForm(Form):
    event: Annotated[tuple[str, ...], words(EVENT, least=1)]
    where: Annotated[str, WHERE] | None = None
    part: TradeText | None = None
    vehicles: Names = ("*",)
    calibrate: tuple[Annotated[CalibrateForm, table_of("sensor")], ...] = Field(min_length=1)
    how: Annotated[str, HOW]
    because: Given
    before: Names = ()
    source: PlainText = ""


class RulesForm(DocumentForm):
    rules: tuple[RuleForm, ...] = ()


def to_rules(form: RulesForm) -> Rules:
    """A set of rules."""
    rules = tuple(
        Rule(
            event=event,
            calibrate=tuple(Calibrate(c.sensor, side_of(c.side)) for c in rule.calibrate),
            how=cast(How, rule.how),
            because=rule.because,
            where=cast("Where | None", rule.where),
            part=rule.part,
            vehicles=rule.vehicles,
            before=rule.before,
            source=rule.source,
        )
        for rule in form.rules
        for event in rule.event
    )
    return Rules(form.name, rules, form.demonstration)


KIND = Kind("rules", RulesForm)

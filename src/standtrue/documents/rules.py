"""Rules: which events call for which calibrations. Their form and their model."""

from __future__ import annotations

from typing import Annotated, cast

from pydantic import Field

from standtrue.documents.fields import Given, Names, PlainText, TradeText
from standtrue.documents.leaves import choice
from standtrue.documents.parts import SENSOR_KIND, SIDE, DocumentForm, Form, Kind, side_of, table_of
from standtrue.model.rules import EVENTS, WHERES, Calibrate, How, Rule, Rules, Where

EVENT = choice(EVENTS)
WHERE = choice(WHERES)
HOW = choice(("required", "conditional"))


class CalibrateForm(Form):
    sensor: Annotated[str, SENSOR_KIND]
    side: Annotated[str, SIDE] | None = None


class RuleForm(Form):
    event: Annotated[str, EVENT]
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
            event=rule.event,
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
    )
    return Rules(form.name, rules, form.demonstration)


KIND = Kind("rules", RulesForm)

"""The forms of rules, jobs, the car mix and studies."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from standtrue.documents.faults import RefusedError
from standtrue.documents.fields import (
    Context,
    Day,
    DurationRange,
    Flag,
    Leaf,
    Name,
    Names,
    NotNegative,
    Text,
    TradeText,
    Word,
    Written,
    choice,
)
from standtrue.documents.forms.base import Document, Form, Shorthand, table_of
from standtrue.documents.forms.procedure import WHEELS_ON, Amount, Supports, ZoneForm
from standtrue.documents.forms.vehicle import SENSOR_KIND, SIDE
from standtrue.model.rules import EVENTS, WHERES

EVENT = choice(EVENTS)
WHERE = choice(WHERES)
HOW = choice(("required", "conditional"))
BLOCKS = choice(("drive", "lift", "all"))
WHEN = choice(("before", "after"))
VERDICT = choice(("keep", "drop"))


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
    because: Word
    before: Names = ()
    source: Text = ""


class RulesForm(Document):
    rules: tuple[RuleForm, ...] = ()


class EventForm(Form):
    event: Annotated[str, EVENT]
    where: Annotated[str, WHERE] | None = None
    part: TradeText | None = None
    note: Text = ""


class WorkForm(Form):
    name: Name
    minutes: DurationRange
    supports: Supports = ("floor",)
    skills: Names = ()
    equipment: Names = ()
    wheels_on: Annotated[str, WHEELS_ON] | None = None
    zones: tuple[ZoneForm, ...] = ()
    after: Names = ()
    wait: DurationRange = (0.0, 0.0)
    blocks: Annotated[str, BLOCKS] | None = None


class FittedForm(Form):
    kind: Annotated[str, SENSOR_KIND]
    side: Annotated[str, SIDE] | None = None


FittedList = tuple[Annotated[FittedForm, table_of("kind")], ...]


class JobVehicleForm(Form):
    """The car of a job; the lists of sensors may stand here or beside it."""

    name: Name
    fitted: FittedList = ()
    not_fitted: FittedList = ()


class ScanForm(Form):
    when: Annotated[str, WHEN]
    findings: Names = ()


def _scans(value: object) -> object:
    """`scans = { before = ["…"], after = ["…"] }` is a list of two scans."""
    if isinstance(value, dict) and "when" not in value:
        return [{"when": when, "findings": findings} for when, findings in value.items()]
    return value


class JobReadingForm(Form):
    what: TradeText
    value: Amount
    unit: Text = ""
    u: NotNegative | None = None


class DecisionForm(Form):
    procedure: Word
    verdict: Annotated[str, VERDICT] | None = None
    keep: Flag | None = None
    drop: Flag | None = None
    because: Word
    by: Word


def _drivable(value: object, _context: Context) -> str:
    """`yes`, `no`, or the name of the work after which it can be driven."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if not isinstance(value, str) or not value.strip():
        raise RefusedError(
            "wrong-type", "neither yes nor no nor the name of a work", 'Write "yes", "no", or the work\'s name.'
        )
    stripped = value.strip()
    return stripped.lower() if stripped.lower() in ("yes", "no") else stripped.removeprefix("after ").strip()


class JobForm(Document):
    site: Word
    vehicle: Annotated[JobVehicleForm, table_of("name")]
    fitted: FittedList = ()
    not_fitted: FittedList = ()
    order_number: Written = ""
    vin: Written = ""
    plate: Written = ""
    odometer: Written = ""
    payer: Text = ""
    events: tuple[Annotated[EventForm, table_of("event")], ...] = ()
    work: tuple[WorkForm, ...] = ()
    drivable: Annotated[str, Leaf(_drivable, {"type": ["string", "boolean"]}, "yes")] = "yes"
    scans: Annotated[tuple[ScanForm, ...], Shorthand(_scans, {"type": "object"})] = ()
    readings: tuple[JobReadingForm, ...] = ()
    arrives: Day = ""
    promised: Day = ""
    decisions: tuple[DecisionForm, ...] = ()


class MixEntryForm(Form):
    name: Word
    share: NotNegative


class MixForm(Document):
    vehicles: tuple[MixEntryForm, ...] = Field(min_length=1)


class RepairOrderForm(Form):
    name: Text = ""
    per_year: NotNegative
    events: tuple[Annotated[EventForm, table_of("event")], ...] = ()
    procedures: Names = ()


class SearchForm(Form):
    types: Names = ()


class StudyForm(Document):
    sites: tuple[Word, ...] = Field(min_length=1)
    bays: Names = ()
    mix: Word
    work: tuple[RepairOrderForm, ...] = Field(min_length=1)
    conditional: Flag = True
    search: SearchForm = SearchForm()

"""A job, which is a repair order: its form, what must hold in it, and the model of it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Annotated, Any, cast

from pydantic import Field

from standtrue.documents.faults import RefusedError, choice_remedy
from standtrue.documents.fields import (
    DurationRange,
    Flag,
    Given,
    Name,
    Names,
    NotNegative,
    PlainText,
    Said,
    TradeText,
    Word,
    Written,
)
from standtrue.documents.hours import DayOrMoment, Moment
from standtrue.documents.leaves import Context, Leaf, choice
from standtrue.documents.parts import (
    SENSOR_KIND,
    SIDE,
    WHEELS_ON,
    DocumentForm,
    Form,
    Kind,
    Path,
    References,
    Shorthand,
    Supports,
    Tell,
    names_once,
    side_of,
    supports_of,
    table_of,
)
from standtrue.documents.procedure import Amount
from standtrue.documents.progress import (
    DoneForm,
    StandsForm,
    check_stands,
    check_times,
    done_elsewhere,
    done_of,
    stands_of,
)
from standtrue.documents.rules import EVENT, WHERE
from standtrue.documents.zones import ZoneForm, check_zones, zones_of
from standtrue.model.job import Decision, Event, FittedSensor, Job, PlannedWith, Reading, Scan, Work
from standtrue.model.reason import Text, because
from standtrue.model.rules import Where
from standtrue.model.stages import STAGES, Stage

BLOCKS = choice(("drive", "lift", "all"))
WHEN = choice(("before", "after"))
STAGE = choice(STAGES)
VERDICT = choice(("keep", "drop"))


class EventForm(Form):
    event: Annotated[str, EVENT]
    where: Annotated[str, WHERE] | None = None
    part: TradeText | None = None
    note: Said = Field(default_factory=Text)
    at: Moment = ""


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
    stage: Annotated[str, STAGE] | None = None


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
    unit: PlainText = ""
    u: NotNegative | None = None


class DecisionForm(Form):
    procedure: Word | None = None
    event: Annotated[str, EVENT] | None = None
    verdict: Annotated[str, VERDICT] | None = None
    keep: Flag | None = None
    drop: Flag | None = None
    because: Given
    by: Word
    on: DayOrMoment = ""


class PlannedWithForm(Form):
    card: Word
    edition: PlainText = ""
    digest: PlainText = ""


def _drivable(value: object, _context: Context) -> str:
    """`yes`, `no`, or the name of the work after which it can be driven."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if not isinstance(value, str) or not value.strip():
        raise RefusedError("wrong-type", because("neither-yes-nor-no"), because("write-yes-no-or-work"))
    stripped = value.strip()
    return stripped.lower() if stripped.lower() in ("yes", "no") else stripped.removeprefix("after ").strip()


class JobForm(DocumentForm):
    site: Word
    vehicle: Annotated[JobVehicleForm, table_of("name")]
    fitted: FittedList = ()
    not_fitted: FittedList = ()
    order_number: Written = ""
    vin: Written = ""
    plate: Written = ""
    odometer: Written = ""
    payer: PlainText = ""
    events: tuple[Annotated[EventForm, table_of("event")], ...] = ()
    work: tuple[WorkForm, ...] = ()
    drivable: Annotated[str, Leaf(_drivable, {"type": ["string", "boolean"]}, "yes")] = "yes"
    scans: Annotated[tuple[ScanForm, ...], Shorthand(_scans, {"type": "object"})] = ()
    readings: tuple[JobReadingForm, ...] = ()
    arrives: DayOrMoment = ""
    promised: DayOrMoment = ""
    decisions: tuple[DecisionForm, ...] = ()
    done: tuple[DoneForm, ...] = ()
    stands: StandsForm | None = None
    planned_with: tuple[PlannedWithForm, ...] = ()
    put_aside: Said = Field(default_factory=Text)
    left: DayOrMoment = ""


# Checks


def check_job(form: JobForm, tell: Tell) -> None:
    """A repair order."""
    names_once(form.work, ("work",), tell)
    names = [work.name for work in form.work]
    for i, work in enumerate(form.work):
        check_zones(work.zones, ("work", i, "zones"), tell)
        if work.wait[1] > 0.0 and work.blocks is None:
            tell(
                ("work", i, "blocks"), "missing-field", because("wait-without-blocks"), because("write-what-it-blocks")
            )
        if work.name and work.name in work.after:
            tell(("work", i, "after"), "value-impossible", because("work-after-itself"), because("leave-own-name-out"))
    if form.drivable not in ("yes", "no", *names) and "" not in names:
        remedy = choice_remedy(form.drivable, ("yes", "no", *names))
        tell(("drivable",), "unknown-reference", because("neither-yes-nor-no"), remedy)
    check_times(form.arrives, form.promised, form.done, tell)
    check_stands(form.stands, tell)
    for i, decision in enumerate(form.decisions):
        _check_named(decision, form, ("decisions", i), tell)
        votes = {decision.verdict, "keep" if decision.keep else None, "drop" if decision.drop else None} - {None, ""}
        if len(votes) != 1 and decision.verdict != "":
            code = "fields-conflict" if votes else "missing-field"
            what, remedy = because("decision-without-one-verdict"), because("write-verdict")
            tell(("decisions", i, "verdict"), code, what, remedy)
    both = {(f.kind, f.side) for f in (*form.fitted, *form.vehicle.fitted)}
    for i, sensor in enumerate(form.not_fitted):
        if sensor.kind and (sensor.kind, sensor.side) in both:
            what, remedy = because("sensor-listed-as-fitted-too"), because("keep-in-one-list")
            tell(("not_fitted", i), "fields-conflict", what, remedy)


def _check_named(decision: DecisionForm, form: JobForm, path: Path, tell: Tell) -> None:
    """A decision names a card or a sensor, or an event of this order; one of them."""
    given = [way for way in ("procedure", "event") if getattr(decision, way) is not None]
    if len(given) != 1:
        code, what = (
            ("fields-conflict", "decision-names-both") if given else ("missing-field", "decision-names-neither")
        )
        tell((*path, "procedure"), code, because(what), because("name-card-sensor-or-event"))
    events = [event.event for event in form.events]
    if decision.event and decision.event not in events and "" not in events:
        remedy = choice_remedy(decision.event, events)
        tell((*path, "event"), "unknown-reference", because("decision-on-event-not-on-order"), remedy)


def _references(content: dict[str, Any]) -> References:
    car = content.get("vehicle")
    yield ("site",), "site", content.get("site")
    if isinstance(car, dict):
        yield ("vehicle", "name"), "vehicle", car.get("name")
    else:
        yield ("vehicle",), "vehicle", car
    yield from done_elsewhere(content)


# To the model


def event_of(form: EventForm) -> Event:
    """An event as the model has it."""
    return Event(form.event, cast("Where | None", form.where), form.part, form.note, form.at)


def to_job(form: JobForm) -> Job:
    """A repair order."""
    return Job(
        name=form.name,
        site=form.site,
        vehicle=form.vehicle.name,
        fitted=_fitted([*form.vehicle.fitted, *form.fitted]),
        not_fitted=_fitted([*form.vehicle.not_fitted, *form.not_fitted]),
        order_number=form.order_number,
        vin=form.vin,
        plate=form.plate,
        odometer=form.odometer,
        payer=form.payer,
        events=tuple(event_of(e) for e in form.events),
        work=tuple(_work(work) for work in form.work),
        drivable=form.drivable,
        scans=tuple(Scan("before" if scan.when == "before" else "after", scan.findings) for scan in form.scans),
        readings=tuple(Reading(r.what, r.value[0], r.unit or r.value[1], r.u) for r in form.readings),
        arrives=form.arrives,
        promised=form.promised,
        decisions=tuple(
            Decision(
                d.procedure or "",
                "keep" if d.verdict == "keep" or d.keep else "drop",
                d.because,
                d.by,
                d.on,
                d.event or "",
            )
            for d in form.decisions
        ),
        demonstration=form.demonstration,
        done=done_of(form.done),
        stands=stands_of(form.stands),
        planned_with=tuple(PlannedWith(one.card, one.edition, one.digest) for one in form.planned_with),
        put_aside=form.put_aside,
        left=form.left,
    )


def _fitted(forms: Iterable[FittedForm]) -> tuple[FittedSensor, ...]:
    return tuple(FittedSensor(form.kind, side_of(form.side)) for form in forms)


def _work(form: WorkForm) -> Work:
    blocks = form.blocks
    return Work(
        name=form.name,
        minutes_s=form.minutes,
        supports=supports_of(form.supports),
        skills=form.skills,
        equipment=form.equipment,
        wheels_on=form.wheels_on,
        zones=zones_of(form.zones),
        after=form.after,
        wait_s=form.wait,
        blocks="drive" if blocks == "drive" else "lift" if blocks == "lift" else "all" if blocks == "all" else None,
        stage=cast("Stage | None", form.stage),
    )


KIND = Kind("job", JobForm, check_job, references=_references)

"""A card: what the vehicle maker's procedure asks. Its form, what must hold in it, and the model of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import chain
from typing import Annotated, Any, cast

from attrs import evolve

from standtrue.documents.card_fields import fields_of
from standtrue.documents.faults import RefusedError, choice_remedy
from standtrue.documents.fields import (
    DistanceRange,
    DurationRange,
    Flag,
    Given,
    Lux,
    Name,
    Names,
    PlainText,
    SizeRange,
    SpeedRange,
    TradeText,
)
from standtrue.documents.leaves import Context, Leaf, choice
from standtrue.documents.parts import (
    SENSOR_KIND,
    WHEELS_ON,
    DocumentForm,
    Form,
    Kind,
    Path,
    People,
    References,
    Supports,
    Tell,
    names_once,
    side_of,
    supports_of,
    table_of,
)
from standtrue.documents.quantities import finite_number, parse_angle, parse_length, split_quantity
from standtrue.documents.source import SourceForm, content_digest, source_of
from standtrue.documents.zones import (
    TargetForm,
    ZoneForm,
    check_targets,
    check_zones,
    mirror,
    targets_of,
    zones_of,
)
from standtrue.model.procedure import (
    METHODS,
    Cause,
    Condition,
    DriveCycle,
    FloorLevel,
    Method,
    Minutes,
    Procedure,
    Variant,
)
from standtrue.model.reason import because
from standtrue.model.vehicle import WHEELS

METHOD = choice(METHODS)
CARD_SIDE = choice(("left", "right", "each"), also={"both": "each"})


class CardSensorForm(Form):
    kind: Annotated[str, SENSOR_KIND]
    side: Annotated[str, CARD_SIDE] | None = None


def _amount(value: object, _context: Context) -> tuple[float, str]:
    """A number, or a number with any unit behind it: the two of them."""
    if isinstance(value, str):
        return split_quantity(value)
    return (float(finite_number(value)), "")


Amount = Annotated[tuple[float, str], Leaf(_amount, {"type": ["number", "string"]}, (float("nan"), ""))]


class ConditionForm(Form):
    what: TradeText
    low: Amount | None = None
    high: Amount | None = None
    unit: PlainText = ""


class CauseForm(Form):
    says: Given
    code: PlainText = ""


class DriveForm(Form):
    speed: SpeedRange | None = None
    distance: DistanceRange | None = None
    minutes: DurationRange | None = None
    road: PlainText = ""
    weather: PlainText = ""
    people: People = 1


class MinutesForm(Form):
    set_up: DurationRange = (0.0, 0.0)
    run: DurationRange = (0.0, 0.0)
    put_away: DurationRange = (0.0, 0.0)


MinutesGiven = Annotated[MinutesForm, table_of("run", {"type": ["number", "string", "array"]})]


def _within(value: object, context: Context) -> tuple[float | None, float | None]:
    """How level: a length over the whole, or an angle: metres and radians, one of them None."""
    if isinstance(value, str):
        try:
            return (None, _not_below_zero(parse_angle(value)))
        except RefusedError as refused:
            if refused.code == "value-impossible":
                raise
        context.quoted_lengths = True
    else:
        context.bare_lengths = True
    return (_not_below_zero(parse_length(value, context.units or "m")), None)


def _not_below_zero(value: float) -> float:
    if value < 0:
        raise RefusedError("value-impossible", because("value-below-zero"), because("write-greatest-difference"))
    return value


ALL_WHEELS = "wheels"
"""What stands for the four of them where level floor is asked for."""


class FloorLevelForm(Form):
    within: Annotated[tuple[float | None, float | None], Leaf(_within, {"type": ["number", "string"]}, (None, None))]
    over: Names = ()


class VariantForm(Form):
    name: Name | None = None
    zones: tuple[ZoneForm, ...] = ()
    targets: tuple[TargetForm, ...] = ()
    supports: Supports | None = None
    lift_height: SizeRange | None = None
    minutes: MinutesGiven | None = None
    equipment: Names | None = None


class ProcedureForm(DocumentForm):
    sensor: Annotated[CardSensorForm, table_of("kind")]
    vehicles: Names = ("*",)
    method: Annotated[str, METHOD]
    source: SourceForm
    supports: Supports = ("floor",)
    lift_height: SizeRange | None = None
    wheels_hanging: Flag | None = None
    wheels_on: Annotated[str, WHEELS_ON] | None = None
    minutes: MinutesGiven = MinutesForm.model_construct()
    people: People = 1
    skills: Names = ()
    equipment: Names = ()
    after: Names = ()
    light: Lux | None = None
    floor_level: Annotated[FloorLevelForm, table_of("within", {"type": ["number", "string"]})] | None = None
    conditions: tuple[ConditionForm, ...] = ()
    causes: tuple[CauseForm, ...] = ()
    drive: DriveForm | None = None
    zones: tuple[ZoneForm, ...] = ()
    targets: tuple[TargetForm, ...] = ()
    variants: tuple[VariantForm, ...] = ()


# Checks


def check_procedure(form: ProcedureForm, tell: Tell) -> None:
    """A card."""
    check_zones(form.zones, ("zones",), tell)
    check_targets(form.targets, ("targets",), tell)
    names_once(form.variants, ("variants",), tell)
    for i, variant in enumerate(form.variants):
        check_zones(variant.zones, ("variants", i, "zones"), tell)
        check_targets(variant.targets, ("variants", i, "targets"), tell)
    for i, condition in enumerate(form.conditions):
        _condition(condition, ("conditions", i), tell)
    if form.floor_level is not None:
        _check_over(form, form.floor_level.over, tell)
    if form.source.supersedes and form.source.supersedes == form.name:
        tell(("source", "supersedes"), "value-impossible", because("supersedes-itself"), because("name-older-card"))
    if form.drive is not None and "drive" not in form.method and form.method:
        tell(("drive",), "fields-conflict", because("method-without-drive"), because("write-method-with-drive"))


def _check_over(form: ProcedureForm, over: Iterable[str], tell: Tell) -> None:
    """Level floor is asked for over what the card names: one of its zones, or a wheel."""
    every = (*form.zones, *chain.from_iterable(variant.zones for variant in form.variants))
    zones = [zone.name for zone in every if zone.name]
    known = (*dict.fromkeys(zones), ALL_WHEELS, *WHEELS)
    for i, name in enumerate(over):
        if name and name not in known:
            what, remedy = because("level-over-nothing-known", name=name), choice_remedy(name, known)
            tell(("floor_level", "over", i), "unknown-reference", what, remedy)


def _condition(form: ConditionForm, path: Path, tell: Tell) -> None:
    if form.low is None or form.high is None:
        return
    if form.low[1] and form.high[1] and form.low[1] != form.high[1]:
        what, remedy = because("units-differ"), because("write-both-in-one-unit")
        tell((*path, "high"), "fields-conflict", what, remedy)
    elif form.low[0] > form.high[0]:
        tell((*path, "high"), "range-reversed", because("low-above-high"), because("write-lower-as-low"))


# To the model


NOTHING: Mapping[str, Any] = {}


def to_procedures(
    form: ProcedureForm,
    content: Mapping[str, Any] = NOTHING,
    older: tuple[str, ...] = (),
    newer: tuple[str, ...] = (),
) -> tuple[Procedure, ...]:
    """A card: one procedure, or two, left and right, where it was written for each side.

    `content` is the document as written; without it nobody can tell what was verified, nor compare it. `older` are the
    editions before it, `newer` the cards that supersede it.
    """
    digest = content_digest(content) if content else ""
    card = Procedure(
        name=form.name,
        sensor=form.sensor.kind,
        method=cast(Method, form.method),
        source=source_of(form.source, form.demonstration, digest, older, newer),
        side=None if form.sensor.side == "each" else side_of(form.sensor.side),
        vehicles=form.vehicles,
        supports=supports_of(form.supports),
        lift_height_m=form.lift_height,
        wheels_hanging=form.wheels_hanging,
        wheels_on=form.wheels_on,
        minutes=_minutes(form.minutes),
        people=form.people,
        skills=form.skills,
        equipment=form.equipment,
        after=form.after,
        light_lux=form.light,
        floor_level=_floor_level(form.floor_level),
        conditions=tuple(_to_condition(condition) for condition in form.conditions),
        causes=tuple(Cause(one.says, one.code) for one in form.causes),
        drive=_drive(form.drive),
        zones=zones_of(form.zones),
        targets=targets_of(form.targets),
        variants=tuple(_variant(variant, i) for i, variant in enumerate(form.variants, 1)),
        demonstration=form.demonstration or form.source.status == "demonstration",
        digest=digest,
        fields=fields_of(form, content) if content else (),
    )
    if form.sensor.side != "each":
        return (card,)
    return (evolve(card, side="left"), evolve(mirror(card), side="right"))


def _minutes(form: MinutesForm) -> Minutes:
    return Minutes(form.set_up, form.run, form.put_away)


def _floor_level(form: FloorLevelForm | None) -> FloorLevel | None:
    if form is None:
        return None
    each = (WHEELS if name == ALL_WHEELS else (name,) for name in form.over)
    return FloorLevel(form.within[0], form.within[1], tuple(dict.fromkeys(chain.from_iterable(each))))


def _to_condition(form: ConditionForm) -> Condition:
    low, high = form.low, form.high
    unit = form.unit or (low[1] if low else "") or (high[1] if high else "")
    return Condition(form.what, low and low[0], high and high[0], unit)


def _drive(form: DriveForm | None) -> DriveCycle | None:
    return (
        None
        if form is None
        else DriveCycle(form.speed, form.distance, form.minutes, form.road, form.weather, form.people)
    )


def _variant(form: VariantForm, number: int) -> Variant:
    return Variant(
        name=form.name or f"variant {number}",
        zones=zones_of(form.zones),
        targets=targets_of(form.targets),
        supports=None if form.supports is None else supports_of(form.supports),
        lift_height_m=form.lift_height,
        minutes=None if form.minutes is None else _minutes(form.minutes),
        equipment=form.equipment,
    )


def _references(content: dict[str, Any]) -> References:
    source = content.get("source")
    if isinstance(source, dict):
        yield ("source", "supersedes"), "procedure", source.get("supersedes")


KIND = Kind("procedure", ProcedureForm, check_procedure, references=_references)

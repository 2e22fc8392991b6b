"""The form of a card: what the vehicle maker's procedure asks."""

from __future__ import annotations

from typing import Annotated, ClassVar

from standtrue.documents.faults import RefusedError
from standtrue.documents.fields import (
    XY,
    XYZ,
    Angle,
    Context,
    Day,
    DistanceRange,
    DurationRange,
    Flag,
    Leaf,
    Length,
    Lux,
    Name,
    Names,
    PositiveAngle,
    SectorShape,
    Size,
    SizeRange,
    SpeedRange,
    Text,
    TradeText,
    WidthHeight,
    Word,
    choice,
    whole,
    words,
)
from standtrue.documents.forms.base import Document, Form, Shaped, table_of
from standtrue.documents.forms.vehicle import SENSOR_KIND
from standtrue.documents.quantities import finite_number, parse_angle, parse_length, split_quantity
from standtrue.model.basics import SUPPORT_CLASSES
from standtrue.model.procedure import ANCHORS, METHODS

LAYER = choice(("stand", "walk", "clear", "metal-free", "plain"))
ANCHOR = choice(ANCHORS)
METHOD = choice(METHODS)
WHEELS_ON = choice(("plates",))
STATUS = choice(("demonstration", "transcribed", "verified"))
LINE = choice(("thrust line", "centerline"))
CARD_SIDE = choice(("left", "right", "each"), also={"both": "each"})
SUPPORTS = words(choice(SUPPORT_CLASSES), least=1)

Supports = Annotated[tuple[str, ...], SUPPORTS]
People = Annotated[int, whole(0, 50)]


class SourceForm(Form):
    title: Word
    edition: Text = ""
    read_on: Day = ""
    status: Annotated[str, STATUS] | None = None


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
    unit: Text = ""


class DriveForm(Form):
    speed: SpeedRange | None = None
    distance: DistanceRange | None = None
    minutes: DurationRange | None = None
    road: Text = ""
    weather: Text = ""
    people: People = 1


class ZoneForm(Shaped):
    ways: ClassVar[tuple[str, ...]] = ("outline", "box", "circle", "sector")

    name: Name
    needs: Annotated[str, LAYER]
    anchor: Annotated[str, ANCHOR]
    sector: SectorShape | None = None
    bottom: Length = 0.0
    top: Length
    turned: Flag = False
    from_floor: Flag = False


class ToleranceForm(Form):
    along: Size | None = None
    across: Size | None = None
    height: Size | None = None
    turn: PositiveAngle | None = None
    lean: PositiveAngle | None = None


class PositionForm(Form):
    at: XYZ
    facing: Angle | None = None


class TargetForm(Form):
    name: Name
    equipment: Word | None = None
    size: WidthHeight | None = None
    anchor: Annotated[str, ANCHOR]
    at: XYZ
    facing: Angle
    line: Annotated[str, LINE] = "thrust line"
    tolerance: ToleranceForm = ToleranceForm.model_construct()
    positions: tuple[Annotated[PositionForm, table_of("at", {"type": "array"})], ...] = ()
    swept: tuple[XY, ...] = ()
    turned: Flag = False
    from_floor: Flag = False


class MinutesForm(Form):
    set_up: DurationRange = (0.0, 0.0)
    run: DurationRange = (0.0, 0.0)
    put_away: DurationRange = (0.0, 0.0)


Minutes = Annotated[MinutesForm, table_of("run", {"type": ["number", "string", "array"]})]


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
        raise RefusedError(
            "value-impossible", "the value must not be below zero", "Write the greatest difference allowed."
        )
    return value


class FloorLevelForm(Form):
    within: Annotated[tuple[float | None, float | None], Leaf(_within, {"type": ["number", "string"]}, (None, None))]
    over: Names = ()


class VariantForm(Form):
    name: Name | None = None
    zones: tuple[ZoneForm, ...] = ()
    targets: tuple[TargetForm, ...] = ()
    supports: Supports | None = None
    lift_height: SizeRange | None = None
    minutes: Minutes | None = None
    equipment: Names | None = None


class ProcedureForm(Document):
    sensor: Annotated[CardSensorForm, table_of("kind")]
    vehicles: Names = ("*",)
    method: Annotated[str, METHOD]
    source: SourceForm
    supports: Supports = ("floor",)
    lift_height: SizeRange | None = None
    wheels_hanging: Flag | None = None
    wheels_on: Annotated[str, WHEELS_ON] | None = None
    minutes: Minutes = MinutesForm.model_construct()
    people: People = 1
    skills: Names = ()
    equipment: Names = ()
    after: Names = ()
    light: Lux | None = None
    floor_level: Annotated[FloorLevelForm, table_of("within", {"type": ["number", "string"]})] | None = None
    conditions: tuple[ConditionForm, ...] = ()
    drive: DriveForm | None = None
    zones: tuple[ZoneForm, ...] = ()
    targets: tuple[TargetForm, ...] = ()
    variants: tuple[VariantForm, ...] = ()

"""The forms of surveys and set-ups."""

from __future__ import annotations

from typing import Annotated

from attrs import frozen
from pydantic import Field

from standtrue.documents.faults import RefusedError
from standtrue.documents.fields import (
    XY,
    Angle,
    Context,
    Flag,
    Leaf,
    Length,
    Name,
    Names,
    PositiveAngle,
    Size,
    Text,
    TradeText,
    Word,
    choice,
    plain_number,
    words,
)
from standtrue.documents.forms.base import Document, Form, Shorthand
from standtrue.documents.forms.procedure import Amount
from standtrue.documents.quantities import parse_angle, parse_length
from standtrue.model.setup import ALIGNMENT_READINGS, LINES, MEASURES

MEASURE = choice(MEASURES, also={"straight distance": "distance", "inclination": "lean"})
LINE_NAMES = words(choice(tuple(LINES)))
ALIGNMENT = choice(
    ALIGNMENT_READINGS,
    also={
        **{f"castor {side}": f"caster {side}" for side in ("left", "right")},
        **{f"KPI {side}": f"SAI {side}" for side in ("left", "right")},
        **{f"setback {end}": f"set-back {end}" for end in ("front", "rear")},
    },
)


@frozen
class Either:
    """A value that is a length or an angle, as what is read will say: metres, radians; None where it cannot be one."""

    length_m: float | None
    angle_rad: float | None


def _either(value: object, context: Context) -> Either:
    length = angle = refused = None
    try:
        length = parse_length(value, context.units or "m")
    except RefusedError as error:
        refused = error
    try:
        angle = parse_angle(value)
    except RefusedError:
        if refused is not None:
            raise refused from None
    if length is not None:
        if isinstance(value, str):
            context.quoted_lengths = True
        elif angle is None:
            context.bare_lengths = True
    return Either(length, angle)


BROKEN_EITHER = Either(float("nan"), float("nan"))
LengthOrAngle = Annotated[
    Either,
    Leaf(
        _either,
        {"type": ["number", "string"], "description": "A length or an angle, as `what` says."},
        BROKEN_EITHER,
    ),
]


class SurveyPointForm(Form):
    at: XY
    height: Length
    u: Size | None = None


def _survey_point(value: object) -> object:
    """`[x, y, height]`, or `[x, y, height, u]`."""
    if isinstance(value, list) and len(value) in (3, 4):
        return {"at": value[:2], "height": value[2], **({"u": value[3]} if len(value) == 4 else {})}
    return value


_ROW = {"type": "array", "items": {"type": ["number", "string"]}, "minItems": 3, "maxItems": 4}


class SurveyLineForm(Form):
    """Heights read every 12 inches."""

    name: Name
    heights: tuple[Length, ...] = Field(min_length=3)


class SurveyForm(Document):
    site: Word
    state: dict[Name, Word] = Field(default_factory=dict)
    instrument: Text = ""
    u: Size = 0.0
    points: tuple[Annotated[SurveyPointForm, Shorthand(_survey_point, _ROW)], ...] = Field(min_length=3)
    lines: tuple[SurveyLineForm, ...] = ()


class StanceForm(Form):
    at: XY
    heading: Angle
    on: Word = "floor"
    height: Size = 0.0


class InstrumentForm(Form):
    what: Annotated[str, MEASURE]
    u: LengthOrAngle
    plumbed: Flag = False
    effort: Annotated[float, plain_number(0.0, 1e6, above=True)] = 1.0
    lines: Annotated[tuple[str, ...], LINE_NAMES] = ("thrust line",)


class SetupReadingForm(Form):
    what: Annotated[str, MEASURE]
    start: Names = Field((), alias="from")
    end: Names = Field(alias="to")
    value: LengthOrAngle
    u: LengthOrAngle | None = None
    plumbed: Flag | None = None


class AlignmentReadingForm(Form):
    what: Annotated[str, ALIGNMENT]
    value: Angle
    u: PositiveAngle = 0.0


class ConditionReadingForm(Form):
    what: TradeText
    value: Amount
    unit: Text = ""


class SetupForm(Document):
    job: Word
    procedure: Word
    variant: Word | None = None
    stance: StanceForm
    instruments: tuple[InstrumentForm, ...] = ()
    readings: tuple[SetupReadingForm, ...] = ()
    alignment: tuple[AlignmentReadingForm, ...] = ()
    conditions: tuple[ConditionReadingForm, ...] = ()

"""The form of a vehicle."""

from __future__ import annotations

from typing import Annotated, ClassVar

from pydantic import Field

from standtrue.documents.faults import RefusedError
from standtrue.documents.fields import (
    XY,
    XYZ,
    Angle,
    AngleRange,
    Context,
    Fraction,
    Leaf,
    Length,
    LengthRange,
    Mass,
    Name,
    PositiveLength,
    Size,
    Text,
    Word,
    choice,
    whole,
)
from standtrue.documents.forms.base import Document, Form, Shaped
from standtrue.documents.quantities import type_name
from standtrue.model.sensor_kinds import OTHER_WORDS, SENSOR_KINDS

SIDE = choice(("left", "right"))
SENSOR_KIND = choice(SENSOR_KINDS, also=OTHER_WORDS)

_YEAR = whole(1900, 2200)


def _years(value: object, context: Context) -> tuple[int, int]:
    """One model year, or the first and the last."""
    pair = value if isinstance(value, list) else [value, value]
    if len(pair) != 2:
        raise RefusedError(
            "wrong-type", f"{type_name(value)} stands where [first, last] is asked", "Write [first, last]."
        )
    first, last = (_YEAR.parse(item, context) for item in pair)
    if first > last:
        raise RefusedError("range-reversed", "the first year is after the last", "Write [first, last].")
    return (first, last)


Years = Annotated[
    tuple[int, int] | None,
    Leaf(
        _years, {"anyOf": [_YEAR.schema, {"type": "array", "items": _YEAR.schema, "minItems": 2, "maxItems": 2}]}, None
    ),
]


class SensorForm(Form):
    kind: Annotated[str, SENSOR_KIND]
    side: Annotated[str, SIDE] | None = None
    at: XYZ | None = None
    facing: Angle = 0.0
    tilt: Angle = 0.0
    option: Word | None = None


class OpenedForm(Form):
    height: PositiveLength
    reach: Size


class VehicleForm(Document, Shaped):
    shape_optional: ClassVar[bool] = True

    maker: Text = ""
    model: Text = ""
    years: Years = None
    trim: Text = ""
    propulsion: Text = ""
    driven_wheels: Text = ""
    length: PositiveLength
    width: PositiveLength
    width_over_mirrors: PositiveLength | None = None
    height: PositiveLength | None = None
    wheelbase: PositiveLength
    front_overhang: PositiveLength | None = None
    track_front: PositiveLength | None = None
    track_rear: PositiveLength | None = None
    tire_width: PositiveLength | None = None
    tire_diameter: PositiveLength | None = None
    ground_clearance: PositiveLength | None = None
    turning_circle: PositiveLength | None = None
    turning_circle_wall: PositiveLength | None = None
    mass: Mass | None = None
    front_axle_share: Fraction | None = None
    lift_points: tuple[XY, ...] = ()
    alignment: dict[Name, AngleRange] = Field(default_factory=dict)
    ride_height: dict[Name, LengthRange] = Field(default_factory=dict)
    hood_open: OpenedForm | None = None
    liftgate_open: OpenedForm | None = None
    mirror_at: Length | None = None
    sensors: tuple[SensorForm, ...] = ()

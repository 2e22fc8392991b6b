"""A vehicle: what its document looks like, what must hold between its dimensions, and the model of it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import Annotated, Any, ClassVar

import shapely
from pydantic import Field

from standtrue.documents.estimate import ESTIMATES, estimate_missing
from standtrue.documents.faults import RefusedError, choice_remedy, wrong_type
from standtrue.documents.fields import (
    XY,
    XYZ,
    Angle,
    AngleRange,
    Fraction,
    LengthRange,
    Mass,
    Name,
    PlainText,
    PositiveLength,
    Size,
    Word,
)
from standtrue.documents.fields import Length as LengthField
from standtrue.documents.leaves import Context, Leaf, whole
from standtrue.documents.parts import SENSOR_KIND, SIDE, DocumentForm, Form, Kind, Shaped, Tell, side_of
from standtrue.model.basics import Range
from standtrue.model.reason import Length, Reason, Ref, because
from standtrue.model.vehicle import Opened, Sensor, Vehicle

_YEAR = whole(1900, 2200)
_YEARS = "[first, last]"


def _years(value: object, context: Context) -> tuple[int, int]:
    """One model year, or the first and the last."""
    pair = value if isinstance(value, list) else [value, value]
    if len(pair) != 2:
        raise wrong_type(value, _YEARS, because("write-form", form=_YEARS))
    first, last = (_YEAR.parse(item, context) for item in pair)
    if first > last:
        raise RefusedError("range-reversed", because("first-year-after-last"), because("write-form", form=_YEARS))
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


OUTLINE_WITHIN_M = 0.02
"""How far an outline drawn from above may be from the car's other dimensions: as well as a body is taped. Common
practice, no source."""


class VehicleForm(DocumentForm, Shaped):
    shape_optional: ClassVar[bool] = True

    maker: PlainText = ""
    model: PlainText = ""
    years: Years = None
    trim: PlainText = ""
    propulsion: PlainText = ""
    driven_wheels: PlainText = ""
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
    hub_offset_front: LengthField | None = None
    hub_offset_rear: LengthField | None = None
    known_to: dict[Name, PositiveLength] = Field(default_factory=dict)
    mass: Mass | None = None
    front_axle_share: Fraction | None = None
    lift_points: tuple[XY, ...] = ()
    alignment: dict[Name, AngleRange] = Field(default_factory=dict)
    ride_height: dict[Name, LengthRange] = Field(default_factory=dict)
    hood_open: OpenedForm | None = None
    liftgate_open: OpenedForm | None = None
    mirror_at: LengthField | None = None
    sensors: tuple[SensorForm, ...] = ()


# Checks


def check_vehicle(form: VehicleForm, tell: Tell) -> None:
    """A car whose dimensions can be together."""

    def impossible(field: str, what: str) -> None:
        tell((field,), "value-impossible", because(what), because("measure-again"))

    car = to_vehicle(form)
    estimated = {estimate.field for estimate in ESTIMATES if estimate.field in car.estimated}
    if form.wheelbase >= form.length:
        impossible("wheelbase", "wheelbase-not-below-length")
    elif "front_overhang" not in estimated and car.rear_x_m > 1e-9:
        impossible("front_overhang", "overhang-beyond-car")
    if form.width >= form.length:
        impossible("width", "car-wider-than-long")
    if car.width_over_mirrors_m < form.width:
        impossible("width_over_mirrors", "mirrors-within-body")
    if car.ground_clearance_m >= car.height_m:
        impossible("height" if "height" not in estimated else "ground_clearance", "car-below-clearance")
    for field, track in (("track_front", car.track_front_m), ("track_rear", car.track_rear_m)):
        if track >= form.width:
            impossible(field, "track-not-below-width")
    if 2 * car.tire_width_m >= form.width:
        impossible("tire_width", "tires-as-wide-as-car")
    if car.tire_diameter_m >= form.wheelbase:
        impossible("tire_diameter", "tires-above-wheelbase")
    _circles(form, car, impossible)
    if differs := tuple(_outline_faults(form, car)):
        what = because("outline-against-sizes", differs=differs)
        tell((form.way,), "value-impossible", what, because("outline-and-sizes", within=Length(OUTLINE_WITHIN_M)))
    known = (*DIMENSIONS, "hub_offset_front", "hub_offset_rear")
    for field in form.known_to:
        if field not in known:
            tell(("known_to", field), "unknown-field", because("field-unknown"), choice_remedy(field, known))


def _outline_faults(form: VehicleForm, car: Vehicle) -> Iterator[Reason]:
    """What the body's outline and the car's other dimensions say differently."""
    if not form.shape.points:
        return
    xs, ys = zip(*form.shape.points, strict=True)
    long, wide, ahead = max(xs) - min(xs), max(ys) - min(ys), max(xs) - form.wheelbase
    if abs(long - form.length) > OUTLINE_WITHIN_M:
        yield because("outline-of-other-length", outline=Length(long), length=Length(form.length))
    if abs(wide - form.width) > OUTLINE_WITHIN_M:
        yield because("outline-of-other-width", outline=Length(wide), width=Length(form.width))
    if abs(ahead - car.front_overhang_m) > OUTLINE_WITHIN_M:
        yield because("outline-of-other-front", outline=Length(ahead), overhang=Length(car.front_overhang_m))
    if abs(max(ys) + min(ys)) / 2 > OUTLINE_WITHIN_M:
        yield because("outline-off-centerline", off=Length(abs(max(ys) + min(ys)) / 2))
    body = shapely.Polygon(form.shape.points)
    for axle, x, track in (("front", form.wheelbase, car.track_front_m), ("rear", 0.0, car.track_rear_m)):
        for side, y in (("left", track / 2), ("right", -track / 2)):
            off = 0.0 if math.isnan(x + y) else body.distance(shapely.Point(x, y))
            if off > OUTLINE_WITHIN_M:
                yield because("wheel-outside-outline", wheel=Ref(f"wheel {axle} {side}"), off=Length(off))


def _circles(form: VehicleForm, car: Vehicle, impossible: Callable[[str, str], None]) -> None:
    """The turning circles: possible for the wheelbase, and the one between walls the larger."""
    kerb, wall = form.turning_circle, form.turning_circle_wall
    if kerb is None and wall is None:
        return
    radius = car.least_radius_m
    measured = not any(map(math.isnan, (car.front_x_m, car.turning_circle_m or 0, car.turning_circle_wall_m or 0)))
    if measured and (radius is None or radius <= 0):
        impossible("turning_circle" if kerb is not None else "turning_circle_wall", "circle-too-small")
    if kerb is not None and wall is not None and wall <= kerb:
        impossible("turning_circle_wall", "wall-circle-not-above-kerb")


_CARS: dict[str, Range] = {"length": (0.5, 30.0), "width": (0.3, 5.0), "wheelbase": (0.3, 20.0), "height": (0.3, 6.0)}
"""What no car is beyond, metres."""


def check_vehicle_size(form: VehicleForm, tell: Tell) -> None:
    """A car of a size that cars have. Needs true units. Several that are beyond are one mistake: the units."""
    values = {field: getattr(form, field) for field in _CARS}
    off = {
        field: value
        for field, value in values.items()
        if value is not None and not math.isnan(value) and not _CARS[field][0] <= value <= _CARS[field][1]
    }
    for field, value in tuple(off.items())[:1]:
        what = because("no-car-of-that-size", field=field, value=Length(value))
        tell((field,), "value-impossible", what, because("look-at-value-and-units"))


# To the model

DIMENSIONS = (
    "length",
    "width",
    "width_over_mirrors",
    "height",
    "wheelbase",
    "front_overhang",
    "track_front",
    "track_rear",
    "tire_width",
    "tire_diameter",
    "ground_clearance",
    "turning_circle",
    "turning_circle_wall",
)
"""The lengths of a car by the names of their fields; the model's end in `_m`."""


def to_vehicle(form: VehicleForm) -> Vehicle:
    """A car, with what its document leaves out estimated by the rules in `estimate`.

    Where an outline is given, that says how far the body stands out ahead of the front axle.
    """
    given = {name: getattr(form, name) for name in DIMENSIONS}
    ahead = max((x for x, _ in form.shape.points), default=math.nan) - form.wheelbase
    if form.front_overhang is None and ahead > 0.0:
        given["front_overhang"] = ahead
    known, estimated = estimate_missing(given)
    sizes: dict[str, Any] = {f"{name}_m": known.get(name) for name in DIMENSIONS}
    return Vehicle(
        name=form.name,
        **sizes,
        maker=form.maker,
        model=form.model,
        years=form.years,
        trim=form.trim,
        propulsion=form.propulsion,
        driven_wheels=form.driven_wheels,
        mass_kg=form.mass,
        front_axle_share=form.front_axle_share,
        lift_points=tuple(form.lift_points),
        alignment=tuple(form.alignment.items()),
        ride_height=tuple(form.ride_height.items()),
        hood_open=_opened(form.hood_open),
        liftgate_open=_opened(form.liftgate_open),
        outline=form.shape.points or None,
        mirror_at_m=form.mirror_at,
        sensors=tuple(Sensor(s.kind, side_of(s.side), s.at, s.facing, s.tilt, s.option) for s in form.sensors),
        estimated=estimated,
        hub_offset_front_m=form.hub_offset_front,
        hub_offset_rear_m=form.hub_offset_rear,
        known_to=tuple({**_by_rule(estimated), **form.known_to}.items()),
    )


def _by_rule(estimated: tuple[str, ...]) -> dict[str, float]:
    """How well the rules know what they supplied."""
    return {estimate.field: estimate.u for estimate in ESTIMATES if estimate.field in estimated}


def _opened(form: OpenedForm | None) -> Opened | None:
    return None if form is None else Opened(form.height, form.reach)


KIND = Kind("vehicle", VehicleForm, check_vehicle, check_vehicle_size, sizes_first=True)

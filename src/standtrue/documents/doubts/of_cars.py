"""What cannot be meant of a car. The ranges are those of road cars and light trucks: common practice, no source."""

from __future__ import annotations

import math
from collections.abc import Iterator

from standtrue.aim.alignment import LIMITED, is_limited
from standtrue.documents.doubts.known import Known, Size, tell_sizes
from standtrue.documents.faults import choice_remedy
from standtrue.documents.parts import Tell
from standtrue.documents.vehicle import SensorForm, VehicleForm, to_vehicle
from standtrue.model.basics import Range
from standtrue.model.reason import Length, Mass, Reason, Ref, because
from standtrue.model.sensor_kinds import SIDED
from standtrue.model.vehicle import Vehicle

PLAUSIBLE_M: dict[str, Range] = {
    "length": (2.3, 7.6),
    "width": (1.2, 2.5),
    "width_over_mirrors": (1.3, 3.0),
    "height": (1.0, 3.3),
    "wheelbase": (1.6, 5.2),
    "front_overhang": (0.3, 1.6),
    "track_front": (1.0, 2.2),
    "track_rear": (1.0, 2.2),
    "tire_width": (0.12, 0.42),
    "tire_diameter": (0.45, 1.1),
    "ground_clearance": (0.04, 0.45),
    "turning_circle": (6.0, 18.0),
    "turning_circle_wall": (6.0, 18.5),
}
"""What a road car or a light truck measures, metres."""

MASS_OF_BOX: Range = (50.0, 220.0)
"""Kilograms in each cubic meter of the box about a car: an empty van holds some 65, a heavy electric car some 190."""

SENSOR_HEIGHTS: Range = (0.1, 3.3)
OFF_CAR_M = 0.4
"""How far outside the box about the body a sensor may sit: on a mirror's arm, on a tow bar."""

YEARS_AHEAD = 2
"""Model years are sold before they begin."""


def doubt_car(form: VehicleForm, known: Known, tell: Tell) -> None:
    """A vehicle document."""
    sizes = [
        Size((name,), _called(name), Length(value), *PLAUSIBLE_M[name], _remedy(name))
        for name in PLAUSIBLE_M
        if (value := getattr(form, name)) is not None
    ]
    if tell_sizes(sizes, tell):
        return
    _limits(form, tell)
    car = to_vehicle(form)
    _mass(form, car, known, tell)
    listed = list(_listed(form, tell))
    if not tell_sizes(_sensor_sizes(form), tell):
        for i in listed:
            _sensor(form.sensors[i], car, i, tell)
    if known.today and form.years and form.years[1] > int(known.today[:4]) + YEARS_AHEAD:
        tell(("years",), "date-ahead", because("year-ahead", year=form.years[1]), because("look-at-date"))


def _limits(form: VehicleForm, tell: Tell) -> None:
    """A limit of the alignment that no reading is ever held against is likely mistyped."""
    for name in form.alignment:
        if not is_limited(name):
            what = because("limit-never-read", name=name)
            tell(("alignment", name), "limit-never-read", what, choice_remedy(name, LIMITED))


def _called(name: str) -> str:
    return "turning circle between walls" if name == "turning_circle_wall" else name.replace("_", " ")


def _remedy(name: str) -> Reason | None:
    return because("circle-is-diameter") if name.startswith("turning_circle") else None


def _mass(form: VehicleForm, car: Vehicle, known: Known, tell: Tell) -> None:
    """A mass that the box about the car cannot hold is most often one in pounds."""
    if form.mass is None:
        return
    box = car.length_m * car.width_m * car.height_m
    if known.is_bare("mass") and form.mass > MASS_OF_BOX[1] * box:
        what, remedy = (
            because("mass-in-pounds", mass=Mass(form.mass)),
            because("write-pounds", example=_pounds(form.mass)),
        )
        tell(("mass",), "mass-in-pounds", what, remedy)
        return
    tell_sizes([Size(("mass",), "mass", Mass(form.mass), MASS_OF_BOX[0] * box, MASS_OF_BOX[1] * box)], tell, False)


def _pounds(number: float) -> str:
    return f'"{number:g} lb"'


def _sensor_sizes(form: VehicleForm) -> Iterator[Size]:
    for i, sensor in enumerate(form.sensors):
        if sensor.at is not None:
            yield Size(("sensors", i, "at"), "height of the sensor", Length(sensor.at[2]), *SENSOR_HEIGHTS)


def _listed(form: VehicleForm, tell: Tell) -> Iterator[int]:
    """A kind that has sides says which, and none is there twice; which lines are listed rightly.

    Of a kind without sides a car has several, at their places; of each, more than one option may bring it.
    """
    seen: dict[object, int] = {}
    for i, sensor in enumerate(form.sensors):
        ref, sided = Ref("sensor", sensor.kind), sensor.kind in SIDED
        first = seen.setdefault((sensor.kind, sensor.side, None if sided else sensor.at), i)
        other = form.sensors[first].option
        if sided and sensor.side is None:
            what = because("sensor-without-side", sensor=ref)
            tell(("sensors", i, "side"), "sensor-without-side", what, because("write-side-of-sensor"))
        elif first != i and not (sensor.option and other and sensor.option != other):
            what = because("sensor-twice", sensor=ref, index=first)
            tell(("sensors", i, "kind"), "sensor-twice", what, because("keep-one-sensor"))
        else:
            yield i


def _sensor(sensor: SensorForm, car: Vehicle, index: int, tell: Tell) -> None:
    """A sensor sits on the car, and on the side that it names."""
    if sensor.at is None:
        return
    x, y, _ = sensor.at
    off = max(car.rear_x_m - x, x - car.front_x_m, abs(y) - car.width_m / 2)
    here, ref = ("sensors", index, "at"), Ref("sensor", sensor.kind)
    if off > OFF_CAR_M:
        what = because("sensor-off-car", sensor=ref, off=Length(off))
        tell(here, "sensor-off-car", what, because("look-at-value-and-units"))
    elif (
        sensor.side is not None and math.copysign(1.0, y) != (1.0 if sensor.side == "left" else -1.0) and abs(y) > 0.05
    ):
        what = because("sensor-on-other-side", sensor=ref, side=sensor.side)
        tell(here, "sensor-on-other-side", what, because("left-is-positive"))

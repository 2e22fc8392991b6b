"""Where every target of a card goes for one stance, in ways that a technician can lay out.

A target is placed from the thrust line unless its card says the centerline. The thrust line runs through the middle of
the rear axle. For anchors that are lines across the car (axles, its ends) the thrust line is where sideways begins;
an anchor that is a point of the car (sensor, wheel, side) stays where it is on the car, and only its directions turn.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import Literal

from attrs import frozen

from standtrue.model.anchors import Frame, anchor_frame, card_sensor, in_frame
from standtrue.model.basics import Place, Point
from standtrue.model.procedure import Procedure, Target, Tolerance
from standtrue.model.site import Datum, Mark, Site
from standtrue.model.vehicle import WHEELS, Vehicle

Spot = tuple[float, float, float]

ACROSS: frozenset[str] = frozenset({"rear axle", "front axle", "front", "rear"})
"""Anchors that are lines across the car."""

DATUM = "datum"
"""What the datum is called among the floor marks."""

CHALK_M = 1.0
"""How long a chalk line is drawn through a target whose size is not known."""


@frozen
class Measure:
    """A distance between two points: straight, on the plan between the points plumbed down, and how much the second
    lies above the first; metres."""

    start: str
    end: str
    straight_m: float
    plan_m: float
    rise_m: float


@frozen
class Offset:
    """A point as seen from a floor mark, metres: along the datum's direction, to the left of it, and straight."""

    mark: str
    along_m: float
    left_m: float
    plan_m: float


@frozen
class TargetPlace:
    """Where one target stands, once.

    `center` and `facing_rad` are in the site frame, heights above the shop floor. `frame` is the anchor's frame in the
    site frame (its x axis is `along` for tolerances), `at` the center in it. `number` counts a target's positions
    from 1, of `of`.
    """

    target: str
    number: int
    of: int
    center: Spot
    facing_rad: float
    frame: Frame
    at: Spot
    line: Literal["thrust line", "centerline"]
    anchor: str
    tolerance: Tolerance
    size_m: tuple[float, float] | None
    swept: tuple[Point, ...] = ()

    @property
    def name(self) -> str:
        return self.target if self.of == 1 else f"{self.target} {self.number}"

    @property
    def sides(self) -> tuple[str, str]:
        """The names of its face's left and right ends, as one looks at the printed side."""
        return f"{self.name} left", f"{self.name} right"

    @property
    def anchor_swings(self) -> bool:
        """Whether the anchor is a line across the car, so that the target's sideways zero is the thrust line."""
        return self.line == "thrust line" and self.anchor in ACROSS

    @property
    def chalk_half_m(self) -> float:
        """How far the ends of the chalk line lie from its middle."""
        return (self.size_m[0] if self.size_m is not None else CHALK_M) / 2

    @property
    def chalk(self) -> tuple[Point, Point]:
        """The ends of the chalk line under the target's face: left and right as one looks at the printed side."""
        half = self.chalk_half_m
        x, y, _ = self.center
        dx, dy = half * math.sin(self.facing_rad), -half * math.cos(self.facing_rad)
        return (x + dx, y + dy), (x - dx, y - dy)


@frozen
class TargetLayout:
    """One target's place and every dimension to find and to check it by.

    `hubs` are from the four wheel hubs, `sensor` from the sensor (None where the car does not say where that is).
    `diagonals` run from both rear hubs to both ends of the chalk line, on the plan: for a target square to the line
    and centered on it the two straight ones are alike, and so are the two crossing ones.
    """

    place: TargetPlace
    offsets: tuple[Offset, ...]
    hubs: tuple[Measure, ...]
    sensor: Measure | None
    diagonals: tuple[Measure, ...]


def vehicle_frame(place: Place) -> Frame:
    return ((place.x_m, place.y_m), place.heading_rad)


def in_car(place: Place, spot: Spot) -> Spot:
    """A spot of the site frame in the vehicle frame, its height as it is."""
    c, s = math.cos(place.heading_rad), math.sin(place.heading_rad)
    dx, dy = spot[0] - place.x_m, spot[1] - place.y_m
    return c * dx + s * dy, c * dy - s * dx, spot[2]


def target_frame(target: Target, card: Procedure, vehicle: Vehicle, thrust_heading_rad: float) -> Frame:
    """The frame that a target is placed in, in the vehicle frame. Raises KeyError if the car lacks its anchor."""
    frame = anchor_frame(target.anchor, target.turned, card, vehicle)
    if frame is None:
        raise KeyError(f"{vehicle.name} has no {card.sensor} with a position")
    if target.line == "centerline":
        return frame
    (x, y), turn = frame
    if target.anchor in ACROSS:
        ((x, y),) = in_frame(((0.0, 0.0), thrust_heading_rad), ((x, y),))
    return (x, y), turn + thrust_heading_rad


def target_places(
    card: Procedure, vehicle: Vehicle, place: Place, thrust_heading_rad: float = 0.0, height_m: float = 0.0
) -> tuple[TargetPlace, ...]:
    """Where each target of a card stands, each of its positions in turn.

    `thrust_heading_rad` is the thrust line's heading in the vehicle frame (left positive), `height_m` the height of
    the ground that the wheels stand on.
    """
    return tuple(
        found
        for target in card.targets
        for found in _places(target, card, vehicle, place, thrust_heading_rad, height_m)
    )


def lay_out(
    card: Procedure,
    vehicle: Vehicle,
    site: Site,
    place: Place,
    thrust_heading_rad: float = 0.0,
    height_m: float = 0.0,
) -> tuple[TargetLayout, ...]:
    """Every target of a card with the dimensions to lay it out from the floor marks, the wheels and the sensor."""
    hubs = hub_spots(vehicle, place, height_m)
    sensor = sensor_spot(card, vehicle, place, height_m)
    layouts = []
    for found in target_places(card, vehicle, place, thrust_heading_rad, height_m):
        ends = zip(("left end", "right end"), found.chalk, strict=True)
        named = [(f"{found.name} {end}", (*at, hubs[WHEELS[2]][2])) for end, at in ends]
        layouts.append(
            TargetLayout(
                found,
                offsets(found.center[:2], site),
                tuple(measure(wheel, at, found.name, found.center) for wheel, at in hubs.items()),
                None if sensor is None else measure(card.sensor, sensor, found.name, found.center),
                tuple(measure(w, hubs[w], end, at) for w in WHEELS[2:] for end, at in named),
            )
        )
    return tuple(layouts)


def car_offsets(vehicle: Vehicle, site: Site, place: Place) -> tuple[tuple[str, tuple[Offset, ...]], ...]:
    """Where each wheel's center goes on the floor, from every floor mark: how to put the car on its stance."""
    return tuple((wheel, offsets(at[:2], site)) for wheel, at in hub_spots(vehicle, place).items())


def point_offsets(
    points: Iterable[tuple[str, Spot]], site: Site, place: Place
) -> tuple[tuple[str, tuple[Offset, ...]], ...]:
    """Where points of the car (in its frame) lie over the floor, from every floor mark: what a bob finds."""
    named = tuple(points)
    there = in_frame(vehicle_frame(place), tuple(spot[:2] for _, spot in named))
    return tuple((name, offsets(at, site)) for (name, _), at in zip(named, there, strict=True))


def hub_spots(vehicle: Vehicle, place: Place, height_m: float = 0.0) -> dict[str, Spot]:
    """The wheel hubs (centers of the wheels) in the site frame, by wheel."""
    height = height_m + vehicle.tire_diameter_m / 2
    centers = in_frame(vehicle_frame(place), tuple(vehicle.wheel_center(w) for w in WHEELS))
    return {wheel: (x, y, height) for wheel, (x, y) in zip(WHEELS, centers, strict=True)}


def sensor_spot(card: Procedure, vehicle: Vehicle, place: Place, height_m: float = 0.0) -> Spot | None:
    """The card's sensor in the site frame, or None where the car does not say where it is."""
    sensor = card_sensor(card, vehicle)
    if sensor is None or sensor.at is None:
        return None
    ((x, y),) = in_frame(vehicle_frame(place), (sensor.at[:2],))
    return x, y, sensor.at[2] + height_m


def marks_of(site: Site) -> tuple[Mark, ...]:
    """The site's floor marks, and its datum, which is always one."""
    return (Mark(DATUM, site.datum.at), *(m for m in site.marks if m.name != DATUM))


def offsets(at: Point, site: Site) -> tuple[Offset, ...]:
    """A point on the floor as seen from every floor mark and the datum."""
    return tuple(_offset(at, mark, site.datum) for mark in marks_of(site))


def measure(start: str, one: Spot, end: str, two: Spot) -> Measure:
    return Measure(start, end, math.dist(one, two), math.dist(one[:2], two[:2]), two[2] - one[2])


def _offset(at: Point, mark: Mark, datum: Datum) -> Offset:
    dx, dy = at[0] - mark.at[0], at[1] - mark.at[1]
    c, s = math.cos(datum.direction_rad), math.sin(datum.direction_rad)
    return Offset(mark.name, c * dx + s * dy, c * dy - s * dx, math.hypot(dx, dy))


def _places(
    target: Target, card: Procedure, vehicle: Vehicle, place: Place, thrust_heading_rad: float, height_m: float
) -> Iterator[TargetPlace]:
    (origin, turn) = target_frame(target, card, vehicle, thrust_heading_rad)
    (on_site,) = in_frame(vehicle_frame(place), (origin,))
    frame: Frame = (on_site, turn + place.heading_rad)
    rise = 0.0 if target.from_floor else height_m
    stands = _stands(target)
    for number, (at, facing) in enumerate(stands, start=1):
        ((x, y),) = in_frame(frame, (at[:2],))
        yield TargetPlace(
            target.name,
            number,
            len(stands),
            (x, y, at[2] + rise),
            facing + frame[1],
            frame,
            at,
            target.line,
            target.anchor,
            target.tolerance,
            target.size_m,
            in_frame(frame, target.swept),
        )


def _stands(target: Target) -> Sequence[tuple[Spot, float]]:
    """A target's positions, one after another: its own first, none twice."""
    later: Iterable[tuple[Spot, float]] = (
        (p.at, target.facing_rad if p.facing_rad is None else p.facing_rad) for p in target.positions
    )
    return list(dict.fromkeys([(target.at, target.facing_rad), *later]))

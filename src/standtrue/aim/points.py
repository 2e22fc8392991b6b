"""The points of a car that readings may start from, in the vehicle frame, and which dimensions each depends on.

What hands can reach: the hub's face or what stands on it, the sidewalls squared down to the floor, the ends of a bar,
the body's foremost and rearmost point. A dimension is never known exactly: each is a `Size` with its standard
uncertainty, and a point says how far it moves with each of them.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from attrs import field, frozen

from standtrue.model.car_points import point_of, points_of_kind
from standtrue.model.setup import STRINGS, CarPoint
from standtrue.model.site import PointKind, Readings
from standtrue.model.vehicle import WHEELS, Vehicle

Spot = tuple[float, float, float]

Moves = tuple[tuple[str, Spot], ...]
"""How far a point moves with each size, by the size's name."""

FRONT, REAR = "front of the car", "rear of the car"
"""The body's foremost and rearmost point, on its centerline."""

DIMENSIONS: tuple[str, ...] = (
    "wheelbase",
    "track front",
    "track rear",
    "front overhang",
    "length",
    "width",
)
"""The dimensions of the car that points or anchors hang on: a field of the vehicle each, with blanks."""

HUBS = "hub height"
"""The size that says how high the middles of the wheels lie above the ground."""

SUNK, SUNK_U = 0.035, 0.006
"""By how much of its radius a tire that carries the car is lower than one that hangs, and how well that is known.
Common practice, no source."""

END_HIGH_M, END_HIGH_U_M = 0.45, 0.15
"""How high the body's foremost and rearmost points lie, and how well that is known. Common practice, no source."""

BULGE_U_M = 0.003
"""How well a tire's sidewall at the floor stands half the tire's width out. Common practice, no source."""

HALVED_U_M = 0.002
"""How well the middle of a wheel is found along the car by halving its tread. Common practice, no source."""

CENTERED_U_M = 0.003
"""How well a bar is centered on an axle. Common practice, no source."""

_AHEAD, _LEFT, _UP = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)


@frozen
class Size:
    """A dimension of a car that is known only so well: metres, and its standard uncertainty. `point` is the point
    whose place it is, "" for a dimension of the whole car; `estimated`: nobody measured it."""

    name: str
    value: float
    u: float
    point: str = ""
    estimated: bool = False


@frozen
class Reachable:
    """A point in the vehicle frame, metres, and how far it moves with each size that it depends on."""

    name: str
    spot: Spot
    by: Moves = ()


@frozen(slots=False)
class CarPoints:
    """The points of one car and the sizes that they depend on.

    `kinds` are those that the shop uses, the first one for strings; `measured` are points measured at this car.
    """

    vehicle: Vehicle
    readings: Readings = field(factory=Readings)
    measured: tuple[CarPoint, ...] = ()

    @property
    def points(self) -> tuple[Reachable, ...]:
        """Every point that there is: of the wheels, of the axles, of the body's ends, of the strings."""
        by_name = {p.name: p for p in self._at_wheels()}
        return (*by_name.values(), *self._on_the_middle(), *self._strings(by_name))

    def anchor_moves(self, anchor: str) -> Moves:
        """How an anchor of targets moves with the dimensions of the car."""
        if anchor.startswith("wheel "):
            return tuple((name, way) for name, way in _by_car(anchor) if way[2] == 0.0)
        if anchor in ("left", "right"):
            return (("width", (0.0, 0.5 if anchor == "left" else -0.5, 0.0)),)
        at = {"front": FRONT, "rear": REAR, "front axle": "front axle"}.get(anchor)
        moves = next((p.by for p in self._on_the_middle() if p.name == at), ())
        return tuple((name, way) for name, way in moves if way[2] == 0.0)

    @property
    def reachable(self) -> tuple[str, ...]:
        """The points of the kinds that the shop uses, in the order of the kinds."""
        names = {p.name for p in self.points}
        return tuple(p for kind in self.readings.points for p in points_of_kind(kind) if p in names)

    @property
    def sizes(self) -> tuple[Size, ...]:
        """The dimensions of the car, and the sizes of single points."""
        car = self.vehicle
        fields = ((name, name.replace(" ", "_")) for name in DIMENSIONS)
        whole = [Size(n, getattr(car, f"{f}_m"), car.u_m(f), estimated=f in car.estimated) for n, f in fields]
        own = {size.name: size for kind in _KINDS for wheel in WHEELS for size in self._own_sizes(kind, wheel)}
        hubs = Size(HUBS, self._hub_m, self._hub_u_m, estimated="tire_diameter" in car.estimated)
        ends = (Size(self.size_of(end, "high"), END_HIGH_M, END_HIGH_U_M, end) for end in (FRONT, REAR))
        return (*whole, hubs, *own.values(), *ends)

    @property
    def _hub_m(self) -> float:
        """How high the wheels' middles lie above the ground under the car's weight."""
        return self.vehicle.tire_diameter_m / 2 * (1.0 - SUNK)

    @property
    def _hub_u_m(self) -> float:
        radius = self.vehicle.tire_diameter_m / 2
        return math.hypot(self.vehicle.u_m("tire_diameter") / 2, SUNK_U * radius)

    def size_of(self, point: str, what: str) -> str:
        """The name of a size that belongs to a point: how far out it lies, or another of its shifts."""
        return f"{point} {what}"

    def _at_wheels(self) -> Iterator[Reachable]:
        car = self.vehicle
        for wheel in WHEELS:
            x, y = car.wheel_center(wheel)
            hub = self._hub_m
            by = _by_car(wheel)
            yield Reachable(wheel, (x, y, hub), by)
            for kind in _KINDS:
                point, out = point_of(kind, wheel), self._out(kind, wheel)
                if out is None:
                    continue
                side = math.copysign(1.0, y)
                middle = 0.0 if kind == "axle bar" else y
                high = 0.0 if kind in ("sidewalls", "axle bar") else hub
                moves = tuple(b for b in by if _moves(kind, b[0]))
                own = tuple((s.name, _shift(s.name, side)) for s in self._own_sizes(kind, wheel))
                yield Reachable(point, (x, middle + side * out.value, high), (*moves, *own))

    def _own_sizes(self, kind: PointKind, wheel: str) -> tuple[Size, ...]:
        """The sizes of one point alone: how far out it lies, and how well it is found."""
        out = self._out(kind, wheel)
        if out is None:
            return ()
        point = point_of(kind, wheel)
        if kind == "sidewalls":
            return (out, Size(self.size_of(point, "halved"), 0.0, HALVED_U_M, point))
        if kind == "axle bar":
            return (out, Size(f"bar {wheel.split()[1]} centered", 0.0, CENTERED_U_M, point))
        return (out,)

    def _out(self, kind: PointKind, wheel: str) -> Size | None:
        """How far outboard a point lies: as measured at this car, or as the kind of point says; None: no such point."""
        car, end, point = self.vehicle, wheel.split()[1], point_of(kind, wheel)
        name = self.size_of(point, "offset")
        mine = next((p for p in self.measured if p.name == point), None)
        if mine is not None:
            return Size(name, mine.offset_m, mine.u_m, point)
        hub, u = car.hub_offset_m(end), car.u_m(f"hub_offset_{end}")
        guessed = getattr(car, f"hub_offset_{end}_m") is None
        if kind == "hub face":
            return Size(name, hub, u, point, guessed)
        if kind == "sidewalls":
            spread = math.hypot(car.u_m("tire_width") / 2, BULGE_U_M)
            return Size(name, car.tire_width_m / 2, spread, point, "tire_width" in car.estimated)
        if kind == "clamp":
            clamp = self.readings.clamp_m
            return None if clamp is None else Size(name, hub + clamp, u, point, guessed)
        bar = self.readings.bar_m
        return None if bar is None else Size(name, bar / 2, 0.0005, point)

    def _on_the_middle(self) -> Iterator[Reachable]:
        car = self.vehicle
        front = (("wheelbase", _AHEAD), ("front overhang", _AHEAD))
        yield Reachable("rear axle", (0.0, 0.0, 0.0))
        yield Reachable("front axle", (car.wheelbase_m, 0.0, 0.0), front[:1])
        rear = (*front, ("length", (-1.0, 0.0, 0.0)))
        for end, x, moves in ((FRONT, car.front_x_m, front), (REAR, car.rear_x_m, rear)):
            yield Reachable(end, (x, 0.0, END_HIGH_M), (*moves, (self.size_of(end, "high"), _UP)))

    def _strings(self, by_name: dict[str, Reachable]) -> Iterator[Reachable]:
        """A string has its points where it runs over the shop's own kind of point."""
        for line in STRINGS:
            side = line.split()[0]
            for end in ("rear", "front"):
                through = by_name.get(point_of(self.readings.points[0], f"wheel {end} {side}"))
                if through is not None:
                    yield Reachable(f"{line} {end}", through.spot, through.by)


_KINDS: tuple[PointKind, ...] = ("hub face", "sidewalls", "clamp", "axle bar")


def estimated_sizes(points: CarPoints, used: Iterable[str]) -> tuple[Size, ...]:
    """The sizes that nobody measured, of the points used."""
    names = frozenset(used)
    needed = {size for p in points.points if p.name in names for size, _ in p.by}
    return tuple(size for size in points.sizes if size.estimated and size.name in needed)


def _by_car(wheel: str) -> Moves:
    """How a wheel's center moves with the dimensions of the car."""
    _, end, side = wheel.split()
    half = 0.5 if side == "left" else -0.5
    track = ((f"track {end}", (0.0, half, 0.0)), (HUBS, _UP))
    return track if end == "rear" else (("wheelbase", _AHEAD), *track)


def _moves(kind: PointKind, size: str) -> bool:
    """Whether a point of a kind moves with a dimension of the car as the wheel's center does."""
    if kind == "axle bar":
        return size == "wheelbase"
    return kind != "sidewalls" or size != HUBS


def _shift(size: str, side: float) -> Spot:
    """Where a point moves with a size of its own."""
    if size.endswith(" halved"):
        return _AHEAD
    return _LEFT if size.endswith(" centered") else (0.0, side, 0.0)

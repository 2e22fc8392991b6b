"""Whether hands can take a reading: what its tapes, strings, chalk lines and bobs' lines meet on their way.

How a reading runs:
- a distance on the floor: a bob's line from each of its points down to the floor, and a tape on the floor between
  where they fall; a straight distance: the tape from point to point;
- an offset from the line through two points: bobs' lines from all three, a string on the floor through two of the
  marks and on to where the tape meets it squarely, and that tape;
- an offset from, or an angle to, the thrust line or the centerline: a chalk line from the car's end on;
- a height above the floor: a tape straight down. A height above another point, and a lean, run along nothing.

Its own tire stands beside the point that a bob hangs from. Of that tire counts what lies inboard of the point, less
10 mm: the bulge of the sidewall gives way to no string, but the face of a hub stands out from a rim that is deeper
than its tire. Lines that also clear the whole of every tire as it is drawn on a plan are preferred (`clears_tires`).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property

import numpy as np
import shapely
from attrs import frozen

from standtrue.aim.bodies import Reading
from standtrue.aim.layout import in_car, vehicle_frame
from standtrue.aim.points import Spot
from standtrue.aim.scene import Scene
from standtrue.aim.solids import (
    GRAZE_M,
    SPARE_M,
    Solid,
    body_solids,
    crosses,
    meets,
    room_solids,
    target_solids,
    tire_solids,
)
from standtrue.model.anchors import in_frame
from standtrue.model.ground import WALL, Ground
from standtrue.model.reason import Ref
from standtrue.model.setup import FLOOR_START, LINES, WHEELS_START
from standtrue.model.vehicle import WHEELS
from standtrue.plane.shapes import Convex, convex_pieces, polygon

TAPE_M = 0.005
"""How high above the floor a tape or a string on it lies."""

ARM_M = 0.15
"""So far in below the car's edge a hand reaches a tape as if beside it."""

HEIGHT_STARTS = frozenset({FLOOR_START, WHEELS_START})
"""Where a height may start that is no point: at the floor below it, or at the ground of the wheels."""

CHALKED = frozenset(LINES[line] for line in ("centerline", "thrust line"))
"""Lines that nothing marks but chalk: ahead of the car, or behind it."""


@frozen(eq=False)
class Leg:
    """A straight part of a reading's way. `on_floor`: it lies there; `chalk`: it is drawn there."""

    start: Spot
    end: Spot
    on_floor: bool = False
    chalk: bool = False


@frozen
class View:
    """How a reading can be taken.

    `stopped_by` is what its way meets: none where hands can take it. `under_car`: a tape runs below the car, farther
    in than an arm reaches; `over` are the open pits that it passes; `before_frames`: only before the targets'
    equipment comes in. `clears_tires`: it keeps off every tire's whole outline. `start` and `end` are the ends of what
    is read, in the site frame.
    """

    stopped_by: tuple[Ref, ...]
    under_car: bool
    over: tuple[Ref, ...]
    before_frames: bool
    clears_tires: bool
    start: Spot
    end: Spot

    @property
    def clean(self) -> bool:
        """Whether nothing has to be told of it."""
        return not (self.stopped_by or self.under_car or self.over)


@frozen(eq=False)
class Way:
    """How one reading runs. `own` is the target that it goes to, `outboard` how far out of its middle each tire counts
    for it; `start` and `end` are the ends of what is read."""

    legs: tuple[Leg, ...]
    start: Spot
    end: Spot
    own: str
    outboard: tuple[tuple[str, float], ...]
    past_body: bool


class Sight:
    """What lies in the way of the readings of one scene, on a ground in its state.

    The equipment of the target that a reading goes to keeps `gives_m` back from where it is planned to stand.
    """

    def __init__(self, scene: Scene, ground: Ground, gives_m: float = 0.0) -> None:
        self.scene = scene
        self.ground = ground
        self.gives_m = gives_m
        self._network = scene.network(())
        self._to_car = vehicle_frame(scene.place)

    def view(self, reading: Reading) -> View:
        """How one reading can be taken. Raises KeyError if it names a point that is not there."""
        return self.views([reading])[0]

    def views(self, readings: Sequence[Reading]) -> tuple[View, ...]:
        """How each reading can be taken. Raises KeyError for a reading that names a point which is not there."""
        return self._seen([self._way(r) for r in readings])

    def between(self, one: Spot, two: Spot) -> View:
        """How a chalk line can be snapped between two spots on the floor, before the targets' equipment comes in."""
        legs = (Leg(_down(one), _down(two), on_floor=True),)
        return self._seen([Way(legs, _down(one), _down(two), "", tuple(self._outboard(()).items()), True)])[0]

    def _seen(self, ways: Sequence[Way]) -> tuple[View, ...]:
        table = _Legs(ways)
        stops: list[list[Ref]] = [[] for _ in ways]
        frames: list[list[Ref]] = [[] for _ in ways]
        table.note(stops, self._fixed, [True] * len(ways))
        table.note(stops, self._body, [w.past_body for w in ways])
        for wheel, outboard in dict.fromkeys(pair for w in ways for pair in w.outboard):
            table.note(stops, self._tire(wheel, outboard), [(wheel, outboard) in w.outboard for w in ways])
        for own in dict.fromkeys(w.own for w in ways):
            table.note(frames, self._targets(own), [w.own == own for w in ways])
        pits = [(ref, table.any_on_floor(pieces)) for ref, pieces in self._pits]
        over = [tuple(dict.fromkeys(ref for ref, crossed in pits if crossed[n])) for n in range(len(ways))]
        below, tires = table.any_on_floor(self._below), table.any_on_floor(self._drawn_tires)
        views = []
        for n, way in enumerate(ways):
            found = [*stops[n], *(frames[n] if way.own else []), *self._no_floor(way, over[n])]
            early = bool(frames[n]) and not way.own
            refs = tuple(dict.fromkeys(self._doors_named(way, found)))
            views.append(View(refs, below[n], over[n], early, not tires[n], way.start, way.end))
        return tuple(views)

    def _doors_named(self, way: Way, found: Sequence[Ref]) -> list[Ref]:
        """What a way meets, with the doors that stand shut in it named; the wall only where it meets that, too."""
        if WALL not in found:
            return list(found)
        shut = [d for d in self.ground.site.doors if d.name not in self.ground.doors_open]
        legs = shapely.MultiLineString(
            [(leg.start[:2], leg.end[:2]) for leg in way.legs if leg.start[:2] != leg.end[:2]]
        )
        crossed = [d for d in shut if legs.intersects(shapely.LineString([d.start, d.end]))]
        spots = legs.intersection(polygon(self.ground.site.outline).boundary)
        doorways = shapely.MultiLineString([(d.start, d.end) for d in crossed]).buffer(2 * GRAZE_M)
        walls = [WALL] if not crossed or not doorways.covers(spots) else []
        return [*(ref for ref in found if ref != WALL), *walls, *(Ref("closed door", d.name) for d in crossed)]

    def _way(self, reading: Reading) -> Way:
        legs, start, end = self._legs(reading)
        names = self.scene.target_points
        own = next((t for t, points in names.items() if points & set(reading.points)), "")
        outboard = tuple(self._outboard(reading.points).items())
        return Way(tuple(legs), start, end, own, outboard, "sensor" not in reading.points)

    @cached_property
    def _fixed(self) -> tuple[Solid, ...]:
        return room_solids(self.ground)

    @cached_property
    def _body(self) -> tuple[Solid, ...]:
        return body_solids(self.scene.vehicle, self.scene.place, self.scene.height_m)

    def _tire(self, wheel: str, outboard_m: float) -> tuple[Solid, ...]:
        scene = self.scene
        return tire_solids(scene.vehicle, scene.place, scene.height_m, wheel, outboard_m)

    def _targets(self, own: str) -> tuple[Solid, ...]:
        """The equipment and faces of the targets that stand at the same time: not those of another position."""
        stands = self.scene.targets
        names = {t.name: t.target for t in stands}
        others = [t for t in stands if t.name == own or t.target != names.get(own)]
        return target_solids(self.scene.card, others, self.ground.site.equipment, own, self.gives_m)

    @cached_property
    def _pits(self) -> tuple[tuple[Ref, tuple[Convex, ...]], ...]:
        return tuple((u.ref, u.wheel_pieces) for u in self.ground.unfloor if u.kind == "void")

    @cached_property
    def _below(self) -> tuple[Convex, ...]:
        """What lies below the car farther in than an arm reaches, in the site frame."""
        inner = shapely.Polygon(in_frame(self._to_car, self.scene.vehicle.body)).buffer(-ARM_M, join_style="mitre")
        return convex_pieces(inner)

    @cached_property
    def _drawn_tires(self) -> tuple[Convex, ...]:
        """The tires as a plan draws them: as long as they are high."""
        car = self.scene.vehicle
        long, wide = car.tire_diameter_m / 2, car.tire_width_m / 2
        found: list[Convex] = []
        for x, y in map(car.wheel_center, WHEELS):
            ring = ((x - long, y - wide), (x + long, y - wide), (x + long, y + wide), (x - long, y + wide))
            found += convex_pieces(polygon(in_frame(self._to_car, ring)))
        return tuple(found)

    def spot(self, point: str) -> Spot:
        """Where a point is planned to be, in the site frame. Raises KeyError."""
        x, y, z = self._network.place(point, self._network.start)[0]
        return float(x), float(y), float(z)

    def _outboard(self, points: Sequence[str]) -> dict[str, float]:
        """How far out of each tire's middle it counts: all of it, but for the tires that these points stand beside."""
        found = dict.fromkeys(WHEELS, math.inf)
        for point in points:
            wheel = wheel_of(point)
            if wheel is not None and wheel != point:
                y = in_car(self.scene.place, self.spot(point))[1]
                middle = self.scene.vehicle.wheel_center(wheel)[1]
                found[wheel] = min(found[wheel], abs(y) - abs(middle) - SPARE_M)
        return found

    def _legs(self, reading: Reading) -> tuple[list[Leg], Spot, Spot]:
        """The ways that a reading takes, and the ends of what is read."""
        spots = [self.spot(p) for p in reading.points if p not in HEIGHT_STARTS]
        if reading.what == "lean":
            return [], spots[0], spots[0]
        if reading.what == "height":
            foot = _down(spots[-1])
            taped = reading.start in ((), (FLOOR_START,))
            return ([Leg(spots[-1], foot)] if taped else []), foot if len(spots) == 1 else spots[0], spots[-1]
        if reading.what == "distance":
            if not reading.plumbed:
                return [Leg(spots[0], spots[1])], spots[0], spots[1]
            one, two = _down(spots[0]), _down(spots[1])
            return [*_bobs(spots), Leg(one, two, on_floor=True)], one, two
        foot = foot_on(spots[0], spots[1], spots[2])
        along = self._line(tuple(reading.start), spots[0], spots[1], foot)
        if reading.what == "angle":
            return along, spots[2], spots[3]
        end = _down(spots[2])
        return [*along, *_bobs(spots[2:]), Leg(foot, end, on_floor=True)], foot, end

    def beside(self, line: tuple[str, str], spot: Spot) -> View:
        """How the offset of a spot on the floor from a string or a chalk line can be taken. Raises KeyError."""
        one, two = (self.spot(p) for p in line)
        foot = foot_on(one, two, spot)
        legs = [*self._line(line, one, two, foot), Leg(foot, _down(spot), on_floor=True)]
        outboard = tuple(self._outboard(line).items())
        return self._seen([Way(tuple(legs), foot, _down(spot), "", outboard, True)])[0]

    def _line(self, start: tuple[str, ...], one: Spot, two: Spot, foot: Spot) -> list[Leg]:
        """The string or the chalk line that an offset or an angle is read from."""
        if start in CHALKED:
            return [Leg(self._car_end(one, two, foot), foot, on_floor=True, chalk=True)]
        dx, dy = two[0] - one[0], two[1] - one[1]
        order = sorted([_down(one), _down(two), foot], key=lambda p: p[0] * dx + p[1] * dy)
        return [*_bobs([one, two]), Leg(order[0], order[-1], on_floor=True)]

    def _car_end(self, one: Spot, two: Spot, foot: Spot) -> Spot:
        """Where a line along the car comes out at its end on the foot's side."""
        at, first, second = (
            in_car(self.scene.place, foot)[0],
            in_car(self.scene.place, one),
            in_car(self.scene.place, two),
        )
        car = self.scene.vehicle
        end = car.front_x_m if at > car.wheelbase_m / 2 else car.rear_x_m
        share = (end - first[0]) / (second[0] - first[0])
        return one[0] + share * (two[0] - one[0]), one[1] + share * (two[1] - one[1]), TAPE_M

    def _beside_car(self, foot: Spot) -> bool:
        """Whether a point lies between the car's ends."""
        return self.scene.vehicle.rear_x_m < in_car(self.scene.place, foot)[0] < self.scene.vehicle.front_x_m

    def _no_floor(self, way: Way, over: Sequence[Ref]) -> list[Ref]:
        """What takes the floor away from below a bob or from under chalk: open pits, and the car itself."""
        chalk = [leg for leg in way.legs if leg.chalk]
        found = [*over] if chalk else []
        if chalk and self._beside_car(way.start):
            found.append(Ref("this car"))
        feet = [end[:2] for leg in way.legs if leg.on_floor for end in (leg.start, leg.end)]
        feet += [leg.end[:2] for leg in way.legs if leg.start[:2] == leg.end[:2]]
        found += [ref for ref, pieces in self._pits if any(_inside(foot, p) for foot in feet for p in pieces)]
        return found


class _Legs:
    """All legs of many ways in one table, so that each solid is looked at once."""

    def __init__(self, ways: Sequence[Way]) -> None:
        self.count = len(ways)
        legs = [(n, leg) for n, way in enumerate(ways) for leg in way.legs]
        self.of = np.array([n for n, _ in legs], dtype=np.int_)
        self.starts = np.array([leg.start for _, leg in legs], dtype=np.float64).reshape(-1, 3)
        self.ends = np.array([leg.end for _, leg in legs], dtype=np.float64).reshape(-1, 3)
        self.on_floor = np.array([leg.on_floor for _, leg in legs], dtype=np.bool_)

    def note(self, found: list[list[Ref]], solids: Sequence[Solid], asked: Sequence[bool]) -> None:
        """Note with each way that is asked the solids which it meets."""
        chosen = np.flatnonzero(np.array(asked, dtype=np.bool_)[self.of])
        for solid in solids:
            met = meets(self.starts[chosen], self.ends[chosen], solid)
            for n in dict.fromkeys(self.of[chosen[met]].tolist()):
                found[n].append(solid.ref)

    def any_on_floor(self, pieces: Sequence[Convex]) -> list[bool]:
        """Which ways cross the pieces on the floor."""
        chosen = np.flatnonzero(self.on_floor)
        met = crosses(self.starts[chosen], self.ends[chosen], pieces)
        hit = set(self.of[chosen[met]].tolist())
        return [n in hit for n in range(self.count)]


def wheel_of(point: str) -> str | None:
    """The wheel that a point of the car stands beside, by its name in `WHEELS`; None where it stands beside none."""
    words = set(point.split())
    if not words & _AT_WHEELS:
        return None
    return next((w for w in WHEELS if set(w.split()[1:]) <= words), None)


_AT_WHEELS = frozenset({"wheel", "hub", "sidewall", "clamp", "bar", "string"})
"""Words that begin, or stand in, the names of points at wheels."""


def _down(spot: Spot) -> Spot:
    """Where a bob that hangs from a point falls."""
    return spot[0], spot[1], min(TAPE_M, spot[2]) if spot[2] > 0.0 else TAPE_M


def _bobs(spots: Sequence[Spot]) -> list[Leg]:
    return [Leg(spot, _down(spot)) for spot in spots if spot[2] > 2 * TAPE_M]


def foot_on(one: Spot, two: Spot, point: Spot) -> Spot:
    """The point of the line through two others that lies squarely beside a third, on the floor."""
    dx, dy = two[0] - one[0], two[1] - one[1]
    share = ((point[0] - one[0]) * dx + (point[1] - one[1]) * dy) / max(dx * dx + dy * dy, 1e-24)
    return one[0] + share * dx, one[1] + share * dy, TAPE_M


def _inside(point: tuple[float, float], piece: Convex) -> bool:
    along = np.roll(piece, -1, axis=0) - piece
    away = np.asarray(point) - piece
    return bool(np.all(along[:, 0] * away[:, 1] - along[:, 1] * away[:, 0] > 0.0))

"""The ground: a site in one state, resolved into solid floor and things.

The only place that knows what a lift's state does to a floor. Decks at height 0 close any void
under them; raised decks leave voids open and are metal things; closed covers and fills are floor.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property, lru_cache
from itertools import chain, pairwise
from math import cos, inf, sin

import numpy as np
import shapely
from attrs import evolve, frozen
from shapely.geometry.base import BaseGeometry

from standtrue.model.basics import Outline
from standtrue.model.lift import LiftState, Obstacle, PlacedLift
from standtrue.model.reason import Ref
from standtrue.model.site import Bay, Door, Equipment, GroundKind, Site, ThingKind
from standtrue.model.stance import lift_at_rest
from standtrue.plane.shapes import (
    SLIVER_M,
    Convex,
    convex_pieces,
    difference,
    intersection,
    outside,
    pieces_outside,
    polygon,
    union,
    without_strips,
)

NEIGHBOR_M = 5.0
"""How deep a neighbor's car stands beyond a closed edge of a bay."""

WALL = Ref("wall")

ON_OUTLINE_M = 1e-6
"""What lies this near a line lies on it."""

KEPT = 512
"""So many parts of grounds are kept: whatever state a site is in, most of it is as it was, and is then the same."""


@frozen(eq=False)
class Thing:
    """Something solid between two heights. Walls and holes forbid every zone (`bars_all`)."""

    ref: Ref
    kind: ThingKind
    shape: BaseGeometry
    pieces: tuple[Convex, ...]
    bottom_m: float
    top_m: float
    metal: bool
    movable: bool = False
    lift: str | None = None

    @property
    def bars_all(self) -> bool:
        return self.kind in ("wall", "hole")


@frozen(eq=False)
class Unfloor:
    """An area that is not floor, or on which nothing may stand.

    `shape` and `pieces` hold for stands; `wheel_shape` and `wheel_pieces` for wheels and people,
    with strips narrower than the `bridge` gap left out. `over` are the zones and wheels that it is for; none: all.
    """

    ref: Ref
    kind: GroundKind
    shape: BaseGeometry
    pieces: tuple[Convex, ...]
    wheel_shape: BaseGeometry
    wheel_pieces: tuple[Convex, ...]
    over: tuple[Ref, ...] = ()


@frozen
class LiftSetting:
    """How one lift stands: its state and the height of its decks, metres."""

    state: str
    height_m: float


def setting_at_rest(placed: PlacedLift) -> LiftSetting:
    """A lift in its rest state, its decks as low as that goes."""
    rest = lift_at_rest(placed)
    return LiftSetting(rest.state, rest.height_m)


@frozen(eq=False)
class Ground:
    """A site with every lift, door and piece of equipment in one state.

    `decks` are the outlines of every lift's decks by lift name, in the site frame. `within` is the
    outline that the car is asked to stay in, if one bay was asked for. `reach` bounds the floor.
    """

    site: Site
    settings: tuple[tuple[str, LiftSetting], ...]
    things: tuple[Thing, ...]
    unfloor: tuple[Unfloor, ...]
    decks: tuple[tuple[str, tuple[Outline, ...]], ...]
    doors_open: tuple[str, ...] = ()
    within: Outline | None = None
    reach: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)

    def deck_edge(self, lift: str) -> tuple[BaseGeometry, tuple[Convex, ...]]:
        """Everything that is not a deck of this lift: what a wheel on it must keep away from."""
        return _deck_edge(tuple(o for name, outlines in self.decks if name == lift for o in outlines))

    @property
    def axis_rad(self) -> float:
        """The way that the longest wall runs."""
        outline = self.site.outline
        edges = zip(outline, (*outline[1:], outline[0]), strict=True)
        (x0, y0), (x1, y1) = max(edges, key=lambda e: round(math.dist(*e), 6))
        return math.atan2(y1 - y0, x1 - x0)

    def heading_of(self, lift: str) -> float:
        """The heading of a lift of the site."""
        return self.site.lift(lift).heading_rad

    def setting(self, lift: str) -> LiftSetting:
        return dict(self.settings)[lift]


class Grounds:
    """The grounds of one site, or of one bay of it. Holds what no state changes, and every ground made.

    In one bay, cars of the neighbors stand beyond its closed edges: metal things 5 m deep, floor to ceiling.
    """

    def __init__(self, site: Site, bay: Bay | None = None) -> None:
        self.site = site
        self.bay = bay
        self._made: dict[object, Ground] = {}

    @cached_property
    def _fixed(self) -> tuple[Thing, ...]:
        site = self.site
        things: list[Thing] = []
        for number, hole in enumerate(site.holes, start=1):
            shape = polygon(hole)
            things.append(
                Thing(Ref("hole", number=number), "hole", shape, convex_pieces(shape), 0.0, inf, site.wall_metal)
            )
        things.extend(_thing(o, "obstacle", Ref("obstacle", o.name)) for o in site.obstacles)
        for placed in site.lifts:
            things.extend(_part(p, placed, "post") for p in placed.lift.posts)
        if self.bay is not None:
            things.extend(_neighbors(self.bay))
        return tuple(things)

    @property
    def openable(self) -> tuple[str, ...]:
        """The doors that may stand open and then add floor."""
        return tuple(d.name for d in self.site.doors if d.may_stand_open and d.apron is not None)

    def equipment(self, in_use: frozenset[str]) -> tuple[Thing, ...]:
        """The equipment that stands on the ground while that of `in_use` is used."""
        return tuple(_equipment(self.site.equipment, in_use))

    def at_rest(self, doors_open: tuple[str, ...] = (), in_use: frozenset[str] = frozenset()) -> Ground:
        """Every lift in its rest state."""
        return self.resolve({}, doors_open, in_use)

    def resolve(
        self,
        raised: Mapping[str, LiftSetting],
        doors_open: tuple[str, ...] = (),
        in_use: frozenset[str] = frozenset(),
    ) -> Ground:
        """The ground with the lifts named in `raised` set so, every other at rest; the doors named open.

        Equipment stands where it is stored, but for that `in_use`: that stands at its fixed place, or
        nowhere on the ground (a card's targets say where it stands).
        """
        key = (tuple(sorted(raised.items())), doors_open, in_use)
        if key not in self._made:
            self._made[key] = self._resolve(raised, doors_open, in_use)
        return self._made[key]

    def _resolve(
        self, raised: Mapping[str, LiftSetting], doors_open: tuple[str, ...], in_use: frozenset[str]
    ) -> Ground:
        settings = {p.name: raised.get(p.name) or setting_at_rest(p) for p in self.site.lifts}
        opened = [d for d in self.site.doors if d.name in doors_open]
        floor = union([polygon(self.site.outline), *(polygon(d.apron) for d in opened if d.apron is not None)])
        walls = _walls(self.site.outline, self.site.wall_metal, floor, tuple(opened))
        lifts = [_lift_ground(p, settings[p.name]) for p in self.site.lifts]
        things = [*walls, *self._fixed, *self.equipment(in_use), *chain.from_iterable(on.things for on in lifts)]
        hollows = [(Ref("void", v.name), polygon(v.outline)) for v in self.site.voids]
        hollows.extend(chain.from_iterable(on.hollows for on in lifts))
        solid = [polygon(c.outline) for v in self.site.voids for c in v.covers if c.name in v.closed]
        solid.extend(chain.from_iterable(on.solid for on in lifts))
        unfloor = list(_voids(hollows, union(solid), self.site.gaps.bridge_m))
        unfloor.extend(_unfloor(Ref("patch", p.name), "patch", polygon(p.outline)) for p in self.site.patches)
        unfloor.extend(chain.from_iterable(on.ramps for on in lifts))
        return Ground(
            self.site,
            tuple(sorted(settings.items())),
            tuple(things),
            tuple(u for u in unfloor if not u.shape.is_empty),
            tuple((p.name, on.decks) for p, on in zip(self.site.lifts, lifts, strict=True)),
            doors_open,
            self.bay.outline if self.bay is not None else None,
            floor.bounds,
        )


@lru_cache(maxsize=256)
def _deck_edge(decks: tuple[Outline, ...]) -> tuple[BaseGeometry, tuple[Convex, ...]]:
    """Everything but the decks: the same for all grounds in which they lie the same."""
    whole = union(polygon(o) for o in decks)
    return outside(whole), pieces_outside(whole)


def uneven_floor(ref: Ref, shape: BaseGeometry, over: tuple[Ref, ...] = ()) -> tuple[Unfloor, ...]:
    """Floor too uneven for a card by a survey, or not surveyed: none of the zones and wheels named may stand on it."""
    return () if shape.is_empty else (evolve(_unfloor(ref, "uneven", shape), over=over),)


@lru_cache(KEPT)
def _walls(outline: Outline, metal: bool, floor: BaseGeometry, opened: tuple[Door, ...]) -> tuple[Thing, ...]:
    """The wall is everything outside the floor, and the outline itself but where a door stands open."""
    things = [Thing(WALL, "wall", outside(floor), pieces_outside(floor), 0.0, inf, metal)]
    if not opened:
        return tuple(things)
    rim = polygon(outline).exterior
    gaps = union(shapely.LineString([d.start, d.end]).buffer(ON_OUTLINE_M, cap_style="flat") for d in opened)
    behind = union(polygon(d.apron) for d in opened if d.apron is not None).buffer(ON_OUTLINE_M)
    left = shapely.intersection(shapely.difference(rim, gaps), behind)
    pieces = tuple(
        np.array([start, end])
        for line in shapely.get_parts(left)
        for start, end in pairwise(shapely.get_coordinates(line))
        if math.dist(start, end) > ON_OUTLINE_M
    )
    if pieces:
        shape = shapely.MultiLineString(list(pieces))
        things.append(Thing(Ref("wall beside a door"), "wall", shape, pieces, 0.0, inf, metal))
    for door in opened:
        opening = shapely.LineString([door.start, door.end])
        lintel = (np.array([door.start, door.end]),)
        # Above the door is wall: that bars metal-free zones too.
        things.append(Thing(Ref("lintel", of=door.name), "door", opening, lintel, door.height_m, inf, True))
        if door.track is not None:
            things.append(_thing(door.track, "door", Ref("track", of=door.name)))
    return tuple(things)


def _equipment(equipment: Sequence[Equipment], in_use: frozenset[str]) -> Iterator[Thing]:
    """Equipment where it is stored, or at its fixed place while in use."""
    for one in equipment:
        outline = one.store
        if one.name in in_use:
            outline = None
            if one.used_at is not None and one.footprint is not None:
                x, y = one.used_at
                outline = tuple((x + px, y + py) for px, py in one.footprint)
        if outline is not None:
            yield _set_down(one, outline, "in use" if one.name in in_use else "stored")


@lru_cache(KEPT)
def _set_down(one: Equipment, outline: Outline, where: str) -> Thing:
    """A piece of equipment where it stands."""
    shape, top = polygon(outline), one.height_m if one.height_m is not None else inf
    ref = Ref("equipment", one.name, state=where)
    return Thing(ref, "equipment", shape, convex_pieces(shape), 0.0, top, True, one.wheeled)


@lru_cache(KEPT)
def _neighbors(bay: Bay) -> tuple[Thing, ...]:
    return tuple(_cars_beyond(bay))


def _cars_beyond(bay: Bay) -> Iterator[Thing]:
    for edge in bay.closed_edges:
        (x0, y0), (x1, y1) = bay.outline[edge], bay.outline[(edge + 1) % len(bay.outline)]
        long = math.hypot(x1 - x0, y1 - y0)
        ox, oy = NEIGHBOR_M * (y1 - y0) / long, -NEIGHBOR_M * (x1 - x0) / long
        shape = polygon(((x0, y0), (x0 + ox, y0 + oy), (x1 + ox, y1 + oy), (x1, y1)))
        ref = Ref("neighbor", of=bay.name, number=edge)
        yield Thing(ref, "neighbor", shape, convex_pieces(shape), 0.0, inf, True)


@lru_cache(KEPT)
def _thing(obstacle: Obstacle, kind: ThingKind, ref: Ref, lift: str | None = None) -> Thing:
    shape = polygon(obstacle.outline)
    return Thing(
        ref,
        kind,
        shape,
        convex_pieces(shape),
        obstacle.bottom_m,
        obstacle.top_m,
        obstacle.metal,
        obstacle.movable,
        lift,
    )


@frozen(eq=False)
class _LiftGround:
    """What one lift in one setting does to the ground: hollows it opens, floor it closes, things, ramps."""

    decks: tuple[Outline, ...]
    hollows: tuple[tuple[Ref, BaseGeometry], ...]
    solid: tuple[BaseGeometry, ...]
    things: tuple[Thing, ...]
    ramps: tuple[Unfloor, ...]


@lru_cache(KEPT)
def _lift_ground(placed: PlacedLift, setting: LiftSetting) -> _LiftGround:
    state = placed.lift.state(setting.state)
    decks = tuple(shifted(d, placed) for d in state.decks)
    pits = enumerate(state.voids, start=1)
    hollows = tuple((Ref("pit", of=placed.name, number=n), polygon(shifted(v, placed))) for n, v in pits)
    things = tuple(_lift_things(placed, state, setting.height_m))
    filled = tuple(polygon(shifted(f, placed)) for f in state.fills)
    if placed.lift.carries == "body" or not decks:
        return _LiftGround(decks, hollows, filled, things, ())
    if setting.height_m <= 0.0:
        return _LiftGround(decks, hollows, (*filled, *(polygon(d) for d in decks)), things, ())
    slopes = (polygon(shifted(r, placed)) for r in state.ramps)
    ramps = tuple(_unfloor(Ref("ramp", of=placed.name), "ramp", shape) for shape in slopes)
    return _LiftGround(decks, hollows, filled, things, ramps)


def _lift_things(placed: PlacedLift, state: LiftState, height_m: float) -> Iterator[Thing]:
    """The lift's own parts, and its decks where they are raised."""
    rise = height_m - state.deck_height_m[0]
    yield from (_part(o.risen(rise), placed, "lift part") for o in state.obstacles)
    if placed.lift.carries == "wheels" and height_m > 0.0:
        yield from _raised_decks(placed.name, state, height_m, [shifted(d, placed) for d in state.decks])


def _raised_decks(lift: str, state: LiftState, height_m: float, outlines: Sequence[Outline]) -> list[Thing]:
    bottom = max(0.0, height_m - state.deck_thickness_m)
    things = []
    for number, outline in enumerate(outlines, start=1):
        shape = polygon(outline)
        ref = Ref("deck", of=lift, number=number)
        things.append(Thing(ref, "deck", shape, convex_pieces(shape), bottom, height_m, True, lift=lift))
    return things


def _voids(hollows: Sequence[tuple[Ref, BaseGeometry]], closed: BaseGeometry, bridge_m: float) -> Iterator[Unfloor]:
    """What stays open of each hollow. Strips are told narrow over all of them together: two side by side are one.

    Beside a cover that is a hair off its pit's edge no stand is barred by the hair: that is rounding, not void.
    """
    opened = [(ref, without_strips(difference(shape, closed), SLIVER_M)) for ref, shape in hollows]
    wide = without_strips(union(shape for _, shape in opened), bridge_m)
    for ref, shape in opened:
        yield _unfloor(ref, "void", shape, intersection(shape, wide))


def _unfloor(ref: Ref, kind: GroundKind, shape: BaseGeometry, wheel_shape: BaseGeometry | None = None) -> Unfloor:
    pieces = convex_pieces(shape)
    if wheel_shape is None:
        return Unfloor(ref, kind, shape, pieces, shape, pieces)
    return Unfloor(ref, kind, shape, pieces, wheel_shape, convex_pieces(wheel_shape))


def shifted(outline: Outline, placed: PlacedLift) -> Outline:
    """An outline of a lift's own frame, in the site frame."""
    c, s = cos(placed.heading_rad), sin(placed.heading_rad)
    x0, y0 = placed.at
    return tuple((x0 + c * x - s * y, y0 + s * x + c * y) for x, y in outline)


def _part(part: Obstacle, placed: PlacedLift, kind: ThingKind) -> Thing:
    """A part of a lift, in the site frame."""
    turned = evolve(part, outline=shifted(part.outline, placed))
    return _thing(turned, kind, Ref(kind, part.name, of=placed.name), placed.name)

"""The ground: a site in one state, resolved into solid floor and things.

The only place that knows what a lift's state does to a floor. Decks at height 0 close any void
under them; raised decks leave voids open and are metal things; closed covers and fills are floor.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from math import cos, inf, sin

from attrs import evolve, frozen
from shapely.geometry.base import BaseGeometry

from standtrue.model.basics import Outline
from standtrue.model.lift import LiftState, Obstacle, PlacedLift
from standtrue.model.site import GroundKind, Site, ThingKind
from standtrue.plane.shapes import (
    Convex,
    convex_pieces,
    difference,
    outside,
    pieces_outside,
    polygon,
    union,
    without_strips,
)


@frozen(eq=False)
class Thing:
    """Something solid between two heights. Walls and holes forbid every zone (`bars_all`)."""

    name: str
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
    with strips narrower than the `bridge` gap left out.
    """

    name: str
    kind: GroundKind
    shape: BaseGeometry
    pieces: tuple[Convex, ...]
    wheel_shape: BaseGeometry
    wheel_pieces: tuple[Convex, ...]


@frozen
class LiftSetting:
    """How one lift stands: its state and the height of its decks, metres."""

    state: str
    height_m: float


@frozen(eq=False)
class Ground:
    """A site with every lift in one state.

    `decks` are the outlines of every lift's decks by lift name, in the site frame.
    """

    site: Site
    settings: tuple[tuple[str, LiftSetting], ...]
    things: tuple[Thing, ...]
    unfloor: tuple[Unfloor, ...]
    decks: tuple[tuple[str, tuple[Outline, ...]], ...]

    def deck_edge(self, lift: str) -> tuple[BaseGeometry, tuple[Convex, ...]]:
        """Everything that is not a deck of this lift: what a wheel on it must keep away from."""
        decks = union(polygon(o) for name, outlines in self.decks if name == lift for o in outlines)
        return outside(decks), pieces_outside(decks)

    def setting(self, lift: str) -> LiftSetting:
        return dict(self.settings)[lift]


class Grounds:
    """The grounds of one site. Holds the parts that no state changes, so that each costs little."""

    def __init__(self, site: Site) -> None:
        self.site = site

    @cached_property
    def _fixed(self) -> tuple[Thing, ...]:
        site = self.site
        inside = polygon(site.outline)
        things = [Thing("wall", "wall", outside(inside), pieces_outside(inside), 0.0, inf, site.wall_metal)]
        for number, hole in enumerate(site.holes, start=1):
            shape = polygon(hole)
            things.append(Thing(f"hole {number}", "hole", shape, convex_pieces(shape), 0.0, inf, site.wall_metal))
        things.extend(_thing(o, "obstacle") for o in site.obstacles)
        for placed in site.lifts:
            things.extend(_thing(_moved(p, placed), "post", placed.name) for p in placed.lift.posts)
        return tuple(things)

    def at_rest(self) -> Ground:
        """Every lift in its rest state."""
        return self.resolve({})

    def resolve(self, raised: Mapping[str, LiftSetting]) -> Ground:
        """The ground with the lifts named in `raised` set so, every other at rest."""
        settings = {
            p.name: raised.get(p.name, LiftSetting(p.lift.rest.name, p.lift.rest.deck_height_m[0]))
            for p in self.site.lifts
        }
        things = list(self._fixed)
        hollows = [(v.name, polygon(v.outline)) for v in self.site.voids]
        solid = [polygon(c.outline) for v in self.site.voids for c in v.covers if c.name in v.closed]
        ramps: list[Unfloor] = []
        decks: list[tuple[str, tuple[Outline, ...]]] = []
        for placed in self.site.lifts:
            setting = settings[placed.name]
            state = placed.lift.state(setting.state)
            outlines = tuple(_shift(d, placed) for d in state.decks)
            decks.append((placed.name, outlines))
            hollows.extend((f"{placed.name} pit", polygon(_shift(v, placed))) for v in state.voids)
            solid.extend(polygon(_shift(f, placed)) for f in state.fills)
            things.extend(_thing(_moved(o, placed), "lift part", placed.name) for o in state.obstacles)
            if placed.lift.carries == "body" or not outlines:
                continue
            if setting.height_m <= 0.0:
                solid.extend(polygon(o) for o in outlines)
                continue
            things.extend(_raised_decks(placed.name, state, setting.height_m, outlines))
            ramps.extend(_unfloor(f"{placed.name} ramp", "ramp", polygon(_shift(r, placed))) for r in state.ramps)
        unfloor = list(_voids(hollows, union(solid), self.site.gaps.bridge_m))
        unfloor.extend(_unfloor(p.name, "patch", polygon(p.outline)) for p in self.site.patches)
        unfloor.extend(ramps)
        return Ground(
            self.site,
            tuple(sorted(settings.items())),
            tuple(things),
            tuple(u for u in unfloor if not u.shape.is_empty),
            tuple(decks),
        )


def uneven_floor(name: str, outlines: Iterable[Outline]) -> tuple[Unfloor, ...]:
    """Floor too uneven for a card, as found by a survey: nothing may stand on it."""
    return tuple(_unfloor(name, "uneven", polygon(o)) for o in outlines)


def _thing(obstacle: Obstacle, kind: ThingKind, lift: str | None = None) -> Thing:
    shape = polygon(obstacle.outline)
    return Thing(
        obstacle.name,
        kind,
        shape,
        convex_pieces(shape),
        obstacle.bottom_m,
        obstacle.top_m,
        obstacle.metal,
        obstacle.movable,
        lift,
    )


def _raised_decks(lift: str, state: LiftState, height_m: float, outlines: Sequence[Outline]) -> list[Thing]:
    bottom = max(0.0, height_m - state.deck_thickness_m)
    things = []
    for number, outline in enumerate(outlines, start=1):
        shape = polygon(outline)
        things.append(
            Thing(f"{lift} deck {number}", "deck", shape, convex_pieces(shape), bottom, height_m, True, lift=lift)
        )
    return things


def _voids(hollows: Sequence[tuple[str, BaseGeometry]], closed: BaseGeometry, bridge_m: float) -> Iterator[Unfloor]:
    """What stays open of each hollow. Strips are told narrow over all of them together: two side by side are one."""
    opened = [(name, difference(shape, closed)) for name, shape in hollows]
    whole = union(shape for _, shape in opened)
    narrow = difference(whole, without_strips(whole, bridge_m))
    for name, shape in opened:
        yield _unfloor(name, "void", shape, difference(shape, narrow))


def _unfloor(name: str, kind: GroundKind, shape: BaseGeometry, wheel_shape: BaseGeometry | None = None) -> Unfloor:
    pieces = convex_pieces(shape)
    if wheel_shape is None:
        return Unfloor(name, kind, shape, pieces, shape, pieces)
    return Unfloor(name, kind, shape, pieces, wheel_shape, convex_pieces(wheel_shape))


def _shift(outline: Outline, placed: PlacedLift) -> Outline:
    c, s = cos(placed.heading_rad), sin(placed.heading_rad)
    x0, y0 = placed.at
    return tuple((x0 + c * x - s * y, y0 + s * x + c * y) for x, y in outline)


def _moved(obstacle: Obstacle, placed: PlacedLift) -> Obstacle:
    return evolve(obstacle, name=f"{placed.name} {obstacle.name}", outline=_shift(obstacle.outline, placed))

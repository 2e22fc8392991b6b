"""What could be changed in a shop so that a car fits: pure functions from one site to another.

Doors, bays, lifts, patches and holes stay as they are; so does everything else but what is changed.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Literal, TypeVar, get_args

import shapely
from attrs import evolve, frozen
from shapely.geometry.base import BaseGeometry

from standtrue.model.basics import Outline, Point
from standtrue.model.lift import Obstacle
from standtrue.model.reason import Ref
from standtrue.model.site import Site, Void
from standtrue.place.margin.pairs import Pair
from standtrue.plane.shapes import SLIVER_M, polygon

SubjectKind = Literal["obstacle", "equipment", "cover", "covers", "void", "wall"]

_KINDS: dict[str, SubjectKind] = {kind: kind for kind in get_args(SubjectKind)}

VOID_KINDS: frozenset[SubjectKind] = frozenset({"void", "cover", "covers"})

STEP_SINE = 0.05
"""Two edges that turn less than this are one line: where they meet, a moved wall gets a step."""

MITRE = 20.0

_T = TypeVar("_T", Obstacle, Void)


@frozen
class Subject:
    """One thing of the site that could be changed: an obstacle, stored equipment, a void or its covers, a wall.

    A cover is one `of` its void, `covers` are all of a void; a wall's number counts the outline's edges from 1, and
    its state is the side of the plan that it faces.
    """

    thing: Ref
    movable: bool = False

    @property
    def kind(self) -> SubjectKind:
        return _KINDS[self.thing.kind]

    @property
    def void(self) -> str:
        """The name of the void that is covered or filled."""
        return self.thing.of or self.thing.name

    @property
    def edge(self) -> int:
        """The wall's edge of the outline, from 0."""
        return self.thing.number - 1

    def touches(self, pair: Pair) -> bool:
        """Whether a change of this may change the pair. Narrow strips are told over all voids together."""
        if self.kind == "wall":
            return pair.kind == "wall"
        if self.kind in VOID_KINDS:
            return pair.kind == "void"
        return pair.thing == self.on_ground

    @property
    def on_ground(self) -> Ref:
        """This obstacle or piece of equipment as the ground has it."""
        return evolve(self.thing, state="stored") if self.kind == "equipment" else self.thing


def subjects(site: Site) -> Iterator[Subject]:
    """Everything that a remedy could change, in the order of the documents."""
    for obstacle in site.obstacles:
        yield Subject(Ref("obstacle", obstacle.name), obstacle.movable)
    for equipment in site.equipment:
        if equipment.store is not None:
            yield Subject(Ref("equipment", equipment.name), equipment.wheeled)
    for void in site.voids:
        opened = [c.name for c in void.covers if c.name not in void.closed]
        for cover in opened:
            yield Subject(Ref("cover", cover, of=void.name))
        if len(opened) > 1:
            yield Subject(Ref("covers", of=void.name))
        yield Subject(Ref("void", void.name))
    for edge in range(len(site.outline)):
        yield Subject(Ref("wall", number=edge + 1, state=_side(site.outline, edge)))


def taken_away(site: Site, subject: Subject) -> Site:
    """The site without the thing: an obstacle gone, a cover or all covers closed, a void filled."""
    name = subject.thing.name
    if subject.kind == "obstacle":
        return evolve(site, obstacles=tuple(o for o in site.obstacles if o.name != name))
    if subject.kind == "equipment":
        return evolve(site, equipment=tuple(evolve(e, store=None) if e.name == name else e for e in site.equipment))
    if subject.kind == "void":
        return evolve(site, voids=tuple(v for v in site.voids if v.name != name))
    return evolve(site, voids=tuple(_closed(v, name) if v.name == subject.void else v for v in site.voids))


def moved(site: Site, subject: Subject, by: Point) -> Site:
    """The site with an obstacle, or a piece of stored equipment, moved by so much, metres."""
    if subject.kind == "equipment":
        stored = (
            evolve(e, store=_shifted(e.store, by)) if e.name == subject.thing.name and e.store else e
            for e in site.equipment
        )
        return evolve(site, equipment=tuple(stored))
    things = (evolve(o, outline=_shifted(o.outline, by)) if o.name == subject.thing.name else o for o in site.obstacles)
    return evolve(site, obstacles=tuple(things))


def shrunk(site: Site, subject: Subject, by_m: float) -> Site:
    """The site with an obstacle's or a void's outline offset inward; it falls apart or vanishes where it is narrow."""
    if subject.kind == "void":
        return evolve(site, voids=tuple(_each_shrunk(site.voids, subject.thing.name, by_m)))
    return evolve(site, obstacles=tuple(_each_shrunk(site.obstacles, subject.thing.name, by_m)))


def narrowness(site: Site, subject: Subject) -> float:
    """How far an obstacle or a void can be offset inward until nothing is left of it, metres."""
    things: Iterable[Obstacle | Void] = site.voids if subject.kind == "void" else site.obstacles
    shapes = [polygon(t.outline) for t in things if t.name == subject.thing.name]
    return max(float(shapely.maximum_inscribed_circle(s).length) for s in shapes)


def wall_moved(site: Site, subject: Subject, by_m: float) -> Site | None:
    """The site with one edge of its outline moved outward, its neighbors prolonged (or, at a notch, shortened).

    Where a neighbor runs on in the same line the wall gets a step. None where the outline would cross itself.
    """
    outline, count, edge = site.outline, len(site.outline), subject.edge
    nx, ny = outward(outline, edge)
    start, end = outline[edge], outline[(edge + 1) % count]
    shifted = tuple((x + by_m * nx, y + by_m * ny) for x, y in (start, end))
    first = _corner(outline[edge - 1], start, shifted[0], (ny, -nx))
    last = _corner(outline[(edge + 2) % count], end, shifted[1], (ny, -nx))
    new = {
        edge: (start, shifted[0]) if first is None else (first,),
        (edge + 1) % count: (shifted[1], end) if last is None else (last,),
    }
    grown = tuple(p for i, point in enumerate(outline) for p in new.get(i, (point,)))
    shape = polygon(grown)
    (x0, y0), (x1, y1) = first or shifted[0], last or shifted[1]
    ahead = (y1 - y0) * nx - (x1 - x0) * ny
    if ahead <= 0.0 or not shape.is_valid or polygon(outline).difference(shape).area > 1e-9:
        return None
    return evolve(site, outline=grown)


def outward(outline: Outline, edge: int) -> Point:
    """The unit vector out of the room at one edge of a counter-clockwise outline."""
    (x0, y0), (x1, y1) = outline[edge], outline[(edge + 1) % len(outline)]
    long = math.dist((x0, y0), (x1, y1))
    return ((y1 - y0) / long, (x0 - x1) / long)


def _corner(far: Point, near: Point, on: Point, along: Point) -> Point | None:
    """Where the line of the neighbor from `far` to `near` meets the moved edge; None if it runs on in line with it."""
    dx, dy = near[0] - far[0], near[1] - far[1]
    cross = (dx * along[1] - dy * along[0]) / math.hypot(dx, dy)
    if abs(cross) < STEP_SINE:
        return None
    t = ((on[0] - near[0]) * along[1] - (on[1] - near[1]) * along[0]) / (cross * math.hypot(dx, dy))
    return (near[0] + t * dx, near[1] + t * dy)


def _side(outline: Outline, edge: int) -> str:
    """The side of the plan that an edge faces."""
    x, y = outward(outline, edge)
    if abs(x) >= abs(y):
        return "right" if x > 0.0 else "left"
    return "back" if y > 0.0 else "front"


def _closed(void: Void, cover: str) -> Void:
    """The void with one cover closed; with all for ""."""
    names = [c.name for c in void.covers] if not cover else [cover]
    return evolve(void, closed=(*void.closed, *(n for n in names if n not in void.closed)))


def _shifted(outline: Outline, by: Point) -> Outline:
    return tuple((x + by[0], y + by[1]) for x, y in outline)


def _each_shrunk(things: Iterable[_T], name: str, by_m: float) -> Iterator[_T]:
    for thing in things:
        if thing.name != name:
            yield thing
            continue
        less = polygon(thing.outline).buffer(-by_m, join_style="mitre", mitre_limit=MITRE)
        yield from (evolve(thing, outline=_ring(part)) for part in shapely.get_parts(less) if part.area > SLIVER_M**2)


def _ring(part: BaseGeometry) -> Outline:
    ring = shapely.get_coordinates(shapely.orient_polygons(part).exterior)[:-1]
    return tuple((float(x), float(y)) for x, y in ring)

"""What could be changed in a shop so that a car fits: pure functions from one site to another.

Doors, bays, lifts, patches and holes stay as they are; so does everything else but what is changed.
"""

from __future__ import annotations

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
from standtrue.place.question.walls import moved_outward, outward, side, wall_on, walls
from standtrue.plane.shapes import SLIVER_M, polygon

SubjectKind = Literal["obstacle", "equipment", "cover", "covers", "void", "wall"]

_KINDS: dict[str, SubjectKind] = {kind: kind for kind in get_args(SubjectKind)}

VOID_KINDS: frozenset[SubjectKind] = frozenset({"void", "cover", "covers"})

MITRE = 20.0

FACING = -0.99
"""The cosine between two walls' ways out, from which on they are over against each other."""

_T = TypeVar("_T", Obstacle, Void)


@frozen
class Subject:
    """One thing of the site that could be changed: an obstacle, stored equipment, a void or its covers, a wall.

    A cover is one `of` its void, `covers` are all of a void; a wall's number counts the outline's edges from 1, its
    first edge naming it, and its state is the side of the plan that it faces. `line` are a wall's two ends: by them it
    is known again where other walls were moved.
    """

    thing: Ref
    movable: bool = False
    line: tuple[Point, Point] | None = None

    @property
    def kind(self) -> SubjectKind:
        return _KINDS[self.thing.kind]

    @property
    def void(self) -> str:
        """The name of the void that is covered or filled."""
        return self.thing.of or self.thing.name

    def touches(self, pair: Pair) -> bool:
        """Whether a change of this may change the pair. Narrow strips are told over all voids together."""
        if self.kind == "wall":
            return pair.kind == "wall"
        if self.kind in VOID_KINDS:
            return pair.kind == "void"
        return pair.thing == self.on_ground

    def faces(self, other: Subject) -> bool:
        """Whether these are two walls over against each other."""
        if self.line is None or other.line is None:
            return False
        (x, y), (u, v) = outward(self.line), outward(other.line)
        return x * u + y * v < FACING

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
    for wall in walls(site.outline):
        yield Subject(Ref("wall", number=wall.edge + 1, state=side(wall.line)), line=wall.line)


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
    """The site with one wall moved outward; None where its outline would cross itself, or the wall is there no more."""
    wall = None if subject.line is None else wall_on(site.outline, subject.line)
    grown = None if wall is None else moved_outward(wall, by_m)
    return None if grown is None else evolve(site, outline=grown)


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

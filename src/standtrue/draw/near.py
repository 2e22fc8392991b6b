"""A near view: a car and its target nose up, numbered tapes, names in a column at each side. Values, before layout.

Everything is in the site frame, metres; `datum` turns it so that the car's nose points up.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import shapely
from attrs import evolve, frozen
from shapely.geometry.base import BaseGeometry

from standtrue.draw.shapes import Area, Drawing, Ruler, Shape, area, areas_of
from standtrue.model.basics import Outline, Place, Point
from standtrue.model.site import Datum

SLIVER_M2 = 1e-3
"""What shows less of itself than this cannot be pointed to."""

CORNER_M = 0.45
"""How long the marks are that stand for a bay's corners."""


@frozen
class Tape:
    """One numbered line; those of a target are drawn heavier than those of the car."""

    number: str
    start: Point
    end: Point
    heavy: bool = False


@frozen
class Tag:
    """A short name that stands right beside its point, on the side to which `toward` looks if there is room."""

    text: str
    at: Point
    toward: Point = (0.0, 0.0)


@frozen
class Name:
    """A name in a column, with a leader to its point, or to what can be seen of its `areas`.

    Those first in their list are the last to go. `via`: where a tape comes from that runs to a point off the drawing.
    """

    text: str
    at: Point
    bold: bool = False
    areas: tuple[Area, ...] = ()
    via: Point | None = None


@frozen
class Dimension:
    """A measured length between two points, drawn along the car (`along`) or across it."""

    start: Point
    end: Point
    text: str
    along: bool = True


@frozen(eq=False)
class Near:
    """What a near view shows. `essential` are the points that must be on it; `room` and `car` are for the key plan.

    `title` and `told` say what it shows, for those who do not see it.
    """

    datum: Datum
    shapes: tuple[Shape, ...]
    essential: tuple[Point, ...]
    tapes: tuple[Tape, ...]
    tags: tuple[Tag, ...]
    names: tuple[Name, ...]
    dimensions: tuple[Dimension, ...]
    room: Outline
    car: Outline
    key: Datum
    ruler: Ruler
    scale: str
    title: str
    told: str
    key_words: str
    """Beside the key plan; empty: there is none."""

    @property
    def drawing(self) -> Drawing:
        """The shapes as a drawing turned nose up."""
        return Drawing(self.title, (), "", self.datum, self.shapes)


def nose_up(place: Place) -> Datum:
    """The frame of a drawing on which the car at this place looks up."""
    return Datum((place.x_m, place.y_m), place.heading_rad - math.pi / 2)


def in_site(point: Point, datum: Datum) -> Point:
    """A point of the drawing's frame in the site frame."""
    c, s = math.cos(datum.direction_rad), math.sin(datum.direction_rad)
    return datum.at[0] + c * point[0] - s * point[1], datum.at[1] + s * point[0] + c * point[1]


def clipped(shapes: Sequence[Shape], window: Outline) -> tuple[Shape, ...]:
    """What of the shapes lies in the window."""
    frame = shapely.Polygon(window)
    shapely.prepare(frame)
    return tuple(
        cut for shape in shapes if (cut := _cut(shape, frame)).areas or cut.lines or cut.spots
    )  # fmt: skip


def _cut(shape: Shape, frame: shapely.Polygon) -> Shape:
    whole = shapely.union_all([shapely.Polygon(outer, holes) for outer, holes in shape.areas])
    lines = shapely.intersection(shapely.MultiLineString([list(line) for line in shape.lines]), frame)
    return evolve(
        shape,
        areas=areas_of(whole.intersection(frame)) if shape.areas else (),
        lines=tuple(
            _points(part) for part in shapely.get_parts(lines) if part.geom_type == "LineString" and part.length
        ),
        spots=tuple(p for p in shape.spots if frame.covers(shapely.Point(p))),
    )


def seen(name: Name, window: Outline) -> Point | None:
    """What a name points to in the window, in the site frame; None where nothing of it can be seen."""
    frame = shapely.Polygon(window)
    if not name.areas:
        if frame.covers(shapely.Point(name.at)):
            return name.at
        left = None if name.via is None else within(name.via, name.at, window)
        return None if left is None else left[1]
    whole = shapely.union_all([shapely.Polygon(outer, holes) for outer, holes in name.areas]).intersection(frame)
    parts = [p for p in shapely.get_parts(whole) if p.geom_type == "Polygon" and p.area > SLIVER_M2]
    if not parts:
        return None
    x, y = max(parts, key=lambda p: float(p.area)).representative_point().coords[0]
    return float(x), float(y)


def within(start: Point, end: Point, window: Outline) -> tuple[Point, Point] | None:
    """What of a straight line can be seen in the window; None where nothing can."""
    seen_part = shapely.LineString([start, end]).intersection(shapely.Polygon(window))
    if seen_part.geom_type != "LineString" or seen_part.is_empty:
        return None
    points = _points(seen_part)
    return points[0], points[-1]


CASTER_M = 0.035
"""How far the dot that stands for a caster reaches about its middle."""


def conventional(shape: Shape, caster_m: float = CASTER_M) -> tuple[Shape, ...]:
    """A shape as it is drawn: casters in what rolls, one diagonal over a cover, a bay as its corners."""
    if shape.role == "bay" and shape.areas:
        return (evolve(shape, areas=(), lines=tuple(_corners(shape))),)
    if shape.role == "movable":
        casters = tuple(a for c in _casters(shape, caster_m) for a in area(c))
        return (shape, Shape("wheel", shape.meaning, casters, faded=shape.faded))
    if shape.role == "closed cover":
        return (evolve(shape, lines=tuple((outer[0], outer[2]) for outer, _ in shape.areas if len(outer) == 4)),)
    return (shape,)


def _corners(shape: Shape) -> list[Outline]:
    found: list[Outline] = []
    for outer, _ in shape.areas:
        for before, at, after in zip((outer[-1], *outer), outer, (*outer[1:], outer[0]), strict=False):
            found.append((_toward(at, before), at, _toward(at, after)))
    return found


def _toward(start: Point, end: Point) -> Point:
    share = min(0.5, CORNER_M / max(math.dist(start, end), 1e-9))
    return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])


def _casters(shape: Shape, caster_m: float) -> list[Outline]:
    """A small octagon in each corner of a thing on casters."""
    found = []
    for outer, _ in shape.areas:
        box = shapely.minimum_rotated_rectangle(shapely.Polygon(outer))
        corners = shapely.get_coordinates(box)[:4]
        x, y = float(corners[:, 0].mean()), float(corners[:, 1].mean())
        for cx, cy in corners:
            at = shapely.Point(x + 0.78 * (float(cx) - x), y + 0.78 * (float(cy) - y))
            found.append(_points(at.buffer(caster_m, quad_segs=2).exterior)[:-1])
    return found


def _points(line: BaseGeometry) -> Outline:
    return tuple((float(x), float(y)) for x, y in shapely.get_coordinates(line))

"""What a plan is made of: shapes with a meaning, measures and words, before any back end draws them.

Positions are in the site frame, metres. A back end (SVG here) turns the plan so that the datum's
direction points right, and decides how each role looks.
"""

from __future__ import annotations

from typing import Literal

from attrs import frozen
from shapely.geometry.base import BaseGeometry

from standtrue.model.basics import Outline, Point
from standtrue.model.site import Datum

Role = Literal[
    "region", "bay", "unsurveyed", "patch", "uneven", "void", "slot", "open cover", "closed cover", "flush deck",
    "ramp", "radius plate", "stored", "zone plain", "zone clear", "zone metal-free", "zone walk", "zone stand",
    "swept", "wheel strip", "ghost",
    "equipment", "exit", "person", "obstacle", "movable", "overhead", "lift part", "post", "raised deck", "wall",
    "hole", "door", "contour", "survey point", "barrier", "planned", "wheel", "mirror", "body", "front", "centerline",
    "reference", "heading", "target path", "target", "slide", "reverse", "forward", "mark", "datum", "axle", "turn",
    "nearest", "correction", "touch",
]  # fmt: skip
"""What a shape means. The order is the order of drawing, from the floor up."""

Area = tuple[Outline, tuple[Outline, ...]]
"""An outer ring and its holes."""


@frozen
class Shape:
    """One thing on the plan.

    `label` is what is written in or beside it (nothing if empty), in `room` where that is given; `tag`
    is a letter that names a measured point; `meaning` says in words what it is and what it does to
    the answer.
    """

    role: Role
    meaning: str
    areas: tuple[Area, ...] = ()
    lines: tuple[Outline, ...] = ()
    spots: tuple[Point, ...] = ()
    label: str = ""
    tag: str = ""
    room: tuple[Area, ...] = ()


@frozen
class Measure:
    """A point to lay out, from the datum along its direction (`right`) and across it (`up`), metres.

    `faces_rad` is counter-clockwise from the datum's direction. `height_m` is above the shop floor.
    """

    tag: str
    name: str
    right_m: float
    up_m: float
    height_m: float | None = None
    faces_rad: float | None = None


@frozen
class Paragraph:
    """A heading and the sentences under it."""

    heading: str
    sentences: tuple[str, ...]


@frozen
class Drawing:
    """A whole drawing: what a back end needs, and nothing that it would have to work out.

    `caption` is a warning that stands right under the picture.
    """

    title: str
    facts: tuple[tuple[str, str], ...]
    verdict: str
    datum: Datum
    shapes: tuple[Shape, ...]
    measures: tuple[Measure, ...] = ()
    measures_heading: str = ""
    caption: str = ""
    paragraphs: tuple[Paragraph, ...] = ()
    cautions: tuple[str, ...] = ()
    demonstration: bool = False


def areas_of(geometry: BaseGeometry) -> tuple[Area, ...]:
    """The polygons of a geometry, largest first, as rings."""
    parts = getattr(geometry, "geoms", [geometry])
    found = [p for p in parts if p.geom_type == "Polygon" and not p.is_empty]
    found.sort(key=lambda p: (-round(p.area, 9), p.bounds))
    return tuple((_ring(p.exterior), tuple(_ring(hole) for hole in p.interiors)) for p in found)


def area(outline: Outline) -> tuple[Area, ...]:
    """One area without holes."""
    return ((outline, ()),)


def _ring(ring: BaseGeometry) -> Outline:
    return tuple((float(x), float(y)) for x, y in list(ring.coords)[:-1])

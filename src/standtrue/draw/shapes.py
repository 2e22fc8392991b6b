"""What a drawing is made of: shapes with a meaning, measures and words, before any back end draws them.

Positions are in the site frame, metres; a drawing is turned so that the datum's direction points right. Nothing here
makes a sentence: a drawing comes with its own texts, and with a `Wording` for all else that a sheet says.
"""

from __future__ import annotations

from typing import Literal

from attrs import frozen
from shapely.geometry.base import BaseGeometry

from standtrue.model.basics import Outline, Point
from standtrue.model.reader_units import Paper
from standtrue.model.site import Datum

Role = Literal[
    "region", "bay", "unsurveyed", "patch", "uneven", "void", "slot", "open cover", "closed cover", "flush deck",
    "ramp", "radius plate", "stored", "zone plain", "zone clear", "zone metal-free", "zone walk", "zone stand",
    "swept", "ghost", "equipment", "exit", "person", "obstacle", "movable", "overhead", "lift part", "post",
    "raised deck", "wall",
    "hole", "door", "way in", "contour", "survey point", "barrier", "planned", "mirror", "body", "wheel", "glass",
    "front", "centerline", "reference", "string", "heading", "target path", "target", "slide", "reverse", "forward",
    "mark", "datum", "axle", "steer", "turn", "nearest", "correction", "touch", "in the way",
]  # fmt: skip
"""What a shape means. The order is the order of drawing, from the floor up."""

Area = tuple[Outline, tuple[Outline, ...]]
"""An outer ring and its holes."""


@frozen
class Shape:
    """One thing on the floor.

    `label` is its name (nothing if empty); `tag` a letter that names a measured point; `meaning` says in words what it
    is and what it does to the answer. `faded`: it does not matter here, and is drawn with little ink.
    """

    role: Role
    meaning: str
    areas: tuple[Area, ...] = ()
    lines: tuple[Outline, ...] = ()
    spots: tuple[Point, ...] = ()
    label: str = ""
    tag: str = ""
    faded: bool = False


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
class Chain:
    """A dimension drawn on the floor: from a mark, a wheel or the car's front to a point, in the site frame.

    It is drawn along the datum's direction, across it, or straight between the points.
    """

    start: Point
    end: Point
    text: str
    way: Literal["right", "up", "between"]


@frozen
class Paragraph:
    """A heading and the sentences under it."""

    heading: str
    sentences: tuple[str, ...]


@frozen
class TitleBlock:
    """What stands at the foot of a sheet: what it is, what it answers, and what it was drawn from."""

    sheet: str
    question: str
    rests_on: str = ""


@frozen
class Drawing:
    """A whole drawing of a floor: what is on it, and what is said of it in the reader's language already.

    `caption` is a warning that stands over the picture. `notes` must be known to read this picture, `short` are the
    cautions that matter to it, in a few words each; `facts`, `measures`, `paragraphs` and `cautions` are told to those
    who do not see it.
    """

    title: str
    facts: tuple[tuple[str, str], ...]
    verdict: str
    datum: Datum
    shapes: tuple[Shape, ...]
    measures: tuple[Measure, ...] = ()
    caption: str = ""
    paragraphs: tuple[Paragraph, ...] = ()
    cautions: tuple[str, ...] = ()
    demonstration: bool = False
    chains: tuple[Chain, ...] = ()
    notes: tuple[str, ...] = ()
    short: tuple[str, ...] = ()
    block: TitleBlock | None = None
    paper: Paper = "letter"


@frozen
class Ruler:
    """The unit of a scale bar: how long it is, metres, how it is written, and the steps that a bar may have."""

    unit_m: float
    unit: str
    steps: tuple[float, ...]

    def step(self, mm_a_metre: float, least_mm: float) -> tuple[float, float]:
        """The least step that is so long on the sheet, in units and in millimetres."""
        k = mm_a_metre * self.unit_m
        step = next((s for s in self.steps if s * k >= least_mm), self.steps[-1])
        return step, step * k


@frozen(eq=False)
class Wording:
    """What a sheet says beside the drawing's own texts, in the reader's language.

    `told` is the whole drawing in words. `scale` and `bar` are of a drawing on paper and of a small one: in them
    `{scale}` stands for the denominator and `{step}` for a bar's length. `cells` are those of the title block, name and
    what it says; the one that says nothing is the scale's.
    """

    language: str
    told: str
    ruler: Ruler
    scale: str
    bar: str
    banner: str
    cautions_heading: str
    cells: tuple[tuple[str, str], ...]


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

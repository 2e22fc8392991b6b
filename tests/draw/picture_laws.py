"""What is true of every picture: read from its SVG alone, with the letters as wide as the widest common font's.

A name is a group of the class `name`, its lines inside; the line from it to its thing is of the class `leader`. The
root's class says what it is: `whole` (a whole floor), `near` (a car and what is about it), `strip` (several whole
floors, each a picture of its own in it) or `chart`.
"""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Iterator, Sequence
from xml.etree import ElementTree

import shapely
from attrs import field, frozen
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from standtrue.draw.lettering import TEXT_MM, width_mm

SVG = "{http://www.w3.org/2000/svg}"

PAGES_MM = {
    "Letter": (215.9, 279.4), "Legal": (215.9, 355.6), "Tabloid": (279.4, 431.8),
    "A4": (210.0, 297.0), "A3": (297.0, 420.0), "A2": (420.0, 594.0),
}  # fmt: skip
"""Paper that printers have (ANSI/ASME Y14.1, ISO 216; Legal as sold in the USA), upright."""

MARGIN_MM = 5.0
"""No printer reaches nearer to the edge of its paper than about this (common practice, no source)."""

MOST_NAMES = {"whole": 7, "near": 12, "chart": 0, "strip": 7}
"""In one picture: a strip has several."""

_UPPER, _LOWER = 0.74, 0.22
"""How far letters reach above and below their baseline, over the type size: capitals and ascenders, descenders."""

_TOUCH_MM2 = 0.6
"""Boxes of two texts may share so much: they are as wide as the widest font, and drawn letters are narrower."""


@frozen
class Written:
    """One line of text: its words, its box as a polygon, and the number of the name that it is part of."""

    words: str
    box: BaseGeometry = field(repr=False)
    size_mm: float
    name: int | None = None


@frozen(eq=False)
class Picture:
    """A picture as read: millimetres, y down."""

    kind: str
    size: tuple[float, float]
    texts: tuple[Written, ...]
    names: int
    leaders: tuple[tuple[tuple[float, float], ...], ...]
    hatches: tuple[BaseGeometry, ...] = ()


def read_picture(svg: str) -> Picture:
    """What a picture is made of. Raises ElementTree.ParseError for what is no XML."""
    root = ElementTree.fromstring(svg)
    size = float(root.attrib["width"].removesuffix("mm")), float(root.attrib["height"].removesuffix("mm"))
    texts, leaders, names = list[Written](), list[tuple[tuple[float, float], ...]](), itertools.count()
    hatches = list[BaseGeometry]()
    for element, turned, name in _walk(root, (1.0, 0.0, 0.0, 1.0, 0.0, 0.0), None, names):
        if element.tag == f"{SVG}text":
            texts.append(_written(element, turned, name))
        elif element.attrib.get("class") == "leader":
            leaders.append(_moved(_line(element), turned))
        elif element.attrib.get("class") == "hatch":
            hatches.append(affinity.affine_transform(_strokes(element), turned))
    kind = root.attrib.get("class", "")
    most = max((sum(1 for _ in _classed(one, "name")) for one in root.iter(f"{SVG}svg") if one is not root), default=0)
    count = most if kind == "strip" else next(names)
    return Picture(kind, size, tuple(texts), count, tuple(leaders), tuple(hatches))


def faults(picture: Picture) -> list[str]:
    """Everything of a picture that breaks a law, in words; empty for one that keeps them."""
    found = [
        *_page(picture),
        *_names(picture),
        *_outside(picture),
        *_overlaps(picture),
        *_leaders(picture),
        *_hatched(picture),
    ]
    return [*found, *(f"too small to read: {t.words!r}" for t in picture.texts if t.size_mm < TEXT_MM - 1e-6)]


def _page(picture: Picture) -> Iterator[str]:
    pages = [size for w, h in PAGES_MM.values() for size in ((w, h), (h, w))]
    if not any(math.dist(picture.size, page) < 0.2 for page in pages):
        yield "no printer has paper of {:.1f} x {:.1f} mm".format(*picture.size)


def _names(picture: Picture) -> Iterator[str]:
    if picture.kind not in MOST_NAMES:
        yield f"it does not say what it is: {picture.kind!r}"
    elif picture.names > MOST_NAMES[picture.kind]:
        yield f"{picture.names} names: at most {MOST_NAMES[picture.kind]}"


def _outside(picture: Picture) -> Iterator[str]:
    wide, high = picture.size
    room = shapely.box(MARGIN_MM, MARGIN_MM, wide - MARGIN_MM, high - MARGIN_MM)
    yield from (f"off the page: {t.words!r}" for t in picture.texts if not room.covers(t.box))


def _overlaps(picture: Picture) -> Iterator[str]:
    boxes = [t.box for t in picture.texts]
    tree = shapely.STRtree(boxes)
    for i, j in () if not boxes else zip(*tree.query(boxes, predicate="intersects"), strict=True):
        if i < j and boxes[i].intersection(boxes[j]).area > _TOUCH_MM2:
            yield f"over each other: {picture.texts[i].words!r} and {picture.texts[j].words!r}"


def _hatched(picture: Picture) -> Iterator[str]:
    """Names under a hatch."""
    named = [t for t in picture.texts if t.name is not None]
    for hatch in picture.hatches:
        shapely.prepare(hatch)
        yield from (f"under a hatch: {t.words!r}" for t in named if hatch.intersects(t.box))


def _leaders(picture: Picture) -> Iterator[str]:
    lines = [shapely.LineString(points) for points in picture.leaders]
    for a, b in itertools.combinations(range(len(lines)), 2):
        if lines[a].intersects(lines[b]):
            yield f"leaders cross: {picture.leaders[a]} and {picture.leaders[b]}"
    for line, text in itertools.product(lines, picture.texts):
        if line.intersection(text.box).length > 0.6:
            yield f"a leader runs through {text.words!r}"
    if picture.kind == "near":
        for points in picture.leaders:
            yield from (f"a leader is neither level nor at 45 degrees: {points}" for _ in _slanted(points))


def _slanted(points: Sequence[tuple[float, float]]) -> Iterator[float]:
    for one, two in itertools.pairwise(points):
        rise, run = abs(two[1] - one[1]), abs(two[0] - one[0])
        if min(rise, abs(rise - run)) > 0.03:
            yield rise


_Affine = tuple[float, float, float, float, float, float]


def _walk(
    element: ElementTree.Element, turned: _Affine, name: int | None, names: itertools.count[int]
) -> Iterator[tuple[ElementTree.Element, _Affine, int | None]]:
    """Every element with what moves it, and the number of the name it belongs to."""
    if element.attrib.get("class") == "name":
        name = next(names)
    moved = _then(turned, element)
    yield element, moved, name
    for child in element:
        yield from _walk(child, moved, name, names)


def _then(outer: _Affine, element: ElementTree.Element) -> _Affine:
    """The outer movement with an element's own: a nested picture's place, a turn about a point, a shift."""
    own = _shift(float(element.attrib.get("x", 0)), float(element.attrib.get("y", 0)))
    own = own if element.tag == f"{SVG}svg" else _shift(0.0, 0.0)
    for what, given in re.findall(r"(\w+)\(([^)]*)\)", element.attrib.get("transform", "")):
        numbers = [float(v) for v in re.split(r"[ ,]+", given.strip())]
        assert what in ("rotate", "translate"), what
        if what == "translate":
            own = _times(own, _shift(numbers[0], numbers[1] if len(numbers) > 1 else 0.0))
        else:
            turn = math.radians(numbers[0])
            x, y = numbers[1:] if len(numbers) > 1 else (0.0, 0.0)
            c, s = math.cos(turn), math.sin(turn)
            own = _times(own, (c, -s, s, c, x - c * x + s * y, y - s * x - c * y))
    return _times(outer, own)


def _shift(x: float, y: float) -> _Affine:
    return 1.0, 0.0, 0.0, 1.0, x, y


def _times(p: _Affine, q: _Affine) -> _Affine:
    """First `q`, then `p`; as shapely's: a, b, d, e, x, y."""
    a, b, d, e, x, y = p
    return (
        a * q[0] + b * q[2], a * q[1] + b * q[3], d * q[0] + e * q[2], d * q[1] + e * q[3],
        a * q[4] + b * q[5] + x, d * q[4] + e * q[5] + y,
    )  # fmt: skip


def _written(element: ElementTree.Element, turned: _Affine, name: int | None) -> Written:
    words, given = "".join(element.itertext()), element.attrib
    size = float(given.get("font-size", TEXT_MM))
    wide = width_mm(words, size, given.get("font-weight") == "bold")
    left = float(given["x"]) - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[given.get("text-anchor", "start")]
    base = float(given["y"]) + float(given.get("dy", "0em").removesuffix("em")) * size
    box = shapely.box(left, base - _UPPER * size, left + wide, base + _LOWER * size)
    return Written(words, affinity.affine_transform(box, turned), size, name)


def _classed(element: ElementTree.Element, kind: str) -> Iterator[ElementTree.Element]:
    return (one for one in element.iter() if one.attrib.get("class") == kind)


def _strokes(element: ElementTree.Element) -> BaseGeometry:
    """The strokes of a hatch; its dots as points."""
    lines = [re.findall(r"(-?[0-9.]+),(-?[0-9.]+)", stroke) for stroke in element.attrib["d"].split("M")[1:]]
    points = [[(float(x), float(y)) for x, y in line] for line in lines]
    strokes = [shapely.LineString(p) if p[0] != p[-1] else shapely.Point(p[0]) for p in points]
    return shapely.union_all(strokes)


def _line(element: ElementTree.Element) -> list[tuple[float, float]]:
    if element.tag == f"{SVG}line":
        one, two = ((float(element.attrib[f"x{i}"]), float(element.attrib[f"y{i}"])) for i in (1, 2))
        return [one, two]
    points = re.findall(r"(-?[0-9.]+),(-?[0-9.]+)", element.attrib["d"])
    return [(float(x), float(y)) for x, y in points]


def _moved(points: Sequence[tuple[float, float]], by: _Affine) -> tuple[tuple[float, float], ...]:
    a, b, d, e, x, y = by
    return tuple((a * px + b * py + x, d * px + e * py + y) for px, py in points)

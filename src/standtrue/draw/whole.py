"""A whole view laid out: the floor to scale with its few names, dimensions and numbered turns. Millimetres, y down."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely
from attrs import field, frozen
from shapely.geometry.base import BaseGeometry

from standtrue.draw.lettering import width_mm
from standtrue.draw.near import conventional
from standtrue.draw.scaled import Bounds, Paper, bounds_of, footprint, polygons
from standtrue.draw.shapes import Chain, Drawing, Role, Shape
from standtrue.draw.styles import BLACK, STYLES, Styles
from standtrue.draw.whole_names import AIR_MM, Lettering, Wish, Written, text_box
from standtrue.model.basics import Point

MOST_NAMES, MOST_CHAINS = 7, 4

SCALES: tuple[int, ...] = (
    20, 25, 40, 50, 75, 100, 125, 150, 200, 250, 300, 400, 500, 600, 800, 1000, 1500, 2000, 3000, 5000, 10000,
)  # fmt: skip

PAD_MM = 3.0
"""Room about the floor."""

CASTER_M = 0.06
"""The dots of what rolls: larger than near by, to be seen."""

NEED: tuple[Role, ...] = (
    "void", "body", "planned", "wheel", "target", "ghost", "barrier", "in the way", "touch", "nearest", "datum", "mark",
    "equipment", "door", "survey point", "uneven", "unsurveyed", "bay", "contour",
)  # fmt: skip
"""Whose names are written, in the order in which they are needed: open pits always, then the car and its target."""

UNDRAWN: frozenset[Role] = frozenset({"axle", "heading", "reference", "radius plate"})
"""What a whole view does not draw."""

_INSIDE: frozenset[Role] = frozenset({"body", "planned", "bay", "door", "uneven", "unsurveyed"})
"""In what a name may lie."""

_BOLD: frozenset[Role] = frozenset(
    {"void", "body", "planned", "target", "ghost", "barrier", "in the way", "touch", "nearest"}
)
_HEAVY: frozenset[Role] = frozenset({"body", "target", "forward", "reverse", "slide", "in the way", "touch", "nearest"})
_RINGED: frozenset[Role] = frozenset({"turn", "steer"})
"""The marks of a way by which its legs are told."""

_CHAIN_MM = 6.0
"""From the floor to a dimension beside it, and from one dimension to the next."""

_BESIDE_CAR_MM = (4.0, 6.0, 8.0, 10.0, 12.0, 14.0, 16.0)
"""How far beside the line ahead of the car its dimension may be drawn."""


@frozen
class SetChain:
    """A dimension's line, the points that it measures, and the box of its figure."""

    text: str
    line: tuple[Point, Point]
    points: tuple[Point, Point]
    box: Bounds


@frozen
class SetRing:
    """A numbered turn: its ring, on its point or beside it."""

    tag: str
    spot: Point
    at: Point
    radius: float


@frozen(eq=False)
class Floor:
    """A floor laid out at one scale within a frame; `parts` are its shapes as they are drawn."""

    parts: tuple[Shape, ...]
    paper: Paper
    denominator: int
    frame: Bounds
    text_mm: float
    names: tuple[Written, ...]
    chains: tuple[SetChain, ...]
    rings: tuple[SetRing, ...]
    styles: Styles = field(default=STYLES, repr=False)


@frozen
class Placed:
    """Where a floor lies within a frame, and how much of the frame it takes."""

    paper: Paper
    denominator: int
    frame: Bounds


def lay_floor(drawing: Drawing, frame: Bounds, text_mm: float, styles: Styles = STYLES) -> Floor:
    """The floor at the largest neat scale within the frame, at its top, amid its width.

    Raises ValueError where no scale is small enough.
    """
    placed = place_floor(drawing, frame, text_mm)
    return fill(drawing, placed.paper, placed.denominator, placed.frame, text_mm, styles)


def place_floor(drawing: Drawing, frame: Bounds, text_mm: float) -> Placed:
    """The same, with nothing drawn or named."""
    denominator = scale_for(drawing, frame, text_mm)
    k = 1000.0 / denominator
    bounds = bounds_of(drawing)
    left, right, low = _margins(drawing.chains, text_mm)
    wide = (bounds[2] - bounds[0]) * k
    x = frame[0] + left + (frame[2] - frame[0] - left - right - wide) / 2
    paper = Paper(drawing, k, x, frame[1] + PAD_MM, bounds)
    high = (bounds[3] - bounds[1]) * k + PAD_MM + low
    return Placed(paper, denominator, (frame[0], frame[1], frame[2], frame[1] + high))


def scale_for(drawing: Drawing, frame: Bounds, text_mm: float) -> int:
    """The denominator of the largest neat scale at which the floor lies within the frame with its dimensions."""
    x0, y0, x1, y1 = bounds_of(drawing)
    left, right, low = _margins(drawing.chains, text_mm)
    room = frame[2] - frame[0] - left - right, frame[3] - frame[1] - PAD_MM - low
    fitting = (s for s in SCALES if (x1 - x0) * 1000 / s <= room[0] and (y1 - y0) * 1000 / s <= room[1])
    found = next(fitting, None)
    if found is None:
        raise ValueError("the floor is larger than any scale can show")
    return found


def fill(
    drawing: Drawing, paper: Paper, denominator: int, frame: Bounds, text_mm: float, styles: Styles = STYLES
) -> Floor:
    """Dimensions first, then the numbered turns, then the names as they are needed."""
    return fill_each(drawing, paper, denominator, frame, (text_mm,), styles)[0]


def fill_each(
    drawing: Drawing,
    paper: Paper,
    denominator: int,
    frame: Bounds,
    texts_mm: Sequence[float],
    styles: Styles = STYLES,
) -> list[Floor]:
    """The same once for each size of its letters."""
    ground = _ground(drawing, paper, styles)
    return [_filled(ground, denominator, frame, text_mm) for text_mm in texts_mm]


@frozen(eq=False)
class _Ground:
    """What of a floor is the same for letters of any size, on the sheet.

    The shapes and what they cover, `parts` as they are drawn, every outline with what it costs to cross it.
    """

    drawing: Drawing
    paper: Paper
    styles: Styles
    shapes: tuple[Shape, ...]
    parts: tuple[Shape, ...]
    prints: list[BaseGeometry]
    outlines: list[tuple[BaseGeometry, float]]
    hiding: frozenset[Role]


def _ground(drawing: Drawing, paper: Paper, styles: Styles) -> _Ground:
    shapes = tuple(s for s in drawing.shapes if s.role not in UNDRAWN)
    parts = tuple(part for s in shapes for part in conventional(s, CASTER_M))
    hiding = _hiding(styles)
    prints = [footprint(s, paper) for s in shapes]
    return _Ground(drawing, paper, styles, shapes, parts, prints, list(_outlines(parts, paper, hiding)), hiding)


def _filled(ground: _Ground, denominator: int, frame: Bounds, text_mm: float) -> Floor:
    drawing, paper, shapes, prints, hiding = ground.drawing, ground.paper, ground.shapes, ground.prints, ground.hiding
    taken = shapely.union_all([line for line, _ in ground.outlines] if drawing.chains else [])
    chains = _chains(drawing, paper, text_mm, taken)
    never = [g for g, s in zip(prints, shapes, strict=True) if s.role in hiding]
    figures = [shapely.box(*c.box) for c in chains]
    lettering = Lettering(frame, text_mm, never, [*ground.outlines, *_chain_lines(chains)], figures)
    rings = tuple(_rings(shapes, paper, frame, text_mm, lettering.apart))
    named = [i for i, s in enumerate(shapes) if s.label and s.role in NEED and not prints[i].is_empty]
    for i in sorted(named, key=lambda i: (NEED.index(shapes[i].role), i)):
        if len(lettering.written) < MOST_NAMES:
            over = [
                g for g, s in zip(prints[i + 1 :], shapes[i + 1 :], strict=True) if s.role in hiding or s.role == "body"
            ]
            lettering.write(_wish(shapes[i], prints[i], over, paper))
    names, parts, styles = tuple(lettering.written), ground.parts, ground.styles
    return Floor(parts, paper, denominator, frame, text_mm, names, tuple(chains), rings, styles)


def _hiding(styles: Styles) -> frozenset[Role]:
    """What no name may touch: hatched, or solid ink."""
    return frozenset(role for role, style in styles.items() if style.hatch is not None or style.fill == BLACK)


def _margins(chains: Sequence[Chain], text_mm: float) -> tuple[float, float, float]:
    """Room at the left, at the right and below, for dimensions."""
    ups = [c for c in chains[:MOST_CHAINS] if c.way == "up"]
    rights = sum(c.way == "right" for c in chains[:MOST_CHAINS])
    return (
        PAD_MM + sum(width_mm(c.text, text_mm) + 3.0 for c in ups),
        PAD_MM,
        PAD_MM + (rights * _CHAIN_MM + 2.0 if rights else 0.0),
    )


def _outlines(shapes: Sequence[Shape], paper: Paper, hiding: frozenset[Role]) -> Iterator[tuple[BaseGeometry, float]]:
    """Every line that a name should rather not cross, and what a millimetre of it costs."""
    for shape in shapes:
        weight = 4.0 if shape.role in _HEAVY else 0.6
        if shape.areas and shape.role not in hiding:
            yield polygons(shape.areas, paper).boundary, weight
        for line in shape.lines:
            yield shapely.LineString([paper.at(p) for p in line]), weight
        for spot in shape.spots:
            yield shapely.Point(paper.at(spot)).buffer(1.2).exterior, weight


def _chain_lines(chains: Sequence[SetChain]) -> Iterator[tuple[BaseGeometry, float]]:
    for chain in chains:
        yield shapely.LineString(chain.line), 2.0
        for point, end in zip(chain.points, chain.line, strict=True):
            yield shapely.LineString([point, end]), 1.0


def _wish(shape: Shape, covers: BaseGeometry, over: Sequence[BaseGeometry], paper: Paper) -> Wish:
    """A name with what can be seen of its thing: what lies under hatches and cars is not."""
    thing = polygons(shape.areas, paper) if shape.areas else covers
    seen = thing
    if shape.areas and over:
        seen = thing.difference(shapely.union_all(over, grid_size=1e-3), grid_size=1e-3)
        seen = thing if seen.is_empty else seen
    return Wish(shape.label, thing, _spot(shape, seen, paper), shape.role in _INSIDE, shape.role in _BOLD)


def _spot(shape: Shape, seen: BaseGeometry, paper: Paper) -> Point:
    if shape.lines and shape.role in ("touch", "nearest", "in the way"):
        (x0, y0), (x1, y1) = (paper.at(shape.lines[0][k]) for k in (0, -1))
        return (x0 + x1) / 2, (y0 + y1) / 2
    if shape.spots:
        return paper.at(shape.spots[0])
    if not shape.areas:
        line = shapely.LineString([paper.at(p) for p in shape.lines[0]])
        x, y = line.interpolate(0.5, normalized=True).coords[0]
    else:
        largest = max((p for p in shapely.get_parts(seen)), key=lambda p: float(p.area))
        x, y = largest.representative_point().coords[0]
    return float(x), float(y)


def _chains(drawing: Drawing, paper: Paper, text_mm: float, taken: BaseGeometry) -> list[SetChain]:
    """Every dimension: those from the datum outside the floor, that ahead of the car where it hides the least."""
    found: list[SetChain] = []
    x0, y0, _, _ = paper.bounds
    low, left = paper.down(y0) + _CHAIN_MM, paper.right(x0) - 2.0
    for chain in drawing.chains[:MOST_CHAINS]:
        points = paper.at(chain.start), paper.at(chain.end)
        (ax, ay), (bx, by) = points
        if chain.way == "right":
            line = ((ax, low), (bx, low))
            low += _CHAIN_MM
        elif chain.way == "up":
            half = width_mm(chain.text, text_mm) / 2 + 1.5
            line = ((left - half, ay), (left - half, by))
            left -= 2 * half
        else:
            line = _beside_car(points, chain.text, text_mm, taken)
        found.append(SetChain(chain.text, line, points, _figure(chain.text, line, text_mm)))
    return found


def _beside_car(points: tuple[Point, Point], text: str, text_mm: float, taken: BaseGeometry) -> tuple[Point, Point]:
    """A line beside that from point to point, where its figure covers the least of what is drawn."""
    (ax, ay), (bx, by) = points
    long = max(math.dist(*points), 1e-9)
    nx, ny = (by - ay) / long, (ax - bx) / long
    tried = [
        ((ax + off * nx, ay + off * ny), (bx + off * nx, by + off * ny))
        for off in (side * far for far in _BESIDE_CAR_MM for side in (1.0, -1.0))
    ]
    costs = [
        float(shapely.box(*_figure(text, line, text_mm)).intersection(taken).length) + 0.4 * (i // 2)
        for i, line in enumerate(tried)
    ]
    return tried[costs.index(min(costs))]


def _figure(text: str, line: tuple[Point, Point], text_mm: float) -> Bounds:
    """The box of a figure in a gap of its line, or beyond the line's end where that is too short for it."""
    (ax, ay), (bx, by) = line
    wide, high = text_box((text,), text_mm, False)
    w, h = wide / 2 + AIR_MM, high / 2
    x, y = (ax + bx) / 2, (ay + by) / 2
    if abs(bx - ax) > abs(by - ay) and abs(bx - ax) < 2 * w + 2.0:
        x = max(ax, bx) + w + 1.5
    elif abs(bx - ax) <= abs(by - ay) and abs(by - ay) < 2 * h + 2.0:
        y = min(ay, by) - h - 1.5
    return x - w, y - h, x + w, y + h


def _rings(
    shapes: Sequence[Shape], paper: Paper, frame: Bounds, text_mm: float, apart: list[BaseGeometry]
) -> Iterator[SetRing]:
    """The marks of a way, changes of direction first: each on its point, or beside it where one is there already."""
    for shape in sorted(shapes, key=lambda s: s.role != "turn"):
        if shape.role not in _RINGED or not shape.tag:
            continue
        spot = paper.at(shape.spots[0])
        radius = max(width_mm(shape.tag, text_mm, True) / 2 + 0.6, 0.75 * text_mm)
        for at in _near_by(spot, radius):
            disc = shapely.Point(at).buffer(radius + 0.3)
            inside = shapely.box(*frame).contains(disc)
            if inside and not any(disc.intersects(other) for other in apart):
                apart.append(disc)
                yield SetRing(shape.tag, spot, at, radius)
                break


def _near_by(spot: Point, radius: float) -> Iterator[Point]:
    yield spot
    for reach in (2.4, 3.6, 5.0, 7.0, 9.0):
        for turn in range(8):
            way = math.pi * turn / 4
            yield spot[0] + reach * radius * math.cos(way), spot[1] + reach * radius * math.sin(way)

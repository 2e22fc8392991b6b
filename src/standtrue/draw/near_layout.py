"""Where everything of a near view goes on paper: its scale, columns of names, tags, dimensions, numbers on tapes."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

import shapely
from attrs import evolve, frozen
from shapely.geometry.base import BaseGeometry

from standtrue.draw.lettering import LINE_MM, width_mm
from standtrue.draw.near import Dimension, Name, Near, Tag, Tape, clipped, in_site, seen, within
from standtrue.draw.near_names import Column, Lettered, column_mm, write_columns
from standtrue.draw.scaled import Bounds, Paper
from standtrue.draw.shapes import Shape
from standtrue.model.basics import Outline, Point
from standtrue.model.site import from_datum

NEAR_SCALES = (20, 25, 30, 40, 50, 60, 75, 80, 100, 120, 125, 150, 175, 200, 250, 300, 400, 500, 750, 1000, 2000)
RING_MM = 2.75
"""The ring about a tape's number."""

STRIP_MM, SHORT_STRIP_MM = 24.0, 12.0
"""Room below the plan for the scale bar and the key plan, and for the scale bar alone."""

ONE_SIDED = 1.35
"""All names stand at one side only where that makes the drawing so much larger."""

_PAD_MM = 5.0
_COLUMN_GAP_MM = 2.5
_DIMENSION_MM = 8.0
_FURTHER_MM = (0.0, 2.0, 4.0, 6.0, 8.0, 11.0, 14.0, -2.0, -4.0)
"""How far beyond its first place a dimension may be drawn."""

_DOT_MM = 0.6
"""The dot at a leader's end."""

_BESIDE_MM = (0.0, 6.5, -6.5, 11.0, -11.0, 16.0, -16.0, 22.0, -22.0)
"""How far beside its tape a number may stand."""

_FRACTIONS = (0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82, 0.12, 0.88)


@frozen
class Ring:
    """A tape's number where it is written; with a leader to `foot` where that is beside its tape."""

    tape: Tape
    at: Point
    foot: Point | None = None

    @property
    def box(self) -> Bounds:
        x, y = self.at
        return x - RING_MM, y - RING_MM, x + RING_MM, y + RING_MM


@frozen
class SetTag:
    tag: Tag
    box: Bounds


@frozen
class SetDimension:
    """A dimension's line with its ticks' places, the points that it measures, and the box of its figure."""

    dimension: Dimension
    line: tuple[Point, Point]
    points: tuple[Point, Point]
    box: Bounds


@frozen(eq=False)
class Laid:
    """A near view laid out: millimetres, y down. `plan` is the drawing's frame, `dropped` what it does not name."""

    near: Near
    width: float
    height: float
    denominator: int
    paper: Paper
    plan: Bounds
    window: Outline
    shapes: tuple[Shape, ...]
    names: tuple[Lettered, ...]
    dropped: tuple[Name, ...]
    tags: tuple[SetTag, ...]
    dimensions: tuple[SetDimension, ...]
    tapes: tuple[Tape, ...]
    rings: tuple[Ring, ...]


def lay_near(near: Near, width: float, height: float) -> Laid:
    """The near view at the largest scale at which all that is essential finds room. Raises ValueError if none does."""
    found = [laid for sides in _ways(near) if (laid := _largest(near, width, height, sides)) is not None]
    if not found:
        raise ValueError("what must be seen is larger than any scale can show")
    best = min(found, key=lambda laid: laid.denominator)
    return found[0] if found[0].denominator <= ONE_SIDED * best.denominator else best


def _largest(near: Near, width: float, height: float, sides: Sequence[bool]) -> Laid | None:
    tried = (_sided(near, width, height, denominator, sides) for denominator in NEAR_SCALES)
    return next((laid for laid in tried if laid is not None), None)


def _sided(near: Near, width: float, height: float, denominator: int, sides: Sequence[bool]) -> Laid | None:
    k = 1000.0 / denominator
    x0, y0, x1, y1 = _extent(near, k)
    wide = [column_mm([n for n, left in zip(near.names, sides, strict=True) if left is side]) for side in (True, False)]
    margins = [w + _COLUMN_GAP_MM if w else 0.0 for w in wide]
    room_x, room_y = width - sum(margins), height - (STRIP_MM if near.key_words else SHORT_STRIP_MM)
    if (x1 - x0) * k > room_x or (y1 - y0) * k > room_y:
        return None
    plan = (margins[0], 0.0, width - margins[1], room_y)
    # What is essential stands in the middle of the plan, and the floor about it fills the rest.
    mid_x, mid_y = (x0 + x1) / 2, (y0 + y1) / 2
    half_x, half_y = room_x / 2 / k, room_y / 2 / k
    bounds = (mid_x - half_x, mid_y - half_y, mid_x + half_x, mid_y + half_y)
    paper = Paper(near.drawing, k, plan[0], plan[1], bounds)
    columns = (
        Column(True, plan[0] - _COLUMN_GAP_MM, wide[0], 0.0, room_y),
        Column(False, plan[2] + _COLUMN_GAP_MM, wide[1], 0.0, room_y),
    )
    return _filled(near, (width, height, denominator), paper, plan, columns, sides)


def _filled(
    near: Near,
    size: tuple[float, float, int],
    paper: Paper,
    plan: Bounds,
    columns: tuple[Column, Column],
    sides: Sequence[bool],
) -> Laid:
    """Everything that stands on the plan and beside it."""
    window = _window(near, paper.bounds)
    spotted = [
        (n, paper.at(spot), left)
        for n, left in zip(near.names, sides, strict=True)
        if (spot := seen(n, window)) is not None
    ]
    names, dropped = write_columns(spotted, columns)
    leaders = [shapely.LineString(n.leader) for n in names]
    dots = [shapely.Point(n.leader[-1]).buffer(_DOT_MM) for n in names]
    dimensions: list[SetDimension] = []
    for dimension in near.dimensions:
        never = [*dots, *(shapely.box(*d.box) for d in dimensions)]
        dimensions.append(_clear(dimension, near, paper, plan, leaders, never))
    taken = [d.box for d in dimensions]
    tapes = tuple(_shown(near.tapes, window))
    tags = _tags(near.tags, tapes, paper, plan, (taken, [*leaders, *dots]))
    taken += [t.box for t in tags]
    rings = _rings(tapes, paper, plan, (taken, [*leaders, *dots]))
    return Laid(
        near, *size, paper, plan, window, clipped(near.shapes, window), names, dropped,
        tuple(tags), tuple(dimensions), tapes, tuple(rings),
    )  # fmt: skip


def _shown(tapes: Sequence[Tape], window: Outline) -> Iterator[Tape]:
    """The tapes as far as they can be seen: one that runs to a far mark ends at the drawing's edge."""
    for tape in tapes:
        part = within(tape.start, tape.end, window)
        if part is not None:
            yield Tape(tape.number, *part, tape.heavy)


def _extent(near: Near, k: float) -> Bounds:
    """What must be seen, in the drawing's frame, metres: with room about it, and beside it for dimensions."""
    points = [from_datum(p, near.datum) for p in near.essential]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    pad = _PAD_MM / k
    right, low, high = max(xs) + pad, min(ys) - pad, max(ys) + pad
    for dimension in near.dimensions:
        half = width_mm(dimension.text, bold=True) / 2
        if dimension.along:
            right = max(right, _beside(dimension, near, k) + (half + 1.0) / k)
        else:
            y, up = from_datum(dimension.end, near.datum)[1], _up(dimension, near)
            low, high = min(low, y - _DIMENSION_MM / k - pad), max(high, y + up * _DIMENSION_MM / k + pad)
    return min(xs) - pad, low, right, high


def _up(dimension: Dimension, near: Near) -> float:
    """To which side of its end a dimension across the car is drawn: away from the car."""
    return 1.0 if from_datum(dimension.end, near.datum)[1] > 0.0 else -1.0


def _beside(dimension: Dimension, near: Near, k: float) -> float:
    """Where a dimension along the car is drawn: beside the widest of its ends."""
    half = width_mm(dimension.text, bold=True) / 2
    ends = [from_datum(p, near.datum)[0] for p in (dimension.start, dimension.end)]
    return max(ends) + max(_DIMENSION_MM, half + 2.0) / k


def _ways(near: Near) -> list[list[bool]]:
    """Which names may stand at the left: at both sides, or all at one."""
    both = _sides(near)
    return [both] if len(both) < 2 else [both, [True] * len(both), [False] * len(both)]


def _sides(near: Near) -> list[bool]:
    """Which names stand at the left: by where their point is.

    Where one side has twice as many as the other, those about the middle change over; of what stands beside the car
    none does, while there is another: its leader would cross the car.
    """
    places = [from_datum(n.at, near.datum) for n in near.names]
    middle = sum(from_datum(p, near.datum)[0] for p in near.essential) / max(len(near.essential), 1)
    car = [from_datum(p, near.datum)[1] for p in near.car]
    sides = [p[0] < middle for p in places]
    while max(sum(sides), len(sides) - sum(sides)) * 3 > 2 * len(sides) + 1:
        many = sum(sides) * 2 > len(sides)
        beside = [min(car, default=0.0) < up < max(car, default=0.0) for _, up in places]
        own = (i for i, s in enumerate(sides) if s is many)
        sides[min(own, key=lambda i: (beside[i], abs(places[i][0] - middle)))] = not many
    return sides


def _window(near: Near, bounds: Bounds) -> Outline:
    x0, y0, x1, y1 = bounds
    return tuple(in_site(p, near.datum) for p in ((x0, y0), (x1, y0), (x1, y1), (x0, y1)))


def _clear(
    dimension: Dimension,
    near: Near,
    paper: Paper,
    plan: Bounds,
    leaders: Sequence[BaseGeometry],
    never: Sequence[BaseGeometry],
) -> SetDimension:
    """A dimension as near as its figure is clear of dots, of other figures and, if it can be, of leaders."""
    tried = [
        evolve(d, box=(d.box[0] + right, d.box[1] + down, d.box[2] + right, d.box[3] + down))
        for further in _FURTHER_MM
        for d in (_dimension(dimension, near, paper, plan, further),)
        for right, down in _slides(d)
    ]
    costs = [_crossed(d.box, leaders) + 10 * (_crossed(d.box, never) + _outside(d.box, plan)) for d in tried]
    return tried[costs.index(min(costs))]


def _slides(placed: SetDimension) -> Iterator[tuple[float, float]]:
    """How far a figure may be slid along its line: not at all, or beyond one end or the other."""
    (x0, y0), (x1, y1) = placed.line
    yield 0.0, 0.0
    if placed.dimension.along:
        down = abs(y1 - y0) / 2 + LINE_MM / 2 + 1.2
        yield from ((0.0, down), (0.0, -down))
    else:
        half, middle = (placed.box[2] - placed.box[0]) / 2, (placed.box[0] + placed.box[2]) / 2
        yield from ((max(x0, x1) + half + 1.5 - middle, 0.0), (min(x0, x1) - half - 1.5 - middle, 0.0))


def _dimension(dimension: Dimension, near: Near, paper: Paper, plan: Bounds, further: float) -> SetDimension:
    one, two = paper.at(dimension.start), paper.at(dimension.end)
    half_w, half_h = width_mm(dimension.text, bold=True) / 2 + 0.6, LINE_MM / 2
    if dimension.along:
        x = paper.right(_beside(dimension, near, paper.k)) + further
        line = ((x, one[1]), (x, two[1]))
    else:
        y = two[1] - _up(dimension, near) * (_DIMENSION_MM + further)
        line = ((one[0], y), (two[0], y))
    x, y = (line[0][0] + line[1][0]) / 2, (line[0][1] + line[1][1]) / 2
    if not dimension.along and abs(line[1][0] - line[0][0]) < 2 * half_w + 2.0:
        x = max(line[0][0], line[1][0]) + half_w + 1.5
    x = max(plan[0] + half_w + 0.5, min(x, plan[2] - half_w - 0.5))
    return SetDimension(dimension, line, (one, two), (x - half_w, y - half_h, x + half_w, y + half_h))


Taken = tuple[Sequence[Bounds], Sequence[BaseGeometry]]
"""What must not be written over: boxes of texts, and leaders with their dots."""


def _tags(tags: Sequence[Tag], tapes: Sequence[Tape], paper: Paper, plan: Bounds, kept: Taken) -> list[SetTag]:
    """Each tag beside its point, where it hides least."""
    taken, leaders = kept
    lines = [shapely.LineString([paper.at(t.start), paper.at(t.end)]) for t in tapes]
    found: list[SetTag] = []
    for tag in tags:
        boxes = list(_around(paper.at(tag.at), tag, paper))
        busy = [*taken, *(t.box for t in found)]
        costs = [
            _overlap(b, busy) * 10 + _outside(b, plan) * 50 + _crossed(b, lines) + 6 * _crossed(b, leaders) + i
            for i, b in enumerate(boxes)
        ]
        found.append(SetTag(tag, boxes[costs.index(min(costs))]))
    return found


def _around(at: Point, tag: Tag, paper: Paper) -> Iterable[Bounds]:
    """Boxes about a point: first on the side to which the tag looks."""
    half_w, half_h = width_mm(tag.text, bold=True) / 2 + 0.3, LINE_MM / 2
    (x0, y0), (x1, y1) = paper.at((0.0, 0.0)), paper.at(tag.toward)
    first = math.atan2(y1 - y0, x1 - x0) if tag.toward != (0.0, 0.0) else 0.0
    for reach in (1.6, 3.4, 6.0):
        for turn in (0, 1, -1, 2, -2, 3, -3, 4):
            way = first + turn * math.pi / 4
            x, y = at[0] + math.cos(way) * (half_w + reach), at[1] + math.sin(way) * (half_h + reach)
            yield x - half_w, y - half_h, x + half_w, y + half_h


def _rings(tapes: Sequence[Tape], paper: Paper, plan: Bounds, kept: Taken) -> list[Ring]:
    """Each tape's number on its line, or beside it with a leader, clear of tags, figures and the other numbers."""
    taken, leaders = kept
    ends = [(paper.at(t.start), paper.at(t.end)) for t in tapes]
    lines = [shapely.LineString(pair) for pair in ends]
    found: list[Ring] = []
    for i, (tape, pair) in enumerate(zip(tapes, ends, strict=True)):
        others = [line for j, line in enumerate(lines) if j != i]
        busy = [*taken, *(r.box for r in found)]
        best, least = None, math.inf
        for bias, ring in _ring_places(tape, pair):
            cost = bias + 20 * _overlap(ring.box, busy) + 50 * _outside(ring.box, plan)
            if cost < least:
                cost += 3 * _crossed(ring.box, others) + 15 * _crossed(ring.box, leaders)
            if cost < least:
                best, least = ring, cost
        assert best is not None
        found.append(best)
    return found


def _ring_places(tape: Tape, ends: tuple[Point, Point]) -> Iterator[tuple[float, Ring]]:
    """Where a tape's number may stand, each with what it costs: on the tape, at best in its middle, or beside it."""
    (x0, y0), (x1, y1) = ends
    long = max(math.dist(*ends), 1e-9)
    across = (y0 - y1) / long, (x1 - x0) / long
    for off in _BESIDE_MM:
        for turn, share in enumerate(_FRACTIONS):
            foot = (x0 + share * (x1 - x0), y0 + share * (y1 - y0))
            at = (foot[0] + off * across[0], foot[1] + off * across[1])
            yield (turn + (6.0 + abs(off) if off else 0.0)), Ring(tape, at, foot if off else None)


def _overlap(box: Bounds, taken: Iterable[Bounds]) -> float:
    return sum(
        max(0.0, min(box[2], b[2]) - max(box[0], b[0])) * max(0.0, min(box[3], b[3]) - max(box[1], b[1])) for b in taken
    )


def _outside(box: Bounds, plan: Bounds) -> float:
    return max(0.0, plan[0] - box[0], plan[1] - box[1], box[2] - plan[2], box[3] - plan[3])


def _crossed(box: Bounds, lines: Sequence[BaseGeometry]) -> int:
    frame = shapely.box(*box)
    return sum(bool(frame.intersects(line)) for line in lines)

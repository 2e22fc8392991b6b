"""Where names are written on a plan: inside their shape, beside it with a leader, or as a number with a key.

Nothing is cut and names do not overlap. Coordinates are millimetres on paper, y down.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache

import shapely
from attrs import evolve, field, frozen, mutable
from shapely.geometry.base import BaseGeometry

from standtrue.draw.lettering import LINE, TEXT_MM, clean, least_room, width_mm, wrap
from standtrue.model.basics import Point

Bounds = tuple[float, float, float, float]
"""Least x, least y, greatest x, greatest y."""

_AIR_MM = 0.6
_REACHES_MM = (1.0, 3.0, 6.0, 10.0, 15.0, 21.0)
_DIRECTIONS = 16
_MOST_LINES = 4
_WIDEST_MM = 42.0
PATIENCE = 8.0
"""A name that can only be written at a greater cost than this gets a number instead."""


@frozen(eq=False)
class Wish:
    """A name to be written: `inside` is where it may lie in its shape, `spot` what a leader points to.

    `numbered` allows a number with a key in its place. `angles_deg` are the turns tried, preferred first.
    """

    text: str
    inside: BaseGeometry
    spot: Point
    bold: bool = False
    numbered: bool = True
    ringed: bool = False
    patience: float = PATIENCE
    angles_deg: tuple[float, ...] = (0.0, -90.0)


@frozen(eq=False)
class Written:
    """A name as written: its lines about `center`, turned by `angle_deg`, and a leader if it stands apart."""

    lines: tuple[str, ...]
    center: Point
    angle_deg: float
    box: Bounds
    leader: tuple[Point, Point] | None = None
    bold: bool = False
    ringed: bool = False
    number: int | None = None
    text: str = ""


@mutable(eq=False)
class Lettering:
    """Writes names one after another, each clear of those before it."""

    frame: Bounds
    solid: Sequence[BaseGeometry]
    soft: Sequence[BaseGeometry]
    written: list[Written] = field(factory=list)
    _solid: shapely.STRtree = field(init=False)
    _soft: shapely.STRtree = field(init=False)

    def __attrs_post_init__(self) -> None:
        self._solid = shapely.STRtree(list(self.solid))
        self._soft = shapely.STRtree(list(self.soft))

    def write(self, wish: Wish) -> Written:
        """Place one name; its number, if it gets one, is the next free one."""
        text = clean(wish.text)
        found = self._within(wish, text) or self._beside(wish, text, wish.patience if wish.numbered else math.inf)
        if found is None:
            number = 1 + max((w.number or 0 for w in self.written), default=0)
            level = evolve(wish, angles_deg=(0.0,))
            found = self._within(level, str(number), True) or self._beside(wish, str(number), math.inf, True)
            assert found is not None
            found = Written(
                found.lines, found.center, found.angle_deg, found.box, found.leader, True, False, number, text
            )
        self.written.append(found)
        return found

    def _within(self, wish: Wish, text: str, bold: bool = False) -> Written | None:
        bold = bold or wish.bold
        for part in _largest(wish.inside):
            shapely.prepare(part)
            circle = shapely.get_coordinates(shapely.maximum_inscribed_circle(part, 0.2))
            first = (float(circle[0][0]), float(circle[0][1]))
            centers = list(_centers(part, first))
            for angle in wish.angles_deg:
                for lines in _wrappings(text, bold, _WIDEST_MM * 1.5):
                    w, h = text_box(lines, bold)
                    if min(w, h) > 2.0 * math.dist(*circle) or w * h > part.area:
                        continue
                    for center in centers:
                        box = _box(lines, center, angle, bold)
                        if part.contains(box) and not self._taken(box.bounds):
                            return Written(lines, center, angle, box.bounds, None, bold, wish.ringed, None, text)
        return None

    def _beside(self, wish: Wish, text: str, worst: float, bold: bool = False) -> Written | None:
        """The cheapest place near the spot, by how far it is and what it covers; None if all cost more than `worst`."""
        bold = bold or wish.bold
        best: Written | None = None
        least = worst
        for reach in _REACHES_MM:
            for lines in _wrappings(text, bold, _WIDEST_MM):
                near = 0.4 * reach + 0.4 * len(lines)
                if near >= least:
                    continue
                w, h = text_box(lines, bold)
                for center in _around(wish.spot, reach, w, h):
                    box = _bounds(center, w, h)
                    if not _inside(box, self.frame):
                        continue
                    leader = _leader(box, wish.spot)
                    cost = near + self._cost(box, leader, worst, least - near)
                    if cost < least:
                        least = cost
                        best = Written(lines, center, 0.0, box, leader, bold, wish.ringed, None, text)
        if best is None and worst == math.inf:
            lines = _wrappings(text, bold, _WIDEST_MM)[0]
            return Written(lines, wish.spot, 0.0, _bounds(wish.spot, *text_box(lines, bold)), None, bold, wish.ringed)
        return best

    def _cost(self, box: Bounds, leader: tuple[Point, Point] | None, worst: float, enough: float) -> float:
        """What a place costs beyond its distance; no more than `enough` need be told exactly."""
        cost = 0.0
        if self._taken(box):
            if worst < math.inf:
                return math.inf
            cost += 400.0
        for w in self.written:
            if leader is not None and _crosses(leader, w.box):
                cost += 30.0
            if w.leader is not None and _crosses(w.leader, box):
                cost += 30.0
            if cost >= enough:
                return cost
        size = (box[2] - box[0]) * (box[3] - box[1])
        return cost + 2.0 * _covered(box, self._solid, self.solid) + 2.0 * _covered(box, self._soft, self.soft) / size

    def _taken(self, box: Bounds) -> bool:
        return any(
            box[0] < w.box[2] and w.box[0] < box[2] and box[1] < w.box[3] and w.box[1] < box[3] for w in self.written
        )


@lru_cache(maxsize=4096)
def _wrappings(text: str, bold: bool, widest: float) -> tuple[tuple[str, ...], ...]:
    """The text in one line, two, … each as narrow as that many lines allow."""
    whole = width_mm(text, TEXT_MM, bold)
    least = min(least_room(text, TEXT_MM, bold), widest)
    found: dict[tuple[str, ...], None] = {}
    for count in range(1, _MOST_LINES + 1):
        room = max(least, whole / count * (1.0 if count == 1 else 1.12)) + 1e-6
        if room <= widest + 1e-6:
            lines = wrap(text, room, TEXT_MM, bold)
            if len(lines) <= _MOST_LINES:
                found[lines] = None
    if not found:
        found[wrap(text, widest, TEXT_MM, bold)] = None
    return tuple(found)


@lru_cache(maxsize=4096)
def text_box(lines: tuple[str, ...], bold: bool) -> tuple[float, float]:
    """Width and height that these lines take on paper."""
    return max(width_mm(line, TEXT_MM, bold) for line in lines), len(lines) * TEXT_MM * LINE


def _box(lines: Sequence[str], center: Point, angle_deg: float, bold: bool) -> BaseGeometry:
    w, h = text_box(lines, bold)
    w, h = w / 2 + _AIR_MM, h / 2 + _AIR_MM / 2
    c, s = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    corners = ((-w, -h), (w, -h), (w, h), (-w, h))
    return shapely.Polygon([(center[0] + c * x - s * y, center[1] + s * x + c * y) for x, y in corners])


def _largest(inside: BaseGeometry) -> list[shapely.Polygon]:
    parts = [p for p in shapely.get_parts(inside) if p.geom_type == "Polygon" and p.area > 8.0]
    return sorted(parts, key=lambda p: -p.area)[:2]


def _centers(part: shapely.Polygon, first: Point) -> Iterator[Point]:
    """Points to center a name on: the shape's own center, the roomiest spot, then a grid, nearest to that first."""
    center = part.centroid
    if part.contains(center):
        yield float(center.x), float(center.y)
    yield first
    x0, y0, x1, y1 = part.bounds
    grid = [(x0 + (x1 - x0) * (i + 0.5) / 9, y0 + (y1 - y0) * (j + 0.5) / 9) for i in range(9) for j in range(9)]
    inner = [p for p in grid if part.contains(shapely.Point(p))]
    yield from sorted(inner, key=lambda p: (round(math.dist(p, first), 6), p))


def _around(spot: Point, reach: float, w: float, h: float) -> Iterator[Point]:
    """Centers of a box of this size about the spot, its near side `reach` away."""
    out = reach + 1.6
    for k in range(_DIRECTIONS):
        turn = 2 * math.pi * k / _DIRECTIONS
        yield spot[0] + math.cos(turn) * (out + w / 2), spot[1] + math.sin(turn) * (out + h / 2)


def _bounds(center: Point, w: float, h: float) -> Bounds:
    half_w, half_h = w / 2 + _AIR_MM, h / 2 + _AIR_MM / 2
    return center[0] - half_w, center[1] - half_h, center[0] + half_w, center[1] + half_h


def _inside(box: Bounds, frame: Bounds) -> bool:
    return box[0] >= frame[0] and box[1] >= frame[1] and box[2] <= frame[2] and box[3] <= frame[3]


def _leader(box: Bounds, spot: Point) -> tuple[Point, Point] | None:
    start = (min(max(spot[0], box[0]), box[2]), min(max(spot[1], box[1]), box[3]))
    return (start, spot) if math.dist(start, spot) >= 1.8 else None


def _crosses(line: tuple[Point, Point], box: Bounds) -> bool:
    """Whether a line enters a box (clipping by Liang and Barsky 1984)."""
    (x0, y0), (x1, y1) = line
    if max(x0, x1) <= box[0] or min(x0, x1) >= box[2] or max(y0, y1) <= box[1] or min(y0, y1) >= box[3]:
        return False
    enter, leave = 0.0, 1.0
    for start, run, low, high in ((x0, x1 - x0, box[0], box[2]), (y0, y1 - y0, box[1], box[3])):
        if run == 0.0:
            if not low < start < high:
                return False
            continue
        one, two = sorted(((low - start) / run, (high - start) / run))
        enter, leave = max(enter, one), min(leave, two)
    return enter < leave


def _covered(box: Bounds, tree: shapely.STRtree, shapes: Sequence[BaseGeometry]) -> float:
    """How much of a box the shapes cover, square millimetres."""
    rectangle = shapely.box(*box)
    return sum(float(rectangle.intersection(shapes[i]).area) for i in sorted(tree.query(rectangle)))

"""The walls of a room: the edges of its outline, those in one line together, and one of them moved outward."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

from attrs import frozen

from standtrue.model.basics import Outline, Point
from standtrue.plane.shapes import polygon

LINE_M = 1e-3
"""Edges that follow each other, all corners between them within this of one line, are one wall: a laser's corners."""

STEP_SINE = 0.05
"""Two walls that turn less than this are one line: where they meet, a moved wall gets a step."""

SAME_POINT_M = 1e-9


@frozen
class Wall:
    """One wall: `count` edges of an outline from the edge `first` on, edges counted from 0."""

    outline: Outline
    first: int
    count: int

    @property
    def corners(self) -> tuple[Point, ...]:
        """Its corners, from one end to the other."""
        return tuple(self.outline[(self.first + i) % len(self.outline)] for i in range(self.count + 1))

    @property
    def line(self) -> tuple[Point, Point]:
        return self.corners[0], self.corners[-1]

    @property
    def edge(self) -> int:
        """The lowest of its edges: by that the wall is numbered."""
        return min((self.first + i) % len(self.outline) for i in range(self.count))


@lru_cache(64)
def walls(outline: Outline) -> tuple[Wall, ...]:
    """The walls of a counter-clockwise outline, by number."""
    count = len(outline)
    # The sharpest corner surely begins a wall.
    at = max(range(count), key=lambda i: _off(outline[i], outline[i - 1], outline[(i + 1) % count]))
    found: list[Wall] = []
    edge = 0
    while edge < count:
        long = 1
        while edge + long < count and _in_line(Wall(outline, (at + edge) % count, long + 1).corners):
            long += 1
        found.append(Wall(outline, (at + edge) % count, long))
        edge += long
    return tuple(sorted(found, key=lambda w: w.edge))


def wall_on(outline: Outline, line: tuple[Point, Point]) -> Wall | None:
    """The wall of an outline that stands on this line and faces the same way; None if there is none any more."""
    along = _direction(line)
    best, most = None, 0.0
    for wall in walls(outline):
        own = _direction(wall.line)
        if along[0] * own[0] + along[1] * own[1] < 0.9 or any(_off(p, *line) > LINE_M for p in wall.line):
            continue
        (a, b), (low, high) = (sorted(_run(p, line[0], along) for p in ends) for ends in (wall.line, line))
        common = min(b, high) - max(a, low)
        if common > most:
            best, most = wall, common
    return best


def moved_outward(wall: Wall, by_m: float) -> Outline | None:
    """The outline with one wall moved outward, its neighbors prolonged (or, at a notch, shortened).

    Where a neighbor runs on in the same line the wall gets a step. None where the outline would cross itself.
    """
    outline, corners = wall.outline, wall.corners
    count, past = len(outline), wall.first + wall.count
    nx, ny = outward(wall.line)
    shifted = [(x + by_m * nx, y + by_m * ny) for x, y in corners]
    first = _corner(outline[wall.first - 1], corners[0], shifted[0], _direction(shifted[:2]))
    last = _corner(outline[(past + 1) % count], corners[-1], shifted[-1], _direction(shifted[-2:]))
    new = {(wall.first + i) % count: (shifted[i],) for i in range(1, wall.count)}
    ends = {
        wall.first: (corners[0], shifted[0]) if first is None else (first,),
        past % count: (shifted[-1], corners[-1]) if last is None else (last,),
    }
    grown = tuple(_parted([p for i, point in enumerate(outline) for p in {**new, **ends}.get(i, (point,))]))
    shape = polygon(grown)
    (x0, y0), (x1, y1) = first or shifted[0], last or shifted[-1]
    ahead = (y1 - y0) * nx - (x1 - x0) * ny
    if ahead <= 0.0 or not shape.is_valid or polygon(outline).difference(shape).area > 1e-9:
        return None
    return grown


def outward(line: tuple[Point, Point]) -> Point:
    """The unit vector out of the room, its floor being on the left of the line."""
    dx, dy = _direction(line)
    return (dy, -dx)


def side(line: tuple[Point, Point]) -> str:
    """The side of the plan that a wall faces."""
    x, y = outward(line)
    if abs(x) >= abs(y):
        return "right" if x > 0.0 else "left"
    return "back" if y > 0.0 else "front"


def _direction(line: Sequence[Point]) -> Point:
    (x0, y0), (x1, y1) = line
    long = math.dist((x0, y0), (x1, y1))
    return ((x1 - x0) / long, (y1 - y0) / long)


def _run(point: Point, start: Point, along: Point) -> float:
    return (point[0] - start[0]) * along[0] + (point[1] - start[1]) * along[1]


def _off(point: Point, start: Point, end: Point) -> float:
    """How far a point lies from the line through two others."""
    if math.dist(start, end) <= SAME_POINT_M:
        return math.dist(point, start)
    along = _direction((start, end))
    return abs((point[0] - start[0]) * along[1] - (point[1] - start[1]) * along[0])


def _in_line(corners: Sequence[Point]) -> bool:
    """Whether all corners between the first and the last lie on one line with them, one after the other."""
    start, *between, end = corners
    if math.dist(start, end) <= LINE_M or any(_off(p, start, end) > LINE_M + SAME_POINT_M for p in between):
        return False
    along = _direction((start, end))
    runs = [_run(p, start, along) for p in corners]
    return all(a <= b for a, b in pairwise(runs))


def _corner(far: Point, near: Point, on: Point, along: Point) -> Point | None:
    """Where the line of the neighbor from `far` to `near` meets the moved wall; None if it runs on in line with it."""
    dx, dy = near[0] - far[0], near[1] - far[1]
    cross = (dx * along[1] - dy * along[0]) / math.hypot(dx, dy)
    if abs(cross) < STEP_SINE:
        return None
    t = ((on[0] - near[0]) * along[1] - (on[1] - near[1]) * along[0]) / (cross * math.hypot(dx, dy))
    return (near[0] + t * dx, near[1] + t * dy)


def _parted(points: list[Point]) -> list[Point]:
    """The points of a ring without those on the one before, and without spikes: a neighbor, or a pier, has vanished."""
    count = 0
    while count != len(points):
        count = len(points)
        for i, point in enumerate(points):
            before, after = points[i - 1], points[(i + 1) % count]
            if math.dist(before, point) <= SAME_POINT_M or _is_spike(before, point, after):
                points = points[:i] + points[i + 1 :]
                break
    return points


def _is_spike(before: Point, tip: Point, after: Point) -> bool:
    """Whether a ring turns back on itself."""
    along = _direction((before, tip))
    return _run(after, tip, along) < 0.0 and _off(after, before, tip) <= SAME_POINT_M

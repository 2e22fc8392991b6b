"""Where names are written on a whole view: none over another, under a hatch, on solid ink or off the page.

A name stands in its thing, right beside it, or at a leader that leaves a dot in the thing at 45 degrees and ends level.
Millimetres on paper, y down.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from attrs import field, frozen, mutable
from shapely.geometry.base import BaseGeometry

from standtrue.draw.lettering import LINE, clean, least_room, width_mm, wrap
from standtrue.draw.scaled import Bounds
from standtrue.model.basics import Point

MOST_LINES, MOST_MM = 3, 62.0
"""A name that needs more room than this is not written on a floor."""

AIR_MM = 0.5
_BESIDE_MM, _NEAR_MM = 0.8, 2.5
"""From a thing to a name beside it, and how far it may be from what a slanted thing covers."""

_STUB_MM = 2.4
_REACHES_MM = (4.0, 6.0, 8.0, 11.0, 14.0, 18.0, 23.0, 29.0, 36.0, 44.0, 54.0)
_DIAGONALS = ((1.0, -1.0), (1.0, 1.0), (-1.0, -1.0), (-1.0, 1.0))
_APART_MM = 0.8
"""How far leaders keep from one another."""

_GRID = 9
_WIDE_MM = 90.0
"""A thing larger than this has no name beside it: that would not be seen to be its own."""

_LEADER_COST, _BESIDE_COST = 3.0, 0.6
"""What a leader, and a place beside the thing, cost over a place in it; an outline crossed costs its length."""


@frozen(eq=False)
class Wish:
    """A name to be written: what it names, on paper, whether it may lie in it, and the spot that a leader points to."""

    text: str
    thing: BaseGeometry
    spot: Point
    inside: bool = False
    bold: bool = False


@frozen(eq=False)
class Written:
    """A name as written: its lines, the box that they fill at the most, and its leader, from the text to the thing."""

    text: str
    lines: tuple[str, ...]
    box: Bounds
    leader: tuple[Point, ...] = ()
    bold: bool = False


@mutable(eq=False)
class Lettering:
    """Writes names one after another within a frame.

    `never` is what no name may touch; `lines` with their weights what it should rather not; `apart` what neither a name
    nor a leader may touch.
    """

    frame: Bounds
    size_mm: float
    never: Sequence[BaseGeometry]
    lines: Sequence[tuple[BaseGeometry, float]]
    apart: list[BaseGeometry] = field(factory=list)
    written: list[Written] = field(factory=list)
    _never: shapely.STRtree = field(init=False)
    _lines: shapely.STRtree = field(init=False)

    def __attrs_post_init__(self) -> None:
        self._never = shapely.STRtree(list(self.never))
        self._lines = shapely.STRtree([line for line, _ in self.lines])

    def write(self, wish: Wish) -> Written | None:
        """The name at its cheapest place; None where there is none."""
        found = [*self._places(wish)]
        if not found:
            return None
        costs = self._costs([w for w, _ in found], np.array([c for _, c in found]))
        best = int(np.argmin(costs))
        if not math.isfinite(costs[best]):
            return None
        self.written.append(found[best][0])
        return found[best][0]

    def _places(self, wish: Wish) -> Iterator[tuple[Written, float]]:
        """Every place that a name may have, with what it costs to begin with: those in the frame."""
        x0, y0, x1, y1 = self.frame
        for lines in wrappings(clean(wish.text), self.size_mm, wish.bold):
            size = text_box(lines, self.size_mm, wish.bold)
            for box, leader, cost in _tried(wish, size):
                if box[0] >= x0 and box[1] >= y0 and box[2] <= x1 and box[3] <= y1:
                    yield Written(wish.text, lines, box, leader, wish.bold), cost + 0.3 * len(lines)

    def _costs(self, found: Sequence[Written], costs: np.ndarray) -> np.ndarray:
        """What each place costs: infinite where it touches what no name may."""
        boxes = shapely.box(*np.array([w.box for w in found]).T)
        costs = costs.astype(float)
        costs[self._never.query(boxes, predicate="intersects")[0]] = math.inf
        taken = [*self.apart, *(shapely.box(*w.box) for w in self.written)]
        led = [shapely.LineString(w.leader).buffer(_APART_MM) for w in self.written if w.leader]
        others = shapely.STRtree([*taken, *led])
        costs[others.query(boxes, predicate="intersects")[0]] = math.inf
        leading = [i for i, w in enumerate(found) if w.leader]
        if leading:
            corners = np.array([point for i in leading for point in found[i].leader])
            leaders = shapely.linestrings(
                corners, indices=np.repeat(np.arange(len(leading)), [len(found[i].leader) for i in leading])
            )
            costs[np.array(leading)[others.query(leaders, predicate="intersects")[0]]] = math.inf
        box_at, line_at = self._lines.query(boxes, predicate="intersects")
        open_ = np.isfinite(costs[box_at])
        box_at, line_at = box_at[open_], line_at[open_]
        crossed = np.array([self.lines[i][0] for i in line_at], dtype=object)
        weights = np.array([self.lines[i][1] for i in line_at], dtype=float)
        np.add.at(costs, box_at, weights * shapely.length(shapely.intersection(boxes[box_at], crossed)))
        return costs


def wrappings(text: str, size_mm: float, bold: bool) -> list[tuple[str, ...]]:
    """The text in one line, two, … each as narrow as that many lines allow; none that takes too much room."""
    whole, least = width_mm(text, size_mm, bold), least_room(text, size_mm, bold)
    found: dict[tuple[str, ...], None] = {}
    for count in range(1, MOST_LINES + 1):
        room = max(least, whole / count * (1.0 if count == 1 else 1.12)) + 1e-6
        lines = wrap(text, min(room, MOST_MM), size_mm, bold)
        if len(lines) <= MOST_LINES:
            found[lines] = None
    return list(found)


def text_box(lines: Sequence[str], size_mm: float, bold: bool) -> tuple[float, float]:
    """Width and height that these lines take on paper at the most."""
    return max(width_mm(line, size_mm, bold) for line in lines), len(lines) * size_mm * LINE


def _tried(wish: Wish, size: tuple[float, float]) -> Iterator[tuple[Bounds, tuple[Point, ...], float]]:
    if wish.inside:
        yield from _within(wish.thing, size)
    yield from _beside(wish.thing, size)
    yield from _led(wish.spot, size)


def _around(x: float, y: float, size: tuple[float, float]) -> Bounds:
    """The box of a text about its middle, with a little air."""
    w, h = size[0] / 2 + AIR_MM, size[1] / 2 + AIR_MM / 2
    return x - w, y - h, x + w, y + h


def _within(thing: BaseGeometry, size: tuple[float, float]) -> Iterator[tuple[Bounds, tuple[Point, ...], float]]:
    """Places on a grid in the thing; its middle first."""
    x0, y0, x1, y1 = thing.bounds
    cells = [(i + 0.5) / _GRID for i in range(_GRID)]
    for fx in cells:
        for fy in cells:
            box = _around(x0 + fx * (x1 - x0), y0 + fy * (y1 - y0), size)
            if thing.contains(shapely.box(*box)):
                yield box, (), 2.0 * math.hypot(fx - 0.5, fy - 0.5)


def _beside(thing: BaseGeometry, size: tuple[float, float]) -> Iterator[tuple[Bounds, tuple[Point, ...], float]]:
    """Places right below, above, right and left of the thing."""
    x0, y0, x1, y1 = thing.bounds
    if max(x1 - x0, y1 - y0) > _WIDE_MM:
        return
    w, h = size[0] / 2 + AIR_MM + _BESIDE_MM, size[1] / 2 + AIR_MM / 2 + _BESIDE_MM
    for share in (0.5, 0.3, 0.7, 0.1, 0.9):
        off = _BESIDE_COST + abs(share - 0.5)
        x, y = x0 + share * (x1 - x0), y0 + share * (y1 - y0)
        for at in ((x, y1 + h), (x, y0 - h), (x1 + w, y), (x0 - w, y)):
            box = _around(*at, size)
            if thing.distance(shapely.box(*box)) <= _NEAR_MM:
                yield box, (), off


def _led(spot: Point, size: tuple[float, float]) -> Iterator[tuple[Bounds, tuple[Point, ...], float]]:
    """Places at the end of a leader: 45 degrees from the spot, then level into the text."""
    for reach in _REACHES_MM:
        side = reach / math.sqrt(2.0)
        for right, down in _DIAGONALS:
            bend = (spot[0] + right * side, spot[1] + down * side)
            end = (bend[0] + right * _STUB_MM, bend[1])
            box = _around(end[0] + right * (size[0] / 2 + 2 * AIR_MM), end[1], size)
            yield box, (end, bend, spot), _LEADER_COST + 0.3 * reach

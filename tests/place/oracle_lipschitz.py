"""A third reading, of best stances: branch and bound over all poses that knows nothing but how fast things move.

No point of a claim moves by more than |dx, dy| + arm |dheading|, so no distance changes by more. That alone bounds
the margin over a box of poses by the margin at its center; the distances come from shapely, over the demands of
the slow second reading. Two shapes that overlap at the center by more than a box can undo overlap in all of it: seen
where one of them, shrunk by that much, still meets the other.
"""

from __future__ import annotations

import math

import numpy as np
import oracle
import shapely
from attrs import field, frozen
from numpy.typing import NDArray
from oracle_ground import Array, Geometry

DEPTHS_M = tuple(float(d) for d in 0.002 * 1.6 ** np.arange(14))
"""How much shapes are shrunk to see that they overlap by more."""

SHARE = 0.95
"""Shapes are shrunk by this much less than asked, to be safe from how round corners are drawn."""

TOUCH_M = 1e-7
AT_ONCE = 4096


@frozen(eq=False)
class Bracket:
    """The largest margin of a stance without overlaps lies between `lower` and `upper`, if `finished`."""

    lower: float
    upper: float
    boxes: int
    finished: bool


@frozen(eq=False)
class _Asked:
    """One demand, its claim moved so that the middle of all claims is the origin."""

    outline: Array
    demand: oracle.Demand
    arm: float = field(init=False)
    shrunk: tuple[tuple[tuple[Array, ...], Geometry], ...] = field(init=False)

    @arm.default
    def _arm(self) -> float:
        return float(np.hypot(*self.outline.T).max())

    @shrunk.default
    def _shrunk(self) -> tuple[tuple[tuple[Array, ...], Geometry], ...]:
        """For each depth the claim shrunk, and the thing shrunk (or, where the claim is to be inside it, grown)."""
        claim, found = shapely.Polygon(self.outline), []
        for depth in DEPTHS_M:
            sign = 1.0 if self.demand.inside else -1.0
            thing = shapely.buffer(self.demand.shape, sign * SHARE * depth, join_style="mitre", mitre_limit=50.0)
            less = shapely.buffer(claim, -SHARE * depth, join_style="mitre", mitre_limit=50.0)
            parts = tuple(shapely.get_coordinates(p.exterior)[:-1] for p in shapely.get_parts(less) if not p.is_empty)
            shapely.prepare(thing)
            found.append((parts, thing))
        return tuple(found)

    def apart(self, stances: Array) -> tuple[Array, NDArray[np.bool_]]:
        """Distance at each stance, 0 where they overlap; and whether they do."""
        d, placed = self.demand, oracle.polygons(self.outline, stances)
        if d.inside:
            wrong = ~shapely.covers(d.shape, placed)
            far = shapely.distance(shapely.boundary(d.shape), placed)
        else:
            far = shapely.distance(d.shape, placed)
            wrong = far <= 0.0
            if wrong.any():
                wrong[wrong] = self._overlap(placed[wrong])
        return np.where(wrong, 0.0, far), wrong

    def _overlap(self, placed: Geometry) -> NDArray[np.bool_]:
        """Whether claims that meet the thing share more with it than a border."""
        less = shapely.buffer(placed, -TOUCH_M, join_style="mitre")
        return np.asarray(shapely.intersects(self.demand.shape, less))

    def surely(self, stances: Array, by: Array) -> NDArray[np.bool_]:
        """Whether they overlap at every stance within `by` of each."""
        found = np.zeros(len(stances), dtype=bool)
        level = np.searchsorted(DEPTHS_M, by / SHARE)
        for i in np.unique(level):
            if i == len(DEPTHS_M):
                continue
            here = level == i
            parts, thing = self.shrunk[i]
            sure = np.zeros(int(here.sum()), dtype=bool)
            if self.demand.inside:
                sure = ~shapely.covers(thing, oracle.polygons(self.outline, stances[here]))
            else:
                if not thing.is_empty:
                    sure |= shapely.intersects(thing, oracle.polygons(self.outline, stances[here]))
                for part in parts:
                    sure |= shapely.intersects(self.demand.shape, oracle.polygons(part, stances[here]))
            found[here] = sure
        return found


def _asked(way: oracle.Way) -> tuple[tuple[_Asked, ...], Array]:
    """The demands about the middle of all claims, those that forbid most first; and where that middle is on the car."""
    corners = np.vstack([d.claim.outline for d in way.demands])
    middle = (corners.min(axis=0) + corners.max(axis=0)) / 2
    ordered = sorted(way.demands, key=lambda d: (not d.condition, -d.shape.area))
    return tuple(_Asked(d.claim.outline - middle, d) for d in ordered), middle


@frozen(eq=False)
class _Bounds:
    """For each box: no stance in it has a larger margin than `upper`; its center has `margin`, if `clean`."""

    upper: Array
    margin: Array


def _bounds(way: oracle.Way, asked: tuple[_Asked, ...], middle: Array, boxes: Array, floor: float) -> _Bounds:
    """Bounds of boxes (rows x, y, heading, half x, half y, half heading); those at most `floor` may be too high."""
    count = len(boxes)
    slide, swing = np.hypot(boxes[:, 3], boxes[:, 4]), 2.0 * np.sin(np.minimum(boxes[:, 5], math.pi) / 2)
    upper = {side: np.full(count, np.inf) for side in (None, "left", "right")}
    margin = {side: np.full(count, np.inf) for side in (None, "left", "right")}
    if way.arms is not None:
        c, s = np.cos(boxes[:, 2]), np.sin(boxes[:, 2])
        x, y = boxes[:, 0] - c * middle[0] + s * middle[1], boxes[:, 1] - s * middle[0] - c * middle[1]
        off = oracle.unreached(way, np.column_stack([x, y, boxes[:, 2]]))
        arm = max(math.dist(p, middle) for p in way.arms[1])
        upper[None][off > slide + arm * swing] = -np.inf
        margin[None][off > 0.0] = -np.inf
    for a in asked:
        side = a.demand.claim.side
        whole = np.minimum(upper[None], np.maximum(upper["left"], upper["right"]))
        alive = np.flatnonzero((whole > floor) & (upper[side] > floor))
        if not len(alive):
            continue
        at, by = boxes[alive, :3], slide[alive] + a.arm * swing[alive]
        far, wrong = a.apart(at)
        high = far + by - a.demand.gap_m
        if wrong.any():
            sure = np.zeros(len(alive), dtype=bool)
            sure[wrong] = a.surely(at[wrong], by[wrong])
            high[sure] = -np.inf
        low = np.where(wrong, -np.inf, far - a.demand.gap_m)
        if a.demand.condition:
            high, low = np.where(high < 0.0, -np.inf, np.inf), np.where(wrong, -np.inf, np.inf)
        upper[side][alive] = np.minimum(upper[side][alive], high)
        margin[side][alive] = np.minimum(margin[side][alive], low)
    whole = np.minimum(upper[None], np.maximum(upper["left"], upper["right"]))
    # Where a box was dropped early not every demand was asked of its center; nor of an exit strip that was given up.
    for side in ("left", "right"):
        margin[side][upper[side] <= floor] = -np.inf
    center = np.minimum(margin[None], np.maximum(margin["left"], margin["right"]))
    return _Bounds(whole, np.where(whole > floor, center, -np.inf))


def _halves(boxes: Array, arm: float) -> Array:
    """Each box in two, across the way in which the far points move most."""
    ways = np.column_stack([boxes[:, 3], boxes[:, 4], arm * boxes[:, 5]]).argmax(axis=1)
    rows = np.arange(len(boxes))
    first, second = boxes.copy(), boxes.copy()
    half = boxes[rows, 3 + ways] / 2
    for part, sign in ((first, -1.0), (second, 1.0)):
        part[rows, ways] += sign * half
        part[rows, 3 + ways] = half
    return np.vstack([first, second])


def bracket(way: oracle.Way, known: float, tolerance: float, most: int) -> Bracket:
    """The largest margin of this way's stances that overlap nothing, to within `tolerance`, given one has `known`."""
    if way.blocked:
        return Bracket(-math.inf, -math.inf, 0, True)
    asked, middle = _asked(way)
    reach, arm = float(np.hypot(*middle)), max(a.arm for a in asked)
    x0, y0, x1, y1 = way.bounds
    root = [
        (x0 + x1) / 2,
        (y0 + y1) / 2,
        way.headings[0],
        (x1 - x0) / 2 + reach,
        (y1 - y0) / 2 + reach,
        way.headings[1],
    ]
    open_boxes, uppers = np.array([root]), np.array([np.inf])
    lower, looked = -math.inf, 0
    while True:
        threshold = max(known, lower) + tolerance
        kept = uppers > threshold
        open_boxes, uppers = open_boxes[kept], uppers[kept]
        if not len(open_boxes):
            return Bracket(lower, threshold, looked, True)
        if looked > most:
            return Bracket(lower, float(uppers.max()), looked, False)
        best = np.argsort(-uppers, kind="stable")[:AT_ONCE]
        rest = np.ones(len(uppers), dtype=bool)
        rest[best] = False
        halves = _halves(open_boxes[best], arm)
        found = _bounds(way, asked, middle, halves, threshold)
        looked += len(halves)
        lower = max(lower, float(found.margin.max()))
        high = np.minimum(found.upper, np.concatenate([uppers[best], uppers[best]]))
        open_boxes, uppers = np.vstack([open_boxes[rest], halves]), np.concatenate([uppers[rest], high])

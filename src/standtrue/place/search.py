"""Best-first branch and bound over x, y and heading: the largest margin, with a proven bound.

The margin of a pose is the smallest of f = separation - gap over all pairs of a zone's piece and a
thing's piece. At a fixed heading the separation is the signed distance of the reference point to a
Minkowski sum, a convex function of position: over a box of positions its greatest value is at a
corner. Over an interval of headings each zone is replaced by its rotation core, which it covers at
every heading of the interval, so the separation of the core bounds that of the zone from above.
Both are exact bounds, up to rounding; nothing is sampled.
"""

from __future__ import annotations

import math

import numpy as np
from attrs import frozen
from numba import njit
from numpy.typing import NDArray

from standtrue.plane.kernels import lowest, minkowski_sum, signed_distance, turned_negative

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

ROOT_HALF_RAD = math.pi / 8
LEVELS = 22
HALVES: Array = np.asarray(ROOT_HALF_RAD / 2.0 ** np.arange(LEVELS), dtype=np.float64)


@frozen(eq=False)
class Packed:
    """Pairs of convex pieces, packed for the kernels.

    `zones` are in the vehicle frame moved so that `reference` is the origin; `things` in the site
    frame. `domain` bounds the reference point (x0, y0, x1, y1) and the heading (center, half-width).
    Row k of `pairs` names zone piece and thing piece; `gaps[k]` is what the pair demands.
    `floors[k]` is nan for a pair that counts in the margin; otherwise the pair must only keep
    separation - gap >= floors[k] and does not count.
    """

    zones: Array
    zone_at: Ints
    things: Array
    thing_at: Ints
    pairs: Ints
    gaps: Array
    floors: Array
    cores: Array
    core_at: Ints
    reference: tuple[float, float]
    domain: tuple[float, float, float, float, float, float]


@frozen
class Found:
    """The best pose of the vehicle's origin, its margin, and the proven bound on every pose's margin.

    `place` is None if no pose was seen that satisfies the pairs that do not count.
    `complete` is False if the limit of boxes was reached first: the bound holds all the same.
    """

    place: tuple[float, float, float] | None
    margin_m: float
    bound_m: float
    boxes: int
    complete: bool


@njit(cache=True, nogil=True, error_model="numpy")
def _pair_distance(
    zones: Array,
    z0: int,
    nz: int,
    things: Array,
    t0: int,
    nt: int,
    low: int,
    x: float,
    y: float,
    c: float,
    s: float,
    turned: Array,
    total: Array,
) -> float:
    turned_negative(zones, z0, nz, c, s, turned)
    n = minkowski_sum(things, t0, nt, low, turned, nz, total)
    return signed_distance(x, y, total, 0, n)


@njit(cache=True, nogil=True, error_model="numpy")
def pose_margin(
    zones: Array,
    zone_at: Ints,
    things: Array,
    thing_at: Ints,
    lows: Ints,
    circles: Array,
    pairs: Ints,
    gaps: Array,
    floors: Array,
    x: float,
    y: float,
    heading: float,
    turned: Array,
    total: Array,
) -> float:
    """The margin of one pose of the reference point; -inf if a pair that does not count is broken."""
    c, s = math.cos(heading), math.sin(heading)
    margin = np.inf
    for k in range(pairs.shape[0]):
        zi, ti = pairs[k, 0], pairs[k, 1]
        limit = margin if math.isnan(floors[k]) else floors[k]
        cx = x + c * circles[zi, 0] - s * circles[zi, 1]
        cy = y + s * circles[zi, 0] + c * circles[zi, 1]
        t0, nt = thing_at[ti], thing_at[ti + 1] - thing_at[ti]
        if signed_distance(cx, cy, things, t0, nt) - circles[zi, 2] - gaps[k] >= limit:
            continue
        z0, nz = zone_at[zi], zone_at[zi + 1] - zone_at[zi]
        f = _pair_distance(zones, z0, nz, things, t0, nt, lows[ti], x, y, c, s, turned, total) - gaps[k]
        if math.isnan(floors[k]):
            margin = min(margin, f)
        elif f < floors[k]:
            return -np.inf
    return margin


@njit(cache=True, nogil=True, error_model="numpy")
def _sift_down(heap: Ints, size: int, key: Array, at: int) -> None:
    item = heap[at]
    while True:
        child = 2 * at + 1
        if child >= size:
            break
        if child + 1 < size and key[heap[child + 1]] > key[heap[child]]:
            child += 1
        if key[heap[child]] <= key[item]:
            break
        heap[at] = heap[child]
        at = child
    heap[at] = item


@njit(cache=True, nogil=True, error_model="numpy")
def _sift_up(heap: Ints, key: Array, at: int) -> None:
    item = heap[at]
    while at > 0:
        parent = (at - 1) // 2
        if key[heap[parent]] >= key[item]:
            break
        heap[at] = heap[parent]
        at = parent
    heap[at] = item


@njit(cache=True, nogil=True, error_model="numpy")
def _climb(
    zones: Array,
    zone_at: Ints,
    things: Array,
    thing_at: Ints,
    lows: Ints,
    circles: Array,
    pairs: Ints,
    gaps: Array,
    floors: Array,
    pose: Array,
    margin: float,
    arm: float,
    step: float,
    least: float,
    turned: Array,
    total: Array,
) -> float:
    """Improve `pose` in place by trying all 26 neighbors at shrinking steps. Returns its margin."""
    while step > least:
        better = False
        bx, by, bh, bm = pose[0], pose[1], pose[2], margin
        for ix in range(-1, 2):
            for iy in range(-1, 2):
                for ih in range(-1, 2):
                    if ix == 0 and iy == 0 and ih == 0:
                        continue
                    x, y, h = pose[0] + ix * step, pose[1] + iy * step, pose[2] + ih * step / arm
                    m = pose_margin(
                        zones, zone_at, things, thing_at, lows, circles, pairs, gaps, floors, x, y, h, turned, total
                    )
                    if m > bm:
                        bx, by, bh, bm = x, y, h, m
                        better = True
        pose[0], pose[1], pose[2], margin = bx, by, bh, bm
        if not better:
            step *= 0.5
    return margin


@njit(cache=True, nogil=True, error_model="numpy")
def _bound_box(
    zones: Array,
    zone_at: Ints,
    cores: Array,
    core_at: Ints,
    things: Array,
    thing_at: Ints,
    lows: Ints,
    circles: Array,
    arms: Array,
    pairs: Ints,
    gaps: Array,
    floors: Array,
    active: Ints,
    count: int,
    level: int,
    half: float,
    cx: float,
    cy: float,
    ch: float,
    ex: float,
    ey: float,
    lowers: Array,
    keep: Ints,
    turned: Array,
    total: Array,
    result: Array,
) -> int:
    """Bound the margin over one box of poses from above.

    `active[:count]` are the pairs that can matter. Writes to `keep` those that still can and
    returns their number. `result`: 0 bound, 1 margin at the center (-inf if a pair that does not
    count is broken there), 2..4 how much splitting heading, x or y could bring.
    """
    c, s = math.cos(ch), math.sin(ch)
    pieces = zone_at.shape[0] - 1
    diagonal = math.hypot(ex, ey)
    swing = 2.0 * math.sin(min(half, math.pi) / 2)
    bound = np.inf
    center = np.inf
    tight_h = tight_x = tight_y = 0.0
    low_h = low_x = low_y = 0.0
    kept = 0
    for i in range(count):
        k = active[i]
        zi, ti = pairs[k, 0], pairs[k, 1]
        counts = math.isnan(floors[k])
        limit = bound if counts else floors[k]
        t0, nt = thing_at[ti], thing_at[ti + 1] - thing_at[ti]
        ax = cx + c * circles[zi, 0] - s * circles[zi, 1]
        ay = cy + s * circles[zi, 0] + c * circles[zi, 1]
        reach = diagonal + arms[zi] * swing + gaps[k]
        if signed_distance(ax, ay, things, t0, nt) - circles[zi, 2] - reach >= limit:
            continue
        z0, nz = zone_at[zi], zone_at[zi + 1] - zone_at[zi]
        turned_negative(zones, z0, nz, c, s, turned)
        n = minkowski_sum(things, t0, nt, lows[ti], turned, nz, total)
        f = signed_distance(cx, cy, total, 0, n) - gaps[k]
        lower = f - diagonal - arms[zi] * swing
        if lower >= limit:
            continue
        f00 = signed_distance(cx - ex, cy - ey, total, 0, n) - gaps[k]
        f10 = signed_distance(cx + ex, cy - ey, total, 0, n) - gaps[k]
        f01 = signed_distance(cx - ex, cy + ey, total, 0, n) - gaps[k]
        f11 = signed_distance(cx + ex, cy + ey, total, 0, n) - gaps[k]
        still = max(max(f00, f10), max(f01, f11))
        upper = still + arms[zi] * swing
        q0 = core_at[level * pieces + zi]
        nq = core_at[level * pieces + zi + 1] - q0
        if nq > 0 and half > 0.0:
            turned_negative(cores, q0, nq, c, s, turned)
            n = minkowski_sum(things, t0, nt, lows[ti], turned, nq, total)
            u = (
                max(
                    max(signed_distance(cx - ex, cy - ey, total, 0, n), signed_distance(cx + ex, cy - ey, total, 0, n)),
                    max(signed_distance(cx - ex, cy + ey, total, 0, n), signed_distance(cx + ex, cy + ey, total, 0, n)),
                )
                - gaps[k]
            )
            upper = min(upper, u)
        if not counts:
            if upper < floors[k]:
                result[0] = -np.inf
                result[1] = -np.inf
                return 0
            if f < floors[k]:
                center = -np.inf
        slack_h = upper - still
        slack_x = max(abs(f10 - f00), abs(f11 - f01)) / 2
        slack_y = max(abs(f01 - f00), abs(f11 - f10)) / 2
        # What the slopes do not explain is a valley inside the box: splitting the longer side opens it.
        valley = max(0.0, still - f - slack_x - slack_y)
        if ex >= ey:
            slack_x += valley
        else:
            slack_y += valley
        if counts:
            if upper < bound:
                bound = upper
                tight_h, tight_x, tight_y = slack_h, slack_x, slack_y
            if f < center:
                center = f
                low_h, low_x, low_y = slack_h, slack_x, slack_y
        elif f < floors[k] + diagonal:
            low_h, low_x, low_y = max(low_h, slack_h), max(low_x, slack_x), max(low_y, slack_y)
        lowers[kept] = lower
        keep[kept] = k
        kept += 1
    last = kept
    kept = 0
    for i in range(last):
        limit = bound if math.isnan(floors[keep[i]]) else floors[keep[i]]
        if lowers[i] < limit:
            keep[kept] = keep[i]
            kept += 1
    result[0] = bound
    result[1] = center
    result[2] = tight_h + low_h
    result[3] = tight_x + low_x
    result[4] = tight_y + low_y
    return kept


@njit(cache=True, nogil=True, error_model="numpy")
def _search(
    zones: Array,
    zone_at: Ints,
    cores: Array,
    core_at: Ints,
    things: Array,
    thing_at: Ints,
    pairs: Ints,
    gaps: Array,
    floors: Array,
    halves: Array,
    domain: Array,
    known: float,
    tolerance: float,
    any_fit: bool,
    most: int,
) -> tuple[Array, float, int, bool]:
    """Best-first search. Returns (pose and margin, bound, boxes, complete)."""
    pieces, count = zone_at.shape[0] - 1, pairs.shape[0]
    widest = 0
    for i in range(core_at.shape[0] - 1):
        widest = max(widest, core_at[i + 1] - core_at[i])
    circles, arms = np.empty((pieces, 3)), np.empty(pieces)
    for i in range(pieces):
        x0, x1, y0, y1, arms[i] = np.inf, -np.inf, np.inf, -np.inf, 0.0
        widest = max(widest, zone_at[i + 1] - zone_at[i])
        for j in range(zone_at[i], zone_at[i + 1]):
            x0, x1 = min(x0, zones[j, 0]), max(x1, zones[j, 0])
            y0, y1 = min(y0, zones[j, 1]), max(y1, zones[j, 1])
            arms[i] = max(arms[i], math.hypot(zones[j, 0], zones[j, 1]))
        circles[i, 0], circles[i, 1], circles[i, 2] = (x0 + x1) / 2, (y0 + y1) / 2, 0.0
        for j in range(zone_at[i], zone_at[i + 1]):
            circles[i, 2] = max(circles[i, 2], math.hypot(zones[j, 0] - circles[i, 0], zones[j, 1] - circles[i, 1]))
    lows = np.empty(thing_at.shape[0] - 1, np.int64)
    broadest = 0
    for i in range(lows.shape[0]):
        lows[i] = lowest(things, thing_at[i], thing_at[i + 1] - thing_at[i])
        broadest = max(broadest, thing_at[i + 1] - thing_at[i])
    turned, total = np.empty((widest, 2)), np.empty((widest + broadest + 2, 2))
    lowers, keep, result = np.empty(count), np.empty(count, np.int64), np.empty(5)

    room = 4096
    box, key, act = np.empty((room, 6)), np.empty(room), np.empty((room, 2), np.int64)
    heap, pool = np.empty(room, np.int64), np.empty(max(64 * 1024, 16 * count), np.int64)
    free = np.empty(room, np.int64)
    n_free = n_heap = n_box = n_pool = boxes = 0
    best = np.array([0.0, 0.0, 0.0, -np.inf])
    floor_margin, pruned = known, -np.inf
    pose = np.empty(3)
    arm = max(1.0, arms.max())
    every = np.arange(count)
    root = max(1, math.ceil(domain[5] / halves[0] - 1e-9))
    pending = np.empty((max(2, root), 6))
    n_pending = 0
    for i in range(root):
        pending[n_pending, 0] = (domain[0] + domain[2]) / 2
        pending[n_pending, 1] = (domain[1] + domain[3]) / 2
        pending[n_pending, 2] = domain[4] + (2 * i + 1 - root) * halves[0]
        pending[n_pending, 3] = (domain[2] - domain[0]) / 2
        pending[n_pending, 4] = (domain[3] - domain[1]) / 2
        pending[n_pending, 5] = 0
        n_pending += 1
    parent_at, parent_n, from_root = 0, count, True
    while True:
        for p in range(n_pending):
            cx, cy, ch, ex, ey = pending[p, 0], pending[p, 1], pending[p, 2], pending[p, 3], pending[p, 4]
            level = int(pending[p, 5])
            half = halves[level]
            if from_root:
                kept = _bound_box(
                    zones,
                    zone_at,
                    cores,
                    core_at,
                    things,
                    thing_at,
                    lows,
                    circles,
                    arms,
                    pairs,
                    gaps,
                    floors,
                    every,
                    count,
                    level,
                    half,
                    cx,
                    cy,
                    ch,
                    ex,
                    ey,
                    lowers,
                    keep,
                    turned,
                    total,
                    result,
                )
            else:
                kept = _bound_box(
                    zones,
                    zone_at,
                    cores,
                    core_at,
                    things,
                    thing_at,
                    lows,
                    circles,
                    arms,
                    pairs,
                    gaps,
                    floors,
                    pool[parent_at : parent_at + parent_n],
                    parent_n,
                    level,
                    half,
                    cx,
                    cy,
                    ch,
                    ex,
                    ey,
                    lowers,
                    keep,
                    turned,
                    total,
                    result,
                )
            boxes += 1
            bound, center = result[0], result[1]
            if center > best[3]:
                gained = center - best[3]
                best[0], best[1], best[2], best[3] = cx, cy, ch, center
                if gained > tolerance and center > floor_margin - 0.25:
                    pose[0], pose[1], pose[2] = cx, cy, ch
                    best[3] = _climb(
                        zones,
                        zone_at,
                        things,
                        thing_at,
                        lows,
                        circles,
                        pairs,
                        gaps,
                        floors,
                        pose,
                        center,
                        arm,
                        max(diagonal_of(ex, ey) / 2, 0.01),
                        tolerance / 8,
                        turned,
                        total,
                    )
                    best[0], best[1], best[2] = pose[0], pose[1], pose[2]
                floor_margin = max(floor_margin, best[3])
            if bound <= floor_margin + tolerance:
                pruned = max(pruned, bound)
                continue
            if n_free > 0:
                n_free -= 1
                slot = free[n_free]
            else:
                if n_box == room:
                    box, key, act = grown_rows(box), grown(key), grown_pairs(act)
                    heap, free = grown_ints(heap), grown_ints(free)
                    room *= 2
                slot = n_box
                n_box += 1
            while n_pool + kept > pool.shape[0]:
                pool = grown_ints(pool)
            pool[n_pool : n_pool + kept] = keep[:kept]
            act[slot, 0], act[slot, 1] = n_pool, kept
            n_pool += kept
            # Which way to split travels with the box: sign and size are not needed later.
            split = 2
            if level + 1 >= halves.shape[0] or result[3] > result[2] or result[4] > result[2]:
                split = 0 if result[3] >= result[4] else 1
            if bound == np.inf:
                split = 0 if ex >= ey else 1
            box[slot, 0], box[slot, 1], box[slot, 2], box[slot, 3], box[slot, 4] = cx, cy, ch, ex, ey
            box[slot, 5] = level * 3 + split
            key[slot] = bound
            heap[n_heap] = slot
            n_heap += 1
            _sift_up(heap, key, n_heap - 1)
        if any_fit and best[3] >= 0.0:
            break
        if n_heap == 0:
            break
        slot = heap[0]
        top = key[slot]
        if top <= floor_margin + tolerance or (any_fit and top < 0.0):
            break
        if boxes >= most:
            break
        n_heap -= 1
        heap[0] = heap[n_heap]
        if n_heap > 0:
            _sift_down(heap, n_heap, key, 0)
        cx, cy, ch, ex, ey = box[slot, 0], box[slot, 1], box[slot, 2], box[slot, 3], box[slot, 4]
        level, split = int(box[slot, 5]) // 3, int(box[slot, 5]) % 3
        parent_at, parent_n, from_root = act[slot, 0], act[slot, 1], False
        free[n_free] = slot
        n_free += 1
        n_pending = 2
        for side in range(2):
            sign = 2.0 * side - 1.0
            pending[side, 0], pending[side, 1], pending[side, 2] = cx, cy, ch
            pending[side, 3], pending[side, 4], pending[side, 5] = ex, ey, level
            if split == 0:
                pending[side, 0] = cx + sign * ex / 2
                pending[side, 3] = ex / 2
            elif split == 1:
                pending[side, 1] = cy + sign * ey / 2
                pending[side, 4] = ey / 2
            else:
                pending[side, 2] = ch + sign * halves[level + 1]
                pending[side, 5] = level + 1
    top = key[heap[0]] if n_heap > 0 else -np.inf
    bound = max(max(top, pruned), best[3])
    complete = n_heap == 0 or top <= floor_margin + tolerance or (any_fit and (best[3] >= 0.0 or top < 0.0))
    return best, bound, boxes, complete


@njit(cache=True, nogil=True)
def diagonal_of(ex: float, ey: float) -> float:
    return math.hypot(ex, ey)


@njit(cache=True, nogil=True)
def grown_rows(old: Array) -> Array:
    new = np.empty((old.shape[0] * 2, old.shape[1]))
    new[: old.shape[0]] = old
    return new


@njit(cache=True, nogil=True)
def grown(old: Array) -> Array:
    new = np.empty(old.shape[0] * 2)
    new[: old.shape[0]] = old
    return new


@njit(cache=True, nogil=True)
def grown_pairs(old: Ints) -> Ints:
    new = np.empty((old.shape[0] * 2, old.shape[1]), np.int64)
    new[: old.shape[0]] = old
    return new


@njit(cache=True, nogil=True)
def grown_ints(old: Ints) -> Ints:
    new = np.empty(old.shape[0] * 2, np.int64)
    new[: old.shape[0]] = old
    return new


def search(
    packed: Packed,
    *,
    known_m: float = -math.inf,
    tolerance_m: float = 5e-4,
    any_fit: bool = False,
    most: int = 2_000_000,
) -> Found:
    """The pose of the largest margin, to within `tolerance_m` of the bound that comes with it.

    With `known_m` (a margin already had elsewhere) the search stops as soon as nothing here beats
    it by more than the tolerance. With `any_fit` it stops at the first pose of margin >= 0, or
    when the bound falls below 0.
    """
    best, bound, boxes, complete = _search(
        packed.zones,
        packed.zone_at,
        packed.cores,
        packed.core_at,
        packed.things,
        packed.thing_at,
        packed.pairs,
        packed.gaps,
        packed.floors,
        HALVES,
        np.array(packed.domain),
        known_m,
        tolerance_m,
        any_fit,
        most,
    )
    place = None
    if best[3] > -math.inf:
        c, s = math.cos(best[2]), math.sin(best[2])
        rx, ry = packed.reference
        place = (
            float(best[0] - c * rx + s * ry),
            float(best[1] - s * rx - c * ry),
            math.remainder(best[2], 2 * math.pi),
        )
    return Found(place, float(best[3]), float(bound), int(boxes), bool(complete))

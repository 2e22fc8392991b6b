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
from typing import Any

import numpy as np
from numpy.typing import NDArray

from standtrue.place.kernels.bounds import (
    Ints,
    Problem,
    Scratch,
    bound_box,
    near_pairs,
    pose_margin,
    scratch_for,
)
from standtrue.place.kernels.climb import climb, mend
from standtrue.plane.compiled import compiled, compiled_bare
from standtrue.plane.kernels import Array

ROOT_HALF_RAD = math.pi / 8
LEVELS = 22
HALVES: Array = np.asarray(ROOT_HALF_RAD / 2.0 ** np.arange(LEVELS), dtype=np.float64)


RIM_M = 1e-5
"""Boxes smaller than this that break a condition at their center are split no more."""


@compiled
def best_pose(
    q: Problem, domain: Array, known: float, tolerance: float, any_fit: bool, most: int
) -> tuple[Array, float, int, bool]:
    """Returns (best pose and its margin, bound, boxes, complete).

    A box: center x, y, heading; half-widths in x and y; 3 * level + the way to split it (0 x, 1 y,
    2 heading). `key` is its bound, `pool[act[slot, 0]:][:act[slot, 1]]` its active pairs.
    """
    w = scratch_for(q)
    count = q.pairs.shape[0]
    arm = max(1.0, q.arms.max())
    room = 4096
    box, key, act = np.empty((room, 6)), np.empty(room), np.empty((room, 2), np.int64)
    heap, free = np.empty(room, np.int64), np.empty(room, np.int64)
    pool = np.empty(max(64 * 1024, 16 * count), np.int64)
    n_heap = n_free = n_box = n_pool = boxes = 0
    best = np.array([0.0, 0.0, 0.0, -np.inf])
    pose = np.empty(3)
    reach = domain[5] if domain[5] < math.pi else np.inf
    low, high = domain[4] - reach, domain[4] + reach
    known_best, pruned = known, -np.inf
    pending, n_pending = _roots(domain, q.halves[0])
    active, n_active, above = np.arange(count), count, np.inf
    while True:
        for p in range(n_pending):
            cx, cy, ch, ex, ey = pending[p, 0], pending[p, 1], pending[p, 2], pending[p, 3], pending[p, 4]
            level = int(pending[p, 5])
            kept = bound_box(q, w, active, n_active, above, level, cx, cy, ch, ex, ey)
            bound, center = w.result[0], w.result[1]
            boxes += 1
            size = max(ex, ey) + arm * q.halves[level]
            if center == -np.inf and bound > known_best + tolerance:
                # At the rim of what the conditions allow, boxes without end have no center that meets them.
                # And at first, now and then, it is worth to look for any place at all that meets them.
                if size < tolerance / 4 or (best[3] == -np.inf and boxes & (boxes - 1) == 0):
                    center = _mended(q, w, pose, cx, cy, ch, arm, size, low, high)
                    if center > best[3]:
                        step = max(size, tolerance)
                        best[3] = climb(q, w, pose, center, arm, step, tolerance / 8, low, high)
                        best[:3] = pose
                        known_best = max(known_best, best[3])
                if size < RIM_M:
                    pruned = max(pruned, bound)
                    continue
            elif center > best[3]:
                worth = center > best[3] + tolerance and center > known_best - 0.25
                best[0], best[1], best[2], best[3] = cx, cy, ch, center
                if worth:
                    pose[:] = best[:3]
                    step = max(math.hypot(ex, ey) / 2, 0.01)
                    best[3] = climb(q, w, pose, center, arm, step, tolerance / 8, low, high)
                    best[:3] = pose
                known_best = max(known_best, best[3])
            if bound <= known_best + tolerance:
                pruned = max(pruned, bound)
                continue
            if n_free > 0:
                n_free -= 1
                slot = free[n_free]
            else:
                if n_box == room:
                    box, act = _longer(box), _longer(act)
                    key, heap, free = _longer(key), _longer(heap), _longer(free)
                    room *= 2
                slot = n_box
                n_box += 1
            while n_pool + kept > pool.shape[0]:
                pool = _longer(pool)
            pool[n_pool : n_pool + kept] = w.keep[:kept]
            act[slot, 0], act[slot, 1] = n_pool, kept
            n_pool += kept
            box[slot, :5] = pending[p, :5]
            box[slot, 5] = 3 * level + _way_to_split(w.result, ex, ey, level + 1 < q.halves.shape[0])
            key[slot] = bound
            heap[n_heap] = slot
            n_heap += 1
            _sift_up(heap, key, n_heap - 1)
        top = key[heap[0]] if n_heap > 0 else -np.inf
        done = top <= known_best + tolerance or (any_fit and (best[3] >= 0.0 or top < 0.0))
        if done or boxes >= most:
            bound = max(max(top, pruned), best[3])
            near = bound <= known_best + tolerance or (any_fit and (best[3] >= 0.0 or bound < 0.0))
            return best, bound, boxes, done and near
        slot = heap[0]
        above = key[slot]
        n_heap -= 1
        heap[0] = heap[n_heap]
        _sift_down(heap, n_heap, key)
        free[n_free] = slot
        n_free += 1
        active, n_active = pool[act[slot, 0] : act[slot, 0] + act[slot, 1]], act[slot, 1]
        n_pending = _halves_of(box[slot], q.halves, pending)


@compiled_bare
def _mended(
    q: Problem,
    w: Scratch,
    pose: Array,
    x: float,
    y: float,
    heading: float,
    arm: float,
    step: float,
    low: float,
    high: float,
) -> float:
    """The margin of a pose near the one given that breaks no condition, which goes to `pose`; -inf if none is found."""
    pose[0], pose[1], pose[2] = x, y, heading
    if not mend(q, w, pose, arm, step, low, high):
        return -np.inf
    count = near_pairs(q, w, pose[0], pose[1], pose[2], np.inf)
    return float(pose_margin(q, w, count, pose[0], pose[1], pose[2]))


@compiled
def _roots(domain: Array, half: float) -> tuple[Array, int]:
    """The whole domain of positions at each of the first headings."""
    count = max(1, math.ceil(domain[5] / half - 1e-9))
    roots = np.empty((max(2, count), 6))
    for i in range(count):
        roots[i, 0], roots[i, 1] = (domain[0] + domain[2]) / 2, (domain[1] + domain[3]) / 2
        roots[i, 2] = domain[4] + (2 * i + 1 - count) * half
        roots[i, 3], roots[i, 4] = (domain[2] - domain[0]) / 2, (domain[3] - domain[1]) / 2
        roots[i, 5] = 0.0
    return roots, count


@compiled_bare
def _way_to_split(result: Array, ex: float, ey: float, can_turn: bool) -> int:
    """0 x, 1 y, 2 heading: the way that could bring most."""
    if result[0] == np.inf:
        return 0 if ex >= ey else 1
    if can_turn and result[2] >= result[3] and result[2] >= result[4]:
        return 2
    return 0 if result[3] >= result[4] else 1


@compiled_bare
def _halves_of(box: Array, halves: Array, pending: Array) -> int:
    """Write the two halves of a box to `pending`."""
    level, split = int(box[5]) // 3, int(box[5]) % 3
    for side in range(2):
        sign = 2.0 * side - 1.0
        for j in range(5):
            pending[side, j] = box[j]
        pending[side, 5] = level
        if split == 2:
            pending[side, 2] = box[2] + sign * halves[level + 1]
            pending[side, 5] = level + 1
        else:
            pending[side, split] = box[split] + sign * box[3 + split] / 2
            pending[side, 3 + split] = box[3 + split] / 2
    return 2


@compiled
def _longer(old: NDArray[Any]) -> NDArray[Any]:
    new = np.empty((2 * old.shape[0], *old.shape[1:]), old.dtype)
    new[: old.shape[0]] = old
    return new


@compiled_bare
def _sift_down(heap: Ints, size: int, key: Array) -> None:
    at = 0
    item = heap[0]
    while 2 * at + 1 < size:
        child = 2 * at + 1
        if child + 1 < size and key[heap[child + 1]] > key[heap[child]]:
            child += 1
        if key[heap[child]] <= key[item]:
            break
        heap[at] = heap[child]
        at = child
    heap[at] = item


@compiled_bare
def _sift_up(heap: Ints, key: Array, at: int) -> None:
    item = heap[at]
    while at > 0 and key[heap[(at - 1) // 2]] < key[item]:
        heap[at] = heap[(at - 1) // 2]
        at = (at - 1) // 2
    heap[at] = item

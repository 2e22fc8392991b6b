"""Bounds on how much room there is at one heading, over boxes of positions.

At a fixed heading the separation of two convex shapes is a convex function of the position, so over a box of positions
it is greatest at a corner.
"""

from __future__ import annotations

import math

import numpy as np

from standtrue.drive.kernels.certify import Scratch, away, scratch_for, separation
from standtrue.drive.kernels.field import Grid
from standtrue.drive.kernels.heap import pop, push
from standtrue.drive.kernels.world import SLACK_M, World
from standtrue.plane.compiled import compiled
from standtrue.plane.kernels import Array


@compiled
def _bound(w: World, box: Array, heading: float, scratch: Scratch) -> tuple[float, int, bool]:
    """An upper bound on the margin over a box of positions at one heading, its pair, and whether to split along y."""
    corner, value = np.empty(3), np.empty(4)
    corner[0], corner[1], corner[2] = 0.5 * (box[0] + box[2]), 0.5 * (box[1] + box[3]), heading
    half = 0.5 * math.hypot(box[2] - box[0], box[3] - box[1])
    mx, my, c, s = corner[0], corner[1], math.cos(heading), math.sin(heading)
    least, pair, along_y = np.inf, -1, False
    for p in range(w.pairs.shape[0]):
        piece, solid = w.pairs[p, 0], w.pairs[p, 1]
        most = -np.inf
        corner[0], corner[1] = mx, my
        if away(w, piece, solid, corner, c, s) - half - w.gaps[p] >= least:
            continue
        for k in range(4):
            corner[0] = box[2 * (k % 2)]
            corner[1] = box[2 * (k // 2) + 1]
            value[k] = separation(w, piece, solid, corner, scratch) - w.gaps[p]
            most = max(most, value[k])
            if most >= least:
                break
        if most < least:
            least, pair = most, p
            across_x = abs(value[1] - value[0]) + abs(value[3] - value[2])
            across_y = abs(value[2] - value[0]) + abs(value[3] - value[1])
            along_y = across_y > across_x
    return least, pair, along_y


@compiled
def fits_at(w: World, g: Grid, far: Array, heading: float, near: float, most: int) -> tuple[float, int]:
    """An upper bound, at most `near` too high, on the margin at one heading over all positions the disc can reach.

    With it comes the pair that bounds it. (0.0, pair) as soon as some position fits, or if `most` boxes are not enough.
    """
    scratch = scratch_for(w)
    keys, items = np.empty(2 * most + 8), np.empty(2 * most + 8, np.int64)
    box, of = np.empty((2 * most + 8, 4)), np.empty((2 * most + 8, 2), np.int64)
    middle = np.empty(4)
    box[0, 0], box[0, 1] = g.origin[0], g.origin[1]
    box[0, 2], box[0, 3] = g.origin[0] + g.cell * g.room.shape[0], g.origin[1] + g.cell * g.room.shape[1]
    bound, of[0, 0], of[0, 1] = _bound(w, box[0], heading, scratch)
    n = push(keys, items, 0, -bound, 0)
    made = 1
    seen = -np.inf
    for _ in range(most):
        if n == 0:
            return seen, -1
        key, i = -keys[0], items[0]
        n = pop(keys, items, n)
        if key < -SLACK_M and key - seen < near:
            return key, of[i, 0]
        middle[0] = middle[2] = 0.5 * (box[i, 0] + box[i, 2])
        middle[1] = middle[3] = 0.5 * (box[i, 1] + box[i, 3])
        value, _, _ = _bound(w, middle, heading, scratch)
        seen = max(seen, value)
        if seen >= -SLACK_M:
            break
        axis = of[i, 1]
        for k in range(2):
            box[made] = box[i]
            box[made, axis + 2 * k] = middle[axis]
            if not _reached(g, far, box[made, 0], box[made, 1], box[made, 2], box[made, 3]):
                continue
            bound, of[made, 0], of[made, 1] = _bound(w, box[made], heading, scratch)
            n = push(keys, items, n, -bound, made)
            made += 1
    return 0.0, 0


@compiled
def _reached(g: Grid, far: Array, x0: float, y0: float, x1: float, y1: float) -> bool:
    """Whether any cell that the box touches can be reached."""
    i0, j0 = int((x0 - g.origin[0]) / g.cell), int((y0 - g.origin[1]) / g.cell)
    i1, j1 = int((x1 - g.origin[0]) / g.cell), int((y1 - g.origin[1]) / g.cell)
    for i in range(max(0, i0), min(far.shape[0] - 1, i1) + 1):
        for j in range(max(0, j0), min(far.shape[1] - 1, j1) + 1):
            if far[i, j] < np.inf:
                return True
    return False

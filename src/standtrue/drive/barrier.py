"""Proofs that there is no way at all, whatever the car could do: headings that it cannot turn through anywhere.

Headings are continuous: between two headings a car turns through all of one arc between them or all of the other. If
at one heading of each arc no position keeps the gaps, there is no path. At a fixed heading the separation of two
convex shapes is a convex function of the position, so over a box of positions it is greatest at a corner.
"""

from __future__ import annotations

import math

import numpy as np
from attrs import frozen
from numba import njit

from standtrue.drive.certify import Scratch, away, scratch_for, separation
from standtrue.drive.field import Grid
from standtrue.drive.heap import pop, push
from standtrue.drive.world import SLACK_M, Packed, World
from standtrue.plane.kernels import Array

STEP_RAD = math.radians(5.0)
MOST_BOXES = 400
"""How many boxes one heading is worth. A car that fits nowhere at a heading shows it soon, as a rule."""

NEAR_M = 2e-3
"""How near the amount told comes to the least that is lacking."""


@frozen
class Barrier:
    """A heading at which the car fits nowhere, and by how much it misses at best, metres."""

    heading_rad: float
    lacking_m: float
    thing: str


@njit(cache=True, nogil=True, error_model="numpy")
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


@njit(cache=True, nogil=True, error_model="numpy")
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


@njit(cache=True, nogil=True, error_model="numpy")
def _reached(g: Grid, far: Array, x0: float, y0: float, x1: float, y1: float) -> bool:
    """Whether any cell that the box touches can be reached."""
    i0, j0 = int((x0 - g.origin[0]) / g.cell), int((y0 - g.origin[1]) / g.cell)
    i1, j1 = int((x1 - g.origin[0]) / g.cell), int((y1 - g.origin[1]) / g.cell)
    for i in range(max(0, i0), min(far.shape[0] - 1, i1) + 1):
        for j in range(max(0, j0), min(far.shape[1] - 1, j1) + 1):
            if far[i, j] < np.inf:
                return True
    return False


def find_barrier(packed: Packed, g: Grid, far: Array, one_rad: float, two_rad: float) -> Barrier | None:
    """The lesser of two barriers, one on each arc between two headings; None if either arc shows none."""
    arc = math.remainder(two_rad - one_rad, math.tau)
    barred = []
    for span in (arc, arc - math.copysign(math.tau, arc)):
        heading = _on_arc(packed, g, far, one_rad, span)
        if heading is None:
            return None
        barred.append(heading)
    return min((_worst_near(packed, g, far, h) for h in barred), key=lambda b: b.lacking_m)


def _on_arc(packed: Packed, g: Grid, far: Array, one_rad: float, span: float) -> float | None:
    """A heading of an arc at which the car fits nowhere, looked for from the middle outward."""
    steps = max(2, math.ceil(abs(span) / STEP_RAD))
    for k in sorted(range(1, steps), key=lambda k: abs(2 * k - steps)):
        heading = one_rad + span * k / steps
        margin, _ = fits_at(packed.world, g, far, heading, math.inf, MOST_BOXES)
        if margin < 0.0:
            return heading
    return None


def _worst_near(packed: Packed, g: Grid, far: Array, heading: float) -> Barrier:
    """The heading near one that is barred at which most is lacking, by how much, and what bars it."""
    worst = Barrier(heading, 0.0, "")
    for step in (0.0, -2.0, -1.0, 1.0, 2.0):
        turned = heading + step * STEP_RAD
        margin, pair = fits_at(packed.world, g, far, turned, NEAR_M, MOST_BOXES)
        if -margin > worst.lacking_m:
            thing = packed.solid_of[packed.world.pairs[pair, 1]] if pair >= 0 else ""
            worst = Barrier(math.remainder(turned, math.tau), float(-margin), thing)
    return worst

"""A proof that there is no way, however the car might move: boxes of poses that are barred as a whole.

The space of poses (middle of the car, heading) is cut into boxes. Within a box no point of a piece is farther from
where it is at the box's middle than half the box's diagonal and half its turn times the piece's reach. So if a pair
overlaps its gap there by more than that, no pose of the box keeps the gap. What cannot be reached over boxes that
are not barred cannot be reached at all.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from standtrue.drive.kernels.certify import Scratch, away, bound_between, scratch_for
from standtrue.drive.kernels.world import Ints, World, cell_of
from standtrue.plane.compiled import compiled, compiled_bare
from standtrue.plane.kernels import Array

PARTED, JOINED, UNKNOWN = 0, 1, 2

BARRED = 3
"""How a box that is barred is marked; 1 and 2 are the sides from which the others were reached."""


class Boxes(NamedTuple):
    """The boxes: a corner of the grid, the edge of a box, how many there are along x, y and round the circle."""

    origin: Array
    edge: float
    shape: Ints


@compiled_bare
def _box_of(w: World, b: Boxes, pose: Array) -> int:
    c, s = math.cos(pose[2]), math.sin(pose[2])
    x = pose[0] + c * w.center[0] - s * w.center[1] - b.origin[0]
    y = pose[1] + s * w.center[0] + c * w.center[1] - b.origin[1]
    i = min(max(0, math.floor(x / b.edge)), b.shape[0] - 1)
    j = min(max(0, math.floor(y / b.edge)), b.shape[1] - 1)
    turn = pose[2] / (2.0 * math.pi)
    k = math.floor((turn - math.floor(turn)) * b.shape[2]) % b.shape[2]
    return int((i * b.shape[1] + j) * b.shape[2] + k)


@compiled_bare
def _barred(w: World, b: Boxes, box: int, reach: Array, still: Array, pose: Array, scratch: Scratch) -> bool:
    """Whether no pose of a box keeps every gap, as far as its middle can tell."""
    k = box % b.shape[2]
    j = (box // b.shape[2]) % b.shape[1]
    i = box // (b.shape[2] * b.shape[1])
    x, y = b.origin[0] + (i + 0.5) * b.edge, b.origin[1] + (j + 0.5) * b.edge
    turn = 2.0 * math.pi / b.shape[2]
    h = (k + 0.5) * turn
    c, s = math.cos(h), math.sin(h)
    pose[0] = x - c * w.center[0] + s * w.center[1]
    pose[1] = y - s * w.center[0] - c * w.center[1]
    pose[2] = h
    cell = cell_of(w, x, y)
    for index in range(w.near_at[cell], w.near_at[cell + 1]):
        p = w.near[index]
        piece, solid = w.pairs[p, 0], w.pairs[p, 1]
        least = w.gaps[p] - math.sqrt(0.5) * b.edge - 0.5 * turn * reach[piece]
        if away(w, piece, solid, pose, c, s) > least:
            continue
        if bound_between(w, piece, solid, pose, pose, still, least, scratch.points) < least:
            return True
    return False


@compiled_bare
def _beside(b: Boxes, box: int, face: int) -> int:
    """The box beyond one of the six faces of a box, headings going round; -1 outside."""
    k = box % b.shape[2]
    j = (box // b.shape[2]) % b.shape[1]
    i = box // (b.shape[2] * b.shape[1])
    step = 2 * (face % 2) - 1
    if face < 2:
        i += step
    elif face < 4:
        j += step
    else:
        k = (k + step + b.shape[2]) % b.shape[2]
    if i < 0 or j < 0 or i >= b.shape[0] or j >= b.shape[1]:
        return -1
    return int((i * b.shape[1] + j) * b.shape[2] + k)


@compiled
def flood(w: World, b: Boxes, starts: Array, goals: Array, most: int) -> int:
    """Spread from both ends over boxes that are not barred, at most `most` of them.

    PARTED if one side runs out before it meets the other: there is no way. JOINED if they meet: no proof. It is enough
    to go through faces: a pose on an edge or a corner lies in all boxes there, so that none of them is barred.
    A box takes five bytes: both sides queue in one array, from either end.
    """
    total = b.shape[0] * b.shape[1] * b.shape[2]
    reach = np.zeros(w.car_at.shape[0] - 1)
    for piece in range(reach.shape[0]):
        for i in range(w.car_at[piece], w.car_at[piece + 1]):
            reach[piece] = max(reach[piece], math.hypot(w.car[i, 0] - w.center[0], w.car[i, 1] - w.center[1]))
    seen, queue = np.zeros(total, np.int8), np.empty(total, np.int32)
    first, last, way = np.array([0, total - 1]), np.array([0, total - 1]), np.array([1, -1])
    still, pose, scratch = np.zeros(3), np.empty(3), scratch_for(w)
    for side in range(2):
        for root in starts if side == 0 else goals:
            box = _box_of(w, b, root)
            if seen[box] == 2 - side:
                return JOINED
            if seen[box] == 0:
                seen[box] = side + 1
                queue[last[side]] = box
                last[side] += way[side]
    while last[0] + total - last[1] < most:
        side = 0 if first[0] <= total - 1 - first[1] else 1
        if first[side] == last[side]:
            return PARTED
        box = int(queue[first[side]])
        first[side] += way[side]
        for face in range(6):
            other = _beside(b, box, face)
            if other < 0 or seen[other] == side + 1 or seen[other] == BARRED:
                continue
            if seen[other] == 2 - side:
                return JOINED
            if _barred(w, b, other, reach, still, pose, scratch):
                seen[other] = BARRED
                continue
            seen[other] = side + 1
            queue[last[side]] = other
            last[side] += way[side]
    return UNKNOWN

"""Boxes of poses that are barred as a whole, told one by one."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from standtrue.drive.kernels.certify import away, bound_between, scratch_for
from standtrue.drive.kernels.world import World, cell_of
from standtrue.plane.compiled import compiled
from standtrue.plane.kernels import Array


@compiled
def barred_boxes(w: World, boxes: Array) -> NDArray[np.bool_]:
    """For each box, rows (x, y, heading, half-widths in x, y and heading), whether no pose in it keeps every gap.

    No point of a piece is farther from where it is at the box's middle than half the box's diagonal and half its turn
    times the point's distance from the car's origin.
    """
    found = np.zeros(boxes.shape[0], np.bool_)
    reach = np.zeros(w.car_at.shape[0] - 1)
    for piece in range(reach.shape[0]):
        for i in range(w.car_at[piece], w.car_at[piece + 1]):
            reach[piece] = max(reach[piece], math.hypot(w.car[i, 0], w.car[i, 1]))
    still, pose, scratch = np.zeros(3), np.empty(3), scratch_for(w)
    for box in range(boxes.shape[0]):
        pose[:] = boxes[box, :3]
        c, s = math.cos(pose[2]), math.sin(pose[2])
        x = pose[0] + c * w.center[0] - s * w.center[1]
        y = pose[1] + s * w.center[0] + c * w.center[1]
        cell = cell_of(w, x, y)
        for index in range(w.near_at[cell], w.near_at[cell + 1]):
            p = w.near[index]
            piece, solid = w.pairs[p, 0], w.pairs[p, 1]
            least = w.gaps[p] - math.hypot(boxes[box, 3], boxes[box, 4]) - boxes[box, 5] * reach[piece]
            if away(w, piece, solid, pose, c, s) > least:
                continue
            if bound_between(w, piece, solid, pose, pose, still, least, scratch.points) < least:
                found[box] = True
                break
    return found

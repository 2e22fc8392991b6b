"""Proofs that no way does without a change of direction.

A way in one gear leaves its start in it and comes to its goal in it. After any stretch of travel in one gear a car that
turns no tighter than its radius is within a known set of poses. Where none of that set keeps the gaps, no way in that
gear is longer than the stretch, whatever it does after.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from standtrue.drive.kernels.one_gear import barred_boxes
from standtrue.drive.world.packed import Packed, Pose
from standtrue.plane.kernels import Array

STRETCHES_M = (0.15, 0.3, 0.6, 1.2, 2.4)
"""Stretches of travel that are tried."""

HALVINGS, MOST_BOXES = 12, 4_000
"""How often a box that is not barred is halved, and how many may be left: a wall is seen at once, as a rule."""


def shunts_at_least(packed: Packed, radius_m: float, ones: Sequence[Pose], twos: Sequence[Pose]) -> int:
    """1 if it is proven that no way from any of `ones` to any of `twos` goes in one gear; else 0: nothing is proven.

    `radius_m`: the least that the car's origin turns about.
    """
    apart = min(math.dist(one[:2], two[:2]) for one in ones for two in twos)

    def shut(ends: Sequence[Pose], gear: int) -> bool:
        return all(is_shut(packed, radius_m, end, gear, apart) for end in ends)

    return int(all(shut(ones, gear) or shut(twos, -gear) for gear in (1, -1)))


def is_shut(packed: Packed, radius_m: float, end: Pose, gear: int, less_than_m: float = math.inf) -> bool:
    """Whether it is proven that an end cannot be left in a gear (1 forward, -1 in reverse) by so much."""
    most = min(less_than_m, radius_m * math.pi / 2)
    return any(_shut(packed, _after(end, gear, s, radius_m)) for s in STRETCHES_M if s < most)


def _after(end: Pose, gear: int, travel_m: float, radius_m: float) -> Array:
    """A box, in the end's own frame, of all poses after some travel: ahead, aside and heading, middle and half-widths;
    and the end."""
    turn = travel_m / radius_m
    least, aside = radius_m * math.sin(turn), radius_m * (1.0 - math.cos(turn))
    ahead, half = gear * (least + travel_m) / 2, (travel_m - least) / 2
    return np.array([[ahead, 0.0, 0.0, half, aside, turn, *end]])


def _shut(packed: Packed, boxes: Array) -> bool:
    """Whether no pose in these boxes keeps every gap."""
    for _ in range(HALVINGS):
        boxes = boxes[~barred_boxes(packed.world, _in_site(boxes))]
        if not len(boxes):
            return True
        if len(boxes) > MOST_BOXES:
            return False
        # The heading moves the car's corners by some meters a radian.
        widest = np.argmax(boxes[:, 3:6] * [1.0, 1.0, 4.0], axis=1) + 3
        rows = np.arange(len(boxes))
        boxes[rows, widest] /= 2.0
        lower, upper = boxes.copy(), boxes.copy()
        lower[rows, widest - 3] -= boxes[rows, widest]
        upper[rows, widest - 3] += boxes[rows, widest]
        boxes = np.concatenate([lower, upper])
    return False


def _in_site(boxes: Array) -> Array:
    """The boxes in the site frame: turned, with the half-widths that they had. Only their diagonal counts."""
    c, s = np.cos(boxes[:, 8]), np.sin(boxes[:, 8])
    x = boxes[:, 6] + c * boxes[:, 0] - s * boxes[:, 1]
    y = boxes[:, 7] + s * boxes[:, 0] + c * boxes[:, 1]
    return np.column_stack([x, y, boxes[:, 8] + boxes[:, 2], boxes[:, 3:6]])

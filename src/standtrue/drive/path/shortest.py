"""How short a path can be at all where nothing stands about."""

from __future__ import annotations

import math

import numpy as np

from standtrue.drive.kernels.reeds_shepp import PARTS, ROWS, words, wrap


def shortest_length(radius_m: float, start: tuple[float, float, float], goal: tuple[float, float, float]) -> float:
    """The length, metres, of the shortest path of Reeds and Shepp between two poses (x, y, heading in radians)."""
    c, s = math.cos(start[2]), math.sin(start[2])
    dx, dy = (goal[0] - start[0]) / radius_m, (goal[1] - start[1]) / radius_m
    steer, run = np.empty((ROWS, PARTS), np.int8), np.empty((ROWS, PARTS))
    n = words(c * dx + s * dy, c * dy - s * dx, wrap(goal[2] - start[2]), steer, run)
    return float(np.abs(run[:n]).sum(axis=1).min()) * radius_m

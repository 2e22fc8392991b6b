"""Motions at a constant twist: lines, arcs, and, for a car on skates, slides and turns about any point.

A twist is (u, v, w): the origin's speed ahead and to the left, and the heading's rate, each for one metre of travel.
A car steering to curvature k has (1, 0, k) forward and (-1, 0, -k) in reverse. A path is rows (u, v, w, travel).
"""

from __future__ import annotations

import math

import numpy as np

from standtrue.plane.compiled import compiled, compiled_bare
from standtrue.plane.kernels import Array


@compiled_bare
def advance(x: float, y: float, h: float, u: float, v: float, w: float, travel: float) -> tuple[float, float, float]:
    """The pose after a twist of this travel from (x, y, h). Exact, also for curvatures near 0."""
    half = 0.5 * w * travel
    chord = travel if half == 0.0 else travel * math.sin(half) / half
    c, s = chord * math.cos(h + half), chord * math.sin(h + half)
    return x + c * u - s * v, y + s * u + c * v, h + 2.0 * half


@compiled
def poses_along(start: Array, path: Array) -> Array:
    """The pose before each row of a path, and the last one: shape (rows + 1, 3)."""
    poses = np.empty((path.shape[0] + 1, 3))
    poses[0] = start
    for i in range(path.shape[0]):
        x, y, h = advance(poses[i, 0], poses[i, 1], poses[i, 2], path[i, 0], path[i, 1], path[i, 2], path[i, 3])
        poses[i + 1, 0], poses[i + 1, 1], poses[i + 1, 2] = x, y, h
    return poses


@compiled_bare
def gear_of(u: float, v: float) -> int:
    """1 forward, -1 in reverse, 0 for a slide or a turn on the spot, which have no gear."""
    if v != 0.0 or u == 0.0:
        return 0
    return 1 if u > 0.0 else -1

"""A packed world as the kernels see it: plain arrays, and for each part of the floor the pairs that matter there."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from standtrue.plane.compiled import compiled, compiled_bare
from standtrue.plane.kernels import Array, signed_distance

Ints = NDArray[np.int64]

CELL_M = 0.5
"""The grid over which each cell lists the pairs that a car near it can come close to."""

CHUNK_M = 0.8
"""No point of the car travels farther than this between two looks at the lists."""

SLACK_M = 1e-6
"""Separation may fall short of its gap by this much: rounding of stances that touch."""


class World(NamedTuple):
    """Everything the kernels need. Polygon i of a set is `points[at[i] : at[i + 1]]`, counter-clockwise, metres.

    `normals[k]` is the outward unit normal of the edge from point k to the next of its polygon.
    `pairs[p]` names a piece of the car and a solid that must keep `gaps[p]` apart, sorted by piece.
    `near[near_at[c] : near_at[c + 1]]` are the pairs to look at while the car's center is in cell c of a grid of
    `shape` cells from `origin`; the last list is for everywhere else.
    """

    car: Array
    car_at: Ints
    car_normals: Array
    circles: Array
    solid: Array
    solid_at: Ints
    solid_normals: Array
    boxes: Array
    pairs: Ints
    gaps: Array
    near: Ints
    near_at: Ints
    origin: Array
    shape: Ints
    center: Array


@compiled
def near_lists(
    points: Array, at: Ints, boxes: Array, pairs: Ints, limits: Array, origin: Array, shape: Ints
) -> tuple[Ints, Ints]:
    """For each cell the pairs whose solid lies within the pair's limit of the cell's middle; then all pairs."""
    cells = shape[0] * shape[1]
    starts = np.zeros(cells + 2, np.int64)
    found = np.empty(4096, np.int64)
    total = 0
    apart = np.empty(at.shape[0] - 1)
    farthest = limits.max() if limits.shape[0] > 0 else 0.0
    for cell in range(cells):
        x = origin[0] + (cell % shape[0] + 0.5) * CELL_M
        y = origin[1] + (cell // shape[0] + 0.5) * CELL_M
        for j in range(apart.shape[0]):
            dx = max(0.0, max(boxes[j, 0] - x, x - boxes[j, 2]))
            dy = max(0.0, max(boxes[j, 1] - y, y - boxes[j, 3]))
            apart[j] = math.sqrt(dx * dx + dy * dy)
            if apart[j] <= farthest:
                apart[j] = signed_distance(x, y, points, at[j], at[j + 1] - at[j])
        if total + pairs.shape[0] > found.shape[0]:
            more = np.empty(2 * (total + pairs.shape[0]), np.int64)
            more[:total] = found[:total]
            found = more
        for p in range(pairs.shape[0]):
            if apart[pairs[p, 1]] <= limits[p]:
                found[total] = p
                total += 1
        starts[cell + 1] = total
    whole = np.empty(total + pairs.shape[0], np.int64)
    whole[:total] = found[:total]
    for p in range(pairs.shape[0]):
        whole[total + p] = p
    starts[cells + 1] = whole.shape[0]
    return whole, starts


@compiled_bare
def cell_of(w: World, x: float, y: float) -> int:
    """The list for a car whose center is at (x, y)."""
    i = math.floor((x - w.origin[0]) / CELL_M)
    j = math.floor((y - w.origin[1]) / CELL_M)
    if i < 0 or j < 0 or i >= w.shape[0] or j >= w.shape[1]:
        return int(w.shape[0] * w.shape[1])
    return int(j * w.shape[0] + i)

"""The grid over the floor on which distances round the obstacles are told."""

from __future__ import annotations

import math

import numpy as np

from standtrue.drive.kernels.field import Grid, room_over
from standtrue.drive.kernels.world import World
from standtrue.plane.kernels import signed_distance

MOST_CELLS = 40_000
LEAST_CELL_M = 0.1


def grid_for(w: World, bounds: tuple[float, float, float, float], finer: int = 1) -> Grid:
    """The grid over `bounds`, fine for a bay and coarser for a whole shop; `finer` times finer if asked."""
    x0, y0, x1, y1 = bounds
    cell = max(LEAST_CELL_M, math.sqrt((x1 - x0) * (y1 - y0) / MOST_CELLS)) / finer
    shape = (math.ceil((x1 - x0) / cell) + 1, math.ceil((y1 - y0) / cell) + 1)
    piece, radius = _disc(w)
    origin = np.array([x0 - 0.5 * cell, y0 - 0.5 * cell])
    return Grid(room_over(w, piece, origin, cell, shape[0], shape[1]), radius, origin, cell)


def _disc(w: World) -> tuple[int, float]:
    """The piece of the car that reaches farthest round the origin, and how far."""
    pieces = range(len(w.car_at) - 1)
    paired = {int(p) for p in w.pairs[:, 0]}
    depths = [
        -signed_distance(0.0, 0.0, w.car, w.car_at[i], w.car_at[i + 1] - w.car_at[i]) if i in paired else -1.0
        for i in pieces
    ]
    best = max(pieces, key=depths.__getitem__)
    return best, max(0.0, depths[best])

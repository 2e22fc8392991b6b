"""Proofs that there is no way at all, at any resolution: the floor is parted, or a heading is barred."""

from __future__ import annotations

import math

import numpy as np
from attrs import evolve, frozen

from standtrue.drive.kernels.field import Grid, cell_at, distances
from standtrue.drive.kernels.flood import PARTED, Boxes, flood
from standtrue.drive.proofs.barrier import Barrier, find_barrier
from standtrue.drive.world.grid import grid_for
from standtrue.drive.world.packed import Packed
from standtrue.drive.world.symmetry import Form
from standtrue.plane.kernels import Array

FINER = 4
"""How much finer the grid is that proves that there is no way."""

FLOODS = ((0.2, 72), (0.1, 120), (0.05, 180))
"""Edges of the boxes, metres, and how many go round the circle, where a way is shown not to exist."""

MEMORY_BYTES, BOX_BYTES = 500_000_000, 5
"""How much memory a flood may take, and how much of it a box takes."""

MOST_FLOODED = 30_000_000
"""How many boxes a flood may reach: some seconds."""

MARGIN_M = 4.0

LEAST_TURN_RAD = math.radians(10.0)
"""Between headings nearer than this no barrier is looked for."""


@frozen
class Proof:
    """There is no way: the car cannot turn through the headings of `barrier`; or, without one, no body of its shape
    gets through, however it moves.
    """

    barrier: Barrier | None = None

    def turned_back(self, form: Form) -> Proof:
        """The proof in the frame of the question."""
        if self.barrier is None:
            return self
        heading = form.turned.heading_back(self.barrier.heading_rad)
        return Proof(evolve(self.barrier, heading_rad=heading))


def no_way(packed: Packed, grid: Grid, ones: Array, twos: Array) -> Proof | None:
    """A proof that there is no way from any of `ones` to any of `twos`, if one comes quickly."""
    return _no_disc(packed, grid, ones, twos) or no_turn(packed, grid, ones, twos) or parted(packed, ones, twos, 0)


def _no_disc(packed: Packed, grid: Grid, ones: Array, twos: Array) -> Proof | None:
    """A proof that not even a disc inside the car gets through."""
    for g in (grid, grid_for(packed.world, packed.bounds, FINER)):
        far = distances(g, ones)
        if not any(np.isfinite(far[cell_at(g, two[0], two[1])]) for two in twos):
            return Proof()
    return None


def parted(packed: Packed, ones: Array, twos: Array, fineness: int) -> Proof | None:
    """A proof over the boxes of one row of `FLOODS` that the ends are parted, where they fit in memory."""
    boxes = boxes_for(packed.bounds, *FLOODS[fineness])
    if int(boxes.shape.prod()) * BOX_BYTES > MEMORY_BYTES:
        return None
    return Proof() if flood(packed.world, boxes, ones, twos, MOST_FLOODED) == PARTED else None


def no_turn(packed: Packed, grid: Grid, ones: Array, twos: Array) -> Proof | None:
    """The headings that the car cannot turn through on its way, if there are such between all ends."""
    far = distances(grid, ones)
    barriers = []
    for one in ones:
        for two in twos:
            if abs(math.remainder(two[2] - one[2], math.tau)) < LEAST_TURN_RAD:
                return None
            barrier = find_barrier(packed, grid, far, float(one[2]), float(two[2]))
            if barrier is None:
                return None
            barriers.append(barrier)
    return Proof(min(barriers, key=lambda b: b.lacking_m))


def boxes_for(bounds: tuple[float, float, float, float], edge: float, turns: int) -> Boxes:
    """Boxes over bounds grown by `MARGIN_M`: the car's middle lies that near its origin."""
    x0, y0, x1, y1 = (v + side * MARGIN_M for v, side in zip(bounds, (-1, -1, 1, 1), strict=True))
    shape = [math.ceil((x1 - x0) / edge), math.ceil((y1 - y0) / edge), turns]
    return Boxes(np.array([x0, y0]), edge, np.array(shape, dtype=np.int64))

"""How far it is round the obstacles, on a grid: a guide for the search, and a first proof that there is no way.

A disc about the car's origin lies inside the body at every heading. Where even the disc does not fit, no pose does.
A cell is barred only if no point of it could serve, so what the grid cannot reach, the car cannot.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from standtrue.drive.kernels.heap import pop, push
from standtrue.drive.kernels.world import World
from standtrue.plane.compiled import compiled, compiled_bare
from standtrue.plane.kernels import Array, signed_distance

BLOCK = 8
"""How many cells long the blocks are for which it is asked at once whether a solid is near."""


class Grid(NamedTuple):
    """`room[i, j]`: the distance of a cell's middle from the nearest solid, less the gap; the disc's radius; cells."""

    room: Array
    radius: float
    origin: Array
    cell: float


@compiled
def room_over(w: World, piece: int, origin: Array, cell: float, nx: int, ny: int) -> Array:
    """Block by block, the nearest solid first: of the others most are farther off than any cell of the block has room.

    What is told is the same as from every solid to every cell.
    """
    room = np.full((nx, ny), np.inf)
    mine = np.flatnonzero(w.pairs[:, 0] == piece)
    apart = np.empty(mine.shape[0])
    half = 0.5 * math.sqrt(2.0) * BLOCK * cell
    for i0 in range(0, nx, BLOCK):
        for k0 in range(0, ny, BLOCK):
            i1, k1 = min(nx, i0 + BLOCK), min(ny, k0 + BLOCK)
            x, y = origin[0] + (i0 + 0.5 * BLOCK) * cell, origin[1] + (k0 + 0.5 * BLOCK) * cell
            for m in range(mine.shape[0]):
                apart[m] = _from_box(w, w.pairs[mine[m], 1], x, y) - half - w.gaps[mine[m]]
            most = np.inf
            first = np.argmin(apart) if mine.shape[0] > 0 else 0
            for m in range(-1, mine.shape[0]):
                n = first if m < 0 else m
                if mine.shape[0] == 0 or m == first or (most > 0.0 and apart[n] >= most):
                    continue
                most = _nearer(w, mine[n], origin, cell, i0, i1, k0, k1, room)
    return room


@compiled_bare
def _from_box(w: World, solid: int, x: float, y: float) -> float:
    """How far a point is from the box about a solid."""
    dx = max(0.0, max(w.boxes[solid, 0] - x, x - w.boxes[solid, 2]))
    dy = max(0.0, max(w.boxes[solid, 1] - y, y - w.boxes[solid, 3]))
    return math.sqrt(dx * dx + dy * dy)


@compiled_bare
def _nearer(w: World, p: int, origin: Array, cell: float, i0: int, i1: int, k0: int, k1: int, room: Array) -> float:
    """Lessen the room of a block of cells to what one solid leaves; returns the most that any cell then has."""
    solid, gap = w.pairs[p, 1], w.gaps[p]
    first, count = w.solid_at[solid], w.solid_at[solid + 1] - w.solid_at[solid]
    most = -np.inf
    for i in range(i0, i1):
        x = origin[0] + (i + 0.5) * cell
        for k in range(k0, k1):
            y = origin[1] + (k + 0.5) * cell
            if room[i, k] <= 0.0 or _from_box(w, solid, x, y) < room[i, k] + gap:
                room[i, k] = min(room[i, k], signed_distance(x, y, w.solid, first, count) - gap)
            most = max(most, room[i, k])
    return most


@compiled_bare
def cell_at(g: Grid, x: float, y: float) -> tuple[int, int]:
    """The cell of a point, or the nearest one."""
    i = min(max(0, int((x - g.origin[0]) / g.cell)), g.room.shape[0] - 1)
    j = min(max(0, int((y - g.origin[1]) / g.cell)), g.room.shape[1] - 1)
    return i, j


@compiled
def distances(g: Grid, roots: Array) -> Array:
    """The way round the obstacles from the nearest of `roots` (rows x, y, ...) to every cell, metres; inf: no way."""
    nx, ny = g.room.shape
    least = g.radius - g.cell * math.sqrt(0.5)
    far = np.full((nx, ny), np.inf)
    keys, items = np.empty(8 * nx * ny + 8), np.empty(8 * nx * ny + 8, np.int64)
    n = 0
    for r in range(roots.shape[0]):
        i, j = cell_at(g, roots[r, 0], roots[r, 1])
        far[i, j] = 0.0
        n = push(keys, items, n, 0.0, i * ny + j)
    while n > 0:
        key, item = keys[0], items[0]
        n = pop(keys, items, n)
        i, j = item // ny, item % ny
        if key > far[i, j]:
            continue
        for di in range(-1, 2):
            for dj in range(-1, 2):
                a, b = i + di, j + dj
                if a < 0 or b < 0 or a >= nx or b >= ny or g.room[a, b] < least:
                    continue
                there = key + g.cell * math.sqrt(di * di + dj * dj)
                if there < far[a, b] - 1e-9:
                    far[a, b] = there
                    n = push(keys, items, n, there, a * ny + b)
    return far


@compiled
def narrowest(g: Grid, one: Array, two: Array) -> tuple[float, float, float]:
    """The roomiest way from `one` to `two` for a point: where it is narrowest, and the room there, metres.

    Returns (room, x, y).
    """
    nx, ny = g.room.shape
    best, before = np.full(nx * ny, -np.inf), np.full(nx * ny, -1, np.int64)
    keys, items = np.empty(8 * nx * ny + 8), np.empty(8 * nx * ny + 8, np.int64)
    i, j = cell_at(g, one[0], one[1])
    start = i * ny + j
    i, j = cell_at(g, two[0], two[1])
    end = i * ny + j
    best[start] = g.room[start // ny, start % ny]
    n = push(keys, items, 0, -best[start], start)
    while n > 0:
        item, key = items[0], -keys[0]
        n = pop(keys, items, n)
        if key < best[item]:
            continue
        if item == end:
            break
        i, j = item // ny, item % ny
        for di in range(-1, 2):
            for dj in range(-1, 2):
                a, b = i + di, j + dj
                if a < 0 or b < 0 or a >= nx or b >= ny:
                    continue
                there = min(key, g.room[a, b])
                if there > best[a * ny + b]:
                    best[a * ny + b] = there
                    before[a * ny + b] = item
                    n = push(keys, items, n, -there, a * ny + b)
    item, worst = end, end
    while item >= 0:
        if g.room[item // ny, item % ny] < g.room[worst // ny, worst % ny]:
            worst = item
        item = before[item]
    i, j = worst // ny, worst % ny
    return g.room[i, j], g.origin[0] + (i + 0.5) * g.cell, g.origin[1] + (j + 0.5) * g.cell

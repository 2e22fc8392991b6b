"""What the sweep works on: room for its nodes, pieces and cores; one margin at a pose."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from standtrue.place.kernels.bounds import Ints
from standtrue.place.kernels.field import Field
from standtrue.plane.compiled import compiled, compiled_bare, inlined
from standtrue.plane.kernels import (
    Array,
    minkowski_sum,
    signed_distance,
    turned_negative,
)

FIT_M = -1e-9
"""A stance of this margin fits."""

MOST_CORNERS, MOST_PIECE_CORNERS, MOST_EDGES = 64, 16_384, 65_536
"""Of one free piece, of all pieces at work, of all forbidden polygons of a slice."""

DEPTH, MOST_LEVELS = 128, 22
"""Room for pieces still to be looked at, and for halvings of an interval of headings."""


class Bench(NamedTuple):
    """Room to work in.

    The forbidden polygon of pair k: edges (nx, ny, d) at `sums[start[k]:][:size[k]]`, bounds in `boxes[k]`.
    `turned` holds each zone piece turned for this slice where `stamp` says so. `limits[side, plane]` is how far out
    the reference may be, for the slice that `limited[side]` says, whose end headings are `turns` (c, s, c, s).
    Piece i has its corners at `corners[piece_at[i]:piece_at[i + 1]]`; `tops[0]` is where the next piece goes,
    `tops[1]` counts slices. `cores[level]` holds the rotation cores of the zone pieces that `core_of[level]` numbers,
    piece i from `core_at[level, i]` on; `tops[2]` is the number of the zone pieces now in hand.
    """

    total: Array
    sums: Array
    start: Ints
    size: Ints
    boxes: Array
    turned: Array
    stamp: Ints
    limits: Array
    limited: Ints
    turns: Array
    stack: Array
    stack_n: Ints
    stack_k: Ints
    tops: Ints
    now: Array
    then: Array
    spare: Array
    corners: Array
    piece_at: Ints
    best: Array
    cores: Array
    core_at: Ints
    core_of: Ints


class Slice(NamedTuple):
    """One slice: whole zones (`level` < 0) or their cores at a heading, within a box of positions."""

    level: int
    coarse: bool
    c: float
    s: float
    swing: float
    x0: float
    y0: float
    x1: float
    y1: float


@compiled
def bench_for(zone_corners: int, thing_corners: int, all_corners: int, zones: int, pairs: int, planes: int) -> Bench:
    """Room for fields of at most so many corners of a zone piece, a thing, all zone pieces, and so many of each."""
    broad = 4 * zone_corners + 8
    return Bench(
        np.empty((broad + thing_corners + 2, 2)),
        np.empty((min(pairs * (broad + thing_corners) + 1, MOST_EDGES), 3)),
        np.empty(pairs, np.int64),
        np.empty(pairs, np.int64),
        np.empty((pairs, 4)),
        np.empty((zones, broad, 2)),
        np.zeros(zones, np.int64),
        np.empty((3, planes)),
        np.zeros(3, np.int64),
        np.empty(4),
        np.empty((DEPTH, MOST_CORNERS, 2)),
        np.empty(DEPTH, np.int64),
        np.empty(DEPTH, np.int64),
        np.zeros(3, np.int64),
        np.empty((MOST_CORNERS, 2)),
        np.empty((MOST_CORNERS, 2)),
        np.empty((MOST_CORNERS, 2)),
        np.empty((MOST_PIECE_CORNERS, 2)),
        np.zeros(MOST_PIECE_CORNERS // 3, np.int64),
        np.empty(3),
        np.empty((MOST_LEVELS, 4 * all_corners + 8 * zones + 8, 2)),
        np.empty((MOST_LEVELS, zones + 1), np.int64),
        np.full(MOST_LEVELS, -1),
    )


@compiled_bare
def widest(at: Ints) -> int:
    """The most corners of any piece."""
    most = 1
    for i in range(at.shape[0] - 1):
        most = max(most, at[i + 1] - at[i])
    return int(most)


@compiled_bare
def least_support(p: Array, first: int, n: int, ax: float, ay: float, bx: float, by: float) -> float:
    """The least support of a convex polygon over the directions from a counter-clockwise to b, less than half a turn.

    Rows of `p` as in `Field.hulls`. Between the normals of two edges the support is that of one corner, r cos(angle):
    concave where it is positive, so its least value is at a normal, at an end, or, where it is negative, straight
    opposite the corner.
    """
    i = first
    least = -np.inf
    for k in range(first, first + n):
        v = ax * p[k, 0] + ay * p[k, 1]
        if v > least:
            least, i = v, k
    for _ in range(n):
        x, y = p[i, 0], p[i, 1]
        k = i + 1 if i + 1 < first + n else first
        if least < 0.0 and ay * x - ax * y >= 0.0 and y * bx - x * by >= 0.0:
            h = i - 1 if i > first else first + n - 1
            square = x * x + y * y
            if p[h, 0] * x + p[h, 1] * y >= square and p[k, 0] * x + p[k, 1] * y >= square:
                least = min(least, -math.sqrt(square))
        nx, ny = p[k, 1] - y, x - p[k, 0]
        if nx * by - ny * bx <= 0.0:
            break
        least = min(least, p[i, 2])
        i = k
    return float(min(least, bx * p[i, 0] + by * p[i, 1]))


@inlined
def turn_to(b: Bench, heading: float, half: float) -> None:
    """Begin a slice over the headings within `half` of one."""
    b.tops[1] += 1
    b.turns[0], b.turns[1] = math.cos(heading + half), math.sin(heading + half)
    b.turns[2], b.turns[3] = math.cos(heading - half), math.sin(heading - half)


@compiled_bare
def margin_at(f: Field, b: Bench, x: float, y: float, heading: float) -> float:
    """The margin of a stance, measured with true gaps: exact where it is at most 0, and else perhaps too great."""
    planes, walls, wall_gaps, wall_sides, hulls, hull_at = (
        f.planes,
        f.walls,
        f.wall_gaps,
        f.wall_sides,
        f.hulls,
        f.hull_at,
    )
    pairs, gaps, slacks, sides, circles = f.pairs, f.gaps, f.slacks, f.sides, f.circles
    zones, zone_at, solids, solid_at, solid_lows = f.zones, f.zone_at, f.solids, f.solid_at, f.solid_lows
    best, turned, total = b.best, b.then, b.total
    c, s = math.cos(heading), math.sin(heading)
    best[0] = best[1] = best[2] = np.inf
    for k in range(walls.shape[0]):
        p, h = walls[k, 0], walls[k, 1]
        nx, ny = planes[p, 0], planes[p, 1]
        ux, uy = c * nx + s * ny, c * ny - s * nx
        support = -np.inf
        for i in range(hull_at[h], hull_at[h + 1]):
            support = max(support, ux * hulls[i, 0] + uy * hulls[i, 1])
        side = wall_sides[k]
        best[side] = min(best[side], planes[p, 2] - wall_gaps[k] - support - nx * x - ny * y)
    for k in range(pairs.shape[0]):
        zi, ti, side = pairs[k, 0], pairs[k, 3], sides[k]
        t0 = solid_at[ti]
        nt = solid_at[ti + 1] - t0
        cx, cy = x + c * circles[zi, 0] - s * circles[zi, 1], y + s * circles[zi, 0] + c * circles[zi, 1]
        gap = gaps[k] - slacks[k]
        if signed_distance(cx, cy, solids, t0, nt) - circles[zi, 2] - gap >= 0.0:
            continue
        z0 = zone_at[zi]
        nz = zone_at[zi + 1] - z0
        turned_negative(zones, z0, nz, c, s, turned)
        n = minkowski_sum(solids, t0, nt, solid_lows[ti], turned, nz, total)
        best[side] = min(best[side], signed_distance(x, y, total, 0, n) - gap)
        if best[0] < FIT_M:
            break
    return float(min(best[0], max(best[1], best[2])))


@inlined
def holds_at(f: Field, b: Bench, piece: Array, n: int, heading: float, pose: Array) -> bool:
    """Whether the middle of a free piece is a stance that fits; writes it to `pose`."""
    x = y = 0.0
    for i in range(n):
        x += piece[i, 0] / n
        y += piece[i, 1] / n
    pose[0], pose[1], pose[2], pose[3] = x, y, heading, margin_at(f, b, x, y, heading)
    return bool(pose[3] >= FIT_M)


@inlined
def slice_of(
    level: int, coarse: bool, heading: float, swing: float, corners: Array, piece_at: Ints, first: int, past: int
) -> Slice:
    x0 = y0 = np.inf
    x1 = y1 = -np.inf
    for j in range(piece_at[first], piece_at[past]):
        x0, x1 = min(x0, corners[j, 0]), max(x1, corners[j, 0])
        y0, y1 = min(y0, corners[j, 1]), max(y1, corners[j, 1])
    return Slice(level, coarse, math.cos(heading), math.sin(heading), swing, x0, y0, x1, y1)


@compiled
def bench_of(f: Field) -> Bench:
    """Room to work in for one field."""
    pieces, pairs, planes = f.zone_at.shape[0] - 1, f.pairs.shape[0], f.planes.shape[0]
    solid = max(widest(f.thing_at), widest(f.solid_at))
    return bench_for(widest(f.zone_at), solid, f.zone_at[-1] - f.zone_at[0], pieces, pairs, planes)

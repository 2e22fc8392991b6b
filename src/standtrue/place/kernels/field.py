"""Compiled: one question of yes or no, laid out for the sweep.

Walls are half-planes, and what must keep from them is one convex hull; every other thing is convex pieces,
grown by the gap that is asked, once.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from standtrue.place.kernels.bounds import Ints, Problem
from standtrue.plane.compiled import compiled, compiled_bare
from standtrue.plane.kernels import Array, lowest_of

SAGITTA_M = 8e-4
"""How far inside the arc the chords of a grown corner may lie: grown too little, a "no" stays true."""

COARSE_M = 2e-2
"""The same for wide intervals of headings, where every corner of a forbidden polygon costs and decides little."""

VAST_M = 150.0
"""No room is as long: a rectangle this long is a half-plane, its inner edge from its last corner to its first."""


class Field(NamedTuple):
    """What the sweep reads.

    Zone piece i of the car and its cards lies at `zones[zone_at[i]:zone_at[i + 1]]` about the reference point,
    within `circles[i]` (x, y, r) and `arms[i]` of the reference. `halves` are the half-widths of intervals of
    headings, level by level. Row k of `pairs` names a zone piece, a piece of `things` grown by `gaps[k]` with
    coarse corners, the same with fine corners, and the piece of `solids` that they were grown from; the forbidden
    polygon is offset inward by `slacks[k]`. `boxes` are the bounds of each grown piece, `edges` (nx, ny, d) the
    lines of its edges. Row k of `walls` names one of `planes` (nx, ny, d: n.p <= d is free) and a hull that must
    keep `wall_gaps[k]` from it. Hulls have rows x, y, and the support in the direction of the normal of the edge to
    the next corner. Sides: 0 for all, 1 and 2 for either exit strip.
    """

    zones: Array
    zone_at: Ints
    circles: Array
    arms: Array
    halves: Array
    things: Array
    thing_at: Ints
    lows: Ints
    boxes: Array
    edges: Array
    solids: Array
    solid_at: Ints
    solid_lows: Ints
    pairs: Ints
    gaps: Array
    sides: Ints
    slacks: Array
    planes: Array
    walls: Ints
    wall_gaps: Array
    wall_sides: Ints
    hulls: Array
    hull_at: Ints


@compiled_bare
def half_plane(p: Array, first: int, n: int, out: Array) -> bool:
    """Whether a piece stands for a half-plane; writes the free side of it, nx, ny, d, to `out`."""
    if n != 4:
        return False
    ax, ay = p[first + 1, 0] - p[first, 0], p[first + 1, 1] - p[first, 1]
    bx, by = p[first + 3, 0] - p[first, 0], p[first + 3, 1] - p[first, 1]
    long, deep = math.hypot(bx, by), math.hypot(ax, ay)
    if long < VAST_M or deep < VAST_M / 3 or abs(ax * bx + ay * by) > 1e-9 * long * deep:
        return False
    if math.hypot(p[first + 2, 0] - p[first + 1, 0] - bx, p[first + 2, 1] - p[first + 1, 1] - by) > 1e-6:
        return False
    out[0], out[1] = ax / deep, ay / deep
    out[2] = out[0] * p[first, 0] + out[1] * p[first, 1]
    return True


@compiled_bare
def grow_piece(b: Array, gap: float, sagitta: float, out: Array) -> int:
    """Convex polygon `b` grown by `gap`; round corners become chords at most `sagitta` inside the arc."""
    n = b.shape[0]
    if gap <= 0.0:
        for j in range(n):
            out[j, 0], out[j, 1] = b[j, 0], b[j, 1]
        return int(n)
    step = 2.0 * math.acos(max(0.0, 1.0 - sagitta / gap))
    count = 0
    for i in range(n):
        h, j = (i + n - 1) % n, (i + 1) % n
        before = math.atan2(b[h, 0] - b[i, 0], b[i, 1] - b[h, 1])
        after = math.atan2(b[i, 0] - b[j, 0], b[j, 1] - b[i, 1])
        turn = (after - before) % (2.0 * math.pi)
        if turn > 1.5 * math.pi:  # a straight corner, by rounding the other way
            turn = 0.0
        parts = max(1, math.ceil(turn / step - 1e-9))
        for k in range(parts + 1):
            a = before + turn * k / parts
            out[count, 0] = b[i, 0] + gap * math.cos(a)
            out[count, 1] = b[i, 1] + gap * math.sin(a)
            count += 1
    return count


@compiled_bare
def grown_room(n: int, gap: float, sagitta: float) -> int:
    """How many corners a piece of `n` may have when grown by `gap`."""
    if gap <= 0.0:
        return n
    return 3 * n + math.ceil(math.pi / math.acos(max(0.0, 1.0 - sagitta / gap)))


@compiled
def bounds_of(corners: Array, at: Ints) -> Array:
    """x0, y0, x1, y1 of each piece."""
    found = np.empty((at.shape[0] - 1, 4))
    for i in range(found.shape[0]):
        x0 = y0 = np.inf
        x1 = y1 = -np.inf
        for j in range(at[i], at[i + 1]):
            x0, x1 = min(x0, corners[j, 0]), max(x1, corners[j, 0])
            y0, y1 = min(y0, corners[j, 1]), max(y1, corners[j, 1])
        found[i, 0], found[i, 1], found[i, 2], found[i, 3] = x0, y0, x1, y1
    return found


@compiled
def edges_of(corners: Array, at: Ints) -> Array:
    """The line of each piece's edge to every corner from the one before: outward nx, ny and d; (0, 0, inf) for none."""
    found = np.empty((corners.shape[0], 3))
    for i in range(at.shape[0] - 1):
        last = at[i + 1] - 1
        for j in range(at[i], at[i + 1]):
            x, y = corners[j, 0], corners[j, 1]
            nx, ny = y - corners[last, 1], corners[last, 0] - x
            long = math.hypot(nx, ny)
            last = j
            if long > 0.0:
                found[j, 0], found[j, 1], found[j, 2] = nx / long, ny / long, (nx * x + ny * y) / long
            else:
                found[j, 0], found[j, 1], found[j, 2] = 0.0, 0.0, np.inf
    return found


@compiled_bare
def convex_hull(points: Array, count: int, out: Array) -> int:
    """The convex hull of `points[:count]`, counter-clockwise, by Andrew's monotone chain (1979); sorts `points`.

    Writes rows x, y and the support toward the edge to the next corner; returns how many.
    """
    for i in range(1, count):
        x, y = points[i, 0], points[i, 1]
        j = i - 1
        while j >= 0 and (points[j, 0] > x or (points[j, 0] == x and points[j, 1] > y)):
            points[j + 1, 0], points[j + 1, 1] = points[j, 0], points[j, 1]
            j -= 1
        points[j + 1, 0], points[j + 1, 1] = x, y
    n = 0
    for turn in range(2):
        base = n
        for i in range(count):
            k = i if turn == 0 else count - 1 - i
            x, y = points[k, 0], points[k, 1]
            while n >= base + 2:
                ux, uy = out[n - 1, 0] - out[n - 2, 0], out[n - 1, 1] - out[n - 2, 1]
                if ux * (y - out[n - 2, 1]) - uy * (x - out[n - 2, 0]) > 0.0:
                    break
                n -= 1
            out[n, 0], out[n, 1] = x, y
            n += 1
        n -= 1
    n = max(n, 1)
    for i in range(n):
        j = (i + 1) % n
        nx, ny = out[j, 1] - out[i, 1], out[i, 0] - out[j, 0]
        long = math.hypot(nx, ny)
        out[i, 2] = (nx * out[i, 0] + ny * out[i, 1]) / long if long > 0.0 else 0.0
    return n


@compiled
def field_of(q: Problem) -> Field:
    """Lay out a packed problem. Pairs that do not count in the margin are asked like any other."""
    rows, solids = q.pairs.shape[0], q.thing_at.shape[0] - 1
    planes, plane_of = np.empty((solids, 3)), np.full(solids, -1)
    made = 0
    for t in range(solids):
        if half_plane(q.things, q.thing_at[t], q.thing_at[t + 1] - q.thing_at[t], planes[made]):
            plane_of[t] = made
            made += 1
    # Pieces to grow, by thing and gap.
    owner, width, of = np.empty(rows, np.int64), np.empty(rows), np.empty(rows, np.int64)
    grown = room = plain = 0
    for k in range(rows):
        t = q.pairs[k, 1]
        if plane_of[t] >= 0:
            continue
        plain += 1
        found = grown - 1
        while found >= 0 and (owner[found] != t or width[found] != q.gaps[k]):
            found -= 1
        if found < 0:
            found = grown
            owner[found], width[found] = t, q.gaps[k]
            n = q.thing_at[t + 1] - q.thing_at[t]
            room += grown_room(n, q.gaps[k], COARSE_M) + grown_room(n, q.gaps[k], SAGITTA_M)
            grown += 1
        of[k] = found
    things, at = np.empty((room, 2)), np.zeros(2 * grown + 1, np.int64)
    for i in range(2 * grown):
        t0, t1 = q.thing_at[owner[i // 2]], q.thing_at[owner[i // 2] + 1]
        sagitta = COARSE_M if i % 2 == 0 else SAGITTA_M
        at[i + 1] = at[i] + grow_piece(q.things[t0:t1], width[i // 2], sagitta, things[at[i] :])
    pairs, gaps, sides = np.empty((plain, 4), np.int64), np.empty(plain), np.empty(plain, np.int64)
    n = 0
    for k in range(rows):
        if plane_of[q.pairs[k, 1]] < 0:
            pairs[n, 0], pairs[n, 1], pairs[n, 2], pairs[n, 3] = q.pairs[k, 0], 2 * of[k], 2 * of[k] + 1, q.pairs[k, 1]
            gaps[n], sides[n] = q.gaps[k], q.sides[k]
            n += 1
    walls, wall_gaps, wall_sides, hulls, hull_at = _walls(q, plane_of, made)
    return Field(
        q.zones,
        q.zone_at,
        q.circles,
        q.arms,
        q.halves,
        things,
        at,
        lowest_of(things, at),
        bounds_of(things, at),
        edges_of(things, at),
        q.things,
        q.thing_at,
        q.lows,
        pairs,
        gaps,
        sides,
        np.zeros(plain),
        planes[:made],
        walls,
        wall_gaps,
        wall_sides,
        hulls,
        hull_at,
    )


@compiled
def _walls(q: Problem, plane_of: Ints, planes: int) -> tuple[Ints, Array, Ints, Array, Ints]:
    """Rows of walls by plane, gap and side, and the hulls of the zone pieces that each is about."""
    rows = q.pairs.shape[0]
    walls, wall_gaps, wall_sides = np.empty((rows, 2), np.int64), np.empty(rows), np.empty(rows, np.int64)
    of_plane = np.empty((planes, rows), np.int64)
    many = np.zeros(planes, np.int64)
    for k in range(rows):
        p = plane_of[q.pairs[k, 1]]
        if p >= 0:
            of_plane[p, many[p]] = k
            many[p] += 1
    # A hull is the set of its zone pieces: hulls of one thing's planes are made once.
    members, sizes = np.empty((rows + 1, q.zone_at.shape[0] - 1), np.int64), np.zeros(rows + 1, np.int64)
    hulls, hull_at = np.empty((2 * q.zones.shape[0] + 8, 3)), np.zeros(rows + 1, np.int64)
    points = np.empty((q.zones.shape[0] + 1, 2))
    count = made = 0
    done = np.zeros(rows, np.bool_)
    for p in range(planes):
        for i in range(many[p]):
            k = of_plane[p, i]
            if done[k]:
                continue
            size = 0
            for j in range(i, many[p]):
                m = of_plane[p, j]
                if not done[m] and q.gaps[m] == q.gaps[k] and q.sides[m] == q.sides[k]:
                    done[m] = True
                    members[made, size] = q.pairs[m, 0]
                    size += 1
            found = made - 1
            while found >= 0 and not _same(members, sizes, found, made, size):
                found -= 1
            if found < 0:
                found, sizes[made] = made, size
                n = 0
                for j in range(size):
                    zi = members[made, j]
                    for v in range(q.zone_at[zi], q.zone_at[zi + 1]):
                        points[n, 0], points[n, 1] = q.zones[v, 0], q.zones[v, 1]
                        n += 1
                if hull_at[made] + n + 2 > hulls.shape[0]:
                    longer = np.empty((2 * hulls.shape[0] + n, 3))
                    longer[: hulls.shape[0]] = hulls
                    hulls = longer
                hull_at[made + 1] = hull_at[made] + convex_hull(points, n, hulls[hull_at[made] :])
                made += 1
            walls[count, 0], walls[count, 1] = p, found
            wall_gaps[count], wall_sides[count] = q.gaps[k], q.sides[k]
            count += 1
    return walls[:count], wall_gaps[:count], wall_sides[:count], hulls[: hull_at[made]], hull_at[: made + 1]


@compiled_bare
def _same(members: Ints, sizes: Ints, one: int, other: int, size: int) -> bool:
    if sizes[one] != size:
        return False
    same = True
    for i in range(size):
        same &= members[one, i] == members[other, i]
    return same

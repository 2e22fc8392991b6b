"""Yes or no, certified over continuous headings: exact slices of free positions, swept over the headings.

A node is an interval of headings and the positions that are free there of every zone's rotation core and as
far from every wall as the car's hull is at the best heading of the interval, kept as convex pieces. Both only
grow tighter as the interval shrinks, so a child starts from its parent's pieces: most pairs miss them and are
dropped for good. A node without pieces holds no stance. At the node's middle heading the same subtraction with
the whole zones gives the positions that do fit: a piece left there holds a witness. Gaps are grown by inscribed
polygons, so a "no" is never wrong; a witness is measured before it counts.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from standtrue.place.kernels.bounds import Ints, Problem
from standtrue.place.kernels.field import Field, field_of
from standtrue.plane.compiled import compiled, compiled_bare, inlined
from standtrue.plane.kernels import (
    Array,
    clip_half_plane,
    minkowski_sum,
    rotation_core,
    signed_distance,
    turned_negative,
)

FIT_M = -1e-9
YES, NO, UNDECIDED = 1, 0, -1

MOST_NODES = 20_000
"""Where the sweep gives up and leaves it to the search."""

"""A stance of this margin fits."""

TOUCH_M = 1e-9
"""What is free is looked for this far beyond the limit: where things just touch, some of it is left to look at."""

SLIVER_M = 1e-10

LEAST_SWING_M = 4e-4
"""Below this swing of the farthest point an interval of headings is not split again."""

FINE_LEVEL = 6
"""From this level on corners are grown finely: before, what the interval leaves open is much more."""

MOST_CORNERS = 64
MOST_PIECE_CORNERS = 16_384
DEPTH = 128
MOST_EDGES = 65_536
MOST_LEVELS = 22
UNSEEN, MISSES, GONE = -3, -2, -1
"""What `Bench.size` says of a pair before it is looked at, where it misses the node's pieces, and where it does so at
every heading of the node."""


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
def _make_cores(
    zones: Array, zone_at: Ints, half: float, level: int, cores: Array, core_at: Ints, total: Array, spare: Array
) -> None:
    """The rotation core of every zone piece for one level."""
    core_at[level, 0] = 0
    for i in range(zone_at.shape[0] - 1):
        end = core_at[level, i]
        n = rotation_core(zones, zone_at[i], zone_at[i + 1] - zone_at[i], half, total, spare)
        for j in range(n):
            cores[level, end + j, 0], cores[level, end + j, 1] = total[j, 0], total[j, 1]
        core_at[level, i + 1] = end + n


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


# The functions below take single arrays: taking them out of a tuple for every pair costs more than the work.


@compiled_bare
def _limit_walls(
    planes: Array,
    walls: Ints,
    gaps: Array,
    sides: Ints,
    hulls: Array,
    hull_at: Ints,
    turns: Array,
    limits: Array,
    side: int,
) -> None:
    """How far out the reference may be toward every wall at the best heading of the slice, for all or for one side.

    A bound of a wall is n.p <= d - gap - support of the hull; the least support allows the most.
    """
    for p in range(planes.shape[0]):
        limits[side, p] = np.inf
    c0, s0, c1, s1 = turns[0], turns[1], turns[2], turns[3]
    for k in range(walls.shape[0]):
        if sides[k] != side:
            continue
        p, h = walls[k, 0], walls[k, 1]
        nx, ny = planes[p, 0], planes[p, 1]
        first = hull_at[h]
        ax, ay, bx, by = c0 * nx + s0 * ny, c0 * ny - s0 * nx, c1 * nx + s1 * ny, c1 * ny - s1 * nx
        support = least_support(hulls, first, hull_at[h + 1] - first, ax, ay, bx, by)
        limits[side, p] = min(limits[side, p], planes[p, 2] - gaps[k] - support)


@inlined
def _turn_to(b: Bench, heading: float, half: float) -> None:
    """Begin a slice over the headings within `half` of one."""
    b.tops[1] += 1
    b.turns[0], b.turns[1] = math.cos(heading + half), math.sin(heading + half)
    b.turns[2], b.turns[3] = math.cos(heading - half), math.sin(heading - half)


@compiled_bare
def _within_walls(planes: Array, limits: Array, side: int, stack: Array, at: int, n: int, spare: Array) -> int:
    """Clip the piece `stack[at]` to what the walls leave; returns how many corners, 0 for none, -1 for too many."""
    for p in range(planes.shape[0]):
        d = limits[side, p] + TOUCH_M
        if d == np.inf:
            continue
        nx, ny = planes[p, 0], planes[p, 1]
        high = -np.inf
        for i in range(n):
            high = max(high, nx * stack[at, i, 0] + ny * stack[at, i, 1])
        if high <= d:
            continue
        if n + 1 > MOST_CORNERS:
            return -1
        n = clip_half_plane(stack[at], n, nx, ny, d, spare)
        if n < 3:
            return 0
        for i in range(n):
            stack[at, i, 0], stack[at, i, 1] = spare[i, 0], spare[i, 1]
    return n


@compiled_bare
def _apart(
    x: float,
    y: float,
    r: float,
    swing: float,
    wide: float,
    high: float,
    boxes: Array,
    edges: Array,
    first: int,
    past: int,
    t: int,
) -> int:
    """Whether a circle, anywhere in a box of positions about (x, y), misses thing piece t: UNSEEN if it may not."""
    away = max(
        max(boxes[t, 0] - x, x - boxes[t, 2]) - wide / 2,
        max(boxes[t, 1] - y, y - boxes[t, 3]) - high / 2,
    )
    if away >= r:
        return GONE if away > r + swing else MISSES
    away = -np.inf
    for j in range(first, past):
        away = max(away, edges[j, 0] * x + edges[j, 1] * y - edges[j, 2])
    away -= r + math.sqrt(wide * wide + high * high) / 2
    if away >= 0.0:
        return GONE if away > swing else MISSES
    return UNSEEN


@compiled_bare
def _edges_of_sum(
    total: Array,
    m: int,
    cut_x0: float,
    cut_y0: float,
    cut_x1: float,
    cut_y1: float,
    less: float,
    box: Array,
    sums: Array,
    end: int,
) -> int:
    """Write a forbidden polygon's edges, moved inward by `less`, from `sums[end]` on; MISSES if out of the box."""
    left = low = np.inf
    right = high = -np.inf
    for j in range(m):
        x, y = total[j, 0], total[j, 1]
        left, right, low, high = min(left, x), max(right, x), min(low, y), max(high, y)
    if left >= cut_x1 or right <= cut_x0 or low >= cut_y1 or high <= cut_y0:
        return MISSES
    box[0], box[1], box[2], box[3] = left, low, right, high
    n = 0
    px, py = total[m - 1, 0], total[m - 1, 1]
    for j in range(m):
        x, y = total[j, 0], total[j, 1]
        nx, ny = y - py, px - x
        long = math.sqrt(nx * nx + ny * ny)
        if long > 0.0:
            nx, ny = nx / long, ny / long
            sums[end + n, 0], sums[end + n, 1] = nx, ny
            sums[end + n, 2] = nx * x + ny * y - less
            n += 1
        px, py = x, y
    return n


@compiled_bare
def _survivors(
    f: Field,
    b: Bench,
    cut: Slice,
    two_sided: bool,
    active: Ints,
    begin: int,
    count: int,
    first: int,
    past: int,
    enough: int,
    fresh: bool,
) -> int:
    """Pieces `first:past` less the walls' and the active pairs' forbidden parts, written from `b.tops[0]` on.

    Pairs are `active[begin:][:count]`; those that swallow whole pieces are moved to the front. With two exit
    strips a piece counts if part of it is free of the left one's pairs, or of the right one's. Stops at
    `enough` pieces (of which then only the free part is written). `fresh`: the slice is not the one before.
    Returns how many, or -1 if room ran out.
    """
    size, start, sums, boxes, sides = b.size, b.start, b.sums, b.boxes, f.sides
    stack, stack_n, stack_k, spare, then = b.stack, b.stack_n, b.stack_k, b.spare, b.then
    corners, piece_at, total, turned, stamp = b.corners, b.piece_at, b.total, b.turned, b.stamp
    pairs, things, thing_at, lows, thing_boxes, edges = f.pairs, f.things, f.thing_at, f.lows, f.boxes, f.edges
    circles, arms, slacks = f.circles, f.arms, f.slacks
    planes, walls, wall_gaps, wall_sides, hulls, hull_at = (
        f.planes,
        f.walls,
        f.wall_gaps,
        f.wall_sides,
        f.hulls,
        f.hull_at,
    )
    limits, limited, turns = b.limits, b.limited, b.turns
    now = b.tops[1]
    shapes, shape_at = f.zones, f.zone_at
    if cut.level >= 0:
        if b.core_of[cut.level] != b.tops[2]:
            b.core_of[cut.level] = b.tops[2]
            half = f.halves[cut.level]
            _make_cores(f.zones, f.zone_at, half, cut.level, b.cores, b.core_at, total, b.turned[0])
        shapes, shape_at = b.cores[cut.level], b.core_at[cut.level]
    grown = 1 if cut.coarse else 2
    wide, tall = cut.x1 - cut.x0, cut.y1 - cut.y0
    middle_x, middle_y = (cut.x0 + cut.x1) / 2, (cut.y0 + cut.y1) / 2
    if limited[0] != now:
        limited[0] = now
        _limit_walls(planes, walls, wall_gaps, wall_sides, hulls, hull_at, turns, limits, 0)
    end = 0
    if fresh:
        for i in range(begin, begin + count):
            size[active[i]] = UNSEEN
    else:
        for i in range(begin, begin + count):
            k = active[i]
            if size[k] > 0:
                end = max(end, start[k] + size[k])
    last = b.tops[0]
    written = 0
    for source in range(first, past):
        n = piece_at[source + 1] - piece_at[source]
        for j in range(n):
            stack[0, j, 0], stack[0, j, 1] = corners[piece_at[source] + j, 0], corners[piece_at[source] + j, 1]
        n = _within_walls(planes, limits, 0, stack, 0, n, then)
        if n < 0:
            return -1
        if n == 0:
            continue
        stack_n[0], stack_k[0] = n, 0
        top, base, side, whole = 1, 0, 0, 0
        while True:
            if top == base:
                if side == 0:
                    break
                if side == 2:
                    side, base = 0, 0
                    continue
                side = 2
                for j in range(whole):
                    stack[top, j, 0], stack[top, j, 1] = spare[j, 0], spare[j, 1]
                if limited[2] != now:
                    limited[2] = now
                    _limit_walls(planes, walls, wall_gaps, wall_sides, hulls, hull_at, turns, limits, 2)
                n = _within_walls(planes, limits, 2, stack, top, whole, then)
                if n < 0:
                    return -1
                if n > 0:
                    stack_n[top], stack_k[top] = n, 0
                    top += 1
                continue
            n, i = stack_n[top - 1], stack_k[top - 1]
            piece = stack[top - 1]
            x0, x1, y0, y1 = piece[0, 0], piece[0, 0], piece[0, 1], piece[0, 1]
            for j in range(1, n):
                x0, x1 = min(x0, piece[j, 0]), max(x1, piece[j, 0])
                y0, y1 = min(y0, piece[j, 1]), max(y1, piece[j, 1])
            relation, k = 0, 0
            while i < count:
                k = active[begin + i]
                i += 1
                if sides[k] != side:
                    continue
                if size[k] < 0:
                    if size[k] != UNSEEN:
                        continue
                    zi, ti = pairs[k, 0], pairs[k, grown]
                    t0, t1 = thing_at[ti], thing_at[ti + 1]
                    cx = middle_x + cut.c * circles[zi, 0] - cut.s * circles[zi, 1]
                    cy = middle_y + cut.s * circles[zi, 0] + cut.c * circles[zi, 1]
                    swing = arms[zi] * cut.swing
                    size[k] = _apart(cx, cy, circles[zi, 2], swing, wide, tall, thing_boxes, edges, t0, t1, ti)
                    if size[k] != UNSEEN:
                        continue
                    z0 = shape_at[zi]
                    nz = shape_at[zi + 1] - z0
                    less = slacks[k] + TOUCH_M
                    size[k] = MISSES
                    if nz == 0:
                        if f.zone_at[zi + 1] - f.zone_at[zi] > 1:
                            continue
                        # A point has no core, but it moves by no more than its swing.
                        nz, less = 1, less + swing
                    if stamp[zi] != now:
                        stamp[zi] = now
                        if shape_at[zi + 1] > z0:
                            turned_negative(shapes, z0, nz, cut.c, cut.s, turned[zi])
                        else:
                            turned_negative(f.zones, f.zone_at[zi], nz, cut.c, cut.s, turned[zi])
                    if end + t1 - t0 + nz > sums.shape[0]:
                        return -1
                    m = minkowski_sum(things, t0, t1 - t0, lows[ti], turned[zi], nz, total)
                    size[k] = _edges_of_sum(total, m, cut.x0, cut.y0, cut.x1, cut.y1, less, boxes[k], sums, end)
                    if size[k] < 0:
                        continue
                    start[k] = end
                    end += size[k]
                if boxes[k, 0] >= x1 or boxes[k, 2] <= x0 or boxes[k, 1] >= y1 or boxes[k, 3] <= y0:
                    continue
                relation = _meets(piece, n, sums, start[k], start[k] + size[k])
                if relation != 0:
                    break
            if relation == 1:
                if top + size[k] + 1 > DEPTH:
                    return -1
                top = _cut(stack, stack_n, stack_k, top - 1, n, i, sums, start[k], start[k] + size[k], b.now, then)
                if top < 0:
                    return -1
                continue
            top -= 1
            if relation == 2:
                if i > 1:
                    for j in range(i - 1, 0, -1):
                        active[begin + j] = active[begin + j - 1]
                    active[begin] = k
                    for j in range(base, top):
                        stack_k[j] = 0
                continue
            if two_sided and side == 0:
                if top + 2 > DEPTH:
                    return -1
                whole = n
                for j in range(n):
                    spare[j, 0], spare[j, 1] = piece[j, 0], piece[j, 1]
                side, base = 1, top
                if limited[1] != now:
                    limited[1] = now
                    _limit_walls(planes, walls, wall_gaps, wall_sides, hulls, hull_at, turns, limits, 1)
                n = _within_walls(planes, limits, 1, stack, top, n, then)
                if n < 0:
                    return -1
                if n > 0:
                    stack_n[top], stack_k[top] = n, 0
                    top += 1
                continue
            if piece_at[last] + max(n, whole) > corners.shape[0] or last + 2 > piece_at.shape[0]:
                return -1
            if two_sided and written + 1 < enough:
                n = whole
                for j in range(n):
                    corners[piece_at[last] + j, 0], corners[piece_at[last] + j, 1] = spare[j, 0], spare[j, 1]
            else:
                for j in range(n):
                    corners[piece_at[last] + j, 0], corners[piece_at[last] + j, 1] = piece[j, 0], piece[j, 1]
            piece_at[last + 1] = piece_at[last] + n
            last += 1
            written += 1
            if written >= enough:
                return written
            if side != 0:
                top, side, base = base, 0, 0
    return written


@compiled_bare
def _cut(
    stack: Array,
    stack_n: Ints,
    stack_k: Ints,
    top: int,
    n: int,
    resume: int,
    sums: Array,
    p0: int,
    p1: int,
    now: Array,
    then: Array,
) -> int:
    """Replace the piece at `top` by what lies outside a polygon; returns the new top, -1 on overflow."""
    for i in range(n):
        now[i, 0], now[i, 1] = stack[top, i, 0], stack[top, i, 1]
    for j in range(p0, p1):
        nx, ny, d = sums[j, 0], sums[j, 1], sums[j, 2]
        high = -np.inf
        for i in range(n):
            high = max(high, nx * now[i, 0] + ny * now[i, 1])
        if high > d + SLIVER_M:
            if n + 2 > MOST_CORNERS:
                return -1
            m = clip_half_plane(now, n, -nx, -ny, -d, stack[top])
            if m >= 3:
                stack_n[top], stack_k[top] = m, resume
                top += 1
            n = clip_half_plane(now, n, nx, ny, d, then)
            if n < 3:
                return top
            for i in range(n):
                now[i, 0], now[i, 1] = then[i, 0], then[i, 1]
    return top


@compiled_bare
def _meets(piece: Array, n: int, sums: Array, p0: int, p1: int) -> int:
    """0: the piece does not meet the obstacle's inside. 2: it lies in it. 1: neither."""
    inside = True
    for j in range(p0, p1):
        nx, ny, d = sums[j, 0], sums[j, 1], sums[j, 2]
        low, high = np.inf, -np.inf
        for i in range(n):
            v = nx * piece[i, 0] + ny * piece[i, 1]
            low, high = min(low, v), max(high, v)
        if low >= d - SLIVER_M:
            return 0
        if high > d + SLIVER_M:
            inside = False
    return 2 if inside else 1


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
def _holds(f: Field, b: Bench, piece: Array, n: int, heading: float, pose: Array) -> bool:
    """Whether the middle of a free piece is a stance that fits; writes it to `pose`."""
    x = y = 0.0
    for i in range(n):
        x += piece[i, 0] / n
        y += piece[i, 1] / n
    pose[0], pose[1], pose[2], pose[3] = x, y, heading, margin_at(f, b, x, y, heading)
    return bool(pose[3] >= FIT_M)


@inlined
def _slice_of(
    level: int, coarse: bool, heading: float, swing: float, corners: Array, piece_at: Ints, first: int, past: int
) -> Slice:
    x0 = y0 = np.inf
    x1 = y1 = -np.inf
    for j in range(piece_at[first], piece_at[past]):
        x0, x1 = min(x0, corners[j, 0]), max(x1, corners[j, 0])
        y0, y1 = min(y0, corners[j, 1]), max(y1, corners[j, 1])
    return Slice(level, coarse, math.cos(heading), math.sin(heading), swing, x0, y0, x1, y1)


@compiled
def sweep(q: Problem, domain: Array, most: int) -> tuple[int, Array, int]:
    """Whether some stance fits: 1 yes, 0 no, -1 undecided; a witness (x, y, heading, margin); nodes looked at.

    The witness is of the reference point.

    Undecided only if an interval no wider than LEAST_SWING_M at the farthest point keeps free positions without a
    witness, if a piece overflows, or past `most` nodes.
    """
    f = field_of(q)
    return sweep_field(f, bench_of(f), domain, most)


@compiled
def bench_of(f: Field) -> Bench:
    """Room to work in for one field."""
    pieces, pairs, planes = f.zone_at.shape[0] - 1, f.pairs.shape[0], f.planes.shape[0]
    solid = max(widest(f.thing_at), widest(f.solid_at))
    return bench_for(widest(f.zone_at), solid, f.zone_at[-1] - f.zone_at[0], pieces, pairs, planes)


@compiled
def sweep_field(f: Field, b: Bench, domain: Array, most: int) -> tuple[int, Array, int]:
    """As `sweep`, of a field laid out already."""
    levels = f.halves.shape[0]
    pose = np.zeros(4)
    active = np.empty(f.pairs.shape[0] * (levels + 2), np.int64)
    found, nodes = _sweep(f, b, domain, most, pose, active, np.empty((2 * levels + 16, 6)))
    return found, pose, nodes


@compiled_bare
def _sweep(f: Field, b: Bench, domain: Array, most: int, pose: Array, active: Ints, node: Array) -> tuple[int, int]:
    count, levels, arm = f.pairs.shape[0], f.halves.shape[0], 0.0
    for i in range(f.arms.shape[0]):
        arm = max(arm, f.arms[i])
    two_sided = False
    for k in range(f.walls.shape[0]):
        two_sided |= f.wall_sides[k] > 0
    for k in range(count):
        two_sided |= f.sides[k] > 0
    corners, piece_at = b.corners, b.piece_at
    undecided = False
    nodes = 0
    for i in range(count):
        active[i] = i
    for i in range(4):
        corners[i, 0] = domain[0] if i in (0, 3) else domain[2]
        corners[i, 1] = domain[1] if i < 2 else domain[3]
    piece_at[0], piece_at[1] = 0, 4
    depth = _roots(node, f.halves, domain[4], domain[5], count)
    while depth > 0:
        depth -= 1
        heading, level = node[depth, 0], int(node[depth, 1])
        first, past = int(node[depth, 2]), int(node[depth, 3])
        theirs, mine = int(node[depth, 4]), int(node[depth, 4] + node[depth, 5])
        kept = mine - theirs
        nodes += 1
        if nodes > most:
            return UNDECIDED, nodes
        half = f.halves[level]
        for i in range(kept):
            active[mine + i] = active[theirs + i]
        # Which of the parent's pieces does the cores' slice leave?
        cut = _slice_of(level, level < FINE_LEVEL, heading, 2.0 * math.sin(half / 2), corners, piece_at, first, past)
        _turn_to(b, heading, half)
        b.tops[0] = past
        found = _survivors(f, b, cut, two_sided, active, mine, kept, first, past, 1 << 30, True)
        if found < 0:
            return UNDECIDED, nodes
        last = past + found
        if last == past:
            continue
        still = 0
        for i in range(mine, mine + kept):
            if b.size[active[i]] != GONE:
                active[mine + still] = active[i]
                still += 1
        kept = still
        # Does a position in one of them fit at the middle heading?
        if _fits_at(f, b, heading, level < FINE_LEVEL, two_sided, active, mine, kept, past, last, pose):
            return YES, nodes
        if level + 1 >= levels or arm * half < LEAST_SWING_M:
            undecided = True
            continue
        for side in range(2):
            depth = _add_node(
                node, depth, heading + (2 * side - 1) * f.halves[level + 1], level + 1, past, last, mine, kept
            )
    return (UNDECIDED if undecided else NO), nodes


@compiled_bare
def _fits_at(
    f: Field,
    b: Bench,
    heading: float,
    coarse: bool,
    two_sided: bool,
    active: Ints,
    begin: int,
    count: int,
    first: int,
    past: int,
    pose: Array,
) -> bool:
    """Whether the middle of what is left of pieces `first:past` at a heading is a stance that fits, written to `pose`.

    No more than a try: what it does not find may be there.
    """
    corners, piece_at = b.corners, b.piece_at
    cut = _slice_of(-1, coarse, heading, 0.0, corners, piece_at, first, past)
    _turn_to(b, heading, 0.0)
    for i in range(first, past):
        b.tops[0] = past
        found = _survivors(f, b, cut, two_sided, active, begin, count, i, i + 1, 1, i == first)
        size = piece_at[past + 1] - piece_at[past]
        if found > 0 and _holds(f, b, corners[piece_at[past] :], size, heading, pose):
            return True
    return False


@compiled_bare
def _roots(node: Array, halves: Array, center: float, reach: float, count: int) -> int:
    """The first intervals: about the center, where a car stands along the walls or the lift, and outward from it.

    The last put is the first to be looked at.
    """
    half = halves[0]
    depth = 0
    if reach >= math.pi:
        # The quarter turns from the center come first, those half way between last.
        for k in (7, 5, 3, 1, 6, 2, 4, 0):
            depth = _add_node(node, depth, center + 2 * k * half, 0, 0, 1, 0, count)
        return depth
    done = half
    while done < reach - 1e-9:
        level = 0 if reach - done > half + 1e-9 else 1
        for sign in (-1.0, 1.0):
            depth = _add_node(node, depth, center + sign * (done + halves[level]), level, 0, 1, 0, count)
        done += 2 * halves[level]
    return _add_node(node, depth, center, 0, 0, 1, 0, count)


@compiled_bare
def _add_node(
    node: Array, depth: int, heading: float, level: int, first: int, past: int, theirs: int, count: int
) -> int:
    node[depth, 0], node[depth, 1], node[depth, 2] = heading, level, first
    node[depth, 3], node[depth, 4], node[depth, 5] = past, theirs, count
    return depth + 1

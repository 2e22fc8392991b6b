"""What of a node's pieces stays free over its headings: walls first, then sum by sum, only where they meet."""

from __future__ import annotations

import math

import numpy as np

from standtrue.place.kernels.bench import (
    DEPTH,
    MOST_CORNERS,
    Bench,
    Slice,
    least_support,
)
from standtrue.place.kernels.bounds import Ints
from standtrue.place.kernels.cuts import meets, subtract
from standtrue.place.kernels.field import Field
from standtrue.plane.compiled import compiled_bare, inlined
from standtrue.plane.kernels import (
    Array,
    clip_half_plane,
    minkowski_sum,
    rotation_core,
    turned_negative,
)

TOUCH_M = 1e-9
"""What is free is looked for this far beyond the limit: where things just touch, some of it is left to look at."""


UNSEEN, MISSES, GONE = -3, -2, -1
"""What `Bench.size` says of a pair before it is looked at, where it misses the node's pieces, and where it does so at
every heading of the node."""


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
def _limit(f: Field, b: Bench, side: int) -> None:
    """Make the limits of one side those of the slice at work."""
    b.limited[side] = b.tops[1]
    _limit_walls(f.planes, f.walls, f.wall_gaps, f.wall_sides, f.hulls, f.hull_at, b.turns, b.limits, side)


@inlined
def _put_within_walls(
    planes: Array, limits: Array, side: int, stack: Array, stack_n: Ints, stack_k: Ints, top: int, n: int, spare: Array
) -> int:
    """Put the n corners at `stack[top]` on the stack, as far as the walls of one side leave them.

    Returns the stack's new top, or -1 if room ran out.
    """
    n = _within_walls(planes, limits, side, stack, top, n, spare)
    if n > 0:
        stack_n[top], stack_k[top] = n, 0
        top += 1
    return top if n >= 0 else -1


@compiled_bare
def survivors(
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
    planes, limits, limited = f.planes, b.limits, b.limited
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
        _limit(f, b, 0)
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
        top = _put_within_walls(planes, limits, 0, stack, stack_n, stack_k, 0, n, then)
        if top < 0:
            return -1
        base, side, whole = 0, 0, 0
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
                    _limit(f, b, 2)
                top = _put_within_walls(planes, limits, 2, stack, stack_n, stack_k, top, whole, then)
                if top < 0:
                    return -1
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
                relation = meets(piece, n, sums, start[k], start[k] + size[k])
                if relation != 0:
                    break
            if relation == 1:
                if top + size[k] + 1 > DEPTH:
                    return -1
                top = subtract(stack, stack_n, stack_k, top - 1, n, i, sums, start[k], start[k] + size[k], b.now, then)
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
                    _limit(f, b, 1)
                top = _put_within_walls(planes, limits, 1, stack, stack_n, stack_k, top, n, then)
                if top < 0:
                    return -1
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

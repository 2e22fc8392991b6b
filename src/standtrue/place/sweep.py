"""Yes or no, certified over continuous headings: exact slices of free positions, swept over the headings.

A node is an interval of headings and the positions that are free of every zone's rotation core there,
kept as convex pieces. Cores only grow as the interval shrinks, so a child starts from its parent's
pieces: most pairs miss them and are dropped for good. A node without pieces holds no stance. At the
node's middle heading the same subtraction with the whole zones gives the positions that do fit: a piece
left there holds a witness. Gaps are grown by inscribed polygons, so a "no" is never wrong; a witness is
measured before it counts.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numba import njit

from standtrue.place.bounds import Ints, Problem, Scratch, near_pairs, pair_value, scratch_for
from standtrue.plane.kernels import Array, clip_half_plane, lowest_of, minkowski_sum, signed_distance, turned_negative

SLIVER_M = 1e-9
SAGITTA_M = 8e-4
VAST_M = 50.0
"""A piece this wide is the outside of a floor: its corners lie far away, and one chord does for each."""

LEAST_SWING_M = 4e-4
"""Below this swing of the farthest point an interval of headings is not split again."""

MOST_CORNERS = 64
MOST_PIECE_CORNERS = 16_384
DEPTH = 128
UNSEEN, MISSES, GONE = -3, -2, -1
"""What `Bench.size` says of a pair before it is looked at, where it misses the node's pieces, and where it does so at
every heading of the node."""


class Grown(NamedTuple):
    """Thing pieces grown by a gap: piece i at `at[i]:at[i + 1]`; `of[k]` is the piece of pair k."""

    things: Array
    at: Ints
    lows: Ints
    of: Ints


class Bench(NamedTuple):
    """Room to work in: the forbidden polygons of one slice, a stack of pieces, and scratch polygons.

    The polygon of pair k lies at `sums[start[k]:][:size[k]]`, in `boxes[k]`. Piece i has its corners at
    `corners[piece_at[i]:piece_at[i + 1]]`; `tops[1]` is where the next piece goes.
    """

    sums: Array
    start: Ints
    size: Ints
    boxes: Array
    turned: Array
    stack: Array
    stack_n: Ints
    stack_k: Ints
    tops: Ints
    now: Array
    then: Array
    spare: Array
    corners: Array
    piece_at: Ints


class Slice(NamedTuple):
    """One slice: whole zones (`level` < 0) or their cores at a heading, within a box of positions."""

    level: int
    c: float
    s: float
    swing: float
    x0: float
    y0: float
    x1: float
    y1: float


@njit(cache=True, nogil=True, error_model="numpy")
def grow_piece(b: Array, gap: float, out: Array) -> int:
    """Convex polygon `b` grown by `gap`; round corners become chords at most SAGITTA_M inside the arc."""
    n = b.shape[0]
    if gap <= 0.0:
        out[:n] = b
        return int(n)
    step = 2.0 * math.acos(max(0.0, 1.0 - SAGITTA_M / gap))
    if max(b[:, 0].max() - b[:, 0].min(), b[:, 1].max() - b[:, 1].min()) > VAST_M:
        step = math.pi
    count = 0
    for i in range(n):
        h, j = (i + n - 1) % n, (i + 1) % n
        before = math.atan2(b[h, 0] - b[i, 0], b[i, 1] - b[h, 1])
        after = math.atan2(b[i, 0] - b[j, 0], b[j, 1] - b[i, 1])
        turn = (after - before) % (2.0 * math.pi)
        parts = max(1, math.ceil(turn / step - 1e-9))
        for k in range(parts + 1):
            a = before + turn * k / parts
            out[count, 0] = b[i, 0] + gap * math.cos(a)
            out[count, 1] = b[i, 1] + gap * math.sin(a)
            count += 1
    return count


@njit(cache=True, nogil=True, error_model="numpy")
def grow_things(q: Problem) -> Grown:
    """Every thing's piece grown by each gap that some pair asks of it, once."""
    count = q.pairs.shape[0]
    of = np.empty(count, np.int64)
    owner, width = np.empty(count, np.int64), np.empty(count)
    made = total = 0
    for k in range(count):
        found = -1
        for i in range(made - 1, -1, -1):
            if owner[i] == q.pairs[k, 1] and width[i] == q.gaps[k]:
                found = i
                break
        if found < 0:
            found = made
            owner[made], width[made] = q.pairs[k, 1], q.gaps[k]
            made += 1
            arcs = 0
            if q.gaps[k] > 0.0:
                arcs = math.ceil(math.pi / math.acos(max(0.0, 1.0 - SAGITTA_M / q.gaps[k])))
            total += 3 * (q.thing_at[q.pairs[k, 1] + 1] - q.thing_at[q.pairs[k, 1]]) + arcs
        of[k] = found
    things, at = np.empty((total, 2)), np.zeros(made + 1, np.int64)
    for i in range(made):
        t0, t1 = q.thing_at[owner[i]], q.thing_at[owner[i] + 1]
        at[i + 1] = at[i] + grow_piece(q.things[t0:t1], width[i], things[at[i] :])
    return Grown(things, at, lowest_of(things, at), of)


@njit(cache=True, nogil=True, error_model="numpy")
def _bench_for(q: Problem, g: Grown) -> Bench:
    widest = broadest = 1
    for i in range(q.zone_at.shape[0] - 1):
        widest = max(widest, q.zone_at[i + 1] - q.zone_at[i])
    for i in range(q.core_at.shape[0] - 1):
        widest = max(widest, q.core_at[i + 1] - q.core_at[i])
    for i in range(g.at.shape[0] - 1):
        broadest = max(broadest, g.at[i + 1] - g.at[i])
    count = q.pairs.shape[0]
    return Bench(
        np.empty((count * (widest + broadest), 2)),
        np.empty(count, np.int64),
        np.empty(count, np.int64),
        np.empty((count, 4)),
        np.empty((widest, 2)),
        np.empty((DEPTH, MOST_CORNERS, 2)),
        np.empty(DEPTH, np.int64),
        np.empty(DEPTH, np.int64),
        np.zeros(2, np.int64),
        np.empty((MOST_CORNERS, 2)),
        np.empty((MOST_CORNERS, 2)),
        np.empty((MOST_CORNERS, 2)),
        np.empty((MOST_PIECE_CORNERS, 2)),
        np.zeros(MOST_PIECE_CORNERS // 3, np.int64),
    )


@njit(cache=True, nogil=True, error_model="numpy")
def _survivors(
    q: Problem,
    g: Grown,
    b: Bench,
    cut: Slice,
    two_sided: bool,
    active: Ints,
    begin: int,
    count: int,
    first: int,
    past: int,
    enough: int,
) -> int:
    """Pieces `first:past` less the forbidden polygons of the active pairs, written as pieces from `b.tops[1]` on.

    Pairs are `active[begin:][:count]`; those that swallow whole pieces are moved to the front. With two exit
    strips a piece counts if part of it is free of the left one's pairs, or of the right one's. Stops at
    `enough` pieces (of which then only the free part is written). Returns how many, or -1 if room ran out.
    """
    circles, arms, things, at, lows, of = q.circles, q.arms, g.things, g.at, g.lows, g.of
    sides = q.sides
    sums, start, size, boxes, turned = b.sums, b.start, b.size, b.boxes, b.turned
    stack, stack_n, stack_k, spare = b.stack, b.stack_n, b.stack_k, b.spare
    corners, piece_at = b.corners, b.piece_at
    if cut.level < 0:
        shapes, shape_at, level0 = q.zones, q.zone_at, 0
    else:
        shapes, shape_at, level0 = q.cores, q.core_at, cut.level * (q.zone_at.shape[0] - 1)
    middle_x, middle_y = (cut.x0 + cut.x1) / 2, (cut.y0 + cut.y1) / 2
    reach = math.hypot(cut.x1 - cut.x0, cut.y1 - cut.y0) / 2
    for i in range(begin, begin + count):
        size[active[i]] = UNSEEN
    end = 0
    last = b.tops[1]
    written = 0
    for source in range(first, past):
        n = piece_at[source + 1] - piece_at[source]
        for j in range(n):
            stack[0, j, 0], stack[0, j, 1] = corners[piece_at[source] + j, 0], corners[piece_at[source] + j, 1]
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
                stack_n[top], stack_k[top] = whole, 0
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
                    zi, ti = q.pairs[k, 0], of[k]
                    t0, nt = at[ti], at[ti + 1] - at[ti]
                    cx = middle_x + cut.c * circles[zi, 0] - cut.s * circles[zi, 1]
                    cy = middle_y + cut.s * circles[zi, 0] + cut.c * circles[zi, 1]
                    apart = signed_distance(cx, cy, things, t0, nt) - circles[zi, 2] - reach
                    if apart >= 0.0:
                        size[k] = GONE if apart > arms[zi] * cut.swing else MISSES
                        continue
                    z0 = shape_at[level0 + zi]
                    nz = shape_at[level0 + zi + 1] - z0
                    if nz == 0:
                        size[k] = MISSES
                        continue
                    turned_negative(shapes, z0, nz, cut.c, cut.s, turned)
                    m = minkowski_sum(things, t0, nt, lows[ti], turned, nz, sums[end:])
                    if not _boxed(sums, end, m, boxes, k, cut.x0, cut.y0, cut.x1, cut.y1):
                        size[k] = MISSES
                        continue
                    start[k], size[k] = end, m
                    end += m
                if boxes[k, 0] >= x1 or boxes[k, 2] <= x0 or boxes[k, 1] >= y1 or boxes[k, 3] <= y0:
                    continue
                relation = _meets(piece, n, sums, start[k], start[k] + size[k])
                if relation != 0:
                    break
            if relation == 1:
                if top + size[k] + 1 > DEPTH:
                    return -1
                top = _cut(stack, stack_n, stack_k, top - 1, n, i, sums, start[k], start[k] + size[k], b.now, b.then)
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
                whole = n
                for j in range(n):
                    spare[j, 0], spare[j, 1] = piece[j, 0], piece[j, 1]
                side, base = 1, top
                stack_k[top] = 0
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


@njit(cache=True, nogil=True, error_model="numpy")
def _boxed(sums: Array, p0: int, n: int, boxes: Array, k: int, x0: float, y0: float, x1: float, y1: float) -> bool:
    """Write the bounds of a polygon to `boxes[k]`; whether they meet a box."""
    left = low = np.inf
    right = high = -np.inf
    for j in range(p0, p0 + n):
        left, right = min(left, sums[j, 0]), max(right, sums[j, 0])
        low, high = min(low, sums[j, 1]), max(high, sums[j, 1])
    boxes[k, 0], boxes[k, 1], boxes[k, 2], boxes[k, 3] = left, low, right, high
    return left < x1 and right > x0 and low < y1 and high > y0


@njit(cache=True, nogil=True, error_model="numpy")
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
    px, py = sums[p1 - 1, 0], sums[p1 - 1, 1]
    for j in range(p0, p1):
        qx, qy = sums[j, 0], sums[j, 1]
        nx, ny = qy - py, px - qx
        d = nx * px + ny * py
        high = -np.inf
        for i in range(n):
            high = max(high, nx * now[i, 0] + ny * now[i, 1] - d)
        if high > SLIVER_M * (abs(nx) + abs(ny)):
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
        px, py = qx, qy
    return top


@njit(cache=True, nogil=True, error_model="numpy")
def _meets(piece: Array, n: int, sums: Array, p0: int, p1: int) -> int:
    """0: the piece does not meet the obstacle's inside. 2: it lies in it. 1: neither."""
    inside = True
    px, py = sums[p1 - 1, 0], sums[p1 - 1, 1]
    for j in range(p0, p1):
        qx, qy = sums[j, 0], sums[j, 1]
        nx, ny = qy - py, px - qx
        d = nx * px + ny * py
        low, high = np.inf, -np.inf
        for i in range(n):
            v = nx * piece[i, 0] + ny * piece[i, 1] - d
            low, high = min(low, v), max(high, v)
        eps = SLIVER_M * (abs(nx) + abs(ny))
        if low >= -eps:
            return 0
        if high > eps:
            inside = False
        px, py = qx, qy
    return 2 if inside else 1


@njit(cache=True, nogil=True, error_model="numpy")
def _holds(q: Problem, w: Scratch, piece: Array, n: int, heading: float, pose: Array) -> bool:
    """Whether the middle of a free piece is a stance of margin >= 0, measured with true gaps; writes it to `pose`."""
    x = y = 0.0
    for i in range(n):
        x += piece[i, 0] / n
        y += piece[i, 1] / n
    pose[0], pose[1], pose[2] = x, y, heading
    c, s = math.cos(heading), math.sin(heading)
    sides = q.sides
    best = np.array([np.inf, np.inf, np.inf])
    for i in range(near_pairs(q, w, x, y, heading, 0.0)):
        k = w.near[i]
        best[sides[k]] = min(best[sides[k]], pair_value(q, w, k, x, y, c, s))
    pose[3] = min(best[0], max(best[1], best[2]))
    return bool(pose[3] >= 0.0)


@njit(cache=True, nogil=True, error_model="numpy")
def _slice_of(level: int, heading: float, swing: float, corners: Array, piece_at: Ints, first: int, past: int) -> Slice:
    x0 = y0 = np.inf
    x1 = y1 = -np.inf
    for j in range(piece_at[first], piece_at[past]):
        x0, x1 = min(x0, corners[j, 0]), max(x1, corners[j, 0])
        y0, y1 = min(y0, corners[j, 1]), max(y1, corners[j, 1])
    return Slice(level, math.cos(heading), math.sin(heading), swing, x0, y0, x1, y1)


@njit(cache=True, nogil=True, error_model="numpy")
def sweep(q: Problem, domain: Array, most: int) -> tuple[int, Array, int]:
    """Whether some stance fits: 1 yes, 0 no, -1 undecided; a witness (x, y, heading, margin); nodes looked at.

    The witness is of the reference point.

    Floors are not looked at. Undecided only if an interval no wider than LEAST_SWING_M at the farthest point
    keeps free positions without a witness, if a piece overflows, or past `most` nodes.
    """
    w = scratch_for(q)
    g = grow_things(q)
    b = _bench_for(q, g)
    count, levels, arm = q.pairs.shape[0], q.halves.shape[0], q.arms.max()
    two_sided = q.sides.max() > 0
    pose = np.zeros(4)
    corners, piece_at = b.corners, b.piece_at
    active = np.empty(count * (levels + 2), np.int64)
    node = np.empty((2 * levels + 16, 6))
    undecided = False
    nodes = 0
    roots = max(1, math.ceil(domain[5] / q.halves[0] - 1e-9))
    active[:count] = np.arange(count)
    for i in range(4):
        corners[i, 0] = domain[0] if i in (0, 3) else domain[2]
        corners[i, 1] = domain[1] if i < 2 else domain[3]
    piece_at[1] = 4
    # A node: heading, level, first and past-last piece of its parent, first active pair of its parent, how many.
    depth = 0
    for r in range(roots):
        depth = _add_node(node, depth, domain[4] + (2 * r + 1 - roots) * q.halves[0], 0, 0, 1, 0, count)
    while depth > 0:
        depth -= 1
        heading, level = node[depth, 0], int(node[depth, 1])
        first, past = int(node[depth, 2]), int(node[depth, 3])
        theirs, mine = int(node[depth, 4]), int(node[depth, 4] + node[depth, 5])
        kept = mine - theirs
        nodes += 1
        if nodes > most:
            return -1, pose, nodes
        half = q.halves[level]
        active[mine : mine + kept] = active[theirs:mine]
        # Which of the parent's pieces does the cores' slice leave?
        cut = _slice_of(level, heading, 2.0 * math.sin(half / 2), corners, piece_at, first, past)
        b.tops[1] = past
        found = _survivors(q, g, b, cut, two_sided, active, mine, kept, first, past, 1 << 30)
        if found < 0:
            return -1, pose, nodes
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
        cut = _slice_of(-1, heading, 0.0, corners, piece_at, past, last)
        for i in range(past, last):
            b.tops[1] = last
            found = _survivors(q, g, b, cut, two_sided, active, mine, kept, i, i + 1, 1)
            size = piece_at[last + 1] - piece_at[last]
            if found > 0 and _holds(q, w, corners[piece_at[last] :], size, heading, pose):
                return 1, pose, nodes
        if level + 1 >= levels or arm * half < LEAST_SWING_M:
            undecided = True
            continue
        for side in range(2):
            depth = _add_node(
                node, depth, heading + (2 * side - 1) * q.halves[level + 1], level + 1, past, last, mine, kept
            )
    return (-1 if undecided else 0), pose, nodes


@njit(cache=True, nogil=True)
def _add_node(
    node: Array, depth: int, heading: float, level: int, first: int, past: int, theirs: int, count: int
) -> int:
    node[depth, 0], node[depth, 1], node[depth, 2] = heading, level, first
    node[depth, 3], node[depth, 4], node[depth, 5] = past, theirs, count
    return depth + 1

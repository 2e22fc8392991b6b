"""Compiled: what all headings share when the outline of the free positions is asked for.

A position is free if some option leaves it free. An option is one way with one of its exit strips; masks tell, bit by
bit, to which options a pair belongs. Positions are measured from the middle of the domain.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from standtrue.plane.compiled import compiled, compiled_bare
from standtrue.plane.kernels import Array, lowest

Ints = NDArray[np.int64]
Marks = NDArray[np.bool_]

ROUNDED_M = 1e-4
"""How far the tangents that stand for a gap's round corner go beyond it."""

SPARED_M = 6e-10
"""A stance fits from a margin of -1e-9 on: everything forbidden is smaller by this, at its corners by half more."""

TIE_M = 1e-10
"""Edges that coincide are told apart by less than this."""

WITHIN_M = 1e-12
SPARED_AT_CORNERS = 1.5


class SliceProblem(NamedTuple):
    """Pairs of convex pieces, packed: pair k is of zone piece `rows[k, 0]` and thing piece `rows[k, 1]`.

    Pairs of one thing piece stand together; `largest` are their numbers, those of large shapes first. Piece i of
    either has its vertices at `zone_at[i]:zone_at[i + 1]`. Zones are in the vehicle frame, things in the site frame
    less `middle`. `domains` (x0, y0, x1, y1) bounds the origin in the options of `domain_masks`.
    """

    zones: Array
    zone_at: Ints
    things: Array
    thing_at: Ints
    rows: Ints
    largest: Ints
    gaps: Array
    masks: Ints
    domains: Array
    domain_masks: Ints
    middle: Array


class Planes(NamedTuple):
    """Half-planes n.p <= offset: normals, offsets that no zone changes, and options; then what zones ask of them."""

    normals: Array
    fixed: Array
    masks: Ints
    zone: Ints
    plane: Ints
    offset: Array


class Ready(NamedTuple):
    """What all headings share: half-planes, things grown by gaps, and the pairs of those with zones, largest first.

    `chain[v]` marks the edge from vertex v on as one of a round corner's tangents.
    """

    zones: Array
    zone_at: Ints
    planes: Planes
    grown: Array
    grown_at: Ints
    chain: Marks
    lows: Ints
    boxes: Array
    zone: Ints
    thing: Ints
    masks: Ints
    domain: Array
    all_options: int


@compiled
def make_ready(q: SliceProblem) -> Ready:
    """Sort the pairs into half-planes and sums, without those that another one of the same thing contains."""
    domain = np.empty(4)
    domain[:2], domain[2:] = np.inf, -np.inf
    all_options = 0
    for w in range(q.domains.shape[0]):
        all_options |= q.domain_masks[w]
        for i in range(2):
            domain[i] = min(domain[i], q.domains[w, i])
            domain[i + 2] = max(domain[i + 2], q.domains[w, i + 2])
    edge = _flat_edges(q, domain)
    kept = _undominated(q)
    planes = _planes(q, kept, edge, domain)
    count = 0
    for k in range(kept.shape[0]):
        count += kept[k] and edge[q.rows[k, 1]] < 0
    sums, zone, masks = np.empty(count, np.int64), np.empty(count, np.int64), np.empty(count, np.int64)
    n = 0
    for k in q.largest:
        if kept[k] and edge[q.rows[k, 1]] < 0:
            sums[n], zone[n], masks[n] = k, q.rows[k, 0], q.masks[k]
            n += 1
    grown, at, chain, lows, boxes, thing = _grown(q, sums)
    return Ready(q.zones, q.zone_at, planes, grown, at, chain, lows, boxes, zone, thing, masks, domain, all_options)


@compiled
def _grown(q: SliceProblem, sums: Ints) -> tuple[Array, Ints, Marks, Ints, Array, Ints]:
    """The things of these pairs grown by the gaps that they ask, each once, and which one each pair has.

    Corners, where each begins, which edges are tangents, lowest corners, boxes, and the thing of each pair.
    """
    count = sums.shape[0]
    of, owner, gap = np.empty(count, np.int64), np.empty(count, np.int64), np.empty(count)
    before = np.empty(count, np.int64)
    last = np.full(q.thing_at.shape[0], -1, np.int64)
    made = room = 0
    for i in range(count):
        k = sums[i]
        t = q.rows[k, 1]
        found = last[t]
        while found >= 0 and gap[found] != q.gaps[k]:
            found = before[found]
        if found < 0:
            found = made
            owner[made], gap[made], before[made] = t, q.gaps[k], last[t]
            last[t] = made
            made += 1
            room += _room_to_grow(q.thing_at[t + 1] - q.thing_at[t], q.gaps[k])
        of[i] = found
    grown, at, chain = np.empty((room, 2)), np.zeros(made + 1, np.int64), np.zeros(room, np.bool_)
    lows, boxes = np.empty(made, np.int64), np.empty((made, 4))
    for g in range(made):
        first = at[g]
        t0, t1 = q.thing_at[owner[g]], q.thing_at[owner[g] + 1]
        n = _grow(q.things, t0, t1 - t0, gap[g] - SPARED_M, grown, chain, first)
        at[g + 1] = first + n
        lows[g] = lowest(grown, first, n)
        bounds_of(grown, first, n, boxes, g)
    return grown, at, chain, lows, boxes, of


@compiled_bare
def bounds_of(a: Array, first: int, count: int, boxes: Array, n: int) -> None:
    """Write the bounds (x0, y0, x1, y1) of `count` points to row `n` of `boxes`."""
    x0, y0, x1, y1 = np.inf, np.inf, -np.inf, -np.inf
    for i in range(first, first + count):
        x0, x1 = min(x0, a[i, 0]), max(x1, a[i, 0])
        y0, y1 = min(y0, a[i, 1]), max(y1, a[i, 1])
    boxes[n, 0], boxes[n, 1], boxes[n, 2], boxes[n, 3] = x0, y0, x1, y1


@compiled
def _flat_edges(q: SliceProblem, domain: Array) -> Ints:
    """For each thing piece the one edge of it that any zone can reach, -1 if it has more: it acts as a half-plane."""
    reach = 0.0
    for i in range(q.zones.shape[0]):
        reach = max(reach, math.hypot(q.zones[i, 0], q.zones[i, 1]))
    x0, y0, x1, y1 = domain[0] - reach, domain[1] - reach, domain[2] + reach, domain[3] + reach
    gap = 0.0
    for k in range(q.gaps.shape[0]):
        gap = max(gap, q.gaps[k])
    found = np.empty(q.thing_at.shape[0] - 1, np.int64)
    for t in range(found.shape[0]):
        first, last = q.thing_at[t], q.thing_at[t + 1]
        crossed, edge = 0, first
        for i in range(first, last):
            j = i + 1 if i + 1 < last else first
            nx, ny = q.things[j, 1] - q.things[i, 1], q.things[i, 0] - q.things[j, 0]
            long = math.hypot(nx, ny)
            far = nx * (x1 if nx > 0.0 else x0) + ny * (y1 if ny > 0.0 else y0)
            if far + gap * long > nx * q.things[i, 0] + ny * q.things[i, 1]:
                crossed += 1
                edge = i
        found[t] = edge if crossed <= 1 else -1
    return found


@compiled
def _undominated(q: SliceProblem) -> Marks:
    """Marks pairs but those whose zone lies in another's with the same thing, no smaller gap and all its options."""
    zones = q.zone_at.shape[0] - 1
    within = np.zeros((zones, zones), np.bool_)
    for a in range(zones):
        for b in range(zones):
            within[a, b] = a == b or _lies_in(q.zones, q.zone_at[a], q.zone_at[a + 1], q.zone_at[b], q.zone_at[b + 1])
    count = q.rows.shape[0]
    kept = np.ones(count, np.bool_)
    start = 0
    while start < count:
        end = start
        while end < count and q.rows[end, 1] == q.rows[start, 1]:
            end += 1
        for i in range(start, end):
            for j in range(start, end):
                a, b = q.rows[i, 0], q.rows[j, 0]
                if j == i or q.gaps[j] < q.gaps[i] or q.masks[i] & ~q.masks[j] != 0 or not within[a, b]:
                    continue
                same = q.gaps[i] == q.gaps[j] and q.masks[i] == q.masks[j] and within[b, a]
                if not same or j < i:
                    kept[i] = False
                    break
        start = end
    return kept


@compiled_bare
def _lies_in(a: Array, a0: int, a1: int, b0: int, b1: int) -> bool:
    """Whether the convex polygon `a[a0:a1]` lies in `a[b0:b1]`."""
    if b1 - b0 < 3:
        return False
    for i in range(b0, b1):
        j = i + 1 if i + 1 < b1 else b0
        ex, ey = a[j, 0] - a[i, 0], a[j, 1] - a[i, 1]
        least = -WITHIN_M * math.hypot(ex, ey)
        for k in range(a0, a1):
            if ex * (a[k, 1] - a[i, 1]) - ey * (a[k, 0] - a[i, 0]) < least:
                return False
    return True


@compiled
def _planes(q: SliceProblem, kept: Marks, edge: Ints, domain: Array) -> Planes:
    """The half-planes among the pairs, one for each thing and set of options, and those of domains that differ."""
    count = 0
    for k in range(kept.shape[0]):
        count += kept[k] and edge[q.rows[k, 1]] >= 0
    most = count + 4 * q.domains.shape[0]
    normals, fixed, masks = np.empty((most, 2)), np.full(most, -np.inf), np.empty(most, np.int64)
    zone, plane, offset = np.empty(count, np.int64), np.empty(count, np.int64), np.empty(count)
    n = r = 0
    before = -1
    for k in range(kept.shape[0]):
        t = q.rows[k, 1]
        i = edge[t]
        if i < 0 or not kept[k]:
            continue
        j = i + 1 if i + 1 < q.thing_at[t + 1] else q.thing_at[t]
        nx, ny = q.things[j, 1] - q.things[i, 1], q.things[i, 0] - q.things[j, 0]
        long = math.hypot(nx, ny)
        nx, ny = nx / long, ny / long
        if t != before or masks[n - 1] != q.masks[k]:
            before = t
            normals[n, 0], normals[n, 1], masks[n] = nx, ny, q.masks[k]
            n += 1
        zone[r], plane[r] = q.rows[k, 0], n - 1
        offset[r] = nx * q.things[i, 0] + ny * q.things[i, 1] + q.gaps[k] - SPARED_M
        r += 1
    for w in range(q.domains.shape[0]):
        for i in range(4):
            if q.domains[w, i] != domain[i]:
                sign = 1.0 if i < 2 else -1.0
                normals[n, 0], normals[n, 1] = (sign, 0.0) if i % 2 == 0 else (0.0, sign)
                fixed[n], masks[n] = sign * q.domains[w, i], q.domain_masks[w]
                n += 1
    return Planes(normals[:n], fixed[:n], masks[:n], zone, plane, offset)


@compiled_bare
def _room_to_grow(corners: int, gap: float) -> int:
    if gap <= SPARED_M:
        return corners
    return corners * 2 + math.ceil(math.pi / math.acos(gap / (gap + ROUNDED_M))) + 1


@compiled_bare
def _grow(a: Array, a0: int, n: int, gap: float, out: Array, chain: Marks, first: int) -> int:
    """Write to `out`, from `first` on, a convex polygon with every edge moved out by `gap` (in, where negative).

    The polygon is `a[a0 : a0 + n]`. Round corners become tangents, outside the arc. Returns the number of corners.
    """
    step = 2.0 * math.acos(gap / (gap + ROUNDED_M)) if gap > 0.0 else 2.0 * math.pi
    count = 0
    for i in range(n):
        x, y = a[a0 + i, 0], a[a0 + i, 1]
        h, j = a0 + (i + n - 1) % n, a0 + (i + 1) % n
        before = math.atan2(a[h, 0] - x, y - a[h, 1])
        after = math.atan2(x - a[j, 0], a[j, 1] - y)
        turn = (after - before) % (2.0 * math.pi)
        parts = max(1, math.ceil(turn / step - 1e-9))
        away = gap / math.cos(turn / parts / 2)
        if gap < 0.0:
            away = max(away, SPARED_AT_CORNERS * gap)
        for k in range(parts):
            towards = before + turn * (k + 0.5) / parts
            out[first + count, 0] = x + away * math.cos(towards)
            out[first + count, 1] = y + away * math.sin(towards)
            chain[first + count] = k + 1 < parts
            count += 1
    if gap < 0.0 and _is_inverted(a, a0, n, out, first):
        for i in range(n):
            out[first + i, 0], out[first + i, 1] = a[a0 + i, 0], a[a0 + i, 1]
    return count


@compiled_bare
def _is_inverted(a: Array, a0: int, n: int, b: Array, b0: int) -> bool:
    """Whether moving its edges in has turned a polygon inside out: it was thinner than that."""
    for i in range(n):
        j = (i + 1) % n
        ux, uy = a[a0 + j, 0] - a[a0 + i, 0], a[a0 + j, 1] - a[a0 + i, 1]
        vx, vy = b[b0 + j, 0] - b[b0 + i, 0], b[b0 + j, 1] - b[b0 + i, 1]
        if ux * vx + uy * vy <= 0.0:
            return True
    return False

"""Compiled: what all headings share when the outline of the free positions is asked for.

A position is free if some option leaves it free. An option is one way with one of its exit strips; masks tell, bit by
bit, to which options a pair belongs. Positions are measured from the middle of the domain.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

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


class Asked(NamedTuple):
    """Pairs of convex pieces, packed: pair k is of zone piece `rows[k, 0]` and thing piece `rows[k, 1]`.

    Piece i of either has its vertices at `zone_at[i]:zone_at[i + 1]`. Zones are in the vehicle frame, things in the
    site frame less `middle`. `domains` (x0, y0, x1, y1) bounds the origin in the options of `domain_masks`.
    """

    zones: Array
    zone_at: Ints
    things: Array
    thing_at: Ints
    rows: Ints
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


@njit(cache=True, nogil=True, error_model="numpy")
def make_ready(q: Asked) -> Ready:
    """Sort the pairs into half-planes and sums, without those that another one of the same thing contains."""
    domain = np.array([q.domains[:, 0].min(), q.domains[:, 1].min(), q.domains[:, 2].max(), q.domains[:, 3].max()])
    all_options = 0
    for mask in q.domain_masks:
        all_options |= mask
    edge = _flat_edges(q, domain)
    kept = _undominated(q)
    planes = _planes(q, kept, edge, domain)
    sums = kept[edge[q.rows[:, 1]][kept] < 0]
    count = sums.shape[0]
    of, owner, gap = np.empty(count, np.int64), np.empty(count, np.int64), np.empty(count)
    made = room = 0
    last = np.full(q.thing_at.shape[0], -1, np.int64)
    for i in range(count):
        k = sums[i]
        t = q.rows[k, 1]
        found = last[t]
        if found < 0 or gap[found] != q.gaps[k]:
            found = made
            owner[made], gap[made] = t, q.gaps[k]
            last[t] = made
            made += 1
            room += _room_to_grow(q.thing_at[t + 1] - q.thing_at[t], q.gaps[k])
        of[i] = found
    grown, grown_at, chain = np.empty((room, 2)), np.zeros(made + 1, np.int64), np.zeros(room, np.bool_)
    lows, boxes = np.empty(made, np.int64), np.empty((made, 4))
    for g in range(made):
        first = grown_at[g]
        piece = q.things[q.thing_at[owner[g]] : q.thing_at[owner[g] + 1]]
        n = _grow(piece, gap[g] - SPARED_M, grown[first:], chain[first:])
        grown_at[g + 1] = first + n
        lows[g] = lowest(grown, first, n)
        bounds_of(grown, first, n, boxes[g])
    size = np.empty(count)
    for i in range(count):
        b = boxes[of[i]]
        size[i] = (b[2] - b[0] + 1.0) * (b[3] - b[1] + 1.0) * _spread(q, q.rows[sums[i], 0])
    order = np.argsort(-size)
    return Ready(
        q.zones,
        q.zone_at,
        planes,
        grown,
        grown_at,
        chain,
        lows,
        boxes,
        q.rows[:, 0][sums[order]],
        of[order],
        q.masks[sums[order]],
        domain,
        all_options,
    )


@njit(cache=True, nogil=True, error_model="numpy")
def _spread(q: Asked, z: int) -> float:
    box = np.empty(4)
    bounds_of(q.zones, q.zone_at[z], q.zone_at[z + 1] - q.zone_at[z], box)
    return float((box[2] - box[0] + 1.0) * (box[3] - box[1] + 1.0))


@njit(cache=True, nogil=True, error_model="numpy")
def bounds_of(a: Array, first: int, count: int, box: Array) -> None:
    box[0] = box[1] = np.inf
    box[2] = box[3] = -np.inf
    for i in range(first, first + count):
        box[0], box[2] = min(box[0], a[i, 0]), max(box[2], a[i, 0])
        box[1], box[3] = min(box[1], a[i, 1]), max(box[3], a[i, 1])


@njit(cache=True, nogil=True, error_model="numpy")
def _flat_edges(q: Asked, domain: Array) -> Ints:
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


@njit(cache=True, nogil=True, error_model="numpy")
def _undominated(q: Asked) -> Ints:
    """The pairs without those whose zone lies in another's with the same thing, no smaller gap and all its options."""
    zones = q.zone_at.shape[0] - 1
    within = np.zeros((zones, zones), np.bool_)
    for a in range(zones):
        for b in range(zones):
            within[a, b] = a != b and _lies_in(q.zones, q.zone_at[a], q.zone_at[a + 1], q.zone_at[b], q.zone_at[b + 1])
    count = q.rows.shape[0]
    order = np.argsort(q.rows[:, 1].copy(), kind="mergesort")
    kept = np.empty(count, np.int64)
    n = start = 0
    while start < count:
        end = start
        while end < count and q.rows[order[end], 1] == q.rows[order[start], 1]:
            end += 1
        for i in range(start, end):
            k = order[i]
            needed = True
            for j in range(start, end):
                m = order[j]
                a, b = q.rows[k, 0], q.rows[m, 0]
                if j == i or q.gaps[m] < q.gaps[k] or q.masks[k] & ~q.masks[m] or not (within[a, b] or a == b):
                    continue
                same = q.gaps[m] == q.gaps[k] and q.masks[m] == q.masks[k] and (a == b or within[b, a])
                if not same or j < i:
                    needed = False
                    break
            if needed:
                kept[n] = k
                n += 1
        start = end
    return kept[:n]


@njit(cache=True, nogil=True, error_model="numpy")
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


@njit(cache=True, nogil=True, error_model="numpy")
def _planes(q: Asked, kept: Ints, edge: Ints, domain: Array) -> Planes:
    """The half-planes among the pairs, one for each thing and set of options, and those of domains that differ."""
    rows = kept[edge[q.rows[:, 1]][kept] >= 0]
    most = rows.shape[0] + 4 * q.domains.shape[0]
    normals, fixed, masks = np.empty((most, 2)), np.full(most, -np.inf), np.empty(most, np.int64)
    zone, plane, offset = np.empty(rows.shape[0], np.int64), np.empty(rows.shape[0], np.int64), np.empty(rows.shape[0])
    n = 0
    for r in range(rows.shape[0]):
        k = rows[r]
        t = q.rows[k, 1]
        i = edge[t]
        j = i + 1 if i + 1 < q.thing_at[t + 1] else q.thing_at[t]
        nx, ny = q.things[j, 1] - q.things[i, 1], q.things[i, 0] - q.things[j, 0]
        long = math.hypot(nx, ny)
        nx, ny = nx / long, ny / long
        if not (r > 0 and q.rows[rows[r - 1], 1] == t and masks[n - 1] == q.masks[k]):
            normals[n, 0], normals[n, 1], masks[n] = nx, ny, q.masks[k]
            n += 1
        zone[r], plane[r] = q.rows[k, 0], n - 1
        offset[r] = nx * q.things[i, 0] + ny * q.things[i, 1] + q.gaps[k] - SPARED_M
    for w in range(q.domains.shape[0]):
        for i in range(4):
            if q.domains[w, i] != domain[i]:
                sign = 1.0 if i < 2 else -1.0
                normals[n, 0], normals[n, 1] = (sign, 0.0) if i % 2 == 0 else (0.0, sign)
                fixed[n], masks[n] = sign * q.domains[w, i], q.domain_masks[w]
                n += 1
    return Planes(normals[:n], fixed[:n], masks[:n], zone, plane, offset)


@njit(cache=True, nogil=True, error_model="numpy")
def _room_to_grow(corners: int, gap: float) -> int:
    if gap <= SPARED_M:
        return corners
    return corners * 2 + math.ceil(math.pi / math.acos(gap / (gap + ROUNDED_M))) + 1


@njit(cache=True, nogil=True, error_model="numpy")
def _grow(b: Array, gap: float, out: Array, chain: Marks) -> int:
    """Convex polygon `b` with every edge moved out by `gap` (in, where negative), round corners as tangents outside."""
    n = b.shape[0]
    step = 2.0 * math.acos(gap / (gap + ROUNDED_M)) if gap > 0.0 else 2.0 * math.pi
    count = 0
    for i in range(n):
        h, j = (i + n - 1) % n, (i + 1) % n
        before = math.atan2(b[h, 0] - b[i, 0], b[i, 1] - b[h, 1])
        after = math.atan2(b[i, 0] - b[j, 0], b[j, 1] - b[i, 1])
        turn = (after - before) % (2.0 * math.pi)
        parts = max(1, math.ceil(turn / step - 1e-9))
        away = gap / math.cos(turn / parts / 2)
        if gap < 0.0:
            away = max(away, SPARED_AT_CORNERS * gap)
        for k in range(parts):
            a = before + turn * (k + 0.5) / parts
            out[count, 0] = b[i, 0] + away * math.cos(a)
            out[count, 1] = b[i, 1] + away * math.sin(a)
            chain[count] = k + 1 < parts
            count += 1
    if gap < 0.0:
        for i in range(n):
            j = (i + 1) % n
            ahead = (out[j, 0] - out[i, 0]) * (b[j, 0] - b[i, 0]) + (out[j, 1] - out[i, 1]) * (b[j, 1] - b[i, 1])
            if ahead <= 0.0:
                out[:n] = b
                break
    return count

"""Compiled: what one heading leaves of the positions, as the outline of everything that the pairs forbid.

Positions are measured from the middle of the domain. A position is free if some option forbids it not: an option is one
way with one of its exit strips, and `masks` tells, bit by bit, to which options a pair belongs. Everything that is
forbidden at one heading is convex: half-planes (walls), and Minkowski sums of a thing's piece and a zone's. What the
half-planes of all options leave of the domain is convex too: the hall. The sums that reach into the hall are kept, each
edge is freed of what other sums cover (an interval each), and what remains bounds the free positions.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

from standtrue.plane.kernels import Array, clip_half_plane, lowest

Ints = NDArray[np.int64]
Marks = NDArray[np.bool_]

ROUNDED_M = 1e-4
"""How far the tangents that stand for a gap's round corner go beyond it."""

SPARED_M = 8e-10
"""A stance fits from a margin of -1e-9 on: everything forbidden is this much smaller."""

TIE_M = 1e-10
"""Edges that coincide are told apart by less than this."""

WITHIN_M = 1e-12
MOST_STRETCH = 50.0
PARALLEL = 1e-11
OUTSIDE, COVERED, CROSSED = -3, -2, -1


class Asked(NamedTuple):
    """Pairs of convex pieces, packed: pair k is of zone piece `rows[k, 0]` and thing piece `rows[k, 1]`.

    Piece i of either has its vertices at `zone_at[i]:zone_at[i + 1]`. Zones are in the vehicle frame, things in the site
    frame less `middle`. `domains` (x0, y0, x1, y1) bounds the origin in the options of `domain_masks`.
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
        _bounds(grown, first, n, boxes[g])
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
    _bounds(q.zones, q.zone_at[z], q.zone_at[z + 1] - q.zone_at[z], box)
    return float((box[2] - box[0] + 1.0) * (box[3] - box[1] + 1.0))


@njit(cache=True, nogil=True, error_model="numpy")
def _bounds(a: Array, first: int, count: int, box: Array) -> None:
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
    if gap > 0.0:
        step = 2.0 * math.acos(gap / (gap + ROUNDED_M))
    else:
        step = 2.0 * math.pi
    count = 0
    for i in range(n):
        h, j = (i + n - 1) % n, (i + 1) % n
        before = math.atan2(b[h, 0] - b[i, 0], b[i, 1] - b[h, 1])
        after = math.atan2(b[i, 0] - b[j, 0], b[j, 1] - b[i, 1])
        turn = (after - before) % (2.0 * math.pi)
        parts = max(1, math.ceil(turn / step - 1e-9))
        away = gap * min(MOST_STRETCH, 1.0 / math.cos(turn / parts / 2))
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


class Work(NamedTuple):
    """Room for one heading.

    Edge e, `lines[e]`, is (x, y, dx, dy): it runs from (x, y) by (dx, dy) to where the edge `after[e]` begins. The rows i
    and i + 1 of `parts` bound what sum i has: its edges; in `mains` those that are no tangents; in `runs` its runs of
    tangents (first edge, last edge). `hall` is the convex polygon left by the half-planes, counter-clockwise.
    """

    turned: Array
    turned_box: Array
    offsets: Array
    lines: Array
    after: Ints
    parts: Ints
    mains: Ints
    runs: Ints
    box: Array
    mask: Ints
    hall: Array
    spare: Array
    tag: Marks


@njit(cache=True, nogil=True, error_model="numpy")
def work_for(r: Ready) -> Work:
    sums = r.zone.shape[0] + r.planes.masks.shape[0]
    hall = 8 + r.planes.masks.shape[0] + r.zone.shape[0]
    room = hall + 4 * r.planes.masks.shape[0]
    for k in range(r.zone.shape[0]):
        room += r.zone_at[r.zone[k] + 1] - r.zone_at[r.zone[k]] + r.grown_at[r.thing[k] + 1] - r.grown_at[r.thing[k]]
    return Work(
        np.empty((r.zones.shape[0], 2)),
        np.empty((r.zone_at.shape[0] - 1, 5)),
        np.empty(r.planes.masks.shape[0]),
        np.empty((room, 4)),
        np.empty(room, np.int64),
        np.zeros((sums + 1, 3), np.int64),
        np.empty(room, np.int64),
        np.empty((room, 2), np.int64),
        np.empty((sums, 4)),
        np.empty(sums, np.int64),
        np.empty((hall, 2)),
        np.empty((hall, 2)),
        np.empty(room, np.bool_),
    )


@njit(cache=True, nogil=True, error_model="numpy")
def _tie(number: int, attempt: int) -> float:
    """A hair that differs from sum to sum, and from attempt to attempt."""
    return TIE_M * (((number + 1) * (0.6180339887498949 + 0.1 * attempt)) % 1.0)


@njit(cache=True, nogil=True, error_model="numpy")
def lay_out(r: Ready, w: Work, heading: float, attempt: int) -> tuple[int, int]:
    """Fill `w` for one heading. Returns the hall's corners, 0 if nothing is free, and how many sums reach into it."""
    c, s = math.cos(heading), math.sin(heading)
    for z in range(r.zone_at.shape[0] - 1):
        first, last = r.zone_at[z], r.zone_at[z + 1]
        for i in range(first, last):
            zx, zy = r.zones[i, 0], r.zones[i, 1]
            w.turned[i, 0], w.turned[i, 1] = s * zy - c * zx, -s * zx - c * zy
        _bounds(w.turned, first, last - first, w.turned_box[z])
        w.turned_box[z, 4] = lowest(w.turned, first, last - first)
    corners = _hall(r, w, attempt)
    if corners < 3:
        return 0, 0
    return _sums(r, w, corners, attempt)


@njit(cache=True, nogil=True, error_model="numpy")
def _hall(r: Ready, w: Work, attempt: int) -> int:
    """What the half-planes of all options leave of the domain; `w.offsets` is filled for the others too."""
    p = r.planes
    w.offsets[:] = p.fixed
    for k in range(p.zone.shape[0]):
        i = p.plane[k]
        nx, ny = p.normals[i, 0], p.normals[i, 1]
        most = -np.inf
        for v in range(r.zone_at[p.zone[k]], r.zone_at[p.zone[k] + 1]):
            most = max(most, nx * w.turned[v, 0] + ny * w.turned[v, 1])
        w.offsets[i] = max(w.offsets[i], most + p.offset[k])
    x0, y0, x1, y1 = r.domain[0], r.domain[1], r.domain[2], r.domain[3]
    w.hall[0, 0], w.hall[0, 1], w.hall[1, 0], w.hall[1, 1] = x0, y0, x1, y0
    w.hall[2, 0], w.hall[2, 1], w.hall[3, 0], w.hall[3, 1] = x1, y1, x0, y1
    count = 4
    for i in range(p.masks.shape[0]):
        w.offsets[i] -= _tie(i, attempt)
        if p.masks[i] == r.all_options:
            count = clip_half_plane(w.hall, count, -p.normals[i, 0], -p.normals[i, 1], -w.offsets[i], w.spare)
            w.hall[:count] = w.spare[:count]
            if count < 3:
                return 0
    return count


@njit(cache=True, nogil=True, error_model="numpy")
def _sums(r: Ready, w: Work, corners: int, attempt: int) -> tuple[int, int]:
    """Make the sums that reach into the hall. Those that all options share and that cut off one side shrink the hall."""
    hx0, hy0, hx1, hy1 = _hall_box(w.hall, corners)
    zone, thing, turned, grown = r.zone, r.thing, w.turned_box, r.boxes
    reach = 2.0 * math.hypot(hx1 - hx0, hy1 - hy0) + 1.0
    n = 0
    for i in range(r.planes.masks.shape[0]):
        if r.planes.masks[i] != r.all_options:
            _half_plane_sum(w, n, r.planes.normals[i], w.offsets[i], (hx0 + hx1) / 2, (hy0 + hy1) / 2, reach)
            w.mask[n] = r.planes.masks[i]
            cut = _cuts(w, n, corners)
            if cut != OUTSIDE:
                n += 1
    for k in range(zone.shape[0]):
        z, g = zone[k], thing[k]
        if turned[z, 0] + grown[g, 0] >= hx1 or turned[z, 2] + grown[g, 2] <= hx0:
            continue
        if turned[z, 1] + grown[g, 1] >= hy1 or turned[z, 3] + grown[g, 3] <= hy0:
            continue
        _sum(r, w, n, z, g, _tie(n + r.planes.masks.shape[0], attempt))
        w.mask[n] = r.masks[k]
        cut = _cuts(w, n, corners)
        if cut == OUTSIDE:
            continue
        if r.masks[k] == r.all_options and cut != CROSSED:
            if cut == COVERED:
                return 0, 0
            x, y, dx, dy = w.lines[cut, 0], w.lines[cut, 1], w.lines[cut, 2], w.lines[cut, 3]
            corners = clip_half_plane(w.hall, corners, -dy, dx, dx * y - dy * x, w.spare)
            w.hall[:corners] = w.spare[:corners]
            if corners < 3:
                return 0, 0
            hx0, hy0, hx1, hy1 = _hall_box(w.hall, corners)
            continue
        n += 1
    return corners, n


@njit(cache=True, nogil=True, error_model="numpy")
def _hall_box(hall: Array, count: int) -> tuple[float, float, float, float]:
    x0, y0, x1, y1 = np.inf, np.inf, -np.inf, -np.inf
    for i in range(count):
        x0, x1 = min(x0, hall[i, 0]), max(x1, hall[i, 0])
        y0, y1 = min(y0, hall[i, 1]), max(y1, hall[i, 1])
    return x0, y0, x1, y1


@njit(cache=True, nogil=True, error_model="numpy")
def _cuts(w: Work, n: int, corners: int) -> int:
    """How sum `n` meets the hall: not, covering it, cutting it along more than one edge, or along the edge returned."""
    hall, lines = w.hall, w.lines
    crossing = 0
    found = COVERED
    for e in range(w.parts[n, 0], w.parts[n + 1, 0]):
        out = 0
        px, py, dx, dy = lines[e, 0], lines[e, 1], lines[e, 2], lines[e, 3]
        for i in range(corners):
            if dx * (hall[i, 1] - py) - dy * (hall[i, 0] - px) < 0.0:
                out += 1
        if out == corners:
            return OUTSIDE
        if out > 0:
            crossing += 1
            found = e
    return found if crossing <= 1 else CROSSED


@njit(cache=True, nogil=True, error_model="numpy")
def _half_plane_sum(w: Work, n: int, normal: Array, offset: float, mx: float, my: float, reach: float) -> None:
    """A half-plane as a sum: a square as large as the hall on its near side."""
    nx, ny = normal[0], normal[1]
    away = offset - nx * mx - ny * my
    bx, by = mx + nx * away, my + ny * away
    first = w.parts[n, 0]
    deep = reach + abs(away)
    for i in range(4):
        along = -reach if i in (0, 3) else reach
        back = deep if i > 1 else 0.0
        w.lines[first + i, 0] = bx - along * ny - back * nx
        w.lines[first + i, 1] = by + along * nx - back * ny
        w.tag[first + i] = False
    _finish(w, n, 4)


@njit(cache=True, nogil=True, error_model="numpy")
def _sum(r: Ready, w: Work, n: int, z: int, g: int, tie: float) -> None:
    """Write the sum of a grown thing and a turned zone as sum `n`, smaller by a hair."""
    a, b, chain, lines, tag = w.turned, r.grown, r.chain, w.lines, w.tag
    a0, b0 = r.zone_at[z], r.grown_at[g]
    na, nb = r.zone_at[z + 1] - a0, r.grown_at[g + 1] - b0
    p, q = a0 + int(w.turned_box[z, 4]), b0 + r.lows[g]
    i = j = 0
    first = m = w.parts[n, 0]
    p1, q1 = (p + 1 if p + 1 < a0 + na else a0), (q + 1 if q + 1 < b0 + nb else b0)
    zb, gb = w.turned_box[z], r.boxes[g]
    cx, cy = (zb[0] + zb[2] + gb[0] + gb[2]) / 2, (zb[1] + zb[3] + gb[1] + gb[3]) / 2
    less = tie / (1.0 + math.hypot(zb[2] - zb[0] + gb[2] - gb[0], zb[3] - zb[1] + gb[3] - gb[1]))
    while i < na or j < nb:
        vx, vy = a[p, 0] + b[q, 0], a[p, 1] + b[q, 1]
        lines[m, 0], lines[m, 1] = vx - less * (vx - cx), vy - less * (vy - cy)
        tx, ty, ux, uy = b[q1, 0] - b[q, 0], b[q1, 1] - b[q, 1], a[p1, 0] - a[p, 0], a[p1, 1] - a[p, 1]
        cross = tx * uy - ty * ux
        # Parallel edges become one: at a corner that is none, two edges would have the same crossings.
        if abs(cross) <= PARALLEL * (abs(tx) + abs(ty)) * (abs(ux) + abs(uy)):
            cross = 0.0
        by_thing = i >= na or (j < nb and cross >= 0.0)
        by_zone = j >= nb or (i < na and cross <= 0.0)
        tag[m] = by_thing and not by_zone and chain[q]
        m += 1
        if by_thing:
            j += 1
            q, q1 = q1, (q1 + 1 if q1 + 1 < b0 + nb else b0)
        if by_zone:
            i += 1
            p, p1 = p1, (p1 + 1 if p1 + 1 < a0 + na else a0)
    m -= 1
    tx, ty = lines[first, 0] - lines[m, 0], lines[first, 1] - lines[m, 1]
    ux, uy = lines[first + 1, 0] - lines[first, 0], lines[first + 1, 1] - lines[first, 1]
    if abs(tx * uy - ty * ux) <= PARALLEL * (abs(tx) + abs(ty)) * (abs(ux) + abs(uy)):
        # The last edge and the first are one.
        tag[m] = tag[m] and tag[first]
        for i in range(first, m):
            lines[i, 0], lines[i, 1], tag[i] = lines[i + 1, 0], lines[i + 1, 1], tag[i + 1]
        m -= 1
    _finish(w, n, m + 1 - first)


@njit(cache=True, nogil=True, error_model="numpy")
def _finish(w: Work, n: int, count: int) -> None:
    """Edges, box, main edges and runs of sum `n`, whose corners are written."""
    lines, after, tag, mains, runs = w.lines, w.after, w.tag, w.mains, w.runs
    first, main, run = w.parts[n, 0], w.parts[n, 1], w.parts[n, 2]
    last = first + count
    x0, y0, x1, y1 = np.inf, np.inf, -np.inf, -np.inf
    for e in range(first, last):
        k = e + 1 if e + 1 < last else first
        x, y = lines[e, 0], lines[e, 1]
        lines[e, 2], lines[e, 3] = lines[k, 0] - x, lines[k, 1] - y
        after[e] = k
        x0, x1, y0, y1 = min(x0, x), max(x1, x), min(y0, y), max(y1, y)
        if not tag[e]:
            mains[main] = e
            main += 1
        elif e > first and tag[e - 1]:
            runs[run - 1, 1] = e
        else:
            runs[run, 0] = runs[run, 1] = e
            run += 1
    w.parts[n + 1, 0], w.parts[n + 1, 1], w.parts[n + 1, 2] = last, main, run
    w.box[n, 0], w.box[n, 1], w.box[n, 2], w.box[n, 3] = x0, y0, x1, y1

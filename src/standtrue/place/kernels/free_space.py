"""Compiled: everything that is forbidden at one heading, laid out as a convex outline and the sums that reach into it.

All of it is convex: half-planes (walls), and Minkowski sums of a thing's piece and a zone's. What the half-planes of
all options leave of the domain is convex too: the domain that is left.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from standtrue.place.kernels.outline import TIE_M, Ints, Marks, Ready, bounds_of
from standtrue.plane.compiled import compiled, compiled_bare
from standtrue.plane.kernels import Array, clip_half_plane, lowest

PARALLEL = 1e-11
"""Edges whose directions differ by less are parallel."""

OUTSIDE, COVERED, CROSSED = -3, -2, -1


class Work(NamedTuple):
    """Room for one heading.

    Edge e, `lines[e]`, is (x, y, dx, dy): it runs from (x, y) by (dx, dy) to where the edge `after[e]` begins. The
    rows i and i + 1 of `parts` bound what sum i has: its edges; in `mains` those that are no tangents; in `runs` its
    runs of tangents (first edge, last edge). `box` (x0, y0, x1, y1) and `mask` are the sums', `domain` is the convex
    polygon left by the half-planes, counter-clockwise.
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
    domain: Array
    spare: Array
    tag: Marks


@compiled
def work_for(r: Ready) -> Work:
    sums = r.zone.shape[0] + r.planes.masks.shape[0]
    domain = 8 + r.planes.masks.shape[0] + r.zone.shape[0]
    room = domain + 4 * r.planes.masks.shape[0]
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
        np.empty((domain, 2)),
        np.empty((domain, 2)),
        np.empty(room, np.bool_),
    )


@compiled_bare
def _tie(number: int, attempt: int) -> float:
    """A hair that differs from sum to sum, and from attempt to attempt."""
    return TIE_M * (((number + 1) * (0.6180339887498949 + 0.1 * attempt)) % 1.0)


@compiled_bare
def lay_out(r: Ready, w: Work, heading: float, attempt: int) -> tuple[int, int]:
    """Fill `w` for one heading. Returns the domain's corners, 0 if nothing is free, and how many sums reach into it."""
    c, s = math.cos(heading), math.sin(heading)
    for z in range(r.zone_at.shape[0] - 1):
        first, last = r.zone_at[z], r.zone_at[z + 1]
        for i in range(first, last):
            zx, zy = r.zones[i, 0], r.zones[i, 1]
            w.turned[i, 0], w.turned[i, 1] = s * zy - c * zx, -s * zx - c * zy
        bounds_of(w.turned, first, last - first, w.turned_box, z)
        w.turned_box[z, 4] = lowest(w.turned, first, last - first)
    corners = _reduced_domain(r, w, attempt)
    if corners < 3:
        return 0, 0
    return _sums(r, w, corners, attempt)


@compiled_bare
def _reduced_domain(r: Ready, w: Work, attempt: int) -> int:
    """What the half-planes of all options leave of the domain; `w.offsets` is filled for the others too."""
    p = r.planes
    for i in range(p.fixed.shape[0]):
        w.offsets[i] = p.fixed[i]
    for k in range(p.zone.shape[0]):
        i = p.plane[k]
        nx, ny = p.normals[i, 0], p.normals[i, 1]
        most = -np.inf
        for v in range(r.zone_at[p.zone[k]], r.zone_at[p.zone[k] + 1]):
            most = max(most, nx * w.turned[v, 0] + ny * w.turned[v, 1])
        w.offsets[i] = max(w.offsets[i], most + p.offset[k])
    x0, y0, x1, y1 = r.domain[0], r.domain[1], r.domain[2], r.domain[3]
    w.domain[0, 0], w.domain[0, 1], w.domain[1, 0], w.domain[1, 1] = x0, y0, x1, y0
    w.domain[2, 0], w.domain[2, 1], w.domain[3, 0], w.domain[3, 1] = x1, y1, x0, y1
    count = 4
    for i in range(p.masks.shape[0]):
        w.offsets[i] -= _tie(i, attempt)
        if p.masks[i] == r.all_options:
            count = clip_half_plane(w.domain, count, -p.normals[i, 0], -p.normals[i, 1], -w.offsets[i], w.spare)
            _copy(w.spare, count, w.domain)
            if count < 3:
                return 0
    return count


@compiled_bare
def _copy(points: Array, count: int, out: Array) -> None:
    for i in range(count):
        out[i, 0], out[i, 1] = points[i, 0], points[i, 1]


@compiled_bare
def _sums(r: Ready, w: Work, corners: int, attempt: int) -> tuple[int, int]:
    """Make the sums that reach into the domain. One of all options that only cuts off a side shrinks it instead."""
    hx0, hy0, hx1, hy1 = domain_box(w.domain, corners)
    zone, thing, turned, grown = r.zone, r.thing, w.turned_box, r.boxes
    reach = 2.0 * math.hypot(hx1 - hx0, hy1 - hy0) + 1.0
    # Read, not written 0: the compiler would make every function below twice, for that constant and for all else.
    n = w.parts[0, 0]
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
            corners = clip_half_plane(w.domain, corners, -dy, dx, dx * y - dy * x, w.spare)
            _copy(w.spare, corners, w.domain)
            if corners < 3:
                return 0, 0
            hx0, hy0, hx1, hy1 = domain_box(w.domain, corners)
            continue
        n += 1
    return corners, n


@compiled_bare
def domain_box(domain: Array, count: int) -> tuple[float, float, float, float]:
    x0, y0, x1, y1 = np.inf, np.inf, -np.inf, -np.inf
    for i in range(count):
        x0, x1 = min(x0, domain[i, 0]), max(x1, domain[i, 0])
        y0, y1 = min(y0, domain[i, 1]), max(y1, domain[i, 1])
    return x0, y0, x1, y1


@compiled_bare
def _cuts(w: Work, n: int, corners: int) -> int:
    """How sum `n` meets the domain: not, covering it, cutting it along several edges, or along the edge returned."""
    domain, lines = w.domain, w.lines
    crossing = 0
    found = COVERED
    for e in range(w.parts[n, 0], w.parts[n + 1, 0]):
        out = 0
        px, py, dx, dy = lines[e, 0], lines[e, 1], lines[e, 2], lines[e, 3]
        for i in range(corners):
            if dx * (domain[i, 1] - py) - dy * (domain[i, 0] - px) < 0.0:
                out += 1
        if out == corners:
            return OUTSIDE
        if out > 0:
            crossing += 1
            found = e
    return found if crossing <= 1 else CROSSED


@compiled_bare
def _half_plane_sum(w: Work, n: int, normal: Array, offset: float, mx: float, my: float, reach: float) -> None:
    """A half-plane as a sum: a square as large as the domain on its near side."""
    nx, ny = normal[0], normal[1]
    away = offset - nx * mx - ny * my
    bx, by = mx + nx * away, my + ny * away
    first = last = w.parts[n, 0]
    deep = reach + abs(away)
    for i in range(4):
        along = -reach if i in (0, 3) else reach
        back = deep if i > 1 else 0.0
        w.lines[first + i, 0] = bx - along * ny - back * nx
        w.lines[first + i, 1] = by + along * nx - back * ny
        w.tag[first + i] = False
        last += 1
    _finish(w, n, last - first)


@compiled_bare
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


@compiled_bare
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

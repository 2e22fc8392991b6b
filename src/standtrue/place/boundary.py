"""Compiled: the bounds of the free positions at one heading, from the edges of the sums to closed rings.

Every edge has the forbidden side on its left. What is left of it when other sums are taken away are its pieces. A piece
ends at a corner of its own sum, or where its edge crosses another edge; there exactly one piece of that other edge
begins. So pieces are joined by the names of the edges, never by coordinates. Where rounding lets two edges disagree about
a crossing, a piece finds no next one, and the heading is laid out anew with other hairs between what coincides.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba import njit

from standtrue.place.outline import TIE_M, Asked, Ints, Marks, Work, lay_out, make_ready, work_for
from standtrue.plane.kernels import Array

OPEN = -1
"""In place of an edge: the piece begins or ends with its own edge."""

ATTEMPTS = 12
SAME_M = 2.0 * TIE_M
NOTHING_M2 = 1e-18


class Pieces(NamedTuple):
    """Pieces of edges in the order of their edges: those of edge e are `first[e]:first[e] + count[e]`.

    Piece i lies on edge `edge[i]`, begins at its crossing with edge `begin[i]` in the point (x, y), ends at that with
    `end[i]`. `used` has the number of pieces.
    """

    edge: Ints
    begin: Ints
    end: Ints
    x: Array
    y: Array
    first: Ints
    count: Ints
    used: Ints


@njit(cache=True, nogil=True, error_model="numpy")
def _pieces_for(edges: int, most: int) -> Pieces:
    return Pieces(
        np.empty(most, np.int64),
        np.empty(most, np.int64),
        np.empty(most, np.int64),
        np.empty(most),
        np.empty(most),
        np.empty(edges, np.int64),
        np.empty(edges, np.int64),
        np.zeros(1, np.int64),
    )


class Crossings(NamedTuple):
    """Room for the intervals of one edge that some sums cover: parameters, edges crossed there, and options."""

    near: Ints
    low: Array
    high: Array
    low_edge: Ints
    high_edge: Ints
    mask: Ints
    time: Array
    event: Ints
    covered: Ints


class Rings(NamedTuple):
    """Closed rings: ring i has its corners at `at[i]:at[i + 1]`; a hole names the ring that it lies in, others -1."""

    points: Array
    at: Ints
    heading: Ints
    parent: Ints


@njit(cache=True, nogil=True, error_model="numpy")
def _clip(
    ax: float,
    ay: float,
    bx: float,
    by: float,
    x: Array,
    y: Array,
    ex: Array,
    ey: Array,
    after: Ints,
    mains: Ints,
    m0: int,
    m1: int,
    runs: Ints,
    r0: int,
    r1: int,
) -> tuple[float, float, int, int]:
    """The part of the segment from a to b in one sum: two parameters (the first greater if none) and the edges crossed."""
    low, high = 0.0, 1.0
    enter = leave = OPEN
    for i in range(m0, m1):
        e = mains[i]
        da = ex[e] * (ay - y[e]) - ey[e] * (ax - x[e])
        db = ex[e] * (by - y[e]) - ey[e] * (bx - x[e])
        if da < 0.0:
            if db < 0.0:
                return 1.0, 0.0, OPEN, OPEN
            t = da / (da - db)
            if t > low or enter == OPEN:
                low, enter = t, e
        elif db < 0.0:
            t = da / (da - db)
            if t < high or leave == OPEN:
                high, leave = t, e
    if enter != OPEN and leave != OPEN and low >= high:
        return 1.0, 0.0, OPEN, OPEN
    for i in range(r0, r1):
        first, last = runs[i, 0], runs[i, 1]
        px, py = x[first], y[first]
        cx, cy = x[after[last]] - px, y[after[last]] - py
        da = cx * (ay - py) - cy * (ax - px)
        db = cx * (by - py) - cy * (bx - px)
        if (da if enter == OPEN else da + low * (db - da)) >= 0.0 and (
            db if leave == OPEN else da + high * (db - da)
        ) >= 0.0:
            continue
        for e in range(first, last + 1):
            da = ex[e] * (ay - y[e]) - ey[e] * (ax - x[e])
            db = ex[e] * (by - y[e]) - ey[e] * (bx - x[e])
            if da < 0.0:
                if db < 0.0:
                    return 1.0, 0.0, OPEN, OPEN
                t = da / (da - db)
                if t > low or enter == OPEN:
                    low, enter = t, e
            elif db < 0.0:
                t = da / (da - db)
                if t < high or leave == OPEN:
                    high, leave = t, e
        if enter != OPEN and leave != OPEN and low >= high:
            return 1.0, 0.0, OPEN, OPEN
    return low, high, enter, leave


@njit(cache=True, nogil=True, error_model="numpy")
def _holds_point(w: Work, n: int, px: float, py: float) -> bool:
    x, y, ex, ey = w.x, w.y, w.ex, w.ey
    for e in range(w.at[n], w.at[n + 1]):
        if ex[e] * (py - y[e]) - ey[e] * (px - x[e]) < 0.0:
            return False
    return True


@njit(cache=True, nogil=True, error_model="numpy")
def _add(p: Pieces, w: Work, e: int, t: float, begin: int, end: int) -> None:
    n = p.used[0]
    p.used[0] = n + 1
    if n >= p.edge.shape[0]:
        return
    p.edge[n], p.begin[n], p.end[n] = e, begin, end
    p.x[n], p.y[n] = w.x[e] + t * w.ex[e], w.y[e] + t * w.ey[e]
    p.count[e] += 1


@njit(cache=True, nogil=True, error_model="numpy")
def _is_bound(own: int, options: int, covered: Ints) -> bool:
    """Whether free positions lie beyond an edge of the options `own`, and none on its near side."""
    beyond = False
    for o in range(options):
        if covered[o] == 0:
            if own >> o & 1:
                beyond = True
            else:
                return False
    return beyond


@njit(cache=True, nogil=True, error_model="numpy")
def _trace(
    w: Work, p: Pieces, q: Crossings, hall: int, h0: int, e: int, own: int, near: int, last: int, options: int
) -> int:
    """Find the pieces of edge `e` of a sum of options `own`, of which `q.near[:near]` may cover parts.

    The hall has `hall` corners, its edges are named from `h0` on; `hall` 0 for those themselves. Returns the sum that
    covers the edge whole, if one does, else `last`, which is asked first.
    """
    x, y, ex, ey, after, mains, main_at, runs, run_at = w.x, w.y, w.ex, w.ey, w.after, w.mains, w.main_at, w.runs, w.run_at
    box, masks = w.box, w.mask
    p.first[e] = p.used[0]
    p.count[e] = 0
    ax, ay = x[e], y[e]
    bx, by = x[after[e]], y[after[e]]
    low, high = 0.0, 1.0
    enter = leave = OPEN
    corners = w.hall
    for i in range(hall):
        j = i + 1 if i + 1 < hall else 0
        dx, dy = corners[j, 0] - corners[i, 0], corners[j, 1] - corners[i, 1]
        da = dx * (ay - corners[i, 1]) - dy * (ax - corners[i, 0])
        db = dx * (by - corners[i, 1]) - dy * (bx - corners[i, 0])
        if da < 0.0:
            if db < 0.0:
                return last
            t = da / (da - db)
            if t > low or enter == OPEN:
                low, enter = t, h0 + (2 * hall - 2 - i) % hall
        elif db < 0.0:
            t = da / (da - db)
            if t < high or leave == OPEN:
                high, leave = t, h0 + (2 * hall - 2 - i) % hall
    if enter != OPEN and leave != OPEN and low >= high:
        return last
    count = 0
    x0, x1 = min(ax, bx), max(ax, bx)
    y0, y1 = min(ay, by), max(ay, by)
    for k in range(-1, near):
        if k < 0:
            if last < 0:
                continue
            n = last
        else:
            n = q.near[k]
            if n == last:
                continue
        if box[n, 0] > x1 or box[n, 2] < x0 or box[n, 1] > y1 or box[n, 3] < y0:
            continue
        t0, t1, e0, e1 = _clip(
            ax, ay, bx, by, x, y, ex, ey, after, mains, main_at[n], main_at[n + 1], runs, run_at[n], run_at[n + 1]
        )
        if t0 > t1 or t1 < low or t0 > high:
            continue
        if own & ~masks[n] == 0:
            from_start = e0 == OPEN or (enter != OPEN and t0 <= low)
            to_end = e1 == OPEN or (leave != OPEN and t1 >= high)
            if from_start and to_end:
                return n
            if from_start or to_end:
                if from_start:
                    low, enter = t1, e1
                else:
                    high, leave = t0, e0
                if low >= high and enter != OPEN and leave != OPEN:
                    return last
                continue
        q.low[count], q.high[count], q.low_edge[count], q.high_edge[count] = t0, t1, e0, e1
        q.mask[count] = masks[n]
        count += 1
    _sweep(w, p, q, e, own, count, options, low, high, enter, leave)
    return last


@njit(cache=True, nogil=True, error_model="numpy")
def _sweep(
    w: Work,
    p: Pieces,
    q: Crossings,
    e: int,
    own: int,
    count: int,
    options: int,
    low: float,
    high: float,
    enter: int,
    leave: int,
) -> None:
    """Walk along the part of an edge from `low` to `high` past the `count` intervals of `q`, and note its pieces."""
    covered = q.covered
    covered[:options] = 0
    events = 0
    for i in range(count):
        if enter != OPEN and q.high_edge[i] != OPEN and q.high[i] <= low:
            continue
        if leave != OPEN and q.low_edge[i] != OPEN and q.low[i] >= high:
            continue
        if q.low_edge[i] == OPEN or (enter != OPEN and q.low[i] <= low):
            for o in range(options):
                covered[o] += q.mask[i] >> o & 1
        else:
            events = _insert(q, events, q.low[i], 2 * i)
        if q.high_edge[i] != OPEN and (leave == OPEN or q.high[i] < high):
            events = _insert(q, events, q.high[i], 2 * i + 1)
    bound = _is_bound(own, options, covered)
    start, begin = low, enter
    for k in range(events):
        i, ends = q.event[k] // 2, q.event[k] % 2
        for o in range(options):
            if q.mask[i] >> o & 1:
                covered[o] += 1 - 2 * ends
        now = _is_bound(own, options, covered)
        if now != bound:
            name = q.high_edge[i] if ends else q.low_edge[i]
            if bound:
                _add(p, w, e, start, begin, name)
            else:
                start, begin = q.time[k], name
            bound = now
    if bound:
        _add(p, w, e, start, begin, leave)


@njit(cache=True, nogil=True, error_model="numpy")
def _insert(q: Crossings, events: int, t: float, event: int) -> int:
    k = events
    while k > 0 and q.time[k - 1] > t:
        q.time[k], q.event[k] = q.time[k - 1], q.event[k - 1]
        k -= 1
    q.time[k], q.event[k] = t, event
    return events + 1


@njit(cache=True, nogil=True, error_model="numpy")
def _run_is_covered(w: Work, n: int, first: int, last: int, by: int) -> bool:
    """Whether one sum covers the corner whose tangents run from edge `first` to edge `last` of sum `n`."""
    x, y, ex, ey = w.x, w.y, w.ex, w.ey
    end = w.after[last]
    if not (_holds_point(w, by, x[first], y[first]) and _holds_point(w, by, x[end], y[end])):
        return False
    back = first - 1 if first > w.at[n] else w.at[n + 1] - 1
    cross = ex[back] * ey[end] - ey[back] * ex[end]
    if cross <= 0.1 * (abs(ex[back]) + abs(ey[back])) * (abs(ex[end]) + abs(ey[end])):
        return False
    ahead = ((x[end] - x[first]) * ey[end] - (y[end] - y[first]) * ex[end]) / cross
    return _holds_point(w, by, x[first] + ahead * ex[back], y[first] + ahead * ey[back])


@njit(cache=True, nogil=True, error_model="numpy")
def find_pieces(w: Work, p: Pieces, q: Crossings, corners: int, sums: int, options: int) -> None:
    """The pieces of all edges: those of the sums, then those of the hall."""
    p.used[0] = 0
    h0 = w.at[sums]
    _name_hall(w, corners, h0)
    box = w.box
    hx0, hx1 = w.hall[:corners, 0].min(), w.hall[:corners, 0].max()
    hy0, hy1 = w.hall[:corners, 1].min(), w.hall[:corners, 1].max()
    last = OPEN
    for n in range(sums):
        x0, y0, x1, y1 = max(box[n, 0], hx0), max(box[n, 1], hy0), min(box[n, 2], hx1), min(box[n, 3], hy1)
        near = 0
        for k in range(sums):
            if box[k, 0] <= x1 and box[k, 2] >= x0 and box[k, 1] <= y1 and box[k, 3] >= y0 and k != n:
                q.near[near] = k
                near += 1
        if last == n:
            last = OPEN
        own = w.mask[n]
        for i in range(w.main_at[n], w.main_at[n + 1]):
            last = _trace(w, p, q, corners, h0, w.mains[i], own, near, last, options)
        for i in range(w.run_at[n], w.run_at[n + 1]):
            first, end = w.runs[i, 0], w.runs[i, 1]
            if last >= 0 and own & ~w.mask[last] == 0 and _run_is_covered(w, n, first, end, last):
                for e in range(first, end + 1):
                    p.first[e] = p.used[0]
                    p.count[e] = 0
                continue
            for e in range(first, end + 1):
                last = _trace(w, p, q, corners, h0, e, own, near, last, options)
    for n in range(sums):
        q.near[n] = n
    for i in range(corners):
        last = _trace(w, p, q, 0, h0, h0 + i, (1 << options) - 1, sums, last, options)


@njit(cache=True, nogil=True, error_model="numpy")
def _name_hall(w: Work, corners: int, h0: int) -> None:
    """Write the hall's edges after those of the sums, clockwise: what they shut out is on their left."""
    for i in range(corners):
        j = h0 + i
        k = h0 + (i + 1 if i + 1 < corners else 0)
        w.x[j], w.y[j] = w.hall[corners - 1 - i, 0], w.hall[corners - 1 - i, 1]
        w.after[j] = k
    for j in range(h0, h0 + corners):
        w.ex[j], w.ey[j] = w.x[w.after[j]] - w.x[j], w.y[w.after[j]] - w.y[j]


@njit(cache=True, nogil=True, error_model="numpy")
def link(w: Work, p: Pieces, following: Ints) -> bool:
    """Write to `following` the piece that goes on where each ends. False if one has none, or two have the same."""
    count = p.used[0]
    begun = np.zeros(count, np.bool_)
    for i in range(count):
        other = p.end[i]
        e = other if other != OPEN else w.after[p.edge[i]]
        sought = p.edge[i] if other != OPEN else OPEN
        found = -1
        for k in range(p.first[e], p.first[e] + p.count[e]):
            if p.begin[k] == sought:
                found = k
                break
        if found < 0 or begun[found]:
            return False
        begun[found] = True
        following[i] = found
    return True


class Store(NamedTuple):
    """Rings as they are found; replaced by larger ones when full."""

    points: Array
    at: Ints
    heading: Ints
    parent: Ints
    area: Array


@njit(cache=True, nogil=True, error_model="numpy")
def _tidy(points: Array, first: int, count: int) -> int:
    """Drop corners that are none: hairs between what coincides, and points on a straight side. Returns what is left."""
    changed = True
    while changed and count > 2:
        changed = False
        kept = 0
        for i in range(count):
            h = first + (kept - 1 if kept > 0 else count - 1)
            j = first + (i + 1 if i + 1 < count else 0)
            px, py = points[first + i, 0], points[first + i, 1]
            ux, uy = px - points[h, 0], py - points[h, 1]
            vx, vy = points[j, 0] - px, points[j, 1] - py
            u, v = (ux * ux + uy * uy) ** 0.5, (vx * vx + vy * vy) ** 0.5
            straight = abs(ux * vy - uy * vx) <= SAME_M * max(u, v)
            if u <= SAME_M or straight:
                changed = True
                continue
            points[first + kept, 0], points[first + kept, 1] = px, py
            kept += 1
        count = kept
    return count


@njit(cache=True, nogil=True, error_model="numpy")
def _twice_area(points: Array, first: int, last: int) -> float:
    area = 0.0
    x0, y0 = points[first, 0], points[first, 1]
    for i in range(first + 1, last - 1):
        ux, uy = points[i, 0] - x0, points[i, 1] - y0
        vx, vy = points[i + 1, 0] - x0, points[i + 1, 1] - y0
        area += ux * vy - uy * vx
    return area


@njit(cache=True, nogil=True, error_model="numpy")
def _contains(points: Array, first: int, last: int, px: float, py: float) -> bool:
    """Whether a point lies in a ring, by the parity of crossings."""
    inside = False
    j = last - 1
    for i in range(first, last):
        if (points[i, 1] > py) != (points[j, 1] > py):
            t = (py - points[i, 1]) / (points[j, 1] - points[i, 1])
            if px < points[i, 0] + t * (points[j, 0] - points[i, 0]):
                inside = not inside
        j = i
    return inside


@njit(cache=True, nogil=True, error_model="numpy")
def _larger(s: Store, points: int, rings: int) -> Store:
    """The same store with room for so many more points and rings."""
    used = s.at.shape[0]
    if s.points.shape[0] >= points and used > rings:
        return s
    wide, long = max(2 * s.points.shape[0], points), max(2 * used, rings + 1)
    more = np.empty((wide, 2))
    more[: s.points.shape[0]] = s.points
    at, heading, parent, area = np.zeros(long, np.int64), np.empty(long, np.int64), np.empty(long, np.int64), np.empty(long)
    at[:used], heading[:used], parent[:used], area[:used] = s.at, s.heading, s.parent, s.area
    return Store(more, at, heading, parent, area)


@njit(cache=True, nogil=True, error_model="numpy")
def _collect(p: Pieces, following: Ints, seen: Marks, s: Store, rings: int, heading: int) -> int:
    """Write the rings that the pieces form, outer ones counter-clockwise. -1 if a hole lies in none."""
    count = p.used[0]
    seen[:count] = False
    start = rings
    for i in range(count):
        if seen[i]:
            continue
        first = end = s.at[rings]
        k = i
        while not seen[k]:
            seen[k] = True
            s.points[end, 0], s.points[end, 1] = p.x[k], p.y[k]
            end += 1
            k = following[k]
        n = _tidy(s.points, first, end - first)
        if n < 3:
            continue
        s.area[rings] = -_twice_area(s.points, first, first + n)
        if abs(s.area[rings]) <= NOTHING_M2:
            continue
        s.points[first : first + n] = s.points[first : first + n][::-1].copy()
        s.heading[rings], s.parent[rings] = heading, -1
        rings += 1
        s.at[rings] = first + n
    for i in range(start, rings):
        if s.area[i] > 0.0:
            continue
        px, py = s.points[s.at[i], 0], s.points[s.at[i], 1]
        for k in range(start, rings):
            if s.area[k] > 0.0 and _contains(s.points, s.at[k], s.at[k + 1], px, py):
                best = s.parent[i]
                if best < 0 or s.area[k] < s.area[best]:
                    s.parent[i] = k
        if s.parent[i] < 0:
            return -1
    return rings


@njit(cache=True, nogil=True, error_model="numpy")
def free_rings(asked: Asked, headings: Array, options: int) -> tuple[Rings, int]:
    """The rings that bound the free positions at each heading, and how many headings had to be laid out anew.

    Pure and safe on several threads. A heading that no attempt closes (none is known) has a ring of no points.
    """
    ready = make_ready(asked)
    w = work_for(ready)
    edges, sums = w.x.shape[0], w.mask.shape[0] + 1
    q = Crossings(
        np.empty(sums, np.int64),
        np.empty(sums),
        np.empty(sums),
        np.empty(sums, np.int64),
        np.empty(sums, np.int64),
        np.empty(sums, np.int64),
        np.empty(2 * sums),
        np.empty(2 * sums, np.int64),
        np.empty(options, np.int64),
    )
    p = _pieces_for(edges, 2 * edges)
    following, seen = np.empty(2 * edges, np.int64), np.empty(2 * edges, np.bool_)
    s = Store(np.empty((1024, 2)), np.zeros(129, np.int64), np.empty(129, np.int64), np.empty(129, np.int64), np.empty(129))
    rings = again = 0
    for h in range(headings.shape[0]):
        for attempt in range(ATTEMPTS):
            corners, n = lay_out(ready, w, headings[h], attempt)
            if corners == 0:
                break
            find_pieces(w, p, q, corners, n, options)
            while p.used[0] > p.edge.shape[0]:
                most = 2 * p.used[0]
                p = _pieces_for(edges, most)
                following, seen = np.empty(most, np.int64), np.empty(most, np.bool_)
                find_pieces(w, p, q, corners, n, options)
            if link(w, p, following):
                s = _larger(s, s.at[rings] + p.used[0], rings + p.used[0])
                more = _collect(p, following, seen, s, rings, h)
                if more >= 0:
                    rings = more
                    break
            again += 1
            if attempt == ATTEMPTS - 1:
                s = _larger(s, s.at[rings] + 1, rings + 1)
                s.heading[rings], s.parent[rings], s.at[rings + 1] = h, -1, s.at[rings]
                rings += 1
    points = s.points[: s.at[rings]]
    for i in range(points.shape[0]):
        points[i, 0] += asked.middle[0]
        points[i, 1] += asked.middle[1]
    return Rings(points, s.at[: rings + 1], s.heading[:rings], s.parent[:rings]), again

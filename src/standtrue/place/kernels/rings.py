"""Compiled: the closed rings that bound the free positions, heading by heading.

A piece ends at a corner of its own sum, or where its edge crosses another edge; there exactly one piece of that other
edge begins. So pieces are joined by the names of their edges, never by coordinates. Should rounding let two edges
disagree about a crossing, a piece finds no next one, and the heading is laid out anew with other hairs between what
coincides.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from standtrue.place.kernels.free_space import Work, lay_out, work_for
from standtrue.place.kernels.outline import TIE_M, Ints, Marks, SliceProblem, make_ready
from standtrue.place.kernels.pieces import crossings_for, find_pieces
from standtrue.place.kernels.trace import OPEN, Pieces, pieces_for
from standtrue.plane.compiled import compiled, compiled_bare
from standtrue.plane.kernels import Array

ATTEMPTS = 12
SAME_M = 2.0 * TIE_M
NOTHING_M2 = 1e-18


class Rings(NamedTuple):
    """Closed rings: ring i has its corners at `at[i]:at[i + 1]`; a hole names the ring that it lies in, others -1."""

    points: Array
    at: Ints
    heading: Ints
    parent: Ints


@compiled
def link(w: Work, p: Pieces, following: Ints) -> bool:
    """Write to `following` the piece that goes on where each ends. False if one has none, or two have the same."""
    count = p.filled[0]
    names, of = p.names, p.of
    begun = np.zeros(count, np.bool_)
    for i in range(count):
        edge, other = names[i, 0], names[i, 2]
        e = other if other != OPEN else w.after[edge]
        sought = edge if other != OPEN else OPEN
        found = -1
        for k in range(of[e, 0], of[e, 0] + of[e, 1]):
            if names[k, 1] == sought:
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


@compiled_bare
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


@compiled_bare
def _twice_area(points: Array, first: int, last: int) -> float:
    area = 0.0
    x0, y0 = points[first, 0], points[first, 1]
    for i in range(first + 1, last - 1):
        ux, uy = points[i, 0] - x0, points[i, 1] - y0
        vx, vy = points[i + 1, 0] - x0, points[i + 1, 1] - y0
        area += ux * vy - uy * vx
    return area


@compiled_bare
def _reverse(points: Array, i: int, j: int) -> None:
    while i < j:
        points[i, 0], points[j, 0] = points[j, 0], points[i, 0]
        points[i, 1], points[j, 1] = points[j, 1], points[i, 1]
        i, j = i + 1, j - 1


@compiled_bare
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


@compiled
def store_for(points: int, rings: int) -> Store:
    return Store(
        np.empty((points, 2)),
        np.zeros(rings, np.int64),
        np.empty(rings, np.int64),
        np.empty(rings, np.int64),
        np.empty(rings),
    )


@compiled
def _larger(s: Store, points: int, rings: int) -> Store:
    """The same store with room for so many more points and rings."""
    used = s.at.shape[0]
    if s.points.shape[0] >= points and used > rings:
        return s
    wide, long = max(2 * s.points.shape[0], points), max(2 * used, rings + 1)
    more = store_for(wide, long)
    for i in range(s.points.shape[0]):
        more.points[i, 0], more.points[i, 1] = s.points[i, 0], s.points[i, 1]
    for i in range(used):
        more.at[i], more.heading[i], more.parent[i], more.area[i] = s.at[i], s.heading[i], s.parent[i], s.area[i]
    return more


@compiled_bare
def _collect(p: Pieces, following: Ints, seen: Marks, s: Store, rings: int, heading: int) -> int:
    """Write the rings that the pieces form, outer ones counter-clockwise. -1 if a hole lies in none."""
    count = p.filled[0]
    for i in range(count):
        seen[i] = False
    start = rings
    for i in range(count):
        if seen[i]:
            continue
        first = end = s.at[rings]
        k = i
        while not seen[k]:
            seen[k] = True
            s.points[end, 0], s.points[end, 1] = p.starts[k, 0], p.starts[k, 1]
            end += 1
            k = following[k]
        n = _tidy(s.points, first, end - first)
        if n < 3:
            continue
        s.area[rings] = -_twice_area(s.points, first, first + n)
        if abs(s.area[rings]) <= NOTHING_M2:
            continue
        _reverse(s.points, first, first + n - 1)
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


@compiled
def free_rings(problem: SliceProblem, headings: Array, options: int) -> tuple[Rings, int]:
    """The rings that bound the free positions at each heading, and how many headings had to be laid out anew.

    Pure and safe on several threads. A heading that no attempt closes (none is known) has a ring of no points.
    """
    ready = make_ready(problem)
    w = work_for(ready)
    edges = w.lines.shape[0]
    q = crossings_for(edges, w.mask.shape[0] + 1, options)
    p = pieces_for(edges, 2 * edges)
    following, seen = np.empty(2 * edges, np.int64), np.empty(2 * edges, np.bool_)
    s = store_for(1024, 128)
    rings, again = s.at[0], 0
    for h in range(headings.shape[0]):
        for attempt in range(ATTEMPTS):
            corners, n = lay_out(ready, w, headings[h], attempt)
            if corners == 0:
                break
            find_pieces(w, p, q, corners, n, options)
            while p.filled[0] > p.names.shape[0]:
                most = 2 * p.filled[0]
                p = pieces_for(edges, most)
                following, seen = np.empty(most, np.int64), np.empty(most, np.bool_)
                find_pieces(w, p, q, corners, n, options)
            if link(w, p, following):
                s = _larger(s, s.at[rings] + p.filled[0], rings + p.filled[0])
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
        points[i, 0] += problem.middle[0]
        points[i, 1] += problem.middle[1]
    return Rings(points, s.at[: rings + 1], s.heading[:rings], s.parent[:rings]), again

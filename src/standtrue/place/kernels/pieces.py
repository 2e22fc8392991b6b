"""Compiled: the pieces of the sums' edges, and of the domain's, that bound the free positions at one heading.

Every edge has the forbidden side on its left. The part of it that another sum covers is an interval, for a sum is
convex. What is left of the edge are its pieces: free positions lie beyond them, and none on their near side.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from standtrue.place.kernels.free_space import Work, domain_box
from standtrue.place.kernels.outline import Ints
from standtrue.place.kernels.trace import OPEN, Pieces, trace
from standtrue.plane.compiled import compiled, compiled_bare
from standtrue.plane.kernels import Array


class Crossings(NamedTuple):
    """Room for the intervals of one edge that some sums cover.

    `near` are sums, `todo` edges; `spans` parameters, `names` (first edge crossed, last edge crossed, options) of each
    interval; `times` and `events` their ends in order; `covered` how many cover a point, for each option.
    """

    near: Ints
    todo: Ints
    spans: Array
    names: Ints
    times: Array
    events: Ints
    covered: Ints


@compiled
def crossings_for(edges: int, sums: int, options: int) -> Crossings:
    return Crossings(
        np.empty(sums, np.int64),
        np.empty(edges, np.int64),
        np.empty((sums, 2)),
        np.empty((sums, 3), np.int64),
        np.empty(2 * sums),
        np.empty(2 * sums, np.int64),
        np.empty(options, np.int64),
    )


# The functions called for every edge take single arrays: unpacking tuples costs more than the work.


@compiled_bare
def _holds(lines: Array, first: int, last: int, px: float, py: float) -> bool:
    for e in range(first, last):  # noqa: SIM110 - the compiler knows no all()
        if lines[e, 2] * (py - lines[e, 1]) - lines[e, 3] * (px - lines[e, 0]) < 0.0:
            return False
    return True


@compiled_bare
def _corner_is_hidden(
    lines: Array,
    after: Ints,
    parts: Ints,
    boxes: Array,
    masks: Ints,
    n: int,
    first: int,
    last: int,
    near: Ints,
    domain: Array,
) -> bool:
    """Whether one sum, or the outside of the domain, has all of a corner: the tangents from `first` to `last` of sum n.

    They lie in the triangle of their two ends and of where the edges before and after them would meet.
    """
    end = after[last]
    ax, ay, bx, by = lines[first, 0], lines[first, 1], lines[end, 0], lines[end, 1]
    back = first - 1 if first > parts[n, 0] else parts[n + 1, 0] - 1
    cross = lines[back, 2] * lines[end, 3] - lines[back, 3] * lines[end, 2]
    if cross <= 0.05 * (abs(lines[back, 2]) + abs(lines[back, 3])) * (abs(lines[end, 2]) + abs(lines[end, 3])):
        return False
    ahead = ((bx - ax) * lines[end, 3] - (by - ay) * lines[end, 2]) / cross
    cx, cy = ax + ahead * lines[back, 2], ay + ahead * lines[back, 3]
    for i in range(domain.shape[0]):
        j = i + 1 if i + 1 < domain.shape[0] else 0
        px, py = domain[i, 0], domain[i, 1]
        dx, dy = domain[j, 0] - px, domain[j, 1] - py
        if (
            dx * (ay - py) - dy * (ax - px) < 0.0
            and dx * (by - py) - dy * (bx - px) < 0.0
            and dx * (cy - py) - dy * (cx - px) < 0.0
        ):
            return True
    x0, x1 = min(ax, min(bx, cx)), max(ax, max(bx, cx))
    y0, y1 = min(ay, min(by, cy)), max(ay, max(by, cy))
    for k in near:
        if boxes[k, 0] > x0 or boxes[k, 2] < x1 or boxes[k, 1] > y0 or boxes[k, 3] < y1 or masks[n] & ~masks[k] != 0:
            continue
        f, g = parts[k, 0], parts[k + 1, 0]
        if _holds(lines, f, g, ax, ay) and _holds(lines, f, g, bx, by) and _holds(lines, f, g, cx, cy):
            return True
    return False


@compiled_bare
def find_pieces(w: Work, p: Pieces, q: Crossings, corners: int, sums: int, options: int) -> None:
    """The pieces of all edges: those of the sums, then those of the domain."""
    p.filled[0] = 0
    h0 = w.parts[sums, 0]
    _name_domain(w, corners, h0)
    domain, none = w.domain[:corners], w.domain[:0]
    hx0, hy0, hx1, hy1 = domain_box(w.domain, corners)
    lines, after, parts, mains, runs, box, mask = w.lines, w.after, w.parts, w.mains, w.runs, w.box, w.mask
    spans, names, times, events, covered, p_of = q.spans, q.names, q.times, q.events, q.covered, p.of
    last = w.parts[0, 0] + OPEN
    for n in range(sums + 1):
        near = todo = 0
        if n == sums:
            for k in range(sums):
                q.near[k] = k
            for i in range(corners):
                q.todo[i] = h0 + i
            last = trace(
                q.todo[:corners], (1 << options) - 1, lines, after, parts, mains, runs, box, mask, none, h0,
                q.near[:sums], last, options, spans, names, times, events, covered, p,
            )  # fmt: skip
            break
        x0, y0, x1, y1 = max(box[n, 0], hx0), max(box[n, 1], hy0), min(box[n, 2], hx1), min(box[n, 3], hy1)
        for k in range(sums):
            if box[k, 0] <= x1 and box[k, 2] >= x0 and box[k, 1] <= y1 and box[k, 3] >= y0 and k != n:
                q.near[near] = k
                near += 1
        for i in range(parts[n, 1], parts[n + 1, 1]):
            q.todo[todo] = mains[i]
            todo += 1
        for i in range(parts[n, 2], parts[n + 1, 2]):
            first, end = runs[i, 0], runs[i, 1]
            hidden = _corner_is_hidden(lines, after, parts, box, mask, n, first, end, q.near[:near], domain)
            for e in range(first, end + 1):
                if hidden:
                    p_of[e, 0], p_of[e, 1] = 0, 0
                else:
                    q.todo[todo] = e
                    todo += 1
        last = trace(
            q.todo[:todo], mask[n], lines, after, parts, mains, runs, box, mask, domain, h0,
            q.near[:near], OPEN if last == n else last, options, spans, names, times, events, covered, p,
        )  # fmt: skip


@compiled_bare
def _name_domain(w: Work, corners: int, h0: int) -> None:
    """Write the domain's edges after those of the sums, clockwise: what they shut out is on their left."""
    for i in range(corners):
        j = h0 + i
        k = h0 + (i + 1 if i + 1 < corners else 0)
        w.lines[j, 0], w.lines[j, 1] = w.domain[corners - 1 - i, 0], w.domain[corners - 1 - i, 1]
        w.after[j] = k
    for j in range(h0, h0 + corners):
        k = w.after[j]
        w.lines[j, 2], w.lines[j, 3] = w.lines[k, 0] - w.lines[j, 0], w.lines[k, 1] - w.lines[j, 1]

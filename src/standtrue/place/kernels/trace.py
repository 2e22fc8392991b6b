"""What is left of one edge of a sum, or of the domain, once what others cover is taken off it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from standtrue.place.kernels.outline import Ints
from standtrue.plane.compiled import compiled, compiled_bare, inlined
from standtrue.plane.kernels import Array

OPEN = -1
"""In place of an edge: the piece begins or ends with its own edge."""


NONE = -2
"""In place of an edge: none is crossed."""


class Pieces(NamedTuple):
    """Pieces of edges in the order of their edges: those of edge e are `of[e, 0]` on, `of[e, 1]` of them.

    Piece i, `names[i]`, is (edge, the edge crossed where it begins, that crossed where it ends); it begins at
    `starts[i]`. `filled` has the number of pieces, more than there is room for if they do not fit.
    """

    names: Ints
    starts: Array
    of: Ints
    filled: Ints


@compiled
def pieces_for(edges: int, most: int) -> Pieces:
    return Pieces(
        np.empty((most, 3), np.int64), np.empty((most, 2)), np.empty((edges, 2), np.int64), np.zeros(1, np.int64)
    )


@inlined
def _inside(
    ax: float,
    ay: float,
    bx: float,
    by: float,
    lines: Array,
    e: int,
    low: float,
    high: float,
    enter: int,
    leave: int,
) -> tuple[float, float, int, int]:
    """What of a segment, from `low` to `high`, is inside one edge of a sum too. `enter` is NONE where nothing is."""
    px, py, dx, dy = lines[e, 0], lines[e, 1], lines[e, 2], lines[e, 3]
    da = dx * (ay - py) - dy * (ax - px)
    db = dx * (by - py) - dy * (bx - px)
    if da < 0.0:
        if db < 0.0:
            enter = NONE
        else:
            t = da / (da - db)
            if t > low or enter == OPEN:
                low, enter = t, e
    elif db < 0.0:
        t = da / (da - db)
        if t < high or leave == OPEN:
            high, leave = t, e
    return low, high, enter, leave


@compiled_bare
def _clip(
    ax: float,
    ay: float,
    bx: float,
    by: float,
    lines: Array,
    after: Ints,
    mains: Ints,
    m0: int,
    m1: int,
    runs: Ints,
    r0: int,
    r1: int,
) -> tuple[float, float, int, int]:
    """The part of the segment from a to b in one sum: two parameters (first greater: none) and the edges crossed."""
    low, high = 0.0, 1.0
    enter = leave = OPEN
    for i in range(m0, m1):
        low, high, enter, leave = _inside(ax, ay, bx, by, lines, mains[i], low, high, enter, leave)
        if enter == NONE:
            return 1.0, 0.0, OPEN, OPEN
    if enter != OPEN and leave != OPEN and low >= high:
        return 1.0, 0.0, OPEN, OPEN
    for i in range(r0, r1):
        first, last = runs[i, 0], runs[i, 1]
        px, py = lines[first, 0], lines[first, 1]
        dx, dy = lines[after[last], 0] - px, lines[after[last], 1] - py
        da = dx * (ay - py) - dy * (ax - px)
        db = dx * (by - py) - dy * (bx - px)
        at_low = da if enter == OPEN else da + low * (db - da)
        at_high = db if leave == OPEN else da + high * (db - da)
        if at_low >= 0.0 and at_high >= 0.0:
            continue
        for e in range(first, last + 1):
            low, high, enter, leave = _inside(ax, ay, bx, by, lines, e, low, high, enter, leave)
            if enter == NONE:
                return 1.0, 0.0, OPEN, OPEN
        if enter != OPEN and leave != OPEN and low >= high:
            return 1.0, 0.0, OPEN, OPEN
    return low, high, enter, leave


@compiled_bare
def _settled(lines: Array, first: int, last: int, e: int, other: int, inward: bool) -> int:
    """Which edge of a convex polygon, `other` or one near it, edge `e` crosses where its line comes in (or goes out).

    The signs of the corners against the line decide, and never the parameters: where the polygon hardly turns, two
    edges have the same crossing but for rounding, and the edge that is crossed must see the same.
    """
    px, py, dx, dy = lines[e, 0], lines[e, 1], lines[e, 2], lines[e, 3]
    for _ in range(last - first):
        k = other + 1 if other + 1 < last else first
        here = dx * (lines[other, 1] - py) - dy * (lines[other, 0] - px) >= 0.0
        there = dx * (lines[k, 1] - py) - dy * (lines[k, 0] - px) >= 0.0
        if here == inward and there != inward:
            return other
        other = k if here == inward else (other - 1 if other > first else last - 1)
    return NONE


@compiled_bare
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


@compiled_bare
def trace(
    todo: Ints,
    own: int,
    lines: Array,
    after: Ints,
    parts: Ints,
    mains: Ints,
    runs: Ints,
    boxes: Array,
    masks: Ints,
    domain: Array,
    h0: int,
    near: Ints,
    last: int,
    options: int,
    spans: Array,
    names: Ints,
    times: Array,
    events: Ints,
    covered: Ints,
    p: Pieces,
) -> int:
    """Find the pieces of some edges of one sum of the options `own`, of which the sums `near` may cover parts.

    The domain's edges are named from `h0` on; `domain` is empty for those themselves. The sum `last` is asked first;
    returned is the one that covered an edge last.
    """
    p_names, p_starts, p_of, p_filled = p.names, p.starts, p.of, p.filled
    corners = domain.shape[0]
    used = p_filled[0]
    for e in todo:
        p_of[e, 0], p_of[e, 1] = used, 0
        ax, ay = lines[e, 0], lines[e, 1]
        bx, by = lines[after[e], 0], lines[after[e], 1]
        low, high = 0.0, 1.0
        enter = leave = OPEN
        hidden = False
        for i in range(corners):
            j = i + 1 if i + 1 < corners else 0
            px, py = domain[i, 0], domain[i, 1]
            dx, dy = domain[j, 0] - px, domain[j, 1] - py
            da = dx * (ay - py) - dy * (ax - px)
            db = dx * (by - py) - dy * (bx - px)
            if da < 0.0:
                if db < 0.0:
                    hidden = True
                    break
                t = da / (da - db)
                if t > low or enter == OPEN:
                    low, enter = t, h0 + (2 * corners - 2 - i) % corners
            elif db < 0.0:
                t = da / (da - db)
                if t < high or leave == OPEN:
                    high, leave = t, h0 + (2 * corners - 2 - i) % corners
        if hidden or (enter != OPEN and leave != OPEN and low >= high):
            continue
        if enter != OPEN:
            enter = _settled(lines, h0, h0 + corners, e, enter, False)
        if leave != OPEN:
            leave = _settled(lines, h0, h0 + corners, e, leave, True)
        if enter == NONE or leave == NONE:
            continue
        x0, x1 = min(ax, bx), max(ax, bx)
        y0, y1 = min(ay, by), max(ay, by)
        count = 0
        for k in range(-1, near.shape[0]):
            n = last if k < 0 else near[k]
            if n < 0 or (k >= 0 and n == last):
                continue
            if boxes[n, 0] > x1 or boxes[n, 2] < x0 or boxes[n, 1] > y1 or boxes[n, 3] < y0:
                continue
            t0, t1, e0, e1 = _clip(
                ax, ay, bx, by, lines, after, mains, parts[n, 1], parts[n + 1, 1], runs, parts[n, 2], parts[n + 1, 2]
            )
            if t0 > t1 or t1 < low or t0 > high:
                continue
            if e0 != OPEN:
                e0 = _settled(lines, parts[n, 0], parts[n + 1, 0], e, e0, True)
            if e1 != OPEN:
                e1 = _settled(lines, parts[n, 0], parts[n + 1, 0], e, e1, False)
            if e0 == NONE or e1 == NONE:
                continue
            if own & ~masks[n] == 0:
                from_start = e0 == OPEN or (enter != OPEN and t0 <= low)
                to_end = e1 == OPEN or (leave != OPEN and t1 >= high)
                if from_start and to_end:
                    last = n
                    hidden = True
                    break
                if from_start or to_end:
                    if from_start:
                        low, enter = t1, e1
                    else:
                        high, leave = t0, e0
                    if low >= high and enter != OPEN and leave != OPEN:
                        hidden = True
                        break
                    continue
            spans[count, 0], spans[count, 1] = t0, t1
            names[count, 0], names[count, 1], names[count, 2] = e0, e1, masks[n]
            count += 1
        if hidden:
            continue
        # What is left of the edge is walked along, past the ends of the intervals.
        covered[:options] = 0
        ends = _in_order(count, low, high, enter, leave, spans, names, times, events, covered, options)
        bound = _is_bound(own, options, covered)
        start, begin = low, enter
        for k in range(ends + 1):
            name, now, t = leave, False, high
            if k < ends:
                i, end = events[k] // 2, events[k] % 2
                name, t = names[i, end], times[k]
                for o in range(options):
                    covered[o] += (names[i, 2] >> o & 1) * (1 - 2 * end)
                now = _is_bound(own, options, covered)
            if bound and not now:
                if used < p_names.shape[0]:
                    p_names[used, 0], p_names[used, 1], p_names[used, 2] = e, begin, name
                    p_starts[used, 0], p_starts[used, 1] = ax + start * (bx - ax), ay + start * (by - ay)
                used += 1
                p_of[e, 1] += 1
            elif now and not bound:
                start, begin = t, name
            bound = now
    p_filled[0] = used
    return last


@compiled_bare
def _in_order(
    count: int,
    low: float,
    high: float,
    enter: int,
    leave: int,
    spans: Array,
    names: Ints,
    times: Array,
    events: Ints,
    covered: Ints,
    options: int,
) -> int:
    """Sort the ends of the intervals that lie between `low` and `high`; `covered` counts those that cover `low`.

    Event 2 i is where interval i begins, 2 i + 1 where it ends. Returns how many there are.
    """
    ends = 0
    for i in range(count):
        if enter != OPEN and names[i, 1] != OPEN and spans[i, 1] <= low:
            continue
        if leave != OPEN and names[i, 0] != OPEN and spans[i, 0] >= high:
            continue
        if names[i, 0] == OPEN or (enter != OPEN and spans[i, 0] <= low):
            for o in range(options):
                covered[o] += names[i, 2] >> o & 1
        else:
            ends = _insert(times, events, ends, spans[i, 0], 2 * i)
        if names[i, 1] != OPEN and (leave == OPEN or spans[i, 1] < high):
            ends = _insert(times, events, ends, spans[i, 1], 2 * i + 1)
    return ends


@compiled_bare
def _insert(times: Array, events: Ints, ends: int, t: float, event: int) -> int:
    k = ends
    while k > 0 and times[k - 1] > t:
        times[k], events[k] = times[k - 1], events[k - 1]
        k -= 1
    times[k], events[k] = t, event
    return ends + 1

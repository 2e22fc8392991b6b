"""Compiled: the margin of one pose, and the bound on the margin over a box of poses.

A problem is packed into arrays; see `Problem`. `f` of a pair at a pose is its separation less its gap.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from standtrue.plane.compiled import compiled, compiled_bare
from standtrue.plane.kernels import Array, minkowski_sum, signed_distance, turned_negative

Ints = NDArray[np.int64]

ROUNDING_M = 1e-12
"""A pair is looked at where its f lies this little above the bound: on a plateau it is the bound."""


class Problem(NamedTuple):
    """Pairs of convex pieces, packed.

    `zones` are vertices in the vehicle frame moved so that the reference point is the origin, `things` in
    the site frame; piece i of either lies at `zone_at[i]:zone_at[i + 1]`. Row k of `pairs` names a zone
    piece and a thing piece; `gaps[k]` is what the pair demands. `floors[k]` is nan for a pair that counts
    in the margin; otherwise the pair must keep f >= floors[k] and does not count. `sides[k]` is 1 or 2 for a
    pair of the left or the right exit strip, of which only the better has to hold: the margin is
    min(common, max(left, right)), each the smallest f of its pairs. Pairs that do not count have no side.
    `lows` is each thing's lowest vertex, `circles` (x, y, r) contains each zone piece, `arms` is each zone
    piece's greatest distance from the reference. `cores` holds each zone piece's rotation core for each of
    `halves`, piece i at level j at `core_at[j * pieces + i]`.
    """

    zones: Array
    zone_at: Ints
    things: Array
    thing_at: Ints
    pairs: Ints
    gaps: Array
    floors: Array
    sides: Ints
    lows: Ints
    circles: Array
    arms: Array
    cores: Array
    core_at: Ints
    halves: Array


class Scratch(NamedTuple):
    """Room to work in: a turned zone, a Minkowski sum, lower bounds, kept pairs, near pairs, results, and a table."""

    turned: Array
    total: Array
    lowers: Array
    keep: Ints
    near: Ints
    result: Array
    upper_of: Array
    center_of: Array
    gain: Array
    table: Array
    rows: Ints
    columns: Ints


@compiled
def scratch_for(q: Problem) -> Scratch:
    widest = broadest = 0
    for i in range(q.zone_at.shape[0] - 1):
        widest = max(widest, q.zone_at[i + 1] - q.zone_at[i])
    for i in range(q.core_at.shape[0] - 1):
        widest = max(widest, q.core_at[i + 1] - q.core_at[i])
    for i in range(q.thing_at.shape[0] - 1):
        broadest = max(broadest, q.thing_at[i + 1] - q.thing_at[i])
    count = q.pairs.shape[0]
    return Scratch(
        np.empty((widest, 2)),
        np.empty((widest + broadest + 2, 2)),
        np.empty(count),
        np.empty(count, np.int64),
        np.empty(count, np.int64),
        np.empty(5),
        np.empty(3),
        np.empty(3),
        np.empty((7, 3)),
        np.empty((count + 4, 8)),
        np.empty(count + 3, np.int64),
        np.empty(7, np.int64),
    )


# The small functions below take single arrays: unpacking the tuples anew for every pair costs more than the work.


@compiled_bare
def _low_bound(
    circles: Array, zi: int, things: Array, t0: int, nt: int, x: float, y: float, c: float, s: float
) -> float:
    """A cheap lower bound on a pair's separation at a pose: from the circle about its zone piece."""
    cx = x + c * circles[zi, 0] - s * circles[zi, 1]
    cy = y + s * circles[zi, 0] + c * circles[zi, 1]
    return float(signed_distance(cx, cy, things, t0, nt) - circles[zi, 2])


@compiled_bare
def forbidden(
    zones: Array,
    z0: int,
    nz: int,
    things: Array,
    t0: int,
    nt: int,
    low: int,
    c: float,
    s: float,
    turned: Array,
    total: Array,
) -> int:
    """Write to `total` the positions at which a pair overlaps at one heading; returns its vertex count."""
    turned_negative(zones, z0, nz, c, s, turned)
    return minkowski_sum(things, t0, nt, low, turned, nz, total)


@compiled_bare
def near_pairs(q: Problem, w: Scratch, x: float, y: float, heading: float, within: float, reach: float = 0.0) -> int:
    """Write to `w.near` the pairs whose f may be below `within`, and those that do not count whose f may be less than
    `reach` above their floor; returns how many.
    """
    c, s = math.cos(heading), math.sin(heading)
    things, thing_at, pairs, gaps, floors, circles, near = (
        q.things,
        q.thing_at,
        q.pairs,
        q.gaps,
        q.floors,
        q.circles,
        w.near,
    )
    count = 0
    for k in range(pairs.shape[0]):
        zi, ti = pairs[k, 0], pairs[k, 1]
        t0, nt = thing_at[ti], thing_at[ti + 1] - thing_at[ti]
        limit = within if math.isnan(floors[k]) else floors[k] + reach
        if _low_bound(circles, zi, things, t0, nt, x, y, c, s) - gaps[k] < limit:
            near[count] = k
            count += 1
    return count


@compiled_bare
def pose_margin(q: Problem, w: Scratch, count: int, x: float, y: float, heading: float) -> float:
    """The margin of one pose over the pairs `w.near[:count]`; -inf if a pair that does not count is broken.

    The pair that decides is moved to the front, where it spares the next pose most of the work.
    """
    c, s = math.cos(heading), math.sin(heading)
    zones, zone_at, things, thing_at, pairs, gaps = q.zones, q.zone_at, q.things, q.thing_at, q.pairs, q.gaps
    floors, lows, circles, near, turned, total = q.floors, q.lows, q.circles, w.near, w.turned, w.total
    sides = q.sides
    common = left = right = np.inf
    tight = 0
    for i in range(count):
        k = near[i]
        zi, ti = pairs[k, 0], pairs[k, 1]
        t0, nt = thing_at[ti], thing_at[ti + 1] - thing_at[ti]
        counts = math.isnan(floors[k])
        limit = common if counts else floors[k]
        if _low_bound(circles, zi, things, t0, nt, x, y, c, s) - gaps[k] >= limit:
            continue
        z0 = zone_at[zi]
        n = forbidden(zones, z0, zone_at[zi + 1] - z0, things, t0, nt, lows[ti], c, s, turned, total)
        f = signed_distance(x, y, total, 0, n) - gaps[k]
        if not counts:
            if f < limit:
                near[i], near[0] = near[0], near[i]
                return -np.inf
        elif sides[k] == 1:
            left = min(left, f)
        elif sides[k] == 2:
            right = min(right, f)
        elif f < common:
            common, tight = f, i
    near[tight], near[0] = near[0], near[tight]
    return min(common, max(left, right))


@compiled_bare
def pair_value(q: Problem, w: Scratch, k: int, x: float, y: float, c: float, s: float) -> float:
    """f of one pair at one pose, heading by its cosine and sine."""
    zi, ti = q.pairs[k, 0], q.pairs[k, 1]
    t0, z0 = q.thing_at[ti], q.zone_at[zi]
    nz, nt = q.zone_at[zi + 1] - z0, q.thing_at[ti + 1] - t0
    n = forbidden(q.zones, z0, nz, q.things, t0, nt, q.lows[ti], c, s, w.turned, w.total)
    return float(signed_distance(x, y, w.total, 0, n) - q.gaps[k])


@compiled
def pair_values(q: Problem, w: Scratch, x: float, y: float, heading: float) -> Array:
    """f of every pair at one pose."""
    c, s = math.cos(heading), math.sin(heading)
    found = np.empty(q.pairs.shape[0])
    for k in range(found.shape[0]):
        found[k] = pair_value(q, w, k, x, y, c, s)
    return found


@compiled_bare
def bound_box(
    q: Problem,
    w: Scratch,
    active: Ints,
    count: int,
    above: float,
    level: int,
    cx: float,
    cy: float,
    ch: float,
    ex: float,
    ey: float,
) -> int:
    """Bound the margin over one box of poses from above.

    The box: the reference point within `ex`, `ey` of (cx, cy), the heading within `halves[level]` of `ch`.
    `active[:count]` are the pairs that can matter, `above` a bound known already. Writes to `w.keep` the
    pairs that still can matter, the tightest first, and returns their number. `w.result`: 0 the bound;
    1 the margin at the center (-inf if a pair that does not count is broken there); 2..4 what splitting
    heading, x or y could bring.

    Any subset of pairs gives a bound, so a pair is looked at no closer than it takes to see that it
    cannot lower the bound: its f at the center, and the greatest f at the corners, are both at most its own
    bound over the box.
    """
    c, s = math.cos(ch), math.sin(ch)
    zones, zone_at, things, thing_at, pairs, gaps = q.zones, q.zone_at, q.things, q.thing_at, q.pairs, q.gaps
    floors, lows, circles, arms, cores, core_at = q.floors, q.lows, q.circles, q.arms, q.cores, q.core_at
    sides = q.sides
    lowers, keep, turned, total, result = w.lowers, w.keep, w.turned, w.total, w.result
    x0, x1, y0, y1 = cx - ex, cx + ex, cy - ey, cy + ey
    swing = 2.0 * math.sin(q.halves[level] / 2)
    diagonal = math.hypot(ex, ey)
    first_core = level * (zone_at.shape[0] - 1)
    # Bounds and centers of the common pairs and of either strip's, and what splitting their tightest could bring.
    upper_of, center_of = w.upper_of, w.center_of
    upper_of[0], upper_of[1], upper_of[2] = above, np.inf, np.inf
    center_of[0] = center_of[1] = center_of[2] = np.inf
    gain = w.gain
    gain[:] = 0.0
    broken = False
    bound = above
    kept = tight = 0
    for i in range(count):
        k = active[i]
        zi, ti = pairs[k, 0], pairs[k, 1]
        t0, nt = thing_at[ti], thing_at[ti + 1] - thing_at[ti]
        counts = math.isnan(floors[k])
        limit = bound if counts else floors[k]
        spread = diagonal + arms[zi] * swing
        f = _low_bound(circles, zi, things, t0, nt, cx, cy, c, s) - gaps[k]
        if f - spread >= limit:
            continue
        if not counts or f <= bound + ROUNDING_M:
            z0 = zone_at[zi]
            n = forbidden(zones, z0, zone_at[zi + 1] - z0, things, t0, nt, lows[ti], c, s, turned, total)
            f = signed_distance(cx, cy, total, 0, n) - gaps[k]
            if f - spread >= limit:
                continue
        lowers[kept] = f - spread
        keep[kept] = k
        kept += 1
        if counts and f > bound + ROUNDING_M:
            continue
        f00 = signed_distance(x0, y0, total, 0, n) - gaps[k]
        f10 = signed_distance(x1, y0, total, 0, n) - gaps[k]
        f01 = signed_distance(x0, y1, total, 0, n) - gaps[k]
        f11 = signed_distance(x1, y1, total, 0, n) - gaps[k]
        still = max(max(f00, f10), max(f01, f11))
        upper = still + arms[zi] * swing
        q0 = core_at[first_core + zi]
        nq = core_at[first_core + zi + 1] - q0
        if nq > 0 and still <= limit:
            n = forbidden(cores, q0, nq, things, t0, nt, lows[ti], c, s, turned, total)
            one = max(signed_distance(x0, y0, total, 0, n), signed_distance(x1, y0, total, 0, n))
            two = max(signed_distance(x0, y1, total, 0, n), signed_distance(x1, y1, total, 0, n))
            upper = min(upper, max(one, two) - gaps[k])
        slack_h = upper - still
        slack_x = max(abs(f10 - f00), abs(f11 - f01)) / 2
        slack_y = max(abs(f01 - f00), abs(f11 - f10)) / 2
        # What the slopes do not explain is a valley inside the box: splitting the longer side opens it.
        valley = max(0.0, still - f - slack_x - slack_y)
        if ex >= ey:
            slack_x += valley
        else:
            slack_y += valley
        if not counts:
            if upper < floors[k]:
                result[0] = result[1] = -np.inf
                return 0
            broken |= f < floors[k]
            if f < floors[k] + diagonal:
                gain[6, 0], gain[6, 1] = max(gain[6, 0], slack_h), max(gain[6, 1], slack_x)
                gain[6, 2] = max(gain[6, 2], slack_y)
            continue
        side = sides[k]
        if upper <= upper_of[side]:
            upper_of[side] = upper
            gain[side, 0], gain[side, 1], gain[side, 2] = slack_h, slack_x, slack_y
            if side == 0:
                tight = kept - 1
            bound = min(upper_of[0], max(upper_of[1], upper_of[2]))
        if f < center_of[side]:
            center_of[side] = f
            gain[3 + side, 0], gain[3 + side, 1], gain[3 + side, 2] = slack_h, slack_x, slack_y
    if kept > 0:
        keep[0], keep[tight] = keep[tight], keep[0]
        lowers[0], lowers[tight] = lowers[tight], lowers[0]
    # Drop the pairs that are nowhere in the box the smallest, or nowhere broken.
    count = 0
    for i in range(kept):
        if lowers[i] < (bound if math.isnan(floors[keep[i]]) else floors[keep[i]]):
            keep[count] = keep[i]
            count += 1
    lowest_at = 0 if center_of[0] <= max(center_of[1], center_of[2]) else 1 if center_of[1] >= center_of[2] else 2
    result[0] = bound
    # What was not looked at is no lower than the bound, and neither is then the margin.
    result[1] = -np.inf if broken else min(bound, min(center_of[0], max(center_of[1], center_of[2])))
    hopeful = 1 if upper_of[1] >= upper_of[2] else 2
    for i in range(3):
        # What brings the bound down (a bound inherited from the parent stands in gain[0] as nothing), what holds the
        # center down, and what keeps a pair that does not count from being met everywhere.
        result[2 + i] = gain[0, i] + gain[3 + lowest_at, i] + gain[6, i]
        if upper_of[hopeful] <= bound + ROUNDING_M or lowest_at != 0:
            result[2 + i] += gain[hopeful, i]
            if hopeful != lowest_at:
                result[2 + i] += gain[3 + hopeful, i]
    return count

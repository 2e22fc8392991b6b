"""Compiled: climbing from a pose to a larger margin, and back onto conditions that it breaks.

Near a pose the f of each pair is about linear in x, y and the heading. The step within a small box that brings most
by these lines is a linear program; whether it does bring it, the true margin tells, and the box grows or shrinks
with that (sequential linear programming with a trust region: Griffith and Stewart 1961). Positions enter exactly from
below, as a signed distance to a convex set lies above its tangents. For the heading a line is drawn to either end of
the box: where a side of the car lies along a wall, turning either way makes it worse.
"""

from __future__ import annotations

import math

import numpy as np

from standtrue.place.kernels.bounds import Ints, Problem, Scratch, forbidden, near_pairs, pose_margin
from standtrue.plane.compiled import compiled_bare
from standtrue.plane.kernels import Array, signed_distance

MOST_STEPS = 60
MOST_PIVOTS = 40
WIDEST_M = 0.5
SLOPE_M = 1e-7
"""The step that tells a slope in position."""

HOPEFUL = 32.0
"""How many steps a condition may be away from being met."""

SWAY = 1.0 + math.sqrt(2.0)
"""How far a point of the car moves at most while x, y and arm x heading change by one each."""


@compiled_bare
def climb(
    q: Problem, w: Scratch, pose: Array, margin: float, arm: float, step: float, least: float, low: float, high: float
) -> float:
    """Improve `pose` in place, by steps of at most `step` and no shorter than `least`. Returns its margin.

    The heading stays between `low` and `high`, and no pair that does not count is broken.
    """
    if margin == np.inf:
        return margin
    return _ascend(q, w, pose, margin, arm, step, least, low, high, False)


@compiled_bare
def mend(q: Problem, w: Scratch, pose: Array, arm: float, step: float, low: float, high: float) -> bool:
    """Move `pose` in place until no pair that does not count is broken; False if it does not get there."""
    count = near_pairs(q, w, pose[0], pose[1], pose[2], -np.inf, 0.0)
    value = _least_of_floors(q, w, count, pose[0], pose[1], pose[2])
    return value >= 0.0 or _ascend(q, w, pose, value, arm, step, 1e-6, low, high, True) >= 0.0


@compiled_bare
def _ascend(
    q: Problem,
    w: Scratch,
    pose: Array,
    value: float,
    arm: float,
    step: float,
    least: float,
    low: float,
    high: float,
    mending: bool,
) -> float:
    step = min(step, WIDEST_M)
    for _ in range(MOST_STEPS):
        if step <= least or (mending and not -HOPEFUL * step < value < 0.0):
            break
        x, y, heading = pose[0], pose[1], pose[2]
        # What lies farther off cannot decide as long as no point has moved by more than SWAY * step.
        reach = 2.0 * SWAY * step
        if mending:
            count = near_pairs(q, w, x, y, heading, -np.inf, value + reach)
        else:
            count = near_pairs(q, w, x, y, heading, value + reach, reach / 2)
        gain = _best_step(q, w, count, x, y, heading, value, arm, step, mending)
        if gain < least / 8:
            step *= 0.25
            continue
        x, y, heading = x + w.gain[0, 0], y + w.gain[0, 1], heading + w.gain[0, 2] / arm
        reached = -np.inf
        if low <= heading <= high:
            if mending:
                reached = _least_of_floors(q, w, count, x, y, heading)
            else:
                reached = pose_margin(q, w, count, x, y, heading)
        if reached > value:
            step *= 2.0 if reached - value > 0.5 * gain else 0.5
            step = min(step, WIDEST_M)
            pose[0], pose[1], pose[2], value = x, y, heading, reached
        else:
            step *= 0.25
    return value


@compiled_bare
def _least_of_floors(q: Problem, w: Scratch, count: int, x: float, y: float, heading: float) -> float:
    """The least f less floor over the pairs `w.near[:count]` that do not count."""
    c, s = math.cos(heading), math.sin(heading)
    zones, zone_at, things, thing_at, pairs, gaps = q.zones, q.zone_at, q.things, q.thing_at, q.pairs, q.gaps
    floors, lows, near, turned, total = q.floors, q.lows, w.near, w.turned, w.total
    least = np.inf
    for i in range(count):
        k = near[i]
        if not math.isnan(floors[k]):
            zi, ti = pairs[k, 0], pairs[k, 1]
            z0, t0 = zone_at[zi], thing_at[ti]
            n = forbidden(
                zones, z0, zone_at[zi + 1] - z0, things, t0, thing_at[ti + 1] - t0, lows[ti], c, s, turned, total
            )
            least = min(least, signed_distance(x, y, total, 0, n) - gaps[k] - floors[k])
    return least


@compiled_bare
def _best_step(
    q: Problem,
    w: Scratch,
    count: int,
    x: float,
    y: float,
    heading: float,
    value: float,
    arm: float,
    step: float,
    mending: bool,
) -> float:
    """Write the step in x, y and arm x heading that brings most by the pairs' lines to `w.gain[0]`; returns how much.

    Of two exit strips only the one counts that is the better here.
    """
    zones, zone_at, things, thing_at, pairs, gaps = q.zones, q.zone_at, q.things, q.thing_at, q.pairs, q.gaps
    floors, lows, near, turned, total = q.floors, q.lows, w.near, w.turned, w.total
    sides, table, rows = q.sides, w.table, w.rows
    c0, s0 = math.cos(heading), math.sin(heading)
    c1, s1 = math.cos(heading + step / arm), math.sin(heading + step / arm)
    c2, s2 = math.cos(heading - step / arm), math.sin(heading - step / arm)
    left = right = np.inf
    m = 0
    for i in range(count):
        k = near[i]
        counts = math.isnan(floors[k])
        if mending and counts:
            continue
        zi, ti = pairs[k, 0], pairs[k, 1]
        z0, t0 = zone_at[zi], thing_at[ti]
        nz, nt = zone_at[zi + 1] - z0, thing_at[ti + 1] - t0
        n = forbidden(zones, z0, nz, things, t0, nt, lows[ti], c0, s0, turned, total)
        f = signed_distance(x, y, total, 0, n)
        fx = (signed_distance(x + SLOPE_M, y, total, 0, n) - f) / SLOPE_M
        fy = (signed_distance(x, y + SLOPE_M, total, 0, n) - f) / SLOPE_M
        n = forbidden(zones, z0, nz, things, t0, nt, lows[ti], c1, s1, turned, total)
        more = (signed_distance(x, y, total, 0, n) - f) / step
        n = forbidden(zones, z0, nz, things, t0, nt, lows[ti], c2, s2, turned, total)
        less = (signed_distance(x, y, total, 0, n) - f) / step
        if more + less > 0.0:
            more = (more - less) / 2
            less = -more
        f -= gaps[k]
        table[m, 0], table[m, 1], table[m, 2], table[m, 3], table[m, 4], table[m, 5] = -fx, fx, -fy, fy, -more, -less
        if counts:
            table[m, 6], table[m, 7] = 1.0, f - value
        else:
            table[m, 6] = 1.0 if mending else 0.0
            table[m, 7] = f - floors[k] - (value if mending else 0.0)
        if counts and sides[k] == 1:
            left = min(left, f)
        elif counts and sides[k] == 2:
            right = min(right, f)
        table[m, 7] = max(0.0, table[m, 7])
        rows[m] = sides[k] if counts else 0
        m += 1
    if left < np.inf or right < np.inf:
        worse = 2 if left >= right else 1
        kept = 0
        for i in range(m):
            if rows[i] != worse:
                for j in range(8):
                    table[kept, j] = table[i, j]
                kept += 1
        m = kept
    for j in range(3):
        table[m] = 0.0
        table[m, 2 * j], table[m, 2 * j + 1], table[m, 7] = 1.0, 1.0, step
        m += 1
    table[m] = 0.0
    table[m, 6] = 1.0
    return _simplex(table, m, rows, w.columns, w.gain[0])


@compiled_bare
def _simplex(table: Array, m: int, rows: Ints, columns: Ints, found: Array) -> float:
    """The largest x6 with `table[:m, :7] @ x <= table[:m, 7]`, x >= 0; writes x0 - x1, x2 - x3, x4 - x5 to `found`.

    Row m of the table is the objective. The right side is not negative, so x = 0 is where it starts
    (Dantzig's simplex method; Bland's rule after a while, so that it does not go round in circles).
    """
    for i in range(m):
        rows[i] = 7 + i
    for j in range(7):
        columns[j] = j
    for pivot in range(MOST_PIVOTS):
        enter = -1
        for j in range(7):
            if table[m, j] > 1e-9 and (
                enter < 0
                or (table[m, j] > table[m, enter] if pivot < MOST_PIVOTS // 2 else columns[j] < columns[enter])
            ):
                enter = j
        if enter < 0:
            break
        leave, ratio = -1, np.inf
        for i in range(m):
            if table[i, enter] > 1e-9:
                r = table[i, 7] / table[i, enter]
                if r < ratio or (r == ratio and rows[i] < rows[leave]):
                    leave, ratio = i, r
        if leave < 0:
            break
        scale = table[leave, enter]
        for j in range(8):
            table[leave, j] /= scale
        table[leave, enter] = 1.0 / scale
        for i in range(m + 1):
            if i != leave and table[i, enter] != 0.0:
                by = table[i, enter]
                table[i, enter] = 0.0
                for j in range(8):
                    table[i, j] -= by * table[leave, j]
        rows[leave], columns[enter] = columns[enter], rows[leave]
    found[0] = found[1] = found[2] = 0.0
    gain = 0.0
    for i in range(m):
        if rows[i] == 6:
            gain = table[i, 7]
        elif rows[i] < 6:
            found[rows[i] // 2] += table[i, 7] if rows[i] % 2 == 0 else -table[i, 7]
    return gain

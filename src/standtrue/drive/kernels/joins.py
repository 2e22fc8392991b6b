"""Direct ways from pose to pose, cheapest first, and the shortening of paths by them."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from standtrue.drive.kernels.certify import Scratch, path_free, scratch_for
from standtrue.drive.kernels.motion import gear_of, poses_along
from standtrue.drive.kernels.reeds_shepp import PARTS, ROWS, Bytes, word_seconds, words, wrap
from standtrue.drive.kernels.world import Ints, World
from standtrue.plane.compiled import compiled, compiled_bare
from standtrue.plane.kernels import Array

NO_LENGTH = 1e-9
"""Parts shorter than this, metres or radians, are dropped."""


class Ask(NamedTuple):
    """What the car can do and what that costs, in seconds.

    `radius` is the least turning radius, 0 on skates; there a turn goes about the point `pivot` m ahead of the origin
    and one radian of it costs as much as `arm` m. `steering` is the cost of turning the wheel, or of one more part.
    """

    radius: float
    seconds_per_m: float
    shunt: float
    steering: float
    pivot: float
    arm: float


class Bench(NamedTuple):
    """Room for the direct ways between two poses."""

    steer: Bytes
    run: Array
    costs: Array
    order: Ints
    pose: Array


@compiled
def bench() -> Bench:
    steer, run = np.empty((ROWS, PARTS), np.int8), np.empty((ROWS, PARTS))
    return Bench(steer, run, np.empty(ROWS), np.empty(ROWS, np.int64), np.empty(3))


@compiled_bare
def find_joins(ask: Ask, one: Array, two: Array, first: int, last: int, b: Bench) -> int:
    """Every direct way from `one` to `two` with its cost in `b.costs`; gears before and after as in `word_seconds`."""
    dx, dy = two[0] - one[0], two[1] - one[1]
    turn = wrap(two[2] - one[2])
    if ask.radius > 0.0:
        c, s = math.cos(one[2]), math.sin(one[2])
        x, y = (c * dx + s * dy) / ask.radius, (c * dy - s * dx) / ask.radius
        n = words(x, y, turn, b.steer, b.run)
        for i in range(n):
            b.costs[i] = word_seconds(b.run[i], ask.radius, ask.seconds_per_m, ask.shunt, ask.steering, first, last)
        return n
    # On skates: part of the turn about the pivot, a slide, the rest of the turn; either way round.
    ax, ay = one[0] + ask.pivot * math.cos(one[2]), one[1] + ask.pivot * math.sin(one[2])
    bx, by = two[0] + ask.pivot * math.cos(two[2]), two[1] + ask.pivot * math.sin(two[2])
    slide = math.hypot(bx - ax, by - ay)
    n = 0
    for way in range(2):
        whole = turn if way == 0 else turn - math.copysign(2.0 * math.pi, turn)
        for split in range(5):
            b.run[n, 0] = whole * (0.0, 1.0, 0.5, 0.25, 0.75)[split]
            b.run[n, 1] = slide
            b.run[n, 2] = whole - b.run[n, 0]
            b.costs[n] = (abs(whole) * ask.arm + slide) * ask.seconds_per_m + ask.steering * (
                (abs(b.run[n, 0]) > NO_LENGTH) + (abs(b.run[n, 2]) > NO_LENGTH) + (slide > NO_LENGTH)
            )
            n += 1
    return n


@compiled_bare
def join_path(ask: Ask, one: Array, two: Array, i: int, b: Bench, path: Array) -> int:
    """Write way `i` of `find_joins` as rows of a path; returns how many rows."""
    n = 0
    if ask.radius > 0.0:
        for k in range(PARTS):
            r = b.run[i, k]
            if abs(r) < NO_LENGTH:
                continue
            gear = 1.0 if r > 0.0 else -1.0
            path[n, 0], path[n, 1] = gear, 0.0
            path[n, 2] = gear * b.steer[i, k] / ask.radius
            path[n, 3] = abs(r) * ask.radius
            n += 1
        return n
    heading = one[2]
    for k in range(3):
        r = b.run[i, k]
        if abs(r) < NO_LENGTH:
            continue
        if k == 1:
            ax, ay = one[0] + ask.pivot * math.cos(one[2]), one[1] + ask.pivot * math.sin(one[2])
            bx, by = two[0] + ask.pivot * math.cos(two[2]), two[1] + ask.pivot * math.sin(two[2])
            way = math.atan2(by - ay, bx - ax) - heading
            path[n, 0], path[n, 1], path[n, 2], path[n, 3] = math.cos(way), math.sin(way), 0.0, r
        else:
            rate = math.copysign(1.0 / ask.arm, r)
            path[n, 0], path[n, 1], path[n, 2], path[n, 3] = 0.0, -rate * ask.pivot, rate, abs(r) * ask.arm
            heading += r
        n += 1
    return n


@compiled_bare
def least_seconds(ask: Ask, one: Array, two: Array, b: Bench) -> float:
    """The cost of the cheapest direct way if nothing stood about."""
    n = find_joins(ask, one, two, 0, 0, b)
    least = np.inf
    for i in range(n):
        least = min(least, b.costs[i])
    return least


@compiled_bare
def best_join(
    w: World,
    ask: Ask,
    one: Array,
    two: Array,
    first: int,
    last: int,
    below: float,
    tries: int,
    b: Bench,
    scratch: Scratch,
    path: Array,
) -> tuple[float, int]:
    """The cheapest direct way that costs less than `below` and provably keeps every gap, of the `tries` cheapest.

    Returns its cost and how many rows it wrote to `path`; (inf, 0) if there is none.
    """
    n = find_joins(ask, one, two, first, last, b)
    for _ in range(tries):
        best = -1
        for i in range(n):
            if b.costs[i] < below and (best < 0 or b.costs[i] < b.costs[best]):
                best = i
        if best < 0:
            break
        cost = b.costs[best]
        rows = join_path(ask, one, two, best, b, path)
        if path_free(w, one, path, rows, scratch, b.pose):
            return cost, rows
        b.costs[best] = np.inf
    return np.inf, 0


@compiled_bare
def path_seconds(ask: Ask, path: Array) -> float:
    """What a path costs."""
    total = 0.0
    gear = 0
    for i in range(path.shape[0]):
        total += path[i, 3] * ask.seconds_per_m
        if i == 0 or path[i, 2] != path[i - 1, 2] or path[i, 1] != path[i - 1, 1] or path[i, 0] != path[i - 1, 0]:
            total += ask.steering
        now = gear_of(path[i, 0], path[i, 1])
        if now * gear < 0:
            total += ask.shunt
        gear = now
    return total


@compiled
def tidy(path: Array) -> Array:
    """The path with rows of one twist joined and empty rows dropped."""
    out = np.empty_like(path)
    n = 0
    for i in range(path.shape[0]):
        if path[i, 3] < NO_LENGTH:
            continue
        same = n > 0
        for k in range(3):
            same = same and abs(out[n - 1, k] - path[i, k]) < 1e-12
        if same:
            out[n - 1, 3] += path[i, 3]
        else:
            out[n] = path[i]
            n += 1
    return out[:n].copy()


@compiled
def cut_up(path: Array, step: float) -> Array:
    """The path with every row cut into equal parts of at most `step` m."""
    n = 0
    for i in range(path.shape[0]):
        n += max(1, math.ceil(path[i, 3] / step))
    out = np.empty((n, 4))
    n = 0
    for i in range(path.shape[0]):
        parts = max(1, math.ceil(path[i, 3] / step))
        for _ in range(parts):
            out[n] = path[i]
            out[n, 3] = path[i, 3] / parts
            n += 1
    return out


@compiled
def shorten(w: World, ask: Ask, start: Array, path: Array, step: float, tries: int, most: int) -> Array:
    """The path made cheaper: between poses `step` apart on it, direct ways replace what costs more.

    The longest stretches first, over and over until nothing gains or `most` proofs were tried.
    """
    scratch, b, found = scratch_for(w), bench(), np.empty((PARTS, 4))
    path = tidy(path)
    looked = 0
    gained = True
    while gained and looked < most:
        gained = False
        fine = cut_up(path, step)
        poses = poses_along(start, fine)
        n = fine.shape[0]
        span = n
        while span > 1 and not gained and looked < most:
            for i in range(n - span + 1):
                j = i + span
                first = gear_of(fine[i - 1, 0], fine[i - 1, 1]) if i > 0 else 0
                last = gear_of(fine[j, 0], fine[j, 1]) if j < n else 0
                now = path_seconds(ask, fine[i:j])
                before = gear_of(fine[i, 0], fine[i, 1])
                after = gear_of(fine[j - 1, 0], fine[j - 1, 1])
                now += ask.shunt * ((first * before < 0) + (after * last < 0))
                looked += 1
                _cost, rows = best_join(w, ask, poses[i], poses[j], first, last, now - 0.02, tries, b, scratch, found)
                if rows > 0:
                    path = tidy(np.concatenate((fine[:i], found[:rows], fine[j:])))
                    gained = True
                    break
            span = span - 1 if span < 12 else (3 * span) // 4
    return path

"""Proofs that a motion keeps its gaps: bounds that hold between poses, nothing sampled.

For a fixed direction n the separation of two convex shapes is at least the least n.a less the greatest n.b. While the
car moves at a constant twist, each corner a describes an arc, so the least of n.a over a whole interval is known
exactly: it is at an end, or where the arc turns back. The directions tried are the solid's own normals; the car's
own normals, for which the car is held still and the solid turns the other way round; and the line between the two
nearest corners. Where none gives the gap, the interval is halved, until its middle pose is too near or it is tiny.

Kernels that make no arrays are compiled without counting who holds those given (`_nrt`): half the time.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from standtrue.drive.kernels.motion import advance
from standtrue.drive.kernels.world import CHUNK_M, SLACK_M, Ints, World, cell_of
from standtrue.plane.compiled import compiled, compiled_bare, inlined
from standtrue.plane.kernels import Array

TINY_M = 2e-4
"""Intervals of travel shorter than this are not halved again: what is left unproven counts as too near."""

DEEP = 64

STRAIGHT = 1e-7
"""A heading's rate below this, per metre, bends a chunk by less than a hundred-millionth of a metre: a line."""


class Scratch(NamedTuple):
    """Room to work in, so that kernels make no arrays. `points` (2, n, 2), n the most points of any polygon; poses."""

    points: Array
    one: Array
    two: Array
    middle: Array
    at: Array
    still: Array
    stack: Array
    blocker: Ints


@compiled_bare
def _least_along(
    nx: float, ny: float, a: Array, b: Array, first: int, count: int, cx: float, cy: float, w: float
) -> float:
    """The least n.p over points that move from `a[i]` to `b[i]` turning about (cx, cy) at rate `w` (0: straight)."""
    least = np.inf
    for i in range(first, first + count):
        p = nx * a[i, 0] + ny * a[i, 1]
        q = nx * b[i, 0] + ny * b[i, 1]
        low = min(p, q)
        if w != 0.0:
            # The rate of n.p is w n.J(p - c): where it goes from falling to rising the arc turns back.
            ax, ay = a[i, 0] - cx, a[i, 1] - cy
            bx, by = b[i, 0] - cx, b[i, 1] - cy
            if w * (ny * ax - nx * ay) < 0.0 < w * (ny * bx - nx * by):
                low = nx * cx + ny * cy - math.sqrt(ax * ax + ay * ay)
        least = min(least, low)
    return least


@compiled_bare
def _put(car: Array, first: int, count: int, x: float, y: float, h: float, out: Array) -> None:
    """The car's points at a pose, in the site frame."""
    c, s = math.cos(h), math.sin(h)
    for i in range(count):
        px, py = car[first + i, 0], car[first + i, 1]
        out[i, 0] = x + c * px - s * py
        out[i, 1] = y + s * px + c * py


@compiled_bare
def _put_back(solid: Array, first: int, count: int, x: float, y: float, h: float, out: Array) -> None:
    """A solid's points as seen from the car at a pose."""
    c, s = math.cos(h), math.sin(h)
    for i in range(count):
        px, py = solid[first + i, 0] - x, solid[first + i, 1] - y
        out[i, 0] = c * px + s * py
        out[i, 1] = c * py - s * px


@compiled_bare
def bound_between(
    w: World, piece: int, solid: int, one: Array, two: Array, twist: Array, enough: float, points: Array
) -> float:
    """A lower bound on the separation while the car goes from pose `one` to pose `two` at one twist.

    With `one` equal to `two` it is the separation itself where they are apart. Returns early once it is `enough`.
    `points` has shape (2, n, 2), n the most points of any polygon.
    """
    a0, an = w.car_at[piece], w.car_at[piece + 1] - w.car_at[piece]
    b0, bn = w.solid_at[solid], w.solid_at[solid + 1] - w.solid_at[solid]
    rate = twist[2] if abs(twist[2]) > STRAIGHT else 0.0
    cx = cy = lx = ly = 0.0
    if rate != 0.0:
        lx, ly = -twist[1] / rate, twist[0] / rate
        c, s = math.cos(one[2]), math.sin(one[2])
        cx, cy = one[0] + c * lx - s * ly, one[1] + s * lx + c * ly
    best = -np.inf
    _put(w.car, a0, an, one[0], one[1], one[2], points[0])
    _put(w.car, a0, an, two[0], two[1], two[2], points[1])
    for j in range(b0, b0 + bn):
        nx, ny = w.solid_normals[j, 0], w.solid_normals[j, 1]
        low = _least_along(nx, ny, points[0], points[1], 0, an, cx, cy, rate)
        best = max(best, low - nx * w.solid[j, 0] - ny * w.solid[j, 1])
        if best >= enough:
            return float(best)
    _put_back(w.solid, b0, bn, one[0], one[1], one[2], points[0])
    _put_back(w.solid, b0, bn, two[0], two[1], two[2], points[1])
    for i in range(a0, a0 + an):
        nx, ny = w.car_normals[i, 0], w.car_normals[i, 1]
        low = _least_along(nx, ny, points[0], points[1], 0, bn, lx, ly, -rate)
        best = max(best, low - nx * w.car[i, 0] - ny * w.car[i, 1])
        if best >= enough:
            return float(best)
    if best > 0.0:
        # Apart, but not by enough along any normal: the nearest points may be corners.
        _put(w.car, a0, an, one[0], one[1], one[2], points[0])
        _put(w.car, a0, an, two[0], two[1], two[2], points[1])
        nx, ny = _between_corners(w, b0, bn, an, points)
        low = _least_along(nx, ny, points[0], points[1], 0, an, cx, cy, rate)
        far = -np.inf
        for j in range(b0, b0 + bn):
            far = max(far, nx * w.solid[j, 0] + ny * w.solid[j, 1])
        best = max(best, low - far)
    return best


@compiled_bare
def _between_corners(w: World, b0: int, bn: int, an: int, placed: Array) -> tuple[float, float]:
    """The unit direction from the solid's corner to the car's, of the two that are nearest halfway."""
    nearest = np.inf
    nx = ny = 0.0
    for i in range(an):
        x = 0.5 * (placed[0, i, 0] + placed[1, i, 0])
        y = 0.5 * (placed[0, i, 1] + placed[1, i, 1])
        for j in range(b0, b0 + bn):
            dx, dy = x - w.solid[j, 0], y - w.solid[j, 1]
            d = dx * dx + dy * dy
            if d < nearest:
                nearest, nx, ny = d, dx, dy
    if nearest < 1e-18:
        return 0.0, 0.0
    long = math.sqrt(nearest)
    return nx / long, ny / long


@compiled_bare
def separation(w: World, piece: int, solid: int, pose: Array, scratch: Scratch) -> float:
    """The distance of a piece and a solid at a pose; negative where they overlap (its size is then no contract)."""
    return float(bound_between(w, piece, solid, pose, pose, scratch.still, np.inf, scratch.points))


@compiled
def scratch_for(w: World) -> Scratch:
    """Room for the kernels of this world."""
    most = 2
    for i in range(w.car_at.shape[0] - 1):
        most = max(most, w.car_at[i + 1] - w.car_at[i])
    for i in range(w.solid_at.shape[0] - 1):
        most = max(most, w.solid_at[i + 1] - w.solid_at[i])
    return Scratch(
        np.empty((2, most, 2)),
        np.empty(3),
        np.empty(3),
        np.empty(3),
        np.empty(3),
        np.zeros(3),
        np.empty((DEEP, 2)),
        np.zeros(1, np.int64),
    )


@compiled_bare
def _set(pose: Array, base: Array, twist: Array, travel: float) -> None:
    x, y, h = advance(base[0], base[1], base[2], twist[0], twist[1], twist[2], travel)
    pose[0], pose[1], pose[2] = x, y, h


@inlined
def _ends(stack: Array, n: int, base: Array, twist: Array, one: Array, two: Array) -> tuple[float, float]:
    """Where interval n of the stack begins and ends along a piece from `base`; the poses there into `one` and `two`."""
    _set(one, base, twist, stack[n, 0])
    _set(two, base, twist, stack[n, 1])
    return stack[n, 0], stack[n, 1]


@inlined
def _halved(stack: Array, n: int, a: float, m: float, b: float) -> int:
    """Put both halves of an interval on a stack of n, the first to be looked at next. Returns how many there are."""
    stack[n, 0], stack[n, 1] = m, b
    stack[n + 1, 0], stack[n + 1, 1] = a, m
    return n + 2


@compiled_bare
def _pair_free(
    w: World, piece: int, solid: int, gap: float, base: Array, twist: Array, start: float, end: float, scratch: Scratch
) -> float:
    """How far along [start, end] the pair provably keeps `gap`."""
    one, two, middle, stack = scratch.one, scratch.two, scratch.middle, scratch.stack
    stack[0, 0], stack[0, 1] = start, end
    n = 1
    while n > 0:
        n -= 1
        a, b = _ends(stack, n, base, twist, one, two)
        if bound_between(w, piece, solid, one, two, twist, gap, scratch.points) >= gap:
            continue
        if b - a < TINY_M:
            return float(a)
        m = 0.5 * (a + b)
        _set(middle, base, twist, m)
        if bound_between(w, piece, solid, middle, middle, twist, gap, scratch.points) < gap:
            # Beyond the middle nothing is left to gain.
            end = m
            stack[0, 0], stack[0, 1] = a, m
            n = 1
        else:
            n = _halved(stack, n, a, m, b)
    return end


@compiled_bare
def speed_of(w: World, twist: Array) -> float:
    """The fastest that any point of the car moves at this twist, for each metre of travel."""
    fastest = math.hypot(twist[0], twist[1])
    for i in range(w.car.shape[0]):
        fastest = max(fastest, math.hypot(twist[0] - twist[2] * w.car[i, 1], twist[1] + twist[2] * w.car[i, 0]))
    return fastest


@compiled_bare
def away(w: World, piece: int, solid: int, pose: Array, c: float, s: float) -> float:
    """A quick lower bound on the separation, by the piece's circle and the solid's box."""
    px = pose[0] + c * w.circles[piece, 0] - s * w.circles[piece, 1]
    py = pose[1] + s * w.circles[piece, 0] + c * w.circles[piece, 1]
    dx = max(0.0, max(w.boxes[solid, 0] - px, px - w.boxes[solid, 2]))
    dy = max(0.0, max(w.boxes[solid, 1] - py, py - w.boxes[solid, 3]))
    return float(math.sqrt(dx * dx + dy * dy) - w.circles[piece, 2])


@compiled_bare
def free_travel(w: World, base: Array, twist: Array, travel: float, scratch: Scratch) -> float:
    """How far from pose `base` the car can provably go at this twist, at most `travel`, with every gap kept.

    Where it stops sooner, `scratch.blocker[0]` becomes the pair that stopped it.
    """
    chunks = max(1, math.ceil(travel * speed_of(w, twist) / CHUNK_M))
    done = 0.0
    middle = scratch.at
    for k in range(chunks):
        start, end = travel * k / chunks, travel * (k + 1) / chunks
        half = 0.5 * (end - start)
        _set(middle, base, twist, start + half)
        c, s = math.cos(middle[2]), math.sin(middle[2])
        cell = cell_of(w, middle[0] + c * w.center[0] - s * w.center[1], middle[1] + s * w.center[0] + c * w.center[1])
        limit = end
        for index in range(w.near_at[cell], w.near_at[cell + 1]):
            p = w.near[index]
            piece, solid = w.pairs[p, 0], w.pairs[p, 1]
            gap = w.gaps[p] - SLACK_M
            if away(w, piece, solid, middle, c, s) > gap + 0.5 * CHUNK_M:
                continue
            free = _pair_free(w, piece, solid, gap, base, twist, start, limit, scratch)
            if free < limit:
                limit = free
                scratch.blocker[0] = p
                if limit <= start:
                    return limit
        if limit < end:
            return limit
        done = end
    return done


@compiled_bare
def pose_free(w: World, pose: Array, scratch: Scratch) -> bool:
    """Whether every gap is kept at one pose."""
    c, s = math.cos(pose[2]), math.sin(pose[2])
    cell = cell_of(w, pose[0] + c * w.center[0] - s * w.center[1], pose[1] + s * w.center[0] + c * w.center[1])
    for index in range(w.near_at[cell], w.near_at[cell + 1]):
        p = w.near[index]
        piece, solid = w.pairs[p, 0], w.pairs[p, 1]
        gap = w.gaps[p] - SLACK_M
        if away(w, piece, solid, pose, c, s) > gap:
            continue
        if bound_between(w, piece, solid, pose, pose, scratch.still, gap, scratch.points) < gap:
            return False
    return True


@compiled_bare
def path_free(w: World, start: Array, path: Array, rows: int, scratch: Scratch, pose: Array) -> bool:
    """Whether the first `rows` of a path provably keep every gap. `pose` is room for one pose."""
    pose[0], pose[1], pose[2] = start[0], start[1], start[2]
    for i in range(rows - 1):
        # Where the direction changes the car reaches farthest: look there first.
        _set(pose, pose, path[i, :3], path[i, 3])
        if not pose_free(w, pose, scratch):
            return False
    pose[0], pose[1], pose[2] = start[0], start[1], start[2]
    for i in range(rows):
        if free_travel(w, pose, path[i, :3], path[i, 3], scratch) < path[i, 3]:
            return False
        _set(pose, pose, path[i, :3], path[i, 3])
    return True


@compiled
def least_separation(w: World, start: Array, path: Array, near: float) -> tuple[float, int]:
    """A proven lower bound, at most `near` too low, on the separation of every pair along a path, and its pair.

    Found by halving: the least seen at a pose bounds it from above, `bound_between` from below.
    """
    scratch = scratch_for(w)
    base, one, two, stack = start.copy(), scratch.one, scratch.two, scratch.stack
    seen, pair = np.inf, -1
    unproven = np.inf
    for i in range(path.shape[0]):
        twist = path[i, :3]
        chunks = max(1, math.ceil(path[i, 3] * speed_of(w, twist) / CHUNK_M))
        for p in range(w.pairs.shape[0]):
            piece, solid = w.pairs[p, 0], w.pairs[p, 1]
            for k in range(chunks):
                stack[0, 0], stack[0, 1] = path[i, 3] * k / chunks, path[i, 3] * (k + 1) / chunks
                n = 1
                while n > 0:
                    n -= 1
                    a, b = _ends(stack, n, base, twist, one, two)
                    low = bound_between(w, piece, solid, one, two, twist, seen - near, scratch.points)
                    if low >= seen - near:
                        continue
                    m = 0.5 * (a + b)
                    _set(one, base, twist, m)
                    here = bound_between(w, piece, solid, one, one, twist, seen, scratch.points)
                    if here < seen:
                        seen, pair = here, p
                    if b - a < 0.1 * TINY_M:
                        unproven = min(unproven, low)
                        continue
                    n = _halved(stack, n, a, m, b)
        _set(base, base, twist, path[i, 3])
    return min(seen - near, unproven), pair


@compiled
def kept_gaps(w: World, poses: Array, more: float) -> Array:
    """Every gap wider by `more`, but no wider than the poses (n, 3) keep it."""
    scratch, gaps = scratch_for(w), w.gaps + more
    for i in range(poses.shape[0]):
        c, s = math.cos(poses[i, 2]), math.sin(poses[i, 2])
        for p in range(gaps.shape[0]):
            piece, solid = w.pairs[p, 0], w.pairs[p, 1]
            if away(w, piece, solid, poses[i], c, s) < gaps[p]:
                apart = separation(w, piece, solid, poses[i], scratch)
                gaps[p] = min(gaps[p], max(w.gaps[p], apart))
    return gaps

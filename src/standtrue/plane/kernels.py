"""Compiled kernels on convex polygons: Minkowski sums, signed distance, rotation cores.

Polygons are counter-clockwise vertex arrays of shape (n, 2), metres. Nothing here allocates in
a loop: callers pass scratch arrays.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from standtrue.plane.compiled import compiled, compiled_bare

Array = NDArray[np.float64]


@compiled_bare
def turned_negative(a: Array, first: int, count: int, c: float, s: float, out: Array) -> None:
    """-R a for `count` vertices of `a` from `first` on: `out[i] = -(R a[first + i])`, R by cosine `c`, sine `s`."""
    for i in range(count):
        x, y = a[first + i, 0], a[first + i, 1]
        out[i, 0] = s * y - c * x
        out[i, 1] = -s * x - c * y


@compiled_bare
def lowest(a: Array, first: int, count: int) -> int:
    """Index, from `first`, of the lowest vertex (leftmost of the lowest)."""
    best = 0
    for i in range(1, count):
        x, y = a[first + i, 0], a[first + i, 1]
        bx, by = a[first + best, 0], a[first + best, 1]
        if y < by or (y == by and x < bx):
            best = i
    return best


@compiled_bare
def minkowski_sum(b: Array, first: int, nb: int, low: int, a: Array, na: int, out: Array) -> int:
    """Minkowski sum of two convex polygons by merging their edges by angle.

    `b[first : first + nb]` with lowest vertex `low`, and `a[:na]`. Returns the number of vertices
    written to `out` (at most na + nb).
    """
    start = lowest(a, 0, na)
    i = j = n = 0
    while i < nb or j < na:
        bi = first + (low + i) % nb
        aj = (start + j) % na
        out[n, 0] = b[bi, 0] + a[aj, 0]
        out[n, 1] = b[bi, 1] + a[aj, 1]
        n += 1
        bk = first + (low + i + 1) % nb
        ak = (start + j + 1) % na
        cross = (b[bk, 0] - b[bi, 0]) * (a[ak, 1] - a[aj, 1]) - (b[bk, 1] - b[bi, 1]) * (a[ak, 0] - a[aj, 0])
        if j >= na or (i < nb and cross > 0.0):
            i += 1
        elif i >= nb or cross < 0.0:
            j += 1
        else:
            i += 1
            j += 1
    return n


@compiled_bare
def signed_distance(x: float, y: float, p: Array, first: int, n: int) -> float:
    """Distance from a point to a convex polygon, negative inside (minus the distance to the nearest edge).

    A line of two points has no inside: not even the points beyond its ends that are on one line with it.
    """
    nearest = np.inf
    px, py = p[first + n - 1, 0], p[first + n - 1, 1]
    for i in range(n):
        qx, qy = p[first + i, 0], p[first + i, 1]
        ex, ey = qx - px, qy - py
        wx, wy = x - px, y - py
        if n < 3 or ex * wy - ey * wx < 0.0:
            long = ex * ex + ey * ey
            t = (ex * wx + ey * wy) / long if long > 0.0 else 0.0
            t = min(1.0, max(0.0, t))
            dx, dy = wx - t * ex, wy - t * ey
            nearest = min(nearest, dx * dx + dy * dy)
        px, py = qx, qy
    if nearest < np.inf:
        return math.sqrt(nearest)
    depth = np.inf
    px, py = p[first + n - 1, 0], p[first + n - 1, 1]
    for i in range(n):
        qx, qy = p[first + i, 0], p[first + i, 1]
        ex, ey = qx - px, qy - py
        long = math.sqrt(ex * ex + ey * ey)
        if long > 0.0:
            depth = min(depth, (ex * (y - py) - ey * (x - px)) / long)
        px, py = qx, qy
    return -depth


@compiled_bare
def rotation_core(a: Array, first: int, n: int, half: float, now: Array, then: Array) -> int:
    """The part of convex polygon `a[first:first + n]` that it covers however it turns about the origin by up to `half`.

    A point p is covered at every such rotation exactly if n(t).p <= d for every edge (n, d) and
    every |t| <= half. Between two checked turns a step apart, n(t).p exceeds the greater of its
    values there by at most r (1 - cos(step/2)), r the greatest |p|; the edges move in by that much,
    so the result lies inside the true core. Returns the number of vertices in `now`, 0 if empty; `now` and `then`
    have room for 4 n + 8.
    """
    if n < 3:
        return 0
    r = 0.0
    for i in range(first, first + n):
        r = max(r, math.hypot(a[i, 0], a[i, 1]))
    steps = 2 if half > 0.05 else 1
    slack = r * (1.0 - math.cos(half / steps))
    for i in range(n):
        now[i, 0], now[i, 1] = a[first + i, 0], a[first + i, 1]
    count = n
    for i in range(n):
        j = first + i
        k = first + (i + 1) % n
        ex, ey = a[k, 0] - a[j, 0], a[k, 1] - a[j, 1]
        long = math.hypot(ex, ey)
        nx, ny = ey / long, -ex / long
        d = nx * a[j, 0] + ny * a[j, 1] - slack
        for step in range(steps + 1):
            t = -half + 2.0 * half * step / steps
            c, s = math.cos(t), math.sin(t)
            ux, uy = c * nx - s * ny, s * nx + c * ny
            high = -np.inf
            for m in range(count):
                high = max(high, ux * now[m, 0] + uy * now[m, 1])
            if high <= d:
                continue
            count = clip_half_plane(now, count, ux, uy, d, then)
            if count < 3:
                return 0
            for m in range(count):
                now[m, 0], now[m, 1] = then[m, 0], then[m, 1]
    return count


@compiled_bare
def clip_half_plane(a: Array, count: int, nx: float, ny: float, d: float, out: Array) -> int:
    """The part of convex polygon `a[:count]` with n.p <= d (Sutherland and Hodgman 1974)."""
    m = 0
    px, py = a[count - 1, 0], a[count - 1, 1]
    before = nx * px + ny * py - d
    for i in range(count):
        qx, qy = a[i, 0], a[i, 1]
        now = nx * qx + ny * qy - d
        if (before < 0.0 < now) or (now < 0.0 < before):
            t = before / (before - now)
            out[m, 0] = px + t * (qx - px)
            out[m, 1] = py + t * (qy - py)
            m += 1
        if now <= 0.0:
            out[m, 0] = qx
            out[m, 1] = qy
            m += 1
        px, py, before = qx, qy, now
    return m


@compiled
def rotation_cores(vertices: Array, offsets: NDArray[np.int64], halves: Array) -> tuple[Array, NDArray[np.int64]]:
    """`rotation_core` of every polygon for every half-width.

    Returns vertices and offsets; polygon i at level j lies at offsets[j * pieces + i].
    """
    pieces = offsets.shape[0] - 1
    levels = halves.shape[0]
    widest = 0
    for i in range(pieces):
        widest = max(widest, offsets[i + 1] - offsets[i])
    scratch, spare = np.empty((widest * 4 + 8, 2)), np.empty((widest * 4 + 8, 2))
    found = np.empty((1024, 2))
    at = np.zeros(levels * pieces + 1, np.int64)
    total = 0
    for j in range(levels):
        for i in range(pieces):
            count = rotation_core(vertices, offsets[i], offsets[i + 1] - offsets[i], halves[j], scratch, spare)
            while total + count > found.shape[0]:
                bigger = np.empty((found.shape[0] * 2, 2))
                bigger[:total] = found[:total]
                found = bigger
            found[total : total + count] = scratch[:count]
            total += count
            at[j * pieces + i + 1] = total
    return found[:total].copy(), at


@compiled
def circles_about(vertices: Array, offsets: NDArray[np.int64]) -> tuple[Array, Array]:
    """For each polygon a circle (x, y, r) that contains it, and its greatest distance from the origin."""
    pieces = offsets.shape[0] - 1
    circles, arms = np.zeros((pieces, 3)), np.zeros(pieces)
    for i in range(pieces):
        x0, x1, y0, y1 = np.inf, -np.inf, np.inf, -np.inf
        for j in range(offsets[i], offsets[i + 1]):
            x0, x1 = min(x0, vertices[j, 0]), max(x1, vertices[j, 0])
            y0, y1 = min(y0, vertices[j, 1]), max(y1, vertices[j, 1])
            arms[i] = max(arms[i], math.hypot(vertices[j, 0], vertices[j, 1]))
        x, y = (x0 + x1) / 2, (y0 + y1) / 2
        circles[i, 0], circles[i, 1] = x, y
        for j in range(offsets[i], offsets[i + 1]):
            circles[i, 2] = max(circles[i, 2], math.hypot(vertices[j, 0] - x, vertices[j, 1] - y))
    return circles, arms


@compiled
def lowest_of(vertices: Array, offsets: NDArray[np.int64]) -> NDArray[np.int64]:
    """Each polygon's lowest vertex, counted from its own first."""
    found = np.empty(offsets.shape[0] - 1, np.int64)
    for i in range(found.shape[0]):
        found[i] = lowest(vertices, offsets[i], offsets[i + 1] - offsets[i])
    return found

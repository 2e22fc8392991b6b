"""One convex piece of free positions less one sum, as convex pieces."""

from __future__ import annotations

import numpy as np

from standtrue.place.kernels.bench import (
    MOST_CORNERS,
)
from standtrue.place.kernels.bounds import Ints
from standtrue.plane.compiled import compiled_bare
from standtrue.plane.kernels import Array, clip_half_plane

SLIVER_M = 1e-10


@compiled_bare
def subtract(
    stack: Array,
    stack_n: Ints,
    stack_k: Ints,
    top: int,
    n: int,
    resume: int,
    sums: Array,
    p0: int,
    p1: int,
    now: Array,
    then: Array,
) -> int:
    """Replace the piece at `top` by what lies outside a polygon; returns the new top, -1 on overflow."""
    for i in range(n):
        now[i, 0], now[i, 1] = stack[top, i, 0], stack[top, i, 1]
    for j in range(p0, p1):
        nx, ny, d = sums[j, 0], sums[j, 1], sums[j, 2]
        high = -np.inf
        for i in range(n):
            high = max(high, nx * now[i, 0] + ny * now[i, 1])
        if high > d + SLIVER_M:
            if n + 2 > MOST_CORNERS:
                return -1
            m = clip_half_plane(now, n, -nx, -ny, -d, stack[top])
            if m >= 3:
                stack_n[top], stack_k[top] = m, resume
                top += 1
            n = clip_half_plane(now, n, nx, ny, d, then)
            if n < 3:
                return top
            for i in range(n):
                now[i, 0], now[i, 1] = then[i, 0], then[i, 1]
    return top


@compiled_bare
def meets(piece: Array, n: int, sums: Array, p0: int, p1: int) -> int:
    """0: the piece does not meet the obstacle's inside. 2: it lies in it. 1: neither."""
    inside = True
    for j in range(p0, p1):
        nx, ny, d = sums[j, 0], sums[j, 1], sums[j, 2]
        low, high = np.inf, -np.inf
        for i in range(n):
            v = nx * piece[i, 0] + ny * piece[i, 1]
            low, high = min(low, v), max(high, v)
        if low >= d - SLIVER_M:
            return 0
        if high > d + SLIVER_M:
            inside = False
    return 2 if inside else 1

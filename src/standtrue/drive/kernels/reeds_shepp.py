"""The 48 words of Reeds and Shepp: every way to join two poses by at most five arcs and lines of one radius.

J. A. Reeds and L. A. Shepp, *Optimal paths for a car that goes both forwards and backwards*, Pacific Journal of
Mathematics 145 (1990), section 8. Eight base words, each with its mirror image, its reverse in time and, where the
order of its parts matters, itself read backward: 44 rows cover all 48 words, since a row whose last arc may
turn either way stands for two of them. The paper only wants the shortest; here every row that lands is a
candidate, because the shortest often has the most changes of direction.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from standtrue.plane.compiled import compiled_bare
from standtrue.plane.kernels import Array

Bytes = NDArray[np.int8]

ROWS = 44
PARTS = 5
STEER: Bytes = np.array(
    [
        [1, 0, 1, 0, 0],
        [1, 0, -1, 0, 0],
        [1, -1, 1, 0, 0],
        [1, -1, 1, -1, 0],
        [1, -1, 1, -1, 0],
        [1, -1, 0, 1, 0],
        [1, -1, 0, -1, 0],
        [1, -1, 0, 1, -1],
    ],
    dtype=np.int8,
)
"""How each base word steers: 1 left, 0 straight, -1 right."""
COUNTS: Bytes = np.array([3, 3, 3, 4, 4, 4, 4, 5], dtype=np.int8)
BACKWARD: Bytes = np.array([0, 0, 1, 0, 0, 1, 1, 0], dtype=np.int8)
"""Whether the base word read backward is another word."""

TOUCH = 1e-12
"""How far rounding may push a cosine or a distance beyond what a word allows."""


@compiled_bare
def wrap(angle: float) -> float:
    """The angle in [-pi, pi]."""
    return angle - 2.0 * math.pi * round(angle / (2.0 * math.pi))


@compiled_bare
def _ends(u: float, v: float, xi: float, eta: float, phi: float) -> tuple[float, float]:
    """First and last arc of a word of four arcs whose inner ones are `u` and `v` (Reeds and Shepp, 8.7 and 8.8)."""
    delta = u - v
    a = math.sin(u) - math.sin(delta)
    b = math.cos(u) - math.cos(delta) - 1.0
    first = math.atan2(eta * a - xi * b, xi * a + eta * b)
    if 2.0 * (math.cos(delta) - math.cos(v) - math.cos(u)) + 3.0 < 0.0:
        first += math.pi
    first = wrap(first)
    return first, wrap(first - u + v - phi)


@compiled_bare
def _base(kind: int, x: float, y: float, phi: float, run: Array) -> bool:
    """Fill `run` with the signed lengths of base word `kind` to (x, y, phi), radius 1. False if it cannot land."""
    near = kind in (0, 2, 5)
    sin, cos = math.sin(phi), math.cos(phi)
    xi = x - sin if near else x + sin
    eta = y - 1.0 + cos if near else y - 1.0 - cos
    rho = math.hypot(xi, eta)
    theta = math.atan2(eta, xi)
    quarter = 0.5 * math.pi
    if kind == 0:
        t = theta
        run[0], run[1], run[2] = t, rho, wrap(phi - t)
    elif kind == 1:
        if rho < 2.0 - TOUCH:
            return False
        u = math.sqrt(max(0.0, rho * rho - 4.0))
        t = wrap(theta + math.atan2(2.0, u))
        run[0], run[1], run[2] = t, u, wrap(t - phi)
    elif kind == 2:
        if rho > 4.0 + TOUCH:
            return False
        u = -2.0 * math.asin(min(1.0, 0.25 * rho))
        t = wrap(theta + 0.5 * u + math.pi)
        run[0], run[1], run[2] = t, u, wrap(phi - t + u)
    elif kind == 3:
        mean = 0.25 * (2.0 + rho)
        if mean > 1.0 + TOUCH:
            return False
        u = math.acos(min(1.0, mean))
        run[1], run[2] = u, -u
        run[0], run[3] = _ends(u, -u, xi, eta, phi)
    elif kind == 4:
        mean = (20.0 - rho * rho) / 16.0
        if mean < -TOUCH or mean > 1.0 + TOUCH:
            return False
        u = -math.acos(min(1.0, max(0.0, mean)))
        run[1], run[2] = u, u
        run[0], run[3] = _ends(u, u, xi, eta, phi)
    elif kind == 5:
        if rho < 2.0 - TOUCH:
            return False
        r = math.sqrt(max(0.0, rho * rho - 4.0))
        t = wrap(theta + math.atan2(r, -2.0))
        run[0], run[1], run[2], run[3] = t, -quarter, 2.0 - r, wrap(phi - quarter - t)
    elif kind == 6:
        if rho < 2.0 - TOUCH:
            return False
        t = math.atan2(xi, -eta)
        run[0], run[1], run[2], run[3] = t, -quarter, 2.0 - rho, wrap(t + quarter - phi)
    else:
        if rho < 2.0 - TOUCH:
            return False
        u = 4.0 - math.sqrt(max(0.0, rho * rho - 4.0))
        t = math.atan2((4.0 - u) * xi - 2.0 * eta, -2.0 * xi + (u - 4.0) * eta)
        run[0], run[1], run[2], run[3], run[4] = t, -quarter, u, -quarter, wrap(t - phi)
    return True


@compiled_bare
def words(x: float, y: float, phi: float, steer: Bytes, run: Array) -> int:
    """Every word from (0, 0, 0) to (x, y, phi) in units of the radius.

    Fills `steer[i]` (1 left, 0 straight, -1 right) and `run[i]` (signed lengths, negative in reverse, zeros behind
    the last part), both with at least `ROWS` rows and `PARTS` columns. Returns how many rows were filled.
    """
    n = 0
    sin, cos = math.sin(phi), math.cos(phi)
    for kind in range(8):
        for form in range(8):
            flip, mirror, back = form & 1, form & 2, form & 4
            if back and not BACKWARD[kind]:
                continue
            px, py = (x * cos + y * sin, x * sin - y * cos) if back else (x, y)
            if flip:
                px = -px
            if mirror:
                py = -py
            turn = -phi if (flip != 0) != (mirror != 0) else phi
            for i in range(PARTS):
                run[n, i] = 0.0
            if not _base(kind, px, py, turn, run[n]):
                continue
            count = COUNTS[kind]
            for i in range(PARTS):
                steer[n, i] = STEER[kind, i]
            if back:
                for i in range(count // 2):
                    j = count - 1 - i
                    steer[n, i], steer[n, j] = steer[n, j], steer[n, i]
                    run[n, i], run[n, j] = run[n, j], run[n, i]
            for i in range(count):
                if flip:
                    run[n, i] = -run[n, i]
                if mirror:
                    steer[n, i] = -steer[n, i]
            n += 1
    return n


@compiled_bare
def word_seconds(
    run: Array, radius: float, seconds_per_m: float, shunt: float, steering: float, first: int, last: int
) -> float:
    """What a word costs: its length at the pace, `shunt` s for each change of direction, `steering` for each part.

    `first` and `last` are the gears (1, -1, or 0 for none) before and after it: changing from or to them counts.
    """
    total = 0.0
    gear = first
    for i in range(run.shape[0]):
        r = run[i]
        if abs(r) < 1e-9:
            continue
        total += abs(r) * radius * seconds_per_m + steering
        now = 1 if r > 0.0 else -1
        if gear == -now:
            total += shunt
        gear = now
    if gear != 0 and last == -gear:
        total += shunt
    return total

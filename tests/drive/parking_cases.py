"""Parking cases of our own among arbitrary polygons: slots, dead ends, gates of a centimeter to spare, a 40 m floor."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from drive_makers import Pose, box, turned

from standtrue.model.basics import Outline

CAR = box(-0.95, -0.95, 3.75, 0.95)
"""4.7 x 1.9 m, wheelbase 2.8 m."""
RADIUS_M = 4.3

Case = tuple[Sequence[Outline], Pose, Pose]
UP = math.pi / 2


def _walls(x0: float, y0: float, x1: float, y1: float) -> list[Outline]:
    return [
        box(x0 - 1, y0 - 1, x1 + 1, y0),
        box(x0 - 1, y1, x1 + 1, y1 + 1),
        box(x0 - 1, y0, x0, y1),
        box(x1, y0, x1 + 1, y1),
    ]


def _street(y0: float, y1: float) -> list[Outline]:
    return [box(-15, y0 - 1, 15, y0), box(-15, y1, 15, y1 + 1)]


def _slot(half: float, deep: float) -> list[Outline]:
    """Two blocks with a slot between them, its mouth at y = 0."""
    return [box(-15, -deep, -half, 0), box(half, -deep, 15, 0)]


def _scattered() -> list[Outline]:
    rng = np.random.default_rng(11)
    found: list[Outline] = _walls(0, 0, 40, 40)
    ends = [shapely.Polygon(turned(CAR, pose)) for pose in ((3.0, 3.0, 0.3), (35.0, 35.0, 2.0))]
    for _ in range(60):
        angles = np.sort(rng.uniform(0, math.tau, rng.integers(3, 8)))
        reach, (x, y) = rng.uniform(0.5, 1.8), rng.uniform(2, 38, 2)
        hull = shapely.convex_hull(
            shapely.multipoints(np.stack([x + reach * np.cos(angles), y + reach * np.sin(angles)], 1))
        )
        if hull.geom_type == "Polygon" and hull.area > 0.2 and all(hull.distance(end) > 0.5 for end in ends):
            ring = shapely.get_coordinates(shapely.orient_polygons(hull).exterior)[:-1]
            found.append(tuple((float(px), float(py)) for px, py in ring))
    return found


def _rows() -> list[Outline]:
    """Four rows of parked cars on a floor of 40 m; two bays are ours, one column is the way through."""
    found = _walls(0, 0, 40, 40)
    for row in (0.0, 11.2, 22.4, 33.6):
        for column in range(15):
            if column != 7 and (row, column) not in ((0.0, 4), (22.4, 11)):
                found.append(turned(CAR, (1.3 + 2.5 * column, row + 1.2, UP)))
    return found


def _ell() -> list[Outline]:
    """A corridor 3.4 m wide round a corner."""
    return [
        ((-12, -1.5), (1.6, -1.5), (1.6, -14), (3.0, -14), (3.0, -15), (-13, -15), (-13, -1.5)),
        ((-12, 1.9), (5.1, 1.9), (5.1, -14), (6.2, -14), (6.2, 3.2), (-12, 3.2)),
        box(-13, -2, -12, 3.2),
        box(1, -15, 6.2, -14),
    ]


TILT = math.radians(50.0)

CASES: dict[str, Case] = {
    "parallel slot": (
        [box(-15, -3, -1.55, 0), box(4.45, -3, 15, 0), *_street(-2.4, 5.5)],
        (-8.0, 2.5, 0.0),
        (0.0, -1.15, 0.0),
    ),
    "short parallel slot": (
        [box(-15, -3, -1.35, 0), box(4.15, -3, 15, 0), *_street(-2.6, 6.0)],
        (-8.0, 2.5, 0.0),
        (0.0, -1.2, 0.0),
    ),
    "perpendicular slot": ([*_slot(1.05, 6), *_street(-6, 6)], (-7.0, 2.5, 0.0), (0.0, -4.8, UP)),
    "perpendicular slot, 1 cm": ([*_slot(0.96, 6), *_street(-6, 6)], (-7.0, 2.5, 0.0), (0.0, -4.8, UP)),
    "nose in from a narrow aisle": ([*_slot(1.2, 6), *_street(-6, 5.6)], (-7.0, 2.0, 0.0), (0.0, -1.6, -UP)),
    "turned round in a T": (
        [box(-20, -10, -2, -2.2), box(2, -10, 20, -2.2), *_walls(-20, -10, 20, 2.2)],
        (-12.0, 0.0, 0.0),
        (-12.0, 0.0, math.pi),
    ),
    "out of a dead end": (
        [box(0, 1.5, 14, 10), box(0, -10, 14, -1.5), *_walls(0, -9, 30, 9)],
        (5.0, 0.0, math.pi),
        (20.0, 3.0, UP),
    ),
    "diagonal slot, 1 cm": (
        [turned(CAR, (-2.52, 0.0, TILT)), turned(CAR, (2.52, 0.0, TILT)), *_street(-1.9, 8.5)],
        (-10.0, 6.0, 0.0),
        (0.0, 0.0, TILT),
    ),
    "scattered things, 40 m": (_scattered(), (3.0, 3.0, 0.3), (35.0, 35.0, 2.0)),
    "rows of bays, 40 m": (_rows(), (11.3, 1.2, UP), (28.8, 23.6, UP)),
    "round a corner": (_ell(), (-10.5, 0.1, 0.0), (3.25, -7.0, -UP)),
    "slot to slot": (
        [
            box(-15, -3, -1.3, 0),
            box(4.1, -3, 8, 0),
            box(8, -3, 15, 0),
            *_street(-2.6, 12),
            box(-15, 6, 6.03, 12),
            box(7.97, 6, 15, 12),
        ],
        (0.0, -1.2, 0.0),
        (7.0, 7.2, UP),
    ),
    "a gate, 1 cm": (
        [*_walls(0, 0, 30, 10), box(14, 0, 14.3, 4), box(14, 5.92, 14.3, 10)],
        (3.0, 2.0, 0.4),
        (24.0, 5.0, 1.2),
    ),
    "two gates, 1 cm": (
        [
            *_walls(0, 0, 30, 10),
            box(10, 0, 10.3, 3),
            box(10, 4.92, 10.3, 10),
            box(19, 0, 19.3, 5.5),
            box(19, 7.42, 19.3, 10),
        ],
        (2.5, 5.0, 0.4),
        (24.0, 5.0, -1.2),
    ),
}

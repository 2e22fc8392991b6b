"""Floors against published standards, for comparison: FF and FL (ASTM E1155), flatness and level (DIN 18202)."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import permutations

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from standtrue.model.survey import SurveyPoint

_INCH_M = 0.0254

FLATNESS_AT_M: tuple[float, ...] = (0.1, 1.0, 4.0, 10.0, 15.0)
FLATNESS_ROWS_MM: dict[int, tuple[float, ...]] = {
    2: (5.0, 8.0, 12.0, 15.0, 20.0),
    3: (2.0, 4.0, 10.0, 12.0, 15.0),
    4: (1.0, 3.0, 9.0, 12.0, 15.0),
}
"""DIN 18202 table 3: row 2 unfinished floors with raised demands, row 3 finished floors, row 4 with raised demands."""

IN_LINE_M = 0.05
"""A surveyed point this near the line between two others is taken as lying on it."""


@frozen
class FloorNumbers:
    """FF and FL of one line of readings (None where the line is too short, infinite for a perfect one).

    For comparison only: a result by the standard needs several lines laid out by its rules over a test section.
    """

    ff: float | None
    fl: float | None
    sd_curvature_m: float | None
    sd_ten_feet_m: float | None


@frozen
class Flatness:
    """The gap under a straight edge laid from one surveyed point to another, and the limit there, metres."""

    one: int
    middle: int
    two: int
    apart_m: float
    off_m: float
    limit_m: float

    @property
    def ok(self) -> bool:
        return abs(self.off_m) <= self.limit_m


def floor_numbers(heights_m: Sequence[float]) -> FloorNumbers:
    """FF and FL of heights read every 12 in along one line (ASTM E1155).

    q_i = h_i - 2 h_(i-1) + h_(i-2), z_i = h_i - h_(i-10), inches; FF = 4.57 / (3 s_q + |mean q|),
    FL = 12.5 / (3 s_z + |mean z|), s with n - 1.
    """
    inches = np.asarray(heights_m, dtype=np.float64) / _INCH_M
    curved = inches[2:] - 2 * inches[1:-1] + inches[:-2]
    rises = inches[10:] - inches[:-10]
    ff, sd_q = _number(4.57, curved)
    fl, sd_z = _number(12.5, rises)
    return FloorNumbers(ff, fl, sd_q, sd_z)


def _number(scale: float, values: NDArray[np.float64]) -> tuple[float | None, float | None]:
    if len(values) < 2:
        return None, None
    spread = float(values.std(ddof=1))
    base = 3 * spread + abs(float(values.mean()))
    return (scale / base if base > 0.0 else math.inf), spread * _INCH_M


def flatness_limit(row: int, apart_m: float) -> float:
    """The limit, metres, of DIN 18202 table 3 for two points so far apart, by straight lines between the columns.

    The standard rounds it to whole millimetres. Below the first and beyond the last column their limits hold.
    """
    return float(np.interp(apart_m, FLATNESS_AT_M, FLATNESS_ROWS_MM[row])) / 1000


def check_flatness(points: Sequence[SurveyPoint], row: int) -> tuple[Flatness, ...]:
    """Every surveyed point between two others against the straight line through them; the worst comes first."""
    found = []
    for one, middle, two in permutations(range(len(points)), 3):
        if one > two:
            continue
        (x0, y0), (x1, y1), (x2, y2) = points[one].at, points[middle].at, points[two].at
        apart = math.hypot(x2 - x0, y2 - y0)
        along = ((x1 - x0) * (x2 - x0) + (y1 - y0) * (y2 - y0)) / apart**2
        aside = abs((x1 - x0) * (y2 - y0) - (y1 - y0) * (x2 - x0)) / apart
        if not 0.0 < along < 1.0 or aside > IN_LINE_M:
            continue
        line = points[one].height_m + along * (points[two].height_m - points[one].height_m)
        off = points[middle].height_m - line
        found.append(Flatness(one, middle, two, apart, off, flatness_limit(row, apart)))
    return tuple(sorted(found, key=lambda f: abs(f.off_m) - f.limit_m, reverse=True))

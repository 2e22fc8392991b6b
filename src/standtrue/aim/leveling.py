"""Leveling loops: whether they close, and the heights that they give with their covariance.

Each reading of the staff says how much a point lies below the line of sight of one place of the instrument. Heights of
points and of lines of sight are found together by least squares (parametric adjustment of a leveling network; Mikhail
and Gracie 1981), typed heights of points that a loop passes being observations as well. Where there is none, the first
loop's start is at 0: heights count from any level.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from standtrue.aim.uncertainty import Estimate
from standtrue.model.survey import Loop, SurveyPoint

Array = NDArray[np.float64]

CLOSES = 2.0
"""A loop closes where its misclosure is at most so many times as much as its readings allow (k = 2, about 95 %)."""


@frozen
class Closure:
    """How a loop closes: its misclosure, metres, and the standard uncertainty that its readings give it."""

    loop: str
    misclosure_m: float
    u_m: float

    @property
    def allowed_m(self) -> float:
        return CLOSES * self.u_m

    @property
    def closes(self) -> bool:
        return abs(self.misclosure_m) <= self.allowed_m


@frozen(eq=False)
class Leveled:
    """What loops say: how each closes, and the heights of the points that they pass, by name, with their covariance."""

    closures: tuple[Closure, ...]
    names: tuple[str, ...]
    heights: Estimate

    def rows(self, names: Sequence[str]) -> list[int]:
        """Which of the heights are those of these points."""
        return [self.names.index(name) for name in names]


@frozen
class _Read:
    """The staff at a point, read from one place of the instrument."""

    place: int
    point: str
    value_m: float
    u_m: float


def closure(loop: Loop) -> Closure:
    """How a loop closes: its backsights less its foresights from change to change of the instrument's place."""
    reads = list(_readings([loop]))
    total, count = 0.0, 0
    for place in dict.fromkeys(r.place for r in reads):
        own = [r for r in reads if r.place == place]
        total += own[0].value_m - own[-1].value_m
        count += 2
    return Closure(loop.name, total, loop.u_m * math.sqrt(count))


def adjust_loops(loops: Sequence[Loop], typed: Mapping[str, SurveyPoint]) -> Leveled:
    """The heights of all points that loops pass; `typed` are those that have a height of their own, by name."""
    reads = list(_readings(loops))
    names = tuple(dict.fromkeys(r.point for r in reads))
    places = len({r.place for r in reads})
    rows: list[Array] = []
    values: list[float] = []
    for read in reads:
        row = np.zeros(len(names) + places)
        row[names.index(read.point)], row[len(names) + read.place] = -1.0, 1.0
        rows.append(row / read.u_m)
        values.append(read.value_m / read.u_m)
    tied = [name for name in names if name in typed]
    for name in tied:
        row = np.zeros(len(names) + places)
        row[names.index(name)] = 1.0
        rows.append(row / typed[name].u_m)
        values.append(typed[name].height_m / typed[name].u_m)
    matrix, free = np.array(rows), np.ones(len(names) + places, dtype=np.bool_)
    if not tied:
        free[0] = False
    solved = np.zeros(len(free))
    spread = np.zeros((len(free), len(free)))
    # Loops that neither share a point nor have a typed height say nothing of each other: the least of all solutions.
    inverse = np.linalg.pinv(matrix[:, free])
    solved[free] = inverse @ np.array(values)
    spread[np.ix_(free, free)] = inverse @ inverse.T
    some = slice(0, len(names))
    return Leveled(tuple(map(closure, loops)), names, Estimate(solved[some], spread[some, some]))


def _readings(loops: Sequence[Loop]) -> Iterator[_Read]:
    """Every reading, the instrument's places counted on from loop to loop; at each the backsight comes first."""
    place = -1
    for loop in loops:
        for sight in loop.sights:
            if sight.fore_m is not None:
                yield _Read(place, sight.point, sight.fore_m, loop.u_m)
            if sight.back_m is not None:
                place += 1
                yield _Read(place, sight.point, sight.back_m, loop.u_m)

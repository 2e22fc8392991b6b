"""Heights of a survey that look misread: each against the floor about it, as uneven as that floor is.

A height is foretold by the plane through its nearest neighbors, without itself (deletion residuals; Cook and Weisberg
1982). How far such foretellings miss on this floor, and about this point, is its real unevenness with the noise of the
survey, told by the median, which a few blunders do not move. A height that misses by many times as much is asked to be
read again: it may be right, a drain or an edge.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from standtrue.model.survey import SurveyPoint

Array = NDArray[np.float64]

NEIGHBORS = 8
"""How many points foretell one."""

TIMES = 6.0
"""A height that misses by more than so many times the usual miss is questioned."""

MOST = 3
"""So many heights of a survey are questioned at most: where more miss, the floor itself is so."""

REACH = 1.0 / 3.0
"""What lies between heights misses by so much of what is foretold for one of them: half the reach, squared, and a third
more for what the median hides."""

THIN_M = 1e-3
"""Neighbors that lie this near to one line foretell nothing aside of it."""

MAD_TO_SIGMA = 1.4826
"""The standard deviation of normal values from the median of their sizes."""


@frozen
class Misread:
    """A surveyed height that looks misread: its number, how far it lies above what its neighbors foretell, metres, and
    how far such foretellings miss on this floor."""

    point: int
    off_m: float
    usual_m: float


def misread_heights(points: Sequence[SurveyPoint]) -> tuple[Misread, ...]:
    """The heights that look misread, the worst first; none where there are too few points to tell."""
    at = np.array([p.at for p in points], dtype=np.float64).reshape(-1, 2)
    heights = np.array([p.height_m for p in points])
    u = np.array([p.u_m for p in points])
    left, found = list(range(len(points))), list[Misread]()
    while len(left) > NEIGHBORS + 1 and len(found) <= MOST:
        worst = _worst(at[left], heights[left], u[left])
        if worst is None:
            break
        number, off, usual = worst
        found.append(Misread(left.pop(number), off, usual))
    return () if len(found) > MOST else tuple(found)


def rough_m(points: Sequence[SurveyPoint]) -> float:
    """How far the floor between surveyed heights lies off straight: standard uncertainty, 0 where too few points tell.

    Foretelling a height from its neighbors reaches about twice as far as what lies between them, and misses by four
    times as much where a floor curves; the noise of the survey is taken off.
    """
    if len(points) <= NEIGHBORS + 1:
        return 0.0
    at = np.array([p.at for p in points], dtype=np.float64).reshape(-1, 2)
    apart = np.hypot(at[:, None, 0] - at[None, :, 0], at[:, None, 1] - at[None, :, 1])
    np.fill_diagonal(apart, math.inf)
    near = np.argsort(apart, axis=1, kind="stable")[:, :NEIGHBORS]
    usual = _usual(_misses(at, np.array([p.height_m for p in points]), np.arange(len(at)), near))
    noise = float(np.median([p.u_m for p in points]))
    return REACH * math.sqrt(max(usual**2 - noise**2, 0.0))


def _worst(at: Array, heights: Array, u: Array) -> tuple[int, float, float] | None:
    """The height that misses most against the usual: its number, by how much, and the usual miss there."""
    apart = np.hypot(at[:, None, 0] - at[None, :, 0], at[:, None, 1] - at[None, :, 1])
    np.fill_diagonal(apart, math.inf)
    order = np.argsort(apart, axis=1, kind="stable")
    everyone = np.arange(len(at))
    misses = _misses(at, heights, everyone, order[:, :NEIGHBORS])
    worst: tuple[int, float, float] | None = None
    most = TIMES
    for i in np.argsort(-np.abs(misses))[: 2 * NEIGHBORS]:
        if not math.isfinite(misses[i]):
            continue
        touched = everyone[(order[:, :NEIGHBORS] == i).any(axis=1)]
        others = np.array([order[j, order[j] != i][:NEIGHBORS] for j in touched], dtype=np.int64).reshape(-1, NEIGHBORS)
        without = misses.copy()
        without[touched] = _misses(at, heights, touched, others)
        without[i] = math.nan
        usual = max(_usual(without), _usual(without[order[i, :NEIGHBORS]]), float(u[i]))
        if abs(misses[i]) > most * usual:
            most, worst = abs(misses[i]) / usual, (int(i), float(misses[i]), usual)
    return worst


def _usual(misses: Array) -> float:
    known = np.abs(misses[np.isfinite(misses)])
    return MAD_TO_SIGMA * float(np.median(known)) if len(known) else 0.0


def _misses(at: Array, heights: Array, some: NDArray[np.int64], near: NDArray[np.int64]) -> Array:
    """How far some heights lie above the planes through their neighbors, over how far such a plane errs for its place;
    not a number where those lie in one line."""
    ones = np.ones((*near.shape, 1))
    planes = np.concatenate([ones, at[near] - at[some][:, None, :]], axis=2)
    first = np.linalg.pinv(planes)[:, 0, :]
    off = (heights[some] - np.sum(first * heights[near], axis=1)) / np.sqrt(1.0 + np.sum(first**2, axis=1))
    thin = np.linalg.svd(planes, compute_uv=False)[:, -1] < THIN_M
    return np.where(thin, math.nan, off)

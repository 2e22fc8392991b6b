"""Measurement uncertainty: linear propagation, effective degrees of freedom, Monte Carlo, coverage regions.

JCGM 100:2008 (GUM), JCGM 101:2008 (Monte Carlo), JCGM 102:2011 (several output quantities).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
from attrs import frozen
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

Model = Callable[[Array], Array]
"""A measurement model: input quantities of shape (..., n) to output quantities of shape (..., m)."""

STEP = 1e-6
"""The step of numerical derivatives, in units of the quantity (or of its size, where that is above 1)."""


@frozen(eq=False)
class Estimate:
    """Best values of shape (m,) and their covariance of shape (m, m), in the quantities' own units."""

    value: Array
    covariance: Array

    @property
    def u(self) -> Array:
        """The standard uncertainties."""
        return np.sqrt(np.diag(self.covariance))

    @property
    def correlation(self) -> Array:
        """The correlation matrix; 0 with a quantity that has no uncertainty."""
        u = self.u
        scale = np.outer(u, u)
        return np.divide(self.covariance, scale, out=np.eye(len(u)), where=scale > 0.0)


@frozen(eq=False)
class Simulated:
    """What a Monte Carlo run gave: mean, covariance, and the shortest interval of each quantity that covers `share`.

    `draws` has shape (trials, m).
    """

    value: Array
    covariance: Array
    intervals: tuple[tuple[float, float], ...]
    draws: Array


@frozen
class Ellipse:
    """A coverage region in the plane: half axes, metres, and the direction of the longer one, radians."""

    major_m: float
    minor_m: float
    direction_rad: float


def jacobian(model: Model, at: Array) -> Array:
    """The partial derivatives (sensitivity coefficients) by central differences, shape (m, n)."""
    steps = STEP * np.maximum(1.0, np.abs(at))
    shifts = np.diag(steps)
    ahead, behind = model(at + shifts), model(at - shifts)
    return np.asarray(((ahead - behind) / (2 * steps[:, None])).T, dtype=np.float64)


def propagate(model: Model, value: ArrayLike, covariance: ArrayLike) -> Estimate:
    """The law of propagation of uncertainty, correlations included: C V C^T (JCGM 100:2008, 5.2; JCGM 102, 6.2)."""
    at = np.asarray(value, dtype=np.float64)
    slopes = jacobian(model, at)
    spread = slopes @ np.asarray(covariance, dtype=np.float64) @ slopes.T
    return Estimate(np.asarray(model(at), dtype=np.float64), (spread + spread.T) / 2)


def from_repeats(readings: ArrayLike) -> Estimate:
    """Means and the covariance of the means from simultaneous repeats of shape (n, m) (JCGM 100:2008, 4.2, 5.2.3)."""
    table = np.asarray(readings, dtype=np.float64)
    if table.ndim != 2 or len(table) < 2:
        raise ValueError("a spread needs two rows of readings or more")
    return Estimate(table.mean(axis=0), np.atleast_2d(np.cov(table, rowvar=False)) / len(table))


def effective_dof(u: Sequence[float], dof: Sequence[float]) -> float:
    """The effective degrees of freedom of a sum (Welch-Satterthwaite, JCGM 100:2008, G.4.1).

    `u` are the contributions of the inputs to the result, `dof` their degrees of freedom (may be infinite).
    """
    total = sum(x * x for x in u) ** 2
    spread = sum(x**4 / n for x, n in zip(u, dof, strict=True))
    return total / spread if spread > 0.0 else math.inf


def coverage_factor(probability: float = 0.95, dof: float = math.inf) -> float:
    """How many u an interval reaches to each side to cover this probability (Student's t, JCGM 100:2008, table G.2)."""
    from scipy.special import ndtri, stdtrit

    tail = (1.0 + _share(probability)) / 2
    return float(ndtri(tail) if math.isinf(dof) else stdtrit(dof, tail))


def region_factor(dimensions: int, probability: float = 0.95) -> float:
    """How many times the standard ellipsoid a coverage region is (chi-squared, JCGM 102:2011, 6.5.3)."""
    from scipy.special import chdtri

    return math.sqrt(float(chdtri(dimensions, 1.0 - _share(probability))))


def in_region(off: ArrayLike, covariance: ArrayLike, probability: float = 0.95) -> NDArray[np.bool_]:
    """Whether deviations of shape (..., m) from the best value lie in the coverage ellipsoid of a covariance."""
    away = np.asarray(off, dtype=np.float64)
    solved = np.linalg.solve(np.asarray(covariance, dtype=np.float64), away[..., None])[..., 0]
    squared = np.sum(away * solved, axis=-1)
    return np.asarray(squared <= region_factor(away.shape[-1], probability) ** 2)


def ellipse(covariance: ArrayLike, probability: float = 0.95) -> Ellipse:
    """The coverage ellipse of a covariance of two coordinates."""
    spread, axes = np.linalg.eigh(np.asarray(covariance, dtype=np.float64))
    minor, major = np.sqrt(np.maximum(spread, 0.0)) * region_factor(2, probability)
    x, y = axes[:, 1]
    return Ellipse(float(major), float(minor), math.atan2(float(y), float(x)))


def simulate(
    model: Model,
    value: ArrayLike,
    covariance: ArrayLike,
    seed: int,
    trials: int = 100_000,
    share: float = 0.95,
) -> Simulated:
    """Monte Carlo propagation with normal inputs (JCGM 101:2008, 7). The same seed gives the same draws."""
    draws = np.asarray(
        model(np.random.default_rng(seed).multivariate_normal(np.asarray(value), np.asarray(covariance), trials)),
        dtype=np.float64,
    )
    intervals = tuple(shortest_interval(column, share) for column in draws.T)
    return Simulated(draws.mean(axis=0), np.atleast_2d(np.cov(draws, rowvar=False)), intervals, draws)


def shortest_interval(draws: ArrayLike, share: float = 0.95) -> tuple[float, float]:
    """The shortest interval that covers this share of the draws (JCGM 101:2008, 5.3.4 and 7.7)."""
    ordered = np.sort(np.asarray(draws, dtype=np.float64))
    inside = math.ceil(_share(share) * len(ordered))
    if inside >= len(ordered):
        return float(ordered[0]), float(ordered[-1])
    widths = ordered[inside:] - ordered[:-inside]
    first = int(np.argmin(widths))
    return float(ordered[first]), float(ordered[first + inside])


def _share(probability: float) -> float:
    if not 0.0 < probability < 1.0:
        raise ValueError("a probability to cover must lie between 0 and 1")
    return probability

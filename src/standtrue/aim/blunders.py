"""Blunders: a reading that does not go with the others, found by data snooping.

W. Baarda, A testing procedure for use in geodetic networks, Netherlands Geodetic Commission (1968); redundancy
numbers and separability: W. Förstner, Reliability and discernability of extended Gauss-Markov models (1983). The level
of one test is set so that all of them together keep theirs (Z. Šidák, 1967, which holds for correlated tests too).
"""

from __future__ import annotations

import math
from statistics import NormalDist

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from standtrue.aim.bodies import Reading
from standtrue.aim.network import Adjustment

LEVEL = 0.05
"""How often sound readings may raise an alarm, all of one adjustment together."""

POWER = 0.80
"""How surely a blunder of the size called detectable is found."""

ALIKE = 0.9
"""Readings whose test values correlate by more than this cannot be told apart."""

UNCHECKED = 1e-6
"""Below this redundancy number no other reading says anything about a reading."""

HIDDEN_M = 0.1
HIDDEN_RAD = math.radians(2.0)
"""Where only a greater blunder would be found, a reading is not checked either: what is known beforehand of a size that
was estimated says something of it, but too little."""

_SAME = 1.0 - 1e-6
_NORMAL = NormalDist()


@frozen(eq=False)
class BlunderTest:
    """What the redundant readings say of each other.

    `test` holds the standardized residual w of each reading (nan where it is not checked), `critical` the size from
    which one raises the alarm. `suspects` are indices of readings, the likeliest first: one, or a group that cannot be
    told apart. `size` is the error that the first suspect would have, in its own unit (positive: read too large).
    `detectable` is the error of each reading that would be found with 80 % power (infinite for those of `unchecked`,
    in which no blunder can ever be seen). What is known beforehand of sizes is tested as readings are, and never counts
    as unchecked.
    """

    alarm: bool
    test: NDArray[np.float64]
    critical: float
    suspects: tuple[int, ...]
    size: float
    detectable: tuple[float, ...]
    unchecked: tuple[int, ...]


def find_blunder(adjustment: Adjustment, level: float = LEVEL) -> BlunderTest:
    """Test every reading against all the others (w-test), and name the suspect or the group that holds it."""
    redundancy = adjustment.redundancy
    checked = redundancy > UNCHECKED
    u = np.array([r.u for r in adjustment.readings])
    root = np.sqrt(np.where(checked, redundancy, np.nan))
    test = adjustment.residuals / (u * root)
    alike = correlations(adjustment)
    critical = critical_value(_different(alike, checked), level)
    reach = critical + _NORMAL.inv_cdf(POWER)
    detectable = tuple(float(x) if math.isfinite(x) else math.inf for x in u * reach / root)
    unchecked = tuple(i for i, reading in enumerate(adjustment.readings) if _hides(reading, detectable[i]))
    if not checked.any():
        return BlunderTest(False, test, critical, (), 0.0, detectable, unchecked)
    worst = int(np.nanargmax(np.abs(test)))
    if abs(float(test[worst])) <= critical:
        return BlunderTest(False, test, critical, (), 0.0, detectable, unchecked)
    order = np.argsort(-np.abs(np.where(checked, test, 0.0)), kind="stable")
    others = [int(i) for i in order if i != worst and checked[i] and abs(alike[worst, i]) > ALIKE]
    size = float(adjustment.residuals[worst] / redundancy[worst])
    return BlunderTest(True, test, critical, (worst, *others), size, detectable, unchecked)


def _hides(reading: Reading, detectable: float) -> bool:
    """Whether a blunder in a reading would go unseen."""
    return reading.what != "size" and detectable > (HIDDEN_RAD if reading.is_angle else HIDDEN_M)


def critical_value(tests: int, level: float = LEVEL) -> float:
    """The two-sided critical value of one of so many tests, so that all together alarm falsely at most at `level`."""
    single = -math.expm1(math.log1p(-level) / max(tests, 1))
    return _NORMAL.inv_cdf(1.0 - single / 2)


def correlations(adjustment: Adjustment) -> NDArray[np.float64]:
    """How the test values of the readings correlate, shape (n, n); nan with a reading that is not checked."""
    redundancy = adjustment.redundancy
    root = np.sqrt(np.where(redundancy > UNCHECKED, redundancy, np.nan))
    spread = np.eye(len(root)) - adjustment.hat
    return np.asarray(spread / np.outer(root, root))


def _different(alike: NDArray[np.float64], checked: NDArray[np.bool_]) -> int:
    """How many tests there are that do not repeat another one."""
    kept: list[int] = []
    for i in np.flatnonzero(checked):
        if all(abs(alike[i, j]) < _SAME for j in kept):
            kept.append(int(i))
    return len(kept)

"""A slope of two components against the greatest that is allowed, at a stated risk.

The size of a measured gradient is larger than that of the true one on average: noise lengthens a vector. Its
distribution about a true gradient is a normal one in the plane, and the share of that within a circle about the origin
is found by integration (for equal variances the distribution of Rice 1945).
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np

from standtrue.aim.uncertainty import Estimate
from standtrue.model.verdict import Verdict

DIRECTIONS = 12
"""In how many directions a true gradient at the limit is tried."""

FAR_U = 8.0
"""Nothing of a normal distribution lies farther out than so many standard deviations."""

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(24)
_PANELS = 4
_ROOT2 = math.sqrt(2.0)
_erf = np.vectorize(math.erf, otypes=[np.float64])


def slope_verdict(gradient: Estimate, within: float, risk: float) -> Verdict:
    """Whether the true gradient is at most `within`, metres a metre.

    ACCEPT where a gradient at the limit, in whichever direction, would be measured as gentle as this one with
    probability `risk` at most; REJECT where one at the limit would be measured as steep.
    """
    size = math.hypot(*gradient.value)
    spread, _ = np.linalg.eigh(gradient.covariance)
    u = np.sqrt(np.maximum(spread, 0.0))
    if u[1] <= 1e-15:
        return Verdict.ACCEPT if size <= within else Verdict.REJECT
    u = np.maximum(u, 1e-3 * u[1])
    turns = np.arange(DIRECTIONS) * (math.pi / DIRECTIONS)
    inside = [share_within(size, within * math.cos(t), within * math.sin(t), float(u[0]), float(u[1])) for t in turns]
    if max(inside) <= risk:
        return Verdict.ACCEPT
    return Verdict.REJECT if 1.0 - min(inside) <= risk else Verdict.CANNOT_TELL


def share_within(radius: float, x: float, y: float, u_x: float, u_y: float) -> float:
    """The share of a normal distribution about (x, y), its axes along x and y, within a circle about the origin."""
    low, high = max(-radius, x - FAR_U * u_x), min(radius, x + FAR_U * u_x)
    if low >= high:
        return 0.0
    share = 0.0
    for start, end in pairwise(np.linspace(low, high, _PANELS + 1)):
        at = start + (end - start) * (_NODES + 1.0) / 2.0
        half = np.sqrt(np.maximum(radius**2 - at**2, 0.0))
        across = (_erf((half - y) / (u_y * _ROOT2)) + _erf((half + y) / (u_y * _ROOT2))) / 2.0
        density = np.exp(-(((at - x) / u_x) ** 2) / 2.0) / (u_x * math.sqrt(2.0 * math.pi))
        share += float(np.sum(_WEIGHTS * across * density)) * float(end - start) / 2.0
    return share

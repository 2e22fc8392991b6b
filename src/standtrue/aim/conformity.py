"""Decisions under uncertainty: in tolerance, out of tolerance, or cannot tell yet.

JCGM 106:2012 (probability of conformity, clauses 7 and 8) and ISO 14253-1:2017 (decision rule, 95 % by default).
The error of a measured value is taken as normal, with its standard uncertainty u.
"""

from __future__ import annotations

import math
from statistics import NormalDist

from attrs import frozen

from standtrue.model.verdict import Verdict

PROMISED = 0.05
"""The greatest probability of a wrong decision: ISO 14253-1:2017 asks for a conformance probability of 95 %."""

RISK = 0.045
"""What decisions are made at, so that the promise is kept: the half percent is for what normal errors leave out.

Sizes are as likely anywhere within what they are known to, sines are not their angles, and sound readings that raise an
alarm are further off than others: decided at 5 %, 17,000 simulated set-ups at the limit along were rejected in 5.3 %.
"""

SAME = 1e-9
"""Figures that differ by less than this share of the largest of value and limits are the same: a limit met exactly is
met, in whatever unit it was reckoned (0.25 and 0.05 degrees against 0.30, in radians, exceed it by one part in 10^16).
"""

_NORMAL = NormalDist()


@frozen
class Tested:
    """A measured value against its limits, and what follows; lengths, angles or masses in the program's units.

    `probability` that the true value lies within the limits. `risk` bounds a wrong decision of either kind: wherever
    beyond the limits the truth lies, it is accepted in at most this share of measurements; wherever within, rejected.
    `accept_from`, `accept_to`: measured values between them are accepted; None where none is at this uncertainty.
    """

    value: float
    u: float
    low: float
    high: float
    verdict: Verdict
    probability: float
    risk: float
    accept_from: float | None
    accept_to: float | None

    @property
    def at_most(self) -> float:
        """How far from the middle of the limits the true value lies at most, by the rule that decided: up to the limit
        where it was accepted, and beyond it where it was not. Both limits must be finite."""
        middle = (self.low + self.high) / 2
        allowed = guard_factor(self.risk / 2) * self.u if self.accept_to is None else self.high - self.accept_to
        return abs(self.value - middle) + allowed


def conformity_probability(value: float, u: float, low: float = -math.inf, high: float = math.inf) -> float:
    """The probability that the true value lies within the limits (JCGM 106:2012, 7.2 to 7.4). u 0 gives 0 or 1."""
    _check(u, low, high)
    if u == 0.0:
        slack = SAME * max(abs(x) for x in (value, low, high) if math.isfinite(x))
        return 1.0 if low - slack <= value <= high + slack else 0.0
    return _within((low - value) / u, (high - value) / u)


def guard_factor(risk: float = RISK) -> float:
    """How many u a one-sided guard band is wide for this risk: 1.645 for 5 % (ISO 14253-1:2017)."""
    if not 0.0 < risk < 0.5:
        raise ValueError("a risk must lie between 0 and 0.5")
    return _NORMAL.inv_cdf(1.0 - risk)


def decide(value: float, u: float, low: float = -math.inf, high: float = math.inf, risk: float = RISK) -> Tested:
    """Accept where the true value lies within the limits with probability 1 - risk at least.

    Reject only what lies beyond a limit by `rejection_factor` times u: a wide u alone rejects nothing. Raises
    ValueError for a negative u or limits the wrong way round.
    """
    inside = conformity_probability(value, u, low, high)
    beyond = max(low - value, value - high)
    if inside >= 1.0 - risk:
        verdict = Verdict.ACCEPT
    elif beyond >= rejection_factor(u, low, high, risk) * u:
        verdict = Verdict.REJECT
    else:
        verdict = Verdict.CANNOT_TELL
    zone = acceptance_zone(u, low, high, risk)
    return Tested(value, u, low, high, verdict, inside, risk, *(zone if zone is not None else (None, None)))


def rejection_factor(u: float, low: float = -math.inf, high: float = math.inf, risk: float = RISK) -> float:
    """By how many u a value must lie beyond a limit to be rejected: 1.645 for 5 %, up to 1.96 between narrow limits.

    A truth at one of two limits is rejected wrongly on either side. The factor g keeps both together to the risk:
    Phi(-g) + Phi(-g - (high - low) / u) = risk.
    """
    _check(u, low, high)
    least = guard_factor(risk)
    if u == 0.0 or math.isinf(high - low):
        return least
    apart = (high - low) / u
    near, far = least, guard_factor(risk / 2)
    while far - near > 1e-12:
        trial = (near + far) / 2
        if _NORMAL.cdf(-trial) + _NORMAL.cdf(-trial - apart) > risk:
            near = trial
        else:
            far = trial
    return far


def acceptance_zone(
    u: float, low: float = -math.inf, high: float = math.inf, risk: float = RISK
) -> tuple[float, float] | None:
    """The measured values that are accepted, or None where none can be at this uncertainty."""
    _check(u, low, high)
    if u == 0.0:
        return low, high
    if math.isinf(low) or math.isinf(high):
        guard = guard_factor(risk) * u
        return low + guard, high - guard
    middle, half = (low + high) / 2, (high - low) / 2
    if _within(-half / u, half / u) < 1.0 - risk:
        return None
    inner, outer = 0.0, half  # how far from the middle the value may lie
    while outer - inner > 1e-12 * max(half, u):
        trial = (inner + outer) / 2
        if _within((-half - trial) / u, (half - trial) / u) >= 1.0 - risk:
            inner = trial
        else:
            outer = trial
    return middle - inner, middle + inner


def _within(low: float, high: float) -> float:
    """The share of the standard normal distribution between two bounds, without cancellation in the upper tail."""
    if low > 0.0:
        low, high = -high, -low
    return _NORMAL.cdf(high) - _NORMAL.cdf(low)


def _check(u: float, low: float, high: float) -> None:
    if not u >= 0.0:
        raise ValueError("a standard uncertainty cannot be negative")
    if not low <= high:
        raise ValueError("the lower limit lies above the upper one")

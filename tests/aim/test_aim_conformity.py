"""Decisions under uncertainty, by published values and by the risk they promise."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.aim.conformity import (
    PROMISED,
    RISK,
    acceptance_zone,
    conformity_probability,
    decide,
    guard_factor,
    rejection_factor,
)
from standtrue.model.verdict import Verdict

law = settings(derandomize=True, deadline=None, max_examples=200)


def test_probabilities_of_conformity() -> None:
    # jcgm106.upper: JCGM 106:2012 7.3.3 example 1; from memory.
    assert conformity_probability(-5.47, 0.05, high=-5.4) == pytest.approx(0.919, abs=5e-4)
    # jcgm106.lower: JCGM 106:2012 7.3.3 example 2; from memory.
    assert conformity_probability(509.7, 8.6, low=490.0) == pytest.approx(0.989, abs=5e-4)
    # jcgm106.two: JCGM 106:2012 7.4; from memory.
    assert conformity_probability(13.6, 1.8, 12.5, 16.3) == pytest.approx(0.663, abs=5e-4)


def test_guarded_rejection() -> None:
    # JCGM 106:2012 8.3.3: what is rejected lies beyond the limit by 1.645 u at least.
    assert decide(100.0 + 1.644 * 2.0, 2.0, high=100.0, risk=PROMISED).verdict is Verdict.CANNOT_TELL
    assert decide(100.0 + 1.646 * 2.0, 2.0, high=100.0, risk=PROMISED).verdict is Verdict.REJECT


def test_decisions_are_made_within_what_is_promised() -> None:
    assert decide(1.0, 0.1, -2.0, 2.0).risk == RISK < PROMISED


def test_guard_bands() -> None:
    # iso14253: ISO 14253-1:2017 default 95 %; ILAC-G8:09/2019 w = U; from memory.
    assert guard_factor(PROMISED) == pytest.approx(1.645, abs=5e-4)
    assert acceptance_zone(0.1, -1.0, 1.0, PROMISED) == pytest.approx((-0.8355, 0.8355), abs=1e-4)
    assert acceptance_zone(0.6, -1.0, 1.0, PROMISED) is None


@pytest.mark.parametrize(
    ("value", "u", "verdict"),
    [
        (0.0, 0.1, "accept"),
        (0.9, 0.1, "cannot tell"),
        (1.1, 0.1, "cannot tell"),
        (1.2, 0.1, "reject"),
        (1.0, 0.0, "accept"),
    ],
)
def test_three_verdicts(value: float, u: float, verdict: str) -> None:
    assert decide(value, u, -1.0, 1.0).verdict.value == verdict


@law
@given(st.floats(-3, 3), st.floats(0, 2), st.floats(0.1, 2), st.floats(0.001, 0.3))
def test_the_zone_and_the_verdict_agree(value: float, u: float, half: float, risk: float) -> None:
    tested = decide(value, u, -half, half, risk)
    inside = (
        tested.accept_from is not None
        and tested.accept_to is not None
        and tested.accept_from - 1e-9 <= value <= tested.accept_to + 1e-9
    )
    if tested.verdict is Verdict.ACCEPT:
        assert inside
    elif inside:
        assert min(abs(value - (tested.accept_from or 0.0)), abs(value - (tested.accept_to or 0.0))) < 1e-6
    assert decide(-value, u, -half, half, risk).verdict is tested.verdict


@pytest.mark.parametrize("risk", [0.05, 0.01])
@pytest.mark.parametrize("u", [0.05, 0.2, 0.45])
@pytest.mark.parametrize("beyond", [0.0, 0.05, 0.3])
def test_the_stated_risk_holds_in_simulation(risk: float, u: float, beyond: float) -> None:
    rng = np.random.default_rng(7)
    zone = acceptance_zone(u, -1.0, 1.0, risk)
    out_of_tolerance = 1.0 + beyond + rng.normal(size=200_000) * u
    accepted = 0.0 if zone is None else float(np.mean((out_of_tolerance >= zone[0]) & (out_of_tolerance <= zone[1])))
    assert accepted <= risk + 4 * math.sqrt(risk / 200_000)


def test_a_wide_uncertainty_alone_rejects_nothing() -> None:
    for u in (17.0, 100.0, 1e6, math.inf):
        assert decide(0.0, u, -1.0, 1.0).verdict is Verdict.CANNOT_TELL
    assert decide(1.0 + 1.97 * 17.0, 17.0, -1.0, 1.0).verdict is Verdict.REJECT


def test_the_rejection_factor_between_its_closed_forms() -> None:
    # Far apart one tail counts (1.645, ISO 14253-1:2017); with both limits at one value two do (1.960, two-sided 95 %).
    assert rejection_factor(0.01, -1.0, 1.0, risk=PROMISED) == pytest.approx(1.6449, abs=1e-4)
    assert rejection_factor(1.0, high=1.0, risk=PROMISED) == pytest.approx(1.6449, abs=1e-4)
    assert rejection_factor(1.0, 0.0, 0.0, risk=PROMISED) == pytest.approx(1.9600, abs=1e-4)


def test_a_limit_met_exactly_is_met_whatever_the_unit() -> None:
    parts, limit = (math.radians(0.25), math.radians(0.05)), math.radians(0.30)
    assert sum(parts) != limit
    assert decide(sum(parts), 0.0, -limit, limit).verdict is Verdict.ACCEPT
    assert decide(-1e-18, 0.0, 0.0, limit).verdict is Verdict.ACCEPT
    assert decide(limit * (1 + 1e-8), 0.0, -limit, limit).verdict is Verdict.REJECT
    assert decide(5.0, 0.0).verdict is Verdict.ACCEPT


ORDER = {Verdict.ACCEPT: 0, Verdict.CANNOT_TELL: 1, Verdict.REJECT: 2}


@law
@given(st.floats(0, 4), st.floats(0, 4), st.floats(0, 5), st.floats(0.0, 2))
def test_farther_from_the_middle_is_never_better(one: float, more: float, u: float, half: float) -> None:
    near, far = (decide(off, u, 1.0 - half, 1.0 + half) for off in (1.0 + one, 1.0 + one + more))
    assert ORDER[near.verdict] <= ORDER[far.verdict]
    assert decide(1.0 - one, u, 1.0 - half, 1.0 + half).verdict is near.verdict
    if near.verdict is Verdict.REJECT:
        assert one >= half + 1.6448 * u - 1e-9


@law
@given(st.floats(0, 4), st.floats(0.001, 2))
def test_certainty_decides_everything(off: float, half: float) -> None:
    exact = decide(off, 0.0, -half, half).verdict
    assert exact is not Verdict.CANNOT_TELL
    if abs(off - half) > 1e-6:
        assert decide(off, 1e-8, -half, half).verdict is exact


@pytest.mark.parametrize("u", [0.02, 0.3, 1.0, 5.0, 40.0])
@pytest.mark.parametrize("limits", [(-1.0, 1.0), (-math.inf, 1.0), (-1.0, math.inf), (0.0, 0.1), (0.0, 0.0)])
def test_neither_decision_is_wrong_more_often_than_stated(limits: tuple[float, float], u: float) -> None:
    """The worst truths stand at the limits: just beyond one nothing may be accepted, at it nothing rejected."""
    rng, count = np.random.default_rng(14), 2000
    allowed = 0.05 + 2 * math.sqrt(0.05 * 0.95 / count)
    for truth in (limit for limit in limits if math.isfinite(limit)):
        verdicts = [decide(truth + u * float(e), u, *limits).verdict for e in rng.normal(size=count)]
        assert verdicts.count(Verdict.ACCEPT) / count <= allowed
        assert verdicts.count(Verdict.REJECT) / count <= allowed


def test_far_tails_keep_their_digits() -> None:
    assert conformity_probability(10.0, 1.0, -1.0, 1.0) == pytest.approx(1.1286e-19, rel=1e-3)


def test_senseless_limits_are_refused() -> None:
    with pytest.raises(ValueError, match="negative"):
        decide(0.0, -1.0, -1.0, 1.0)
    with pytest.raises(ValueError, match="above"):
        decide(0.0, 1.0, 2.0, 1.0)
    with pytest.raises(ValueError, match="risk"):
        guard_factor(0.5)


@law
@given(st.floats(-3, 3), st.floats(0, 5), st.floats(0.001, 2))
def test_what_it_is_off_at_most_lies_within_the_limit_exactly_where_it_is_accepted(
    off: float, u: float, half: float
) -> None:
    """A report once told: at most 5.5 mm, limit 5 mm, in tolerance."""
    tested = decide(off, u, -half, half)
    slack = 1e-9 * max(half, abs(off), u)
    if tested.verdict is Verdict.ACCEPT:
        assert tested.at_most <= half + slack
    else:
        assert tested.at_most > half - slack
    assert tested.at_most >= abs(off)

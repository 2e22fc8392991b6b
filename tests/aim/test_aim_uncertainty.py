"""Uncertainty: the worked examples of the GUM, and laws of propagation and coverage."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy import stats

from standtrue.aim.bodies import Body, Network, Reading
from standtrue.aim.network import Adjustment, adjust
from standtrue.aim.uncertainty import (
    coverage_factor,
    effective_dof,
    ellipse,
    from_repeats,
    in_region,
    propagate,
    region_factor,
    shortest_interval,
    simulate,
)

law = settings(derandomize=True, deadline=None, max_examples=60)
Array = NDArray[np.float64]


def test_end_gauge() -> None:
    # gum.h1: JCGM 100:2008 H.1; published, seen quoted. The guide truncates 16.7 degrees of freedom to 16, and rounds
    # u_c up to 32 nm before it multiplies: 2.92 x 32 = 93.
    u = (25.0, 9.7, 2.9, 16.6)
    combined = math.hypot(*u)
    assert combined == pytest.approx(31.67, abs=0.005)
    dof = effective_dof(u, (18, 25.6, 50, 2))
    assert dof == pytest.approx(16.7, abs=0.1)
    factor = coverage_factor(0.99, math.floor(dof))
    assert factor == pytest.approx(2.92, abs=0.005)
    assert round(factor * math.ceil(combined)) == 93
    length = propagate(lambda q: q[..., :1] + q[..., 1:2], [50.000623, 0.000215], np.diag([25e-6, 9.7e-6]) ** 2)
    assert length.value[0] == pytest.approx(50.000838, abs=1e-9)
    assert length.u[0] * 1e6 == pytest.approx(math.hypot(25.0, 9.7), rel=1e-6)


def test_resistance_and_reactance_with_correlated_inputs() -> None:
    # gum.h2: JCGM 100:2008 H.2; published: values and u's seen quoted in the tests of an open uncertainty calculator
    # ("within 3 decimal places given in GUM"), the correlations from memory. Another open library's worked example
    # gives 127.732(70), 219.85(30), 254.26(24), -0.59, -0.49.
    readings = np.array(
        [
            [5.007, 19.663e-3, 1.0456],
            [4.994, 19.639e-3, 1.0438],
            [5.005, 19.640e-3, 1.0468],
            [4.990, 19.685e-3, 1.0428],
            [4.999, 19.678e-3, 1.0433],
        ]
    )

    def impedance(q: Array) -> Array:
        v, i, phi = q[..., 0], q[..., 1], q[..., 2]
        return np.stack([v * np.cos(phi) / i, v * np.sin(phi) / i, v / i], axis=-1)

    means = from_repeats(readings)
    found = propagate(impedance, means.value, means.covariance)
    assert found.value == pytest.approx([127.732, 219.847, 254.260], abs=0.001)
    assert found.u == pytest.approx([0.071, 0.295, 0.236], abs=0.001)
    assert found.correlation[0, 1] == pytest.approx(-0.588, abs=0.001)
    assert found.correlation[0, 2] == pytest.approx(-0.485, abs=0.001)
    assert found.correlation[1, 2] == pytest.approx(0.993, abs=0.001)


def test_calibration_line_of_a_thermometer() -> None:
    # gum.h3: JCGM 100:2008 H.3; readings seen quoted in two open libraries, the outcome from memory.
    # The line is a leaning bar whose height is read at eleven places.
    t = (21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511)
    b = (-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160)
    spots = tuple((f"at {x}", (x - 20.0, 0.0, 0.0)) for x in (*t, 30.0))
    network = Network([Body("bar", spots, free=("z", "lean"))])
    readings = [Reading("height", (), (f"at {x}",), y, 1e-3) for x, y in zip(t, b, strict=True)]
    found = adjust(network, readings)
    assert isinstance(found, Adjustment)
    s = math.sqrt(found.misfit / found.freedom) * 1e-3
    scale = s / 1e-3
    assert s == pytest.approx(0.0035, abs=5e-5)
    assert found.value("bar", "z") == pytest.approx(-0.1712, abs=5e-5)
    assert found.u("bar", "z") * scale == pytest.approx(0.0029, abs=5e-5)
    assert -math.sin(found.value("bar", "lean")) == pytest.approx(0.00218, abs=5e-6)
    assert found.u("bar", "lean") * scale == pytest.approx(0.00067, abs=5e-6)
    correlation = -found.covariance[0, 1] / math.sqrt(found.covariance[0, 0] * found.covariance[1, 1])
    assert correlation == pytest.approx(-0.930, abs=5e-4)
    here, spread = found.point("at 30.0")
    assert here[2] == pytest.approx(-0.1494, abs=5e-5)
    assert math.sqrt(spread[2, 2]) * scale == pytest.approx(0.0041, abs=5e-5)


def test_two_tapes_are_poor_sideways() -> None:
    # trilat: first-order propagation; derived from the named formula. Two tapes of u 1 mm from wheels 1560 mm apart.
    marks = Body("wheels", (("left", (0.0, 0.78, 0.0)), ("right", (0.0, -0.78, 0.0))))
    network = Network([marks, Body("target", (("T", (0.0, 0.0, 0.0)),), (4.0, 0.0, 0.0), free=("x", "y"))])
    reach = math.hypot(4.0, 0.78)
    found = adjust(network, [Reading("distance", (p,), ("T",), reach, 0.001) for p in ("left", "right")])
    assert isinstance(found, Adjustment)
    assert found.u("target", "x") * 1000 == pytest.approx(0.7204, abs=5e-5)
    assert found.u("target", "y") * 1000 == pytest.approx(3.6945, abs=5e-5)
    assert math.degrees(found.u("target", "y") / 4.0) == pytest.approx(0.0529, abs=5e-5)


def test_factors_agree_with_scipy() -> None:
    assert coverage_factor() == pytest.approx(stats.norm.ppf(0.975))
    for dof in (1.0, 3.5, 16.0, 200.0):
        assert coverage_factor(0.95, dof) == pytest.approx(stats.t.ppf(0.975, dof))
    for dimensions in (1, 2, 3, 5):
        assert region_factor(dimensions, 0.95) ** 2 == pytest.approx(stats.chi2.ppf(0.95, dimensions))
    with pytest.raises(ValueError, match="between 0 and 1"):
        coverage_factor(1.0)
    assert math.isinf(effective_dof([0.0], [3.0]))


@law
@given(st.integers(0, 10_000))
def test_linear_models_are_propagated_exactly(seed: int) -> None:
    rng = np.random.default_rng(seed)
    matrix, root = rng.normal(size=(3, 4)), rng.normal(size=(4, 4))
    found = propagate(lambda q: q @ matrix.T, rng.normal(size=4), root @ root.T)
    assert np.allclose(found.covariance, matrix @ root @ root.T @ matrix.T, rtol=1e-6, atol=1e-8)


def test_simulation_agrees_where_the_model_is_linear_and_shows_where_it_is_not() -> None:
    spread = np.array([[0.04, 0.01], [0.01, 0.02]])
    line = simulate(lambda q: q[..., :1] - q[..., 1:], [1.0, 2.0], spread, 1, 50_000)
    assert line.value[0] == pytest.approx(-1.0, abs=0.005)
    assert line.covariance[0, 0] == pytest.approx(0.04, rel=0.03)
    low, high = line.intervals[0]
    assert (high - low) / 2 == pytest.approx(1.96 * 0.2, rel=0.03)
    again = simulate(lambda q: q[..., :1] - q[..., 1:], [1.0, 2.0], spread, 1, 50_000)
    assert np.array_equal(line.draws, again.draws)
    square = simulate(lambda q: q[..., :1] ** 2, [0.0], [[1.0]], 2, 50_000)
    assert square.value[0] == pytest.approx(1.0, abs=0.05)  # linear propagation would say 0 with u 0
    assert square.intervals[0][0] < 1e-4


def test_shortest_interval() -> None:
    assert shortest_interval(np.linspace(0.0, 1.0, 1001) ** 2, 0.5) == pytest.approx((0.0, 0.25), abs=0.002)
    assert shortest_interval([3.0, 1.0], 0.99) == (1.0, 3.0)
    with pytest.raises(ValueError, match="two rows"):
        from_repeats([[1.0, 2.0]])


def test_ellipse_and_region_agree() -> None:
    spread = np.array([[0.0004, 0.0002], [0.0002, 0.0003]])
    found = ellipse(spread)
    way = np.array([math.cos(found.direction_rad), math.sin(found.direction_rad)])
    assert in_region(way * found.major_m * 0.999, spread)
    assert not in_region(way * found.major_m * 1.001, spread)
    aside = np.array([-way[1], way[0]])
    assert in_region(aside * found.minor_m * 0.999, spread)
    assert not in_region(aside * found.minor_m * 1.001, spread)

"""Uncertainty: worked examples of the GUM, and a law of propagation."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from standtrue.aim.bodies import Body, Network, Reading
from standtrue.aim.network import Adjustment, adjust
from standtrue.aim.uncertainty import Estimate, jacobian

law = settings(derandomize=True, deadline=None, max_examples=60)
Array = NDArray[np.float64]


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

    means, spread = readings.mean(axis=0), np.cov(readings, rowvar=False) / len(readings)
    slopes = jacobian(impedance, means)
    found = Estimate(impedance(means), slopes @ spread @ slopes.T)
    correlation = found.covariance / np.outer(found.u, found.u)
    assert found.value == pytest.approx([127.732, 219.847, 254.260], abs=0.001)
    assert found.u == pytest.approx([0.071, 0.295, 0.236], abs=0.001)
    assert correlation[0, 1] == pytest.approx(-0.588, abs=0.001)
    assert correlation[0, 2] == pytest.approx(-0.485, abs=0.001)
    assert correlation[1, 2] == pytest.approx(0.993, abs=0.001)


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


@law
@given(st.integers(0, 10_000))
def test_linear_models_are_propagated_exactly(seed: int) -> None:
    rng = np.random.default_rng(seed)
    matrix, root = rng.normal(size=(3, 4)), rng.normal(size=(4, 4))
    found = jacobian(lambda q: q @ matrix.T, rng.normal(size=4)) @ root
    assert np.allclose(found @ found.T, matrix @ root @ root.T @ matrix.T, rtol=1e-6, atol=1e-8)

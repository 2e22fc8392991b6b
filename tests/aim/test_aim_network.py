"""Adjustment: against scipy, published networks, Monte Carlo and coverage; bad geometry is refused with its reason."""

from __future__ import annotations

import math

import aim_makers as make
import numpy as np
import pytest
from attrs import evolve
from scipy import optimize, stats

from standtrue.aim.alignment import Angle
from standtrue.aim.blunders import find_blunder
from standtrue.aim.bodies import Body, Network, Reading
from standtrue.aim.conformity import acceptance_zone
from standtrue.aim.network import Adjustment, Refused, adjust, solve_many
from standtrue.model.reason import Ref

SPOT = (("P", (0.0, 0.0, 0.0)),)

# Every kind of reading between the floor's marks, a car and a leaning target.
FLOOR = Body("floor", (("A", (0, 0, 0)), ("B", (6, 0, 0)), ("C", (6, 9, 0)), ("D", (0, 9, 0))))
HUBS = (("RL", (0, 0.78, 0.33)), ("RR", (0, -0.78, 0.33)), ("FL", (2.7, 0.78, 0.33)), ("FR", (2.7, -0.78, 0.33)))
MOVER = Body("car", HUBS, (3, 2, 0), math.pi / 2, free=("x", "y", "turn"))
FACE = (("T", (0, 0, 0)), ("TL", (0, -0.5, 0)), ("TR", (0, 0.5, 0)), ("TT", (0, 0, 0.4)))
TARGET = Body("target", FACE, (3, 7, 1.3), -math.pi / 2, free=("x", "y", "z", "turn", "lean"))
KINDS = (
    Reading("distance", ("A",), ("RL",), 0, 0.001),
    Reading("distance", ("B",), ("RL",), 0, 0.002, plumbed=True),
    Reading("distance", ("B",), ("RR",), 0, 0.001),
    Reading("distance", ("A",), ("FR",), 0, 0.001),
    Reading("distance", ("RL",), ("TL",), 0, 0.001),
    Reading("distance", ("RR",), ("TL",), 0, 0.001, plumbed=True),
    Reading("distance", ("FL",), ("TL",), 0, 0.001),
    Reading("distance", ("FR",), ("TR",), 0, 0.001),
    Reading("distance", ("RL",), ("TR",), 0, 0.001),
    Reading("height", (), ("T",), 0, 0.0015),
    Reading("height", ("RL",), ("TT",), 0, 0.0015),
    Reading("offset", ("A", "D"), ("T",), 0, 0.002),
    Reading("angle", ("RR", "FR"), ("TL", "TR"), 0, 0.003),
    Reading("lean", (), ("T",), 0, 0.002),
)
WHOLE = Network([FLOOR, MOVER, TARGET])
TRUTH = WHOLE.start + np.array([0.02, 0.03, 0.01, 0.01, 0.02, 0.01, -0.02, 0.015])


def adjusted(network: Network, readings: list[Reading]) -> Adjustment:
    found = adjust(network, readings)
    assert isinstance(found, Adjustment)
    return found


def test_derivatives_by_differences() -> None:
    _, slopes = WHOLE.predict(KINDS, TRUTH)
    for column in range(len(TRUTH)):
        step = np.zeros(len(TRUTH))
        step[column] = 1e-6
        numeric = (WHOLE.predict(KINDS, TRUTH + step)[0] - WHOLE.predict(KINDS, TRUTH - step)[0]) / 2e-6
        assert np.allclose(slopes[:, column], numeric, atol=1e-8)


def test_exact_readings_give_the_truth() -> None:
    found = adjusted(WHOLE, make.read(WHOLE, KINDS, TRUTH, None))
    assert np.allclose(found.unknowns, TRUTH, atol=1e-10)
    assert found.misfit == pytest.approx(0.0, abs=1e-12)
    assert float(found.redundancy.sum()) == pytest.approx(found.freedom)


@pytest.mark.parametrize("seed", range(8))
def test_least_squares_agrees_with_scipy(seed: int) -> None:
    rng = np.random.default_rng(seed)
    readings = make.read(WHOLE, KINDS, TRUTH, rng)
    found = adjusted(WHOLE, readings)
    u = np.array([r.u for r in readings])
    observed = np.array([r.value for r in readings])

    def off(unknowns: np.ndarray) -> np.ndarray:
        return np.asarray((WHOLE.predict(readings, unknowns)[0] - observed) / u)

    theirs = optimize.least_squares(off, WHOLE.start, xtol=1e-15, ftol=1e-15, gtol=1e-15, x_scale="jac")
    assert np.allclose(found.unknowns, theirs.x, atol=1e-8)
    assert found.misfit == pytest.approx(2 * theirs.cost, rel=1e-8)
    assert np.allclose(found.covariance, np.linalg.inv(theirs.jac.T @ theirs.jac), rtol=1e-4, atol=1e-12)
    planned = make.covariance_of(WHOLE, readings, found.unknowns)
    assert planned is not None
    assert np.allclose(planned, found.covariance, rtol=1e-7)


def test_a_published_trilateration() -> None:
    """C. D. Ghilani and P. R. Wolf, Adjustment Computations, example 14.2: inputs seen quoted in the authors' course
    sheet for chapter 14; the start (6861.325, 3727.596) and the outcome to 0.01 ft from memory. Feet."""
    control = Body("control", (("A", (865.40, 4527.15, 0)), ("B", (2432.55, 2047.25, 0)), ("C", (2865.22, 27.15, 0))))
    network = Network([control, Body("U", SPOT, (6861.325, 3727.596, 0), free=("x", "y"))])
    lengths = {"A": 6049.00, "B": 4736.83, "C": 5446.49}
    found = adjusted(network, [Reading("distance", (a,), ("P",), length, 0.1) for a, length in lengths.items()])
    assert found.unknowns == pytest.approx([6861.32, 3727.82], abs=0.005)
    # By hand: the gradient of the sum of squares vanishes there.
    slopes = network.predict(found.readings, found.unknowns)[1]
    assert slopes.T @ found.residuals == pytest.approx([0.0, 0.0], abs=1e-7)


def test_a_published_leveling_loop() -> None:
    """A published sample of the open network-adjustment program GNU Gama 1.5.09 ("Sample 1D vertical least square
    adjustment", vrmapper.com); seen quoted: heights, standard deviations and normalized residuals. u = 5 mm."""
    network = Network(
        [
            Body("1a", (("1a", (0.0, 0.0, 1000.0)),)),
            Body("2", (("2", (0.0, 0.0, 0.0)),), (0.0, 0.0, 999.26900), free=("z",)),
            Body("3", (("3", (0.0, 0.0, 0.0)),), (0.0, 0.0, 997.92700), free=("z",)),
            Body("4", (("4", (0.0, 0.0, 0.0)),), (0.0, 0.0, 998.77500), free=("z",)),
        ]
    )
    observed = (
        ("1a", "4", -1.22500, -1.22488),
        ("4", "3", -0.84800, -0.84187),
        ("3", "2", 1.34200, 1.34163),
        ("2", "1a", 0.72000, 0.72513),
        ("1a", "2", -0.72400, -0.72513),
        ("2", "3", -1.33500, -1.34163),
        ("3", "4", 0.84200, 0.84187),
        ("4", "1a", 1.23100, 1.22488),
    )
    found = adjusted(network, [Reading("height", (a,), (b,), h, 0.005) for a, b, h, _ in observed])
    assert [found.value(p, "z") for p in ("4", "3", "2")] == pytest.approx([998.77513, 997.93325, 999.27487], abs=6e-6)
    assert [round(found.u(p, "z") * 1000, 1) for p in ("4", "3", "2")] == [3.1, 3.5, 3.1]
    fitted = [r.value - v for r, v in zip(found.readings, found.residuals, strict=True)]
    assert fitted == pytest.approx([a for *_, a in observed], abs=6e-6)
    assert found.misfit * 25 == pytest.approx(146.625, abs=0.01)  # [pvv], mm^2
    assert math.sqrt(found.misfit / found.freedom) * 5 == pytest.approx(5.42, abs=0.005)
    test = np.abs(find_blunder(found).test)
    assert int(np.argmax(test)) == 5  # the sixth observation
    assert float(test.max()) == pytest.approx(1.68, abs=0.005)


def random_setup(seed: int) -> tuple[Network, list[Reading], np.ndarray, np.random.Generator]:
    """A random target and truth with the readings of KINDS, its u random."""
    rng = np.random.default_rng(seed)
    at = (float(rng.uniform(1, 5)), float(rng.uniform(6, 8.5)), float(rng.uniform(0.5, 1.6)))
    target = evolve(TARGET, at=at, turn_rad=float(rng.uniform(-2.2, -1.0)))
    network = Network([FLOOR, MOVER, target])
    readings = [evolve(r, u=float(r.u * rng.uniform(0.5, 2.0))) for r in KINDS]
    return network, readings, network.start + rng.normal(size=len(network.start)) * 0.02, rng


def test_linear_propagation_agrees_with_monte_carlo_on_50_set_ups() -> None:
    # JCGM 101:2008, 8 (validation of the GUM framework): 600 draws each, so a u is known to 2.9 % (k = 4: 12 %) and a
    # mean to 0.041 u.
    trials = 600
    ratios = []
    for seed in range(50):
        network, readings, truth, rng = random_setup(seed)
        linear = make.covariance_of(network, readings, truth)
        assert linear is not None
        values = make.many(network, readings, truth, trials, rng)
        drawn, _, ended = solve_many(network, readings, values, np.tile(truth, (trials, 1)))
        assert ended.all()
        u = np.sqrt(np.diag(linear))
        ratios.append(drawn.std(axis=0, ddof=1) / u)
        assert np.all(np.abs(ratios[-1] - 1) < 0.12)
        assert np.all(np.abs(drawn.mean(axis=0) - truth) < 4.5 * u / math.sqrt(trials))
    assert float(np.mean(ratios)) == pytest.approx(1.0, abs=0.01)


def share_covered(setups: int, each: int) -> float:
    """How many simulated set-ups have the truth in the 95 % region that was told for them."""
    inside = 0
    for seed in range(setups):
        network, readings, truth, rng = random_setup(1000 + seed)
        values = make.many(network, readings, truth, each, rng)
        found, _, ended = solve_many(network, readings, values, np.tile(network.start, (each, 1)))
        assert ended.all()
        for unknowns in found:
            covariance = make.covariance_of(network, readings, unknowns)
            assert covariance is not None
            off = unknowns - truth
            inside += int(off @ np.linalg.solve(covariance, off) <= stats.chi2.ppf(0.95, len(off)))
    return inside / (setups * each)


def test_coverage_of_the_95_percent_region() -> None:
    # 2,000 set-ups: two standard deviations of the share are 1 %.
    assert 0.94 <= share_covered(40, 50) <= 0.96


@pytest.mark.long
def test_coverage_of_the_95_percent_region_over_20_000_set_ups() -> None:
    assert 0.94 <= share_covered(1000, 20) <= 0.96


def test_the_stated_false_accept_risk_holds_for_a_target_just_out_of_tolerance() -> None:
    rng = np.random.default_rng(11)
    scene = make.scene(thrust=Angle(0.0))
    hubs = ("wheel rear left", "wheel rear right", "wheel front left", "wheel front right")
    readings = [Reading("distance", (h,), ("board",), 0, 0.0008, plumbed=True) for h in hubs]
    network = scene.network(readings)
    target = scene.targets[0]
    truth = network.start.copy()
    truth[network.column("board", "x")] -= 0.0051  # the car looks along +y: 0.1 mm beyond 5 mm to its left
    values = make.many(network, readings, truth, 4000, rng)
    found, _, _ = solve_many(network, readings, values, np.tile(network.start, (4000, 1)))
    across = scene.deviations(network, target, found, np.zeros(4000))[:, 1]
    planned = make.covariance_of(network, readings, truth)
    assert planned is not None
    u = scene.estimate(network, target, truth, planned).u[1]
    zone = acceptance_zone(float(u), -0.005, 0.005)
    assert zone is not None
    assert float(np.mean(np.abs(across) <= zone[1])) <= 0.05


@pytest.mark.parametrize(
    ("readings", "words"),
    [
        (KINDS[:2], "the car is not fixed: its turn, seen from above"),
        ((), "nothing was measured"),
        ((Reading("distance", ("nowhere",), ("RL",), 1.0, 0.001),), "no such point: nowhere"),
    ],
)
def test_bad_geometry_is_refused_with_the_reason(readings: tuple[Reading, ...], words: str) -> None:
    refused = adjust(Network([FLOOR, evolve(MOVER, ref=Ref("this car"))]), make_read(readings))
    assert isinstance(refused, Refused)
    assert words in " ".join(make.said(refused.because))


def make_read(readings: tuple[Reading, ...]) -> list[Reading]:
    network = Network([FLOOR, MOVER])
    known = [r for r in readings if not network.missing([r])]
    return make.read(network, known, network.start, None) if known else list(readings)


def test_points_in_line_leave_a_target_loose_sideways() -> None:
    marks = Body("marks", (("a", (0, 0, 0)), ("b", (1, 0, 0)), ("c", (2, 0, 0))))
    network = Network([marks, Body("it", SPOT, (5, 0, 0), free=("x", "y"))])
    refused = adjust(network, [Reading("distance", (m,), ("P",), 5.0 - i, 0.001) for i, m in enumerate("abc")])
    assert isinstance(refused, Refused)
    assert make.said(refused.because) == ("it is not fixed: its place sideways",)
    weak = Body("marks", (("a", (0, 0.002, 0)), ("b", (1, -0.002, 0)), ("c", (2, 0.001, 0))))
    network = Network([weak, Body("it", SPOT, (5, 0, 0), free=("x", "y"))])
    refused = adjust(network, [Reading("distance", (m,), ("P",), 5.0 - i, 0.001) for i, m in enumerate("abc")])
    assert isinstance(refused, Refused)
    assert refused.loose[0].u > 0.25
    assert math.isfinite(refused.loose[0].u)


def test_a_start_far_off_still_finds_the_way() -> None:
    readings = make.read(WHOLE, KINDS, TRUTH, None)
    far = WHOLE.start + np.array([0.4, -0.3, 0.2, -0.4, 0.5, 0.2, 0.3, 0.1])
    found = adjust(WHOLE, readings, far)
    assert isinstance(found, Adjustment)
    assert np.allclose(found.unknowns, TRUTH, atol=1e-8)


def test_turning_the_shop_changes_nothing_but_directions() -> None:
    """Turned by 100 degrees, so that a heading passes the half turn."""
    angle = math.radians(100.0)
    c, s = math.cos(angle), math.sin(angle)
    turned = Network([evolve(b, at=(c * b.at[0] - s * b.at[1], s * b.at[0] + c * b.at[1], b.at[2]),
                             turn_rad=b.turn_rad + angle) for b in WHOLE.bodies])  # fmt: skip
    readings = make.read(WHOLE, KINDS, TRUTH, np.random.default_rng(5))
    one, two = adjusted(WHOLE, readings), adjusted(turned, readings)
    assert two.misfit == pytest.approx(one.misfit, rel=1e-7)
    assert np.allclose(two.redundancy, one.redundancy, atol=1e-8)
    assert two.u("target", "turn") == pytest.approx(one.u("target", "turn"), rel=1e-7)


@pytest.mark.parametrize(
    ("bad", "words"),
    [
        (lambda: Reading("distance", ("a", "b"), ("c",), 1.0, 0.001), "number of points"),
        (lambda: Reading("angle", ("a", "b"), ("c",), 1.0, 0.001), "number of points"),
        (lambda: Reading("distance", ("a",), ("c",), 1.0, 0.0), "positive"),
        (lambda: Reading("distance", ("a",), ("c",), math.inf, 0.001), "finite"),
        (lambda: Network([FLOOR, evolve(FLOOR, name="again")]), "two points are called A"),
    ],
)
def test_senseless_readings_cannot_be_made(bad: object, words: str) -> None:
    assert callable(bad)
    with pytest.raises(ValueError, match=words):
        bad()

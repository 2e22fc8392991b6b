"""Reading plans: against brute force over all subsets, and what they promise."""

from __future__ import annotations

import itertools
import math

import aim_makers as make
import numpy as np
import pytest
from attrs import evolve

from standtrue.aim.alignment import Angle
from standtrue.aim.bodies import Body, Network, Reading
from standtrue.aim.planning import demands, plan_setup
from standtrue.aim.reading_plan import Demand, ReadingPlan, Tolerated, deciding_u, plan_readings
from standtrue.aim.settle import possible_readings
from standtrue.model.asking import Asking
from standtrue.model.setup import Instrument, Measure

TAPE = Instrument("distance", 0.001, plumbed=True)
LASER_LINE = Instrument("offset", 0.001)
LEVEL = Instrument("height", 0.001)

Points = tuple[Measure, tuple[str, ...], tuple[str, ...]]

FLOOR = Body("floor", (("A", (0, 0, 0)), ("D", (0, 9, 0))))
HUBS = (("RL", (0, 0.78, 0)), ("RR", (0, -0.78, 0)), ("FL", (2.7, 0.78, 0)), ("FR", (2.7, -0.78, 0)))
CAR = Body("car", HUBS, (3, 2, 0), math.pi / 2)
TURN = Tolerated("target", "turn", is_angle=True)
FACE = (("T", (0, 0, 0)), ("TL", (0, -0.5, 0)), ("TR", (0, 0.5, 0)))


def small_case(seed: int) -> tuple[Network, list[Reading], list[Demand], list[float] | None]:
    """Ten candidates at random for a target's x, y and turn; half the cases with costs that differ."""
    rng = np.random.default_rng(seed)
    at = (3 + float(rng.uniform(-1, 1)), float(rng.uniform(6, 9)), 0.0)
    network = Network([FLOOR, CAR, Body("target", FACE, at, -math.pi / 2, free=("x", "y", "turn"))])
    tape: list[Points] = [
        ("distance", (h,), (t,)) for h in ("RL", "RR", "FL", "FR", "A", "D") for t in ("T", "TL", "TR")
    ]
    line: list[Points] = [("offset", ("RL", "FL"), (t,)) for t in ("T", "TL", "TR")]
    every: list[Points] = [*tape, *line, ("angle", ("RR", "FR"), ("TL", "TR"))]
    chosen = rng.choice(len(every), 10, replace=False)
    candidates = [Reading(*every[int(i)], 0.0, float(rng.choice([0.001, 0.002, 0.003]))) for i in chosen]
    wanted = [
        Demand(Tolerated("target", "x"), np.array([1.0, 0.0, 0.0]), deciding_u(float(rng.uniform(0.005, 0.02)))),
        Demand(Tolerated("target", "y"), np.array([0.0, 1.0, 0.0]), deciding_u(float(rng.uniform(0.005, 0.02)))),
        Demand(TURN, np.array([0.0, 0.0, 1.0]), deciding_u(float(rng.uniform(0.005, 0.03)))),
    ]
    return network, candidates, wanted, [float(c) for c in rng.uniform(1, 3, 10)] if seed % 2 else None


def meets(network: Network, readings: list[Reading], wanted: list[Demand]) -> bool:
    covariance = make.covariance_of(network, readings, network.start) if len(readings) >= 3 else None
    if covariance is None:
        return False
    return all(math.sqrt(d.slopes @ covariance @ d.slopes) <= d.most_u * (1 + 1e-9) for d in wanted)


def test_plans_are_as_good_as_brute_force_over_all_subsets_on_100_cases() -> None:
    impossible = 0
    for seed in range(100):
        network, candidates, wanted, costs = small_case(seed)
        plan = plan_readings(network, candidates, wanted, costs)
        price = dict(zip(candidates, costs or [1.0] * len(candidates), strict=True))
        if not plan.enough:
            impossible += 1
            assert not meets(network, candidates, wanted)
            continue
        assert meets(network, list(plan.readings), wanted)
        assert plan.proven
        assert plan.cost == pytest.approx(sum(price[r] for r in plan.readings))
        assert plan.cost <= 1.05 * brute_force(network, candidates, wanted, price)
    assert 0 < impossible < 20


def brute_force(
    network: Network, candidates: list[Reading], wanted: list[Demand], price: dict[Reading, float]
) -> float:
    """The cost of the cheapest subset that meets the demands; cheap ones are tried first."""
    subsets = [s for n in range(3, len(candidates) + 1) for s in itertools.combinations(range(len(candidates)), n)]
    rows = network.predict(candidates, network.start)[1] / np.array([r.u for r in candidates])[:, None]
    masks = np.array([[i in s for i in range(len(candidates))] for s in subsets], dtype=float)
    normal = np.einsum("mi,ip,iq->mpq", masks, rows, rows)
    sound = np.linalg.eigvalsh(normal)[:, 0] > 1.0 / 0.25**2
    spread = np.full(len(subsets), np.inf)
    goals = np.array([d.slopes / d.most_u for d in wanted])
    spread[sound] = np.einsum("kp,mpq,kq->mk", goals, np.linalg.inv(normal[sound]), goals).max(axis=1)
    costs = masks @ np.array([price[r] for r in candidates])
    return float(costs[spread <= 1 + 1e-9].min())


def test_a_plan_for_a_card() -> None:
    scene = make.scene()
    plan = plan_setup(scene, [TAPE, LASER_LINE, LEVEL], room=0.3, checked="least")
    assert plan.enough
    assert plan.proven
    assert len(plan.readings) == 4
    assert {r.what for r in plan.readings} >= {"offset", "height"}
    parts = ("along", "across", "height", "turn")
    assert make.said(r.what.reason for r in plan.reached) == tuple(f"board: {part}" for part in parts)


def test_tapes_from_the_rear_wheels_alone_do_not_decide_sideways() -> None:
    scene = make.scene()
    every, _ = possible_readings(scene, [TAPE, LEVEL])
    tapes = [r for r in every if r.what == "height" or r.start[0].startswith("hub rear")]
    network = scene.network(tapes)
    plan = plan_readings(network, tapes, demands(scene, network))
    assert not plan.enough
    assert plan.short_of == (Tolerated("board", "across"),)
    assert len(plan.readings) < len(tapes)


def test_a_thrust_angle_that_is_not_well_known_cannot_be_measured_away() -> None:
    scene = make.scene(thrust=Angle(0.0, math.radians(0.05)))
    plan = plan_setup(scene, [evolve(TAPE, u=1e-5), evolve(LASER_LINE, u=1e-5), evolve(LEVEL, u=1e-5)])
    assert Tolerated("board", "across") in plan.short_of


def test_what_no_instrument_reads_is_said() -> None:
    leaning = evolve(make.BOARD, tolerance=evolve(make.TOLERANCE, lean_rad=0.005))
    plan = plan_setup(make.scene(leaning), [TAPE, LASER_LINE, LEVEL], room=0.3, checked="least")
    assert plan.short_of == (Tolerated("board", "lean", True),)
    level = Instrument("lean", 0.0008)
    assert plan_setup(make.scene(leaning), [TAPE, LASER_LINE, LEVEL, level], room=0.3, checked="least").enough


def test_dear_readings_are_avoided() -> None:
    cheap = plan_setup(make.scene(), [TAPE, LASER_LINE, LEVEL], room=0.3, checked="least")
    dear = plan_setup(make.scene(), [TAPE, evolve(LASER_LINE, effort=9.0), LEVEL], room=0.3, checked="least")
    assert sum(r.what == "offset" for r in dear.readings) <= sum(r.what == "offset" for r in cheap.readings)
    assert dear.cost >= cheap.cost


def test_a_plan_with_the_car_tied_to_the_floor() -> None:
    scene = make.scene()
    instruments = [TAPE, LASER_LINE, LEVEL]
    candidates, _ = possible_readings(scene, instruments, marks=True)
    network = scene.network(candidates)
    assert ("the car", "turn") in network.unknowns
    assert len(demands(scene, network)) == 4
    plan = plan_setup(scene, instruments, marks=True, room=0.3, checked="least")
    assert plan.enough
    assert any(r.end[0].startswith("hub") for r in plan.readings)


def test_no_unknowns_and_no_candidates() -> None:
    network, candidates, wanted, _ = small_case(0)
    nothing = plan_readings(network, [], wanted)
    assert isinstance(nothing, ReadingPlan)
    assert not nothing.enough
    assert all(math.isinf(r.u) for r in nothing.reached)
    with pytest.raises(ValueError, match="cost"):
        plan_readings(network, candidates, wanted, [0.0] * len(candidates))


def test_a_search_that_is_stopped_proves_nothing() -> None:
    instruments, at_once = [TAPE, LASER_LINE, LEVEL], Asking(stopped=lambda: True)
    whole = plan_setup(make.scene(), instruments, room=0.3, checked="least")
    stopped = plan_setup(make.scene(), instruments, room=0.3, checked="least", asking=at_once)
    assert whole.proven
    assert not stopped.proven
    assert stopped.enough

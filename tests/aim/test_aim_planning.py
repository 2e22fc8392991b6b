"""Plans in which every reading is checked: against brute force over all subsets, and by readings with a slip each."""

from __future__ import annotations

import itertools
import math
from statistics import NormalDist

import aim_makers as make
import numpy as np
import pytest
from attrs import evolve
from test_aim_reading_plan import LASER_LINE, LEVEL, TAPE, meets, small_case

from standtrue.aim.blunders import LEVEL as ALARM
from standtrue.aim.blunders import POWER, critical_value, find_blunder
from standtrue.aim.bodies import Network, Reading
from standtrue.aim.network import Adjustment, adjust
from standtrue.aim.planning import plan_setup
from standtrue.aim.reading_plan import TESTS, Demand, Findable, plan_readings
from standtrue.aim.scene import Scene
from standtrue.aim.telling_apart import MOST
from standtrue.model.setup import Instrument

LEANING = Instrument("lean", math.radians(0.05))
BAG = (TAPE, LASER_LINE, LEVEL, LEANING)
FOUND = Findable(0.020, math.radians(1.0))


def checked(network: Network, readings: list[Reading]) -> bool:
    """Whether a slip of the size in each of the readings is found, from the least squares of all of them."""
    _, slopes = network.predict(readings, network.start)
    rows = slopes / np.array([r.u for r in readings])[:, None]
    reach = critical_value(TESTS, ALARM) + NormalDist().inv_cdf(POWER)
    for i, reading in enumerate(readings):
        # What the others alone say of the reading, and so of a slip in it.
        others = np.delete(rows, i, axis=0)
        if np.linalg.matrix_rank(others) < rows.shape[1]:
            return False
        unsure = math.sqrt(1.0 + float(rows[i] @ np.linalg.inv(others.T @ others) @ rows[i]))
        if reading.u * reach * unsure > FOUND.of(reading) * (1 + 1e-9):
            return False
    return True


def fewest(network: Network, candidates: list[Reading], wanted: list[Demand]) -> int | None:
    """How many readings the smallest set has that decides everything and is checked."""
    for size in range(4, len(candidates) + 1):
        for some in itertools.combinations(candidates, size):
            if meets(network, list(some), wanted) and checked(network, list(some)):
                return size
    return None


def test_checked_plans_are_the_smallest_by_brute_force_over_all_subsets() -> None:
    told = 0
    for seed in range(0, 24, 2):
        network, candidates, wanted, _ = small_case(seed)
        least = fewest(network, candidates, wanted)
        if least is None:
            continue
        plan = plan_readings(network, candidates, wanted, found=FOUND)
        assert plan.enough
        assert plan.proven
        assert checked(network, list(plan.readings))
        assert len(plan.readings) == least
        told += 1
    assert told > 6


def as_planned(scene: Scene, readings: tuple[Reading, ...]) -> list[Reading]:
    network = scene.network(readings)
    return make.read(network, readings, network.start, None)


def adjusted(scene: Scene, readings: list[Reading]) -> Adjustment:
    found = adjust(scene.network(readings), readings)
    assert isinstance(found, Adjustment)
    return found


@pytest.mark.parametrize("marks", [False, True])
def test_a_slip_of_50_mm_in_any_reading_of_a_plan_is_seen_where_every_reading_is_checked(marks: bool) -> None:
    scene = make.scene()
    plan = plan_setup(scene, BAG, marks, room=0.3)
    assert plan.enough
    assert not plan.unchecked
    exact = as_planned(scene, plan.readings)
    for i, reading in enumerate(exact):
        size = math.radians(2.0) if reading.is_angle else 0.050
        slipped = [*exact[:i], evolve(reading, value=reading.value + size), *exact[i + 1 :]]
        assert find_blunder(adjusted(scene, slipped)).alarm, reading


def test_a_slip_in_the_least_readings_goes_unseen() -> None:
    scene = make.scene()
    plan = plan_setup(scene, BAG, checked="least")
    exact = as_planned(scene, plan.readings)
    slipped = [evolve(exact[0], value=exact[0].value + 0.050), *exact[1:]]
    found = adjusted(scene, slipped)
    assert found.freedom == 0 or not find_blunder(found).alarm
    assert len(plan.readings) < len(plan_setup(scene, BAG).readings)


def test_what_is_told_to_be_found_is_found_4_times_of_5() -> None:
    """Each reading of a plan in turn with a slip of just the size that is told for it, the others with their errors."""
    scene, rng = make.scene(), np.random.default_rng(3)
    plan = plan_setup(scene, BAG, marks=True)
    exact = as_planned(scene, plan.readings)
    seen = tries = 0
    for one, reading in zip(plan.planned, exact, strict=True):
        for _ in range(12):
            noisy = [evolve(r, value=r.value + float(rng.normal()) * r.u) for r in exact]
            noisy[one.number - 1] = evolve(noisy[one.number - 1], value=noisy[one.number - 1].value + one.found)
            seen += find_blunder(adjusted(scene, noisy)).alarm
            tries += 1
        assert one.found <= (plan.asked or FOUND).of(reading)
    assert abs(seen / tries - POWER) < 3 * math.sqrt(POWER * (1 - POWER) / tries) + 0.05


def test_each_reading_names_what_checks_it() -> None:
    plan = plan_setup(make.scene(), BAG)
    heights = [p for p in plan.planned if p.reading.what == "height"]
    assert [p.checked_by for p in heights] == [(heights[1].number,), (heights[0].number,)]
    assert all(p.checked_by for p in plan.planned)
    assert all(p.number not in p.checked_by for p in plan.planned)


def test_a_tie_takes_no_more_than_six_readings_and_a_target_without_lean_hardly_more() -> None:
    plan = plan_setup(make.scene(), BAG, marks=True)
    counts = {name: len(part.readings) for name, part in plan.parts}
    assert counts[""] <= MOST
    assert counts["board"] <= MOST + 1


def test_what_one_reading_more_would_buy() -> None:
    plan = plan_setup(make.scene(), BAG)
    assert plan.further
    for one in plan.further:
        assert one.u[1] <= one.u[0] * (1 + 1e-9)
        assert one.found[1] <= one.found[0] * (1 + 1e-9)
        assert one.candidate.reading not in plan.readings or one.candidate.again

"""How much more room is told to be missing: never less than is, and little where little is."""

from __future__ import annotations

import numpy as np
import pytest
from attrs import evolve
from drive_makers import ASK, CAR, GAP_M, box
from parking_cases import CAR as OUTLINE
from parking_cases import CASES, RADIUS_M

from standtrue.drive.kernels.certify import least_separation
from standtrue.drive.path.among import plan_among
from standtrue.drive.path.find import find_path
from standtrue.drive.question.lacking import THOROUGH, eased, lacking

LITTLE_M = 0.01


@pytest.mark.parametrize(
    ("name", "told_m"), [("a gate, 1 cm", 0.0115), ("diagonal slot, 1 cm", 0.0105), ("turned round in a T", 0.045)]
)
def test_where_ten_millimeters_do_little_more_is_told(name: str, told_m: float) -> None:
    obstacles, start, goal = CASES[name]
    found, packed = plan_among(obstacles, OUTLINE, RADIUS_M, start, goal)
    apart, _ = least_separation(packed.world, np.array(start), found.path, 1e-5)
    # This very path passes with 10 mm more room on each side, so no more than that is missing.
    short = evolve(packed, world=packed.world._replace(gaps=packed.world.gaps + apart + LITTLE_M))
    ask = ASK._replace(radius=RADIUS_M)
    least = lacking(short, ask, [start], [goal], proven=False)
    assert least is not None
    assert least <= told_m
    assert find_path(eased(short, least), ask, [start], [goal], THOROUGH).solved


def test_a_gate_that_is_twenty_millimeters_too_narrow_lacks_ten_on_each_side() -> None:
    half = CAR.width_m / 2 + GAP_M - LITTLE_M
    posts = [box(9.0, half, 9.4, 5.0), box(9.0, -5.0, 9.4, -half)]
    walls = [box(-1.0, 5.0, 21.0, 6.0), box(-1.0, -6.0, 21.0, -5.0)]
    start, goal = (2.0, -1.5, 0.0), (14.0, 1.0, 0.3)
    found, packed = plan_among([*posts, *walls], CAR.body, 5.0, start, goal, gap_m=-1.0, bounds=(0.0, -5.0, 20.0, 5.0))
    assert found.solved
    narrow = evolve(packed, world=packed.world._replace(gaps=np.full_like(packed.world.gaps, GAP_M)))
    least = lacking(narrow, ASK, [start], [goal], proven=False)
    assert least is not None
    # Straight through, square and in the middle, it passes with exactly 10 mm more; no pose in the gate does with less.
    assert LITTLE_M - 1e-6 <= least <= LITTLE_M + 0.0015

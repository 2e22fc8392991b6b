"""The sideways shift in bays of every length, and random pairs of stances."""

from __future__ import annotations

import math

import numpy as np
import pytest
from drive_makers import (
    ASK,
    CAR,
    GAP_M,
    MIDDLE_M,
    WIDE_M,
    bay,
    box,
    centered,
    least_distance,
    outside_of,
    packed_room,
    step_through,
)

from standtrue.drive.engine import drive
from standtrue.drive.kernels.certify import pose_free, scratch_for
from standtrue.drive.kernels.joins import path_seconds
from standtrue.drive.kernels.repeated import repeated_s, sideways
from standtrue.drive.path.find import find_path
from standtrue.drive.path.found import Outcome

# drive.room of the project's check values; source: prototype of this project; standing: measured, an upper bound.
SHUNTS_AT_MOST = {9.75: 2, 8.5: 2, 7.5: 4, 7.0: 5, 6.5: 8, 6.0: 15}


@pytest.mark.parametrize("long_m", SHUNTS_AT_MOST)
def test_a_meter_sideways(long_m: float) -> None:
    answer = drive(bay(long_m), CAR, centered(long_m / 2, WIDE_M / 2 - 0.5), centered(long_m / 2, WIDE_M / 2 + 0.5))
    assert answer.found
    assert answer.outcome is Outcome.SOLVED
    assert answer.shunts <= SHUNTS_AT_MOST[long_m]
    assert answer.start is not None
    assert answer.least_separation_m is not None
    rows = [
        (g, 0.0, g * leg.curvature_per_m, leg.length_m)
        for leg in answer.legs
        for g in [1.0 if leg.gear == "forward" else -1.0]
    ]
    poses = step_through((answer.start.x_m, answer.start.y_m, answer.start.heading_rad), rows)
    assert poses[-1] == pytest.approx((long_m / 2 - MIDDLE_M, WIDE_M / 2 + 0.5, 0.0), abs=1e-6)
    seen = least_distance(CAR.body, poses, outside_of(box(0.0, 0.0, long_m, WIDE_M)))
    assert answer.least_separation_m >= GAP_M - 2e-5
    assert seen >= answer.least_separation_m - 1e-3


@pytest.mark.parametrize("long_m", [7.5, 6.5])
def test_never_worse_than_the_repeated_s(long_m: float) -> None:
    packed = packed_room(long_m)
    one, two = ((long_m / 2 - MIDDLE_M, WIDE_M / 2 + side, 0.0) for side in (-0.5, 0.5))
    path = repeated_s(packed.world, ASK, np.array(one), np.array(two))
    assert len(path)
    assert find_path(packed, ASK, [one], [two]).seconds <= path_seconds(ASK, path) + 1e-9


def test_what_one_s_shifts() -> None:
    # drive.one_s of the project's check values, standing: derived: run = sqrt(4 R dy - dy^2).
    assert sideways(5.0, math.sqrt(4 * 5.0 - 1.0)) == pytest.approx(1.0)
    assert sideways(5.0, 12.0) == 10.0


def test_random_pairs_are_solved_or_shown_impossible() -> None:
    packed = packed_room(9.75)
    scratch, rng = scratch_for(packed.world), np.random.default_rng(40)
    walls = outside_of(box(0.0, 0.0, 9.75, WIDE_M))

    def stance() -> tuple[float, float, float]:
        while True:
            pose = (rng.uniform(0.0, 9.75), rng.uniform(0.0, WIDE_M), rng.uniform(-math.pi, math.pi))
            if pose_free(packed.world, np.array(pose), scratch):
                return pose

    solved = 0
    for _ in range(40):
        one, two = stance(), stance()
        found = find_path(packed, ASK, [one], [two])
        if found.solved:
            solved += 1
            poses = step_through(one, found.path)
            assert poses[-1][:2] == pytest.approx(two[:2], abs=1e-6)
            assert least_distance(CAR.body, poses, walls) >= GAP_M - 1e-4
        else:
            # The room is narrower than the car is long from corner to corner: it cannot be turned round.
            assert found.barrier is not None
            assert math.cos(one[2]) * math.cos(two[2]) < 0.0
    assert solved >= 15

"""Laws of driving: back along the same way, mirrored shops, turned shops, one more thing in the way."""

from __future__ import annotations

import math

import numpy as np
import pytest
from drive_makers import Pose, box, step_through, turned
from parking_cases import CAR, CASES, RADIUS_M, UP

from standtrue.drive.path.among import plan_among
from standtrue.drive.path.found import Found
from standtrue.model.basics import Outline

CHOSEN = ("parallel slot", "perpendicular slot", "diagonal slot, 1 cm", "out of a dead end")


def plan(obstacles: list[Outline], start: Pose, goal: Pose) -> Found:
    return plan_among(obstacles, CAR, RADIUS_M, start, goal)[0]


@pytest.mark.parametrize("name", CHOSEN)
def test_the_way_back_is_the_way_there(name: str) -> None:
    obstacles, start, goal = CASES[name]
    there, back = plan(list(obstacles), start, goal), plan(list(obstacles), goal, start)
    assert there.shunts == back.shunts
    assert there.seconds == pytest.approx(back.seconds)
    end = step_through(goal, back.path, math.inf)[-1]
    assert end[:2] == pytest.approx(start[:2], abs=1e-6)


@pytest.mark.parametrize("name", CHOSEN)
def test_a_mirrored_case_is_as_easy(name: str) -> None:
    obstacles, start, goal = CASES[name]
    flipped = [tuple((x, -y) for x, y in reversed(o)) for o in obstacles]
    (x0, y0, h0), (x1, y1, h1) = start, goal
    one, two = plan(list(obstacles), start, goal), plan(flipped, (x0, -y0, -h0), (x1, -y1, -h1))
    assert two.solved
    assert two.shunts == one.shunts
    assert two.path == pytest.approx(one.path * (1.0, 1.0, -1.0, 1.0), abs=1e-9)


@pytest.mark.parametrize("name", CHOSEN)
def test_a_shop_turned_by_quarters_and_mirrored_about_another_line_has_the_same_way(name: str) -> None:
    obstacles, start, goal = CASES[name]

    def across(p: tuple[float, float]) -> tuple[float, float]:
        return (7.3 - p[1], p[0] - 2.9)

    turned_round = [tuple(across(p) for p in o) for o in obstacles]
    beside = [tuple((p[1], p[0]) for p in reversed(o)) for o in turned_round]
    one = plan(list(obstacles), start, goal)
    quarter = [(*across(pose[:2]), pose[2] + math.pi / 2) for pose in (start, goal)]
    two = plan(turned_round, *quarter)
    three = plan(beside, *((y, x, math.pi / 2 - h) for x, y, h in quarter))
    assert one.shunts == two.shunts == three.shunts
    assert two.path == pytest.approx(one.path, abs=1e-6)
    assert three.path == pytest.approx(one.path * (1.0, 1.0, -1.0, 1.0), abs=1e-6)


@pytest.mark.parametrize("name", CHOSEN)
def test_a_shop_turned_and_shifted_is_the_same_shop(name: str) -> None:
    obstacles, start, goal = CASES[name]
    frame = (3.0, -2.0, 0.7)
    moved = [turned(o, frame) for o in obstacles]

    def shift(pose: Pose) -> Pose:
        ((x, y),) = turned([pose[:2]], frame)
        return (x, y, pose[2] + frame[2])

    bounds = (-60.0, -60.0, 60.0, 60.0)
    one = plan_among(obstacles, CAR, RADIUS_M, start, goal, bounds=bounds)[0]
    two = plan_among(moved, CAR, RADIUS_M, shift(start), shift(goal), bounds=bounds)[0]
    assert two.solved
    assert abs(one.shunts - two.shunts) <= 2


def test_a_thing_that_ends_the_only_way_ends_it() -> None:
    obstacles, start, goal = CASES["perpendicular slot"]
    shut = [*obstacles, box(-1.0, -0.4, 1.0, -0.3)]
    found = plan(shut, start, goal)
    assert not found.solved
    assert np.isinf(found.seconds)
    assert goal[2] == UP

"""Many invented parking cases: every one is solved, and its path keeps clear when replayed by general geometry."""

from __future__ import annotations

import math

import pytest
import shapely
from drive_makers import CAR, at, bay, least_distance, step_through, turned
from parking_many import MANY

from standtrue.drive.engine import drive
from standtrue.drive.path.among import plan_among
from standtrue.model.basics import Outline

FEW = (
    "parallel, 0.6 m spare, street 5.0 m, radius 4.5 m",
    "square, aisle 5.5 m, radius 4.5 m, tail in",
    "slanted by 60 degrees",
    "lane 3.4 m wide, radius 5.5 m",
    "clutter of 100, radius 4.5 m",
    "comb, radius 5.5 m",
    "gates 2.0 m off, 10 mm",
    "corridor, 10 mm",
    "dead end 4.3 m wide",
    "hemmed in by 0.3 m and 0.3 m, radius 4.5 m",
    "turned and shifted gates",
)


def solved_and_clear(name: str, every: int) -> None:
    case = MANY[name]()
    things = shapely.union_all([shapely.Polygon(o) for o in case.obstacles])
    shapely.prepare(things)
    for pose in (case.start, case.goal):
        assert shapely.Polygon(turned(case.car, pose)).distance(things) > 0.0
    found, _ = plan_among(case.obstacles, case.car, case.radius_m, case.start, case.goal)
    assert found.solved
    poses = step_through(case.start, found.path)
    assert math.dist(poses[-1][:2], case.goal[:2]) <= 1e-6
    assert math.remainder(poses[-1][2] - case.goal[2], math.tau) == pytest.approx(0.0, abs=1e-6)
    assert abs(found.path[:, 2]).max() <= 1 / case.radius_m + 1e-9
    # Not even a touch: what is told to be clear must be clear in any other reckoning.
    assert least_distance(case.car, poses[::every], things) > 0.0


@pytest.mark.parametrize("name", FEW)
def test_solved_and_clear(name: str) -> None:
    solved_and_clear(name, 5)


@pytest.mark.parametrize(
    "odd",
    [
        ((-4.0, 3.0), (-4.0, 3.2), (-4.0, 6.0)),
        ((-4.0, 3.0), (-4.0, 6.0)),
        ((-4.0, 3.0),) * 3,
        ((-5.0, 3.0), (-3.0, 5.0), (-3.0, 3.0), (-5.0, 5.0)),
        ((-5.0, 3.0), (-5.0, 3.0), (-3.0, 3.0), (-3.0, 5.0), (-5.0, 3.0)),
    ],
)
def test_outlines_as_they_come_are_in_the_way(odd: Outline) -> None:
    # Without area, crossing itself, closed, with a point twice: in the middle of the aisle 6 m wide.
    case = MANY["square, aisle 6.0 m, radius 4.5 m, tail in"]()
    found, _ = plan_among([*case.obstacles, odd], case.car, case.radius_m, case.start, case.goal)
    if found.solved:
        poses = step_through(case.start, found.path)
        assert least_distance(case.car, poses[::5], shapely.MultiPoint(odd)) > 0.0


def test_where_the_car_stands_already_no_way_is_needed() -> None:
    case = MANY["square, aisle 6.0 m, radius 4.5 m, tail in"]()
    found, _ = plan_among(case.obstacles, case.car, case.radius_m, case.start, case.start)
    assert (found.solved, found.shunts, len(found.path)) == (True, 0, 0)
    answer = drive(bay(9.75), CAR, at(2.0, 2.0), at(2.0, 2.0))
    assert (answer.found, answer.shunts, answer.legs, answer.length_m) == (True, 0, (), 0.0)


@pytest.mark.long
@pytest.mark.parametrize("name", MANY)
def test_all_solved_and_clear_at_every_millimeter(name: str) -> None:
    solved_and_clear(name, 1)

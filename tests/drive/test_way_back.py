"""The way back is the way there driven the other way: told so, and found so."""

from __future__ import annotations

import math

import pytest
from attrs import evolve
from drive_makers import CAR, at, bay, box

from standtrue.drive.engine import drive
from standtrue.drive.question.answer import End, Mode
from standtrue.model.lift import Obstacle
from standtrue.model.site import Door

SITE = evolve(
    bay(16.0, 9.0),
    doors=(Door("door", (0.0, 2.0), (0.0, 6.0), 3.0),),
    obstacles=(Obstacle("post", box(9.0, 4.3, 9.3, 4.6), 0.0, 3.0),),
)
ENDS = (at(5.0, 3.0, 20.0), at(11.0, 6.5, 190.0), End(door="door"))


@pytest.mark.parametrize("mode", ["drive", "skates"])
@pytest.mark.parametrize("ends", [(0, 1), (1, 2), (2, 0)])
def test_what_is_found_for_the_way_back_is_the_way_there_driven_back(mode: Mode, ends: tuple[int, int]) -> None:
    one, two = (ENDS[i] for i in ends)
    there, found = drive(SITE, CAR, one, two, mode, quick=True), drive(SITE, CAR, two, one, mode, quick=True)
    told = there.back()
    assert told.found
    assert (told.shunts, told.doors_open, told.leg_at) == (found.shunts, found.doors_open, found.leg_at)
    assert told.length_m == pytest.approx(found.length_m, abs=1e-9)
    assert [leg.gear for leg in told.legs] == [leg.gear for leg in found.legs]
    for mine, theirs in zip(told.legs, found.legs, strict=True):
        assert mine.length_m == pytest.approx(theirs.length_m, abs=1e-9)
        assert mine.curvature_per_m == pytest.approx(theirs.curvature_per_m, abs=1e-9)
        assert mine.turn_rad == pytest.approx(theirs.turn_rad, abs=1e-9)
        assert math.remainder(mine.direction_rad - theirs.direction_rad, math.tau) == pytest.approx(0.0, abs=1e-9)
    for mine_at, theirs_at in zip(told.poses, found.poses, strict=True):
        assert math.dist((mine_at.x_m, mine_at.y_m), (theirs_at.x_m, theirs_at.y_m)) <= 1e-8
        assert abs(math.remainder(mine_at.heading_rad - theirs_at.heading_rad, math.tau)) <= 1e-8


def test_there_and_back_and_there_again_is_the_way_there() -> None:
    there = drive(SITE, CAR, ENDS[0], ENDS[1], quick=True)
    again = there.back().back()
    assert again.poses == there.poses
    assert again.legs == there.legs
    assert again.leg_at == there.leg_at


def test_where_there_is_no_way_there_is_none_back() -> None:
    refused = drive(SITE, CAR, at(0.5, 0.5), ENDS[0], quick=True).back()
    assert not refused.found
    assert refused.legs == ()

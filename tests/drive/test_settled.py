"""Trenches across a floor and floors strewn with things: a way is found, or it is proven that there is none."""

from __future__ import annotations

import numpy as np
import pytest
from drive_makers import CAR, Pose, packed_room
from settled_cases import CLUTTERS, TRENCHES, Settled, clutter, trench

from standtrue.drive.engine import drive
from standtrue.drive.kernels.flood import JOINED, PARTED, flood
from standtrue.drive.proofs.no_way import MOST_FLOODED, boxes_for, parted


def settled(case: Settled) -> None:
    answer = drive(case.site, CAR, case.start, case.goal)
    assert (answer.found, answer.proven) == (case.passable, not case.passable)


@pytest.mark.parametrize("number", [0, 1, 17])
def test_a_trench_across_the_floor(number: int) -> None:
    settled(trench(number))


@pytest.mark.parametrize("number", [1])
def test_three_hundred_things(number: int) -> None:
    settled(clutter(number))


@pytest.mark.long
@pytest.mark.parametrize("number", range(TRENCHES))
def test_every_trench_is_settled(number: int) -> None:
    settled(trench(number))


@pytest.mark.long
@pytest.mark.parametrize("number", range(CLUTTERS))
def test_all_clutter_is_settled(number: int) -> None:
    settled(clutter(number))


def flooded(one: Pose, two: Pose, most: int) -> int:
    packed = packed_room(9.75)
    boxes = boxes_for(packed.bounds, 0.1, 120)
    return int(flood(packed.world, boxes, np.array([one]), np.array([two]), most))


def test_a_flood_parts_what_cannot_be_turned_and_joins_what_can_be_driven() -> None:
    # The room is narrower than the car is long from corner to corner (5.05 m): it cannot be turned round in it.
    assert flooded((2.0, 2.4, 0.0), (7.0, 2.4, np.pi), MOST_FLOODED) == PARTED
    assert flooded((2.0, 2.0, 0.0), (4.0, 2.6, 0.0), MOST_FLOODED) == JOINED


def test_a_flood_that_finds_no_room_in_memory_proves_nothing() -> None:
    packed = packed_room(9.75)
    ends = np.array([(2.0, 2.4, 0.0)]), np.array([(7.0, 2.4, np.pi)])
    assert parted(packed, *ends, fineness=1) is not None
    x0, y0, x1, y1 = packed.bounds
    wide = type(packed)(packed.world, packed.part_of, packed.solid_of, (x0 - 900.0, y0, x1 + 900.0, y1))
    assert parted(wide, *ends, fineness=1) is None

"""How many changes of direction any way takes at least: closed forms, and paths driven at random."""

from __future__ import annotations

import math
import random

import pytest
from drive_makers import CAR, GAP_M, RADIUS_M, WIDE_M, at, bay, least_distance, outside_of, packed_room, step_through

from standtrue.drive.engine import drive
from standtrue.drive.proofs.one_gear import STRETCHES_M, is_shut
from standtrue.drive.world.packed import Packed
from standtrue.show.words.drive import turns_words
from standtrue.show.words.reader import ENGLISH, Reader

FRONT_M = CAR.front_x_m


def boxed(spare_m: float) -> tuple[Packed, tuple[float, float, float]]:
    """A car in the middle of a room so much longer, ahead and behind, than it and its gaps."""
    return packed_room(CAR.length_m + 2 * GAP_M + 2 * spare_m), (GAP_M + spare_m - CAR.rear_x_m, WIDE_M / 2, 0.0)


def test_a_car_that_faces_a_wall_at_both_ends_turns_back_once_at_least() -> None:
    """From wall to wall beside: it backs out and drives in again. Once is enough, and then so is said."""
    room = bay(14.0, 9.0)
    start, goal = at(14.0 - FRONT_M - 0.1, 2.0), at(14.0 - FRONT_M - 0.1, 7.0)
    way = drive(room, CAR, start, goal)
    assert way.found
    assert way.shunts_at_least == 1
    assert way.shunts >= 1
    said = turns_words(way, ENGLISH)
    assert "proven" in said
    assert "probado" in turns_words(way, Reader(language="es"))


def test_nothing_is_proven_where_a_car_may_go_on_ahead() -> None:
    way = drive(bay(20.0, 12.0), CAR, at(2.0, 2.0), at(12.0, 2.0))
    assert (way.shunts, way.shunts_at_least) == (0, 0)
    assert "proven" not in turns_words(way, ENGLISH)


@pytest.mark.parametrize("stretch", STRETCHES_M)
def test_a_wall_shuts_a_gear_where_the_least_advance_of_a_stretch_is_more_than_there_is_room(stretch: float) -> None:
    """On a circle of the least radius a car advances least: the radius times the sine of the turn."""
    room, end = boxed(0.9 * RADIUS_M * math.sin(stretch / RADIUS_M))
    assert is_shut(room, RADIUS_M, end, 1)
    assert is_shut(room, RADIUS_M, end, -1)
    assert not is_shut(room, RADIUS_M, end, 1, stretch)


def test_what_can_be_gone_straight_is_not_shut() -> None:
    room, end = boxed(STRETCHES_M[-1] + 0.01)
    assert not is_shut(room, RADIUS_M, end, 1)
    assert not is_shut(room, RADIUS_M, end, -1)


def test_no_path_driven_at_random_in_one_gear_leaves_a_place_that_is_said_to_be_shut() -> None:
    chance, shut = random.Random(15), 0
    for _ in range(60):
        long = CAR.length_m + 2 * GAP_M + chance.uniform(0.05, 3.0)
        walls = outside_of(((0.0, 0.0), (long, 0.0), (long, WIDE_M), (0.0, WIDE_M)))
        spare = long - CAR.length_m - 2 * GAP_M
        start = (-CAR.rear_x_m + GAP_M + chance.uniform(0.0, spare), chance.uniform(1.2, WIDE_M - 1.2), 0.0)
        for gear in (1, -1):
            if is_shut(packed_room(long), RADIUS_M, start, gear):
                shut += 1
                for _ in range(10):
                    turns = [chance.choice([-1.0, 0.0, 1.0]) / RADIUS_M for _ in range(4)]
                    path = [(gear, 0.0, gear * k, STRETCHES_M[-1] / 4) for k in turns]
                    assert least_distance(CAR.body, step_through(start, path, 0.02), walls) < GAP_M
    assert shut > 20

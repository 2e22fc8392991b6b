"""Landmarks: what somebody at a target sees in a direction. The room is small enough to be seen by eye in the test."""

from __future__ import annotations

import math

import pytest
from attrs import evolve

from standtrue.aim.corrections import Correction
from standtrue.model.ground import Grounds
from standtrue.model.lift import Obstacle
from standtrue.model.reason import Ref
from standtrue.model.site import Datum, Door, Equipment, Mark, Site
from standtrue.show.words.aim import correction_steps
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.work.aim.landmarks import landmark, named_things


def box(x0: float, y0: float, x1: float, y1: float) -> tuple[tuple[float, float], ...]:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


BENCH = Equipment("rolling bench", "bench", height_m=0.9, store=box(8.0, 4.0, 9.0, 6.0))
COLUMN = Obstacle("column", box(6.5, 4.9, 6.7, 5.1), 0.0, 4.0)
SITE = Site(
    "room",
    box(0.0, 0.0, 12.0, 10.0),
    Datum((0.0, 0.0)),
    marks=(Mark("stud", (5.0, 8.0)), Mark("under the board", (5.1, 5.0))),
    doors=(Door("street door", (0.0, 3.0), (0.0, 7.0), 3.0),),
    equipment=(BENCH,),
)
HERE = (5.0, 5.0)
EAST, NORTH, WEST, SOUTH = 0.0, math.pi / 2, math.pi, -math.pi / 2


def seen(site: Site, towards: float, in_use: frozenset[str] = frozenset()) -> Ref | None:
    ground = Grounds(site).at_rest()
    return landmark(ground, named_things(ground, in_use), HERE, towards)


def test_each_way_has_its_own_landmark() -> None:
    assert seen(SITE, EAST) == Ref("equipment", "rolling bench")
    assert seen(SITE, NORTH) == Ref("mark", "stud")
    assert seen(SITE, WEST) == Ref("door", "street door")
    assert seen(SITE, SOUTH) == Ref("wall")


def test_the_nearest_is_named_and_what_is_hidden_is_not() -> None:
    with_column = evolve(SITE, obstacles=(COLUMN,))
    assert seen(with_column, EAST) == Ref("obstacle", "column")
    # A tall cupboard hides the stud, though it is not itself in the direction asked for beyond it.
    cupboard = Obstacle("cupboard", box(4.0, 6.5, 6.0, 7.0), 0.0, 2.0)
    assert seen(evolve(SITE, obstacles=(cupboard,)), NORTH) == Ref("obstacle", "cupboard")
    hanging = Obstacle("hose reel", box(4.5, 6.5, 5.5, 7.0), 2.4, 2.8)
    assert seen(evolve(SITE, obstacles=(hanging,)), NORTH) == Ref("mark", "stud")


def test_a_landmark_behind_a_partition_is_hidden() -> None:
    """A partition without a name hides, and is told as what it is: a wall."""
    partition = evolve(SITE, holes=(box(7.0, 0.1, 7.1, 9.9),))
    assert seen(partition, EAST) == Ref("wall")


def test_what_is_at_the_target_or_in_use_shows_no_direction() -> None:
    assert seen(SITE, EAST) != Ref("mark", "under the board")
    assert seen(SITE, EAST, frozenset({"rolling bench"})) == Ref("wall")


@pytest.mark.parametrize(
    ("reader", "words"),
    [
        (ENGLISH, "11 mm to the car's left (toward the rolling bench)"),
        (Reader("us", "es"), "7/16 in a la izquierda del auto (hacia «rolling bench»)"),
    ],
)
def test_a_shift_says_whose_left_and_toward_what(reader: Reader, words: str) -> None:
    shift = Correction(0.0, 0.011, toward=(("left", Ref("equipment", "rolling bench")),))
    assert correction_steps(shift, reader) == (words,)

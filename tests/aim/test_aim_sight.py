"""Whether hands can take a reading: against brute force in random rooms, and in cases that can be told by looking."""

from __future__ import annotations

import math

import aim_makers as make
import aim_rooms
import numpy as np
import pytest
from attrs import evolve
from sight_oracle import Oracle

from standtrue.aim.bodies import Reading
from standtrue.aim.candidates import target_candidates, tie_candidates
from standtrue.aim.planning import plan_setup
from standtrue.aim.scene import Scene
from standtrue.aim.sight import Sight, View, wheel_of
from standtrue.model.ground import Grounds
from standtrue.model.lift import Obstacle
from standtrue.model.reason import Ref
from standtrue.model.setup import LINES, Instrument
from standtrue.model.site import Void

TAPE = Instrument("distance", 0.001, plumbed=True)
STRAIGHT = Instrument("distance", 0.001)
LINE = Instrument("offset", 0.001, lines=("thrust line",))
STAFF = Instrument("height", 0.001)
LEVEL = Instrument("lean", math.radians(0.05))
BAG = (TAPE, STRAIGHT, LINE, STAFF, LEVEL)


def every_reading(scene: Scene) -> list[Reading]:
    """All that could be read, whether hands can or not."""
    found = [c for t in scene.targets for c in target_candidates(scene, t, BAG, None, tied=True)]
    found += tie_candidates(scene, BAG, None)
    return list(dict.fromkeys(c.reading for c in found))


def held_against_brute_force(seeds: range) -> tuple[int, int]:
    """How many readings are clear and how many are stopped, where both ways of looking agree."""
    clear = stopped = 0
    for seed in seeds:
        scene, ground = aim_rooms.random_scene(seed)
        oracle, readings = Oracle(scene, ground), every_reading(scene)
        for reading, view in zip(readings, Sight(scene, ground).views(readings), strict=True):
            if view.stopped_by:
                stopped += 1
                assert oracle.meets(reading, skin_m=-0.012), (seed, reading, view.stopped_by)
            else:
                clear += 1
                assert not oracle.meets(reading), (seed, reading)
    return clear, stopped


def planned_in_the_clear(seeds: range) -> int:
    """How many readings are asked for in random rooms: none of them meets a solid."""
    asked = 0
    for seed in seeds:
        scene, ground = aim_rooms.random_scene(seed)
        oracle = Oracle(scene, ground)
        plan = plan_setup(scene, (TAPE, LINE, STAFF, LEVEL), True, Sight(scene, ground))
        for one in plan.planned:
            view = one.candidate.view
            assert view is not None
            met = oracle.meets(one.reading, frames=not view.before_frames)
            assert not met, (seed, one.reading, met)
            asked += 1
    return asked


def test_no_way_that_is_called_clear_meets_a_solid_in_random_rooms() -> None:
    clear, stopped = held_against_brute_force(range(25))
    assert clear > 300
    assert stopped > 300


def test_no_reading_of_a_plan_meets_a_solid_in_40_random_rooms() -> None:
    assert planned_in_the_clear(range(100, 140)) > 200


@pytest.mark.long
def test_no_reading_of_a_plan_meets_a_solid_in_500_random_rooms() -> None:
    assert planned_in_the_clear(range(1000, 1500)) > 2500

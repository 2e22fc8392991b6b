"""A car that pitches and rolls with its floor: bobs hang along gravity. Held against rotations in space."""

from __future__ import annotations

import math

import aim_makers as make
import numpy as np
import pytest
from attrs import evolve
from numpy.typing import NDArray
from test_aim_ground_under import FEET, PLACE, floor_of, plane

from standtrue.aim.bodies import Reading
from standtrue.aim.candidates import target_candidates
from standtrue.aim.ground_under import floor_under
from standtrue.aim.points import END_HIGH_M, SUNK
from standtrue.aim.scene import Scene
from standtrue.model.setup import LINES, Instrument

Array = NDArray[np.float64]
FORWARD, LEFT = 0.006, -0.004
SECOND_ORDER_M = 2e-4
"""A tape on such a floor is longer by so much than the level way below it."""
HUB = make.CAR.tire_diameter_m / 2 * (1.0 - SUNK)
ROOM = evolve(make.SITE, outline=((-9.0, -9.0), (15.0, -9.0), (15.0, 21.0), (-9.0, 21.0)))


def on_a_slope() -> Scene:
    floor = floor_under(floor_of(plane(FORWARD, LEFT)), make.CAR, PLACE, FEET)
    flat = make.scene(place=PLACE)
    return evolve(flat, site=ROOM, floor=floor)


def in_space() -> Array:
    """The axes of the car in a level world, one a column: x rises by FORWARD a metre, y by LEFT."""
    c, s = math.cos(PLACE.heading_rad), math.sin(PLACE.heading_rad)
    ahead = np.array([c, s, FORWARD]) / math.hypot(1.0, FORWARD)
    side = np.array([-s, c, LEFT])
    side = side - (side @ ahead) * ahead
    side /= np.linalg.norm(side)
    return np.stack([ahead, side, np.cross(ahead, side)], axis=1)


def hub(x: float, y: float) -> tuple[float, float, float]:
    """A hub's face, 95 mm out of the wheel's middle, in the car's frame."""
    return x, y + math.copysign(make.CAR.hub_offset_m("front"), y), HUB


WIDE = make.BOARD.size_m[0] / 2 if make.BOARD.size_m is not None else 0.0
REAR, FRONT = hub(0.0, make.CAR.track_rear_m / 2), hub(make.CAR.wheelbase_m, make.CAR.track_front_m / 2)
BOARD = make.BOARD.at


def test_a_tape_on_the_floor_runs_between_where_bobs_fall() -> None:
    scene, world = on_a_slope(), in_space()
    board = world @ np.array(BOARD)
    # What a bob finds: the level distance of the points in space.
    hubs = {"hub rear left": world @ np.array(REAR), "hub front left": world @ np.array(FRONT)}
    for name, spot in hubs.items():
        reading = Reading("distance", (name,), ("board",), 0.0, 0.001, plumbed=True)
        network = scene.network([reading])
        (value,) = network.predict([reading], network.start)[0]
        assert value == pytest.approx(math.hypot(*(board - spot)[:2]), abs=SECOND_ORDER_M)
    # The same without the slope would be off by the pitch times how much higher the board is: 6 mm.
    assert abs(math.hypot(*(board - hubs["hub rear left"])[:2]) - math.dist(BOARD[:2], REAR[:2])) > 0.005


def test_an_offset_from_a_string_is_read_where_bobs_fall() -> None:
    scene, world = on_a_slope(), in_space()
    one, two, end = (world @ np.array(p) for p in (REAR, FRONT, BOARD))
    along = (two - one)[:2] / np.linalg.norm((two - one)[:2])
    way = (end - one)[:2]
    reading = Reading("offset", LINES["left string"], ("board",), 0.0, 0.0005)
    network = scene.network([reading])
    (value,) = network.predict([reading], network.start)[0]
    assert value == pytest.approx(along[0] * way[1] - along[1] * way[0], abs=SECOND_ORDER_M)


def test_the_derivatives_are_those_of_differences() -> None:
    scene = on_a_slope()
    readings = [
        Reading("distance", ("hub rear left",), ("board left",), 0.0, 0.001, plumbed=True),
        Reading("offset", LINES["right string"], ("board right",), 0.0, 0.001),
        Reading("angle", LINES["left string"], ("board left", "board right"), 0.0, 0.001),
        Reading("distance", ("A",), ("hub front right",), 0.0, 0.001, plumbed=True),
        Reading("distance", ("front of the car",), ("board",), 0.0, 0.001),
        Reading("lean", (), ("board",), 0.0, 0.001),
    ]
    network = scene.network(readings)
    at = network.start + 1e-3 * np.cos(np.arange(len(network.start)))
    slopes = network.predict(readings, at)[1]
    for column in range(len(at)):
        step = 1e-6 * (np.arange(len(at)) == column)
        ahead, behind = (network.predict(readings, at + sign * step)[0] for sign in (1.0, -1.0))
        assert slopes[:, column] == pytest.approx((ahead - behind) / 2e-6, abs=1e-6)


def test_a_straight_tape_starts_as_high_as_the_bumper_is() -> None:
    """Nobody measured how high: so a straight tape from it says little until somebody does, and that is asked for."""
    scene = make.scene()
    straight = Reading("distance", ("front of the car",), ("board",), 0.0, 0.001)
    network = scene.network([straight])
    (value,) = network.predict([straight], network.start)[0]
    front = make.CAR.wheelbase_m + make.CAR.front_overhang_m
    assert value == pytest.approx(math.hypot(BOARD[0] - front, BOARD[2] - END_HIGH_M))
    assert any(size.end[0] == "front of the car high" for size in network.priors)
    high = Reading("height", (), ("front of the car",), 0.0, 0.001)
    taken = (Instrument("distance", 0.001), Instrument("height", 0.001))
    asked = [c.reading for c in target_candidates(scene, scene.targets[0], taken, None)]
    assert high in asked
    (value,) = network.predict([high], network.start)[0]
    assert value == pytest.approx(END_HIGH_M)

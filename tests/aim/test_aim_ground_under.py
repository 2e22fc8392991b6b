"""The floor under a car and its targets: closed forms on planes and steps, and uncertainties by simulation."""

from __future__ import annotations

import math
from functools import cache

import aim_makers as make
import numpy as np
import pytest
from attrs import evolve
from numpy.typing import NDArray

from standtrue.aim.floor import SurveyedFloor
from standtrue.aim.ground_under import FloorUnder, floor_under
from standtrue.aim.survey_blunders import rough_m
from standtrue.model.anchors import in_frame
from standtrue.model.basics import Outline, Place
from standtrue.model.survey import SurveyPoint
from standtrue.model.vehicle import WHEELS

Array = NDArray[np.float64]

AT = [(0.75 * i, 0.75 * j) for i in range(9) for j in range(17)]
FOOT: Outline = ((-0.2, -0.4), (0.2, -0.4), (0.2, 0.4), (-0.2, 0.4))
PLACE = Place(3.0, 2.0, math.radians(84.0))


def foot(ahead_m: float, left_m: float, place: Place = PLACE) -> Outline:
    """A foot so far ahead of the rear axle's middle and to its left."""
    frame = ((place.x_m, place.y_m), place.heading_rad)
    (at,) = in_frame(frame, ((ahead_m, left_m),))
    return in_frame((at, place.heading_rad), FOOT)


FEET = {"board": foot(6.0, 0.0), "mat": foot(2.0, 1.6)}


def floor_of(heights_m: Array, u_m: float = 0.0005) -> SurveyedFloor:
    return SurveyedFloor([SurveyPoint(at, float(z), u_m) for at, z in zip(AT, heights_m, strict=True)])


def plane(along: float, left: float) -> Array:
    """Heights at the survey's points of a floor that rises so much a metre forward and to the car's left."""
    c, s = math.cos(PLACE.heading_rad), math.sin(PLACE.heading_rad)
    return np.array([0.2 + along * (c * x + s * y) + left * (c * y - s * x) for x, y in AT])


def under(heights_m: Array, u_m: float = 0.0005) -> FloorUnder:
    found = floor_under(floor_of(heights_m, u_m), make.CAR, PLACE, FEET)
    assert found is not None
    return found


def test_on_an_inclined_plane_the_floor_under_each_target_is_the_wheels_plane() -> None:
    found = under(plane(0.001, -0.0004))
    assert found.warp_m == pytest.approx(0.0, abs=1e-12)
    for name in FEET:
        above = found.above(name)
        assert above is not None
        assert above[0] == pytest.approx(0.0, abs=1e-12)
    assert found.pitch[0] == pytest.approx(-math.atan(0.001))
    assert found.roll[0] == pytest.approx(-math.atan(0.0004))
    assert found.tip(0.0)[0] == pytest.approx(math.atan(0.001))
    assert found.tip(math.pi)[0] == pytest.approx(-math.atan(0.001))
    # A board ahead that stands square to the floor looks back, leans by the slope for gravity, and by 0 for the car.
    square_to_floor_by_gravity = math.atan(0.001)
    assert square_to_floor_by_gravity + found.tip(math.pi)[0] == pytest.approx(0.0, abs=1e-12)


def test_a_step_under_the_target_is_told_whole() -> None:
    c, s = math.cos(PLACE.heading_rad), math.sin(PLACE.heading_rad)
    ahead = np.array([c * (x - PLACE.x_m) + s * (y - PLACE.y_m) for x, y in AT])
    found = under(plane(0.002, 0.001) + np.where(ahead > 4.5, 0.0065, 0.0))
    board, mat = found.above("board"), found.above("mat")
    assert board is not None
    assert mat is not None
    assert board[0] == pytest.approx(0.0065, abs=1e-9)
    assert mat[0] == pytest.approx(0.0, abs=1e-9)


def test_one_wheel_raised_warps_the_contacts() -> None:
    # Four contacts of a car with equal tracks: the plane takes all of a single wheel's rise d but d/4 with changing
    # signs, whatever the wheelbase (the residual's space is one vector, +1 -1 -1 +1, for a rectangle).
    at = [make.CAR.wheel_center(w) for w in WHEELS]
    assert abs(at[0][1]) == pytest.approx(abs(at[2][1]), abs=0.01)
    heights = np.zeros(len(AT))
    (x, y) = in_frame(((PLACE.x_m, PLACE.y_m), PLACE.heading_rad), (at[0],))[0]
    heights[[math.dist((x, y), p) < 0.9 for p in AT]] = 0.008
    found = under(heights)
    raised = float(found.contacts.value[0])
    assert raised > 0.006
    assert found.warp_m == pytest.approx(raised / 4, rel=0.02)


def test_what_was_not_surveyed_is_unknown() -> None:
    room = floor_of(np.zeros(len(AT)))
    beyond = {"board": foot(10.3, 0.0), "mat": foot(2.0, 1.6)}
    found = floor_under(room, make.CAR, PLACE, beyond)
    assert found is not None
    assert (found.targets, found.unsurveyed) == (("mat",), ("board",))
    assert found.above("board") is None
    # Part of one foot is enough, and so is part of one wheel.
    partly = floor_under(room, make.CAR, PLACE, {"board": foot(9.9, 0.0)})
    assert partly is not None
    assert partly.unsurveyed == ("board",)
    assert floor_under(room, make.CAR, Place(0.7, 2.0, math.pi / 2), {}) is None


@cache
def by_height() -> Array:
    """What each surveyed height alone makes of the joint quantities and the contacts: all are linear in the heights."""
    each = [under(row) for row in np.eye(len(AT))]
    return np.array([[*one.joint.value, *one.contacts.value] for one in each])


def surveyed_again(truth: Array, seed: int) -> Array:
    """The joint quantities and the contacts of 4,000 surveys of one floor, errors drawn from what is stated."""
    errors = np.random.default_rng(seed).normal(0.0, 0.0005, (4000, len(AT)))
    return (truth + errors) @ by_height()


def test_uncertainties_are_those_of_repeated_surveys() -> None:
    # Monte Carlo (JCGM 101) on one uneven floor.
    truth = np.random.default_rng(20).normal(0.0, 0.002, len(AT))
    told = under(truth, 0.0005)
    assert truth @ by_height() == pytest.approx([*told.joint.value, *told.contacts.value], abs=1e-12)
    rows = surveyed_again(truth, 21)[:, : len(told.joint.value)]
    assert rows.mean(axis=0) == pytest.approx(told.joint.value, abs=4e-5)
    simulated = np.cov(rows.T)
    scale = np.sqrt(np.outer(np.diag(simulated), np.diag(simulated)))
    assert told.joint.covariance / scale == pytest.approx(simulated / scale, abs=0.06)
    tips = np.arctan(rows @ told.rise_along(0.3))
    assert told.tip(0.3)[1] == pytest.approx(float(np.std(tips)), rel=0.05)


def test_the_uncertainty_of_a_prolonged_plane_lies_between_closed_forms() -> None:
    # Four points at the corners of a square of side 2 a, each known to u, and the plane prolonged to d from its middle
    # along one side: u sqrt(1/4 + d^2 / (4 a^2)); with a point of its own, known to u, u sqrt(5/4 + d^2 / (4 a^2)).
    square = evolve(make.CAR, wheelbase_m=2.0, track_front_m=2.0, track_rear_m=2.0, tire_width_m=1e-6)
    at = [(x + dx, y + dy) for x, y in ((0, 1), (0, -1), (2, 1), (2, -1)) for dx in (-0.2, 0.2) for dy in (-0.2, 0.2)]
    at += [(7 + dx, dy) for dx in (-0.2, 0.2) for dy in (-0.2, 0.2)]
    floor = SurveyedFloor([SurveyPoint(p, 0.0, 0.001) for p in at])
    tiny: Outline = tuple((7.0 + x * 1e-4, y * 1e-4) for x, y in FOOT)
    found = floor_under(floor, square, Place(0.0, 0.0, 0.0), {"board": tiny})
    assert found is not None
    above = found.above("board")
    assert above is not None
    # The height in the middle of four surveyed points is that of a diagonal of two of them, u / sqrt 2; the mean over
    # a patch takes in all four a little, so u is less than by the diagonal and more than by the mean of all four.
    most, least = (0.001 * math.sqrt((5 / 4 + 36 / 4) / n) for n in (2, 4))
    assert least < above[1] < most


def test_shims_bring_every_wheel_as_high_as_the_highest() -> None:
    truth = np.random.default_rng(7).normal(0.0, 0.003, len(AT))
    told = under(truth)
    shims = {wheel: height for wheel, height, _ in told.shims}
    raised = [float(h) + shims[w] for w, h in zip(WHEELS, told.contacts.value, strict=True)]
    assert raised == pytest.approx([max(raised)] * 4)
    assert min(shims.values()) == 0.0
    high = list(shims.values()).index(0.0)
    rows = surveyed_again(truth, 8)[:, -len(WHEELS) :]
    spread = np.std(rows[:, [high]] - rows, axis=0)
    assert [u for _, _, u in told.shims] == pytest.approx(list(spread), rel=0.1, abs=1e-9)


def test_what_lies_between_heights_is_known_as_well_as_is_told() -> None:
    """Floors that wave, read without error every 1.5 m: what is told of them covers how far they lie off straight."""
    rng = np.random.default_rng(7)
    at = [(1.5 * i, 1.5 * j) for i in range(7) for j in range(11)]
    off = []
    for _ in range(60):
        high, long, phase = rng.uniform(0.001, 0.004), rng.uniform(6.0, 9.0, 2), rng.uniform(0.0, math.tau, 2)

        def wave(x: float, y: float, high: float = high, long: Array = long, phase: Array = phase) -> float:
            return float(high * np.prod(np.sin(math.tau * np.array([x, y]) / long + phase)))

        points = [SurveyPoint((x, y), wave(x, y), 1e-6) for x, y in at]
        rough = rough_m(points)
        floor = SurveyedFloor(points)
        for x, y in rng.uniform((1.0, 1.0), (8.0, 13.0), (20, 2)):
            height = floor.height((x, y))
            assert height is not None
            off.append((wave(x, y) - height) / rough)
    assert 0.5 < math.sqrt(float(np.mean(np.square(off)))) < 1.2


def test_noise_of_a_survey_is_not_taken_for_a_rough_floor() -> None:
    rng = np.random.default_rng(3)
    points = [SurveyPoint(at, float(rng.normal(0.0, 0.0005)), 0.0005) for at in AT]
    assert rough_m(points) < 0.0001


def test_a_rough_floor_makes_the_floor_under_a_target_less_sure() -> None:
    flat = floor_of(np.zeros(len(AT)))
    smooth, rough = (floor_under(flat, make.CAR, PLACE, FEET, (), rough_m=rough) for rough in (0.0, 0.001))
    assert smooth is not None
    assert rough is not None
    for name in FEET:
        (_, before), (_, after) = smooth.above(name) or (0.0, 0.0), rough.above(name) or (0.0, 0.0)
        # Its own floor counts once; the plane of four wheels, prolonged, at least half of each.
        assert after**2 - before**2 > 1e-6 * (1.0 + 0.25)

"""Loads on a lift, and radar reflectors, by published and derived values."""

from __future__ import annotations

import math

import aim_makers as make
import numpy as np
import pytest
import shapely
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.aim.loads import axle_loads, check_loads, point_loads
from standtrue.aim.reflector import (
    BORESIGHT_RAD,
    aperture_edge,
    base_tip,
    cross_section,
    far_field,
    from_decibels,
    leg_for,
    off_axis,
    to_decibels,
)
from standtrue.model.lift import Arm, Lift, LiftState
from standtrue.model.verdict import Verdict
from standtrue.show.words.reader import ENGLISH

law = settings(derandomize=True, deadline=None, max_examples=100)
DECKS = Lift("decks", (LiftState("down", (0.0, 0.0), drive_on=True),), capacity_kg=3500.0, axle_capacity_kg=1800.0)


def two_post(capacity_kg: float | None, arm_kg: float | None) -> Lift:
    arms = tuple(Arm((0.0, 0.0), (0.6, 1.2), (0.0, 1.0), arm_kg) for _ in range(4))
    return Lift("posts", (LiftState("down", (0.0, 0.0)),), "body", capacity_kg, arms=arms)


def test_an_arm_can_be_overloaded_though_the_whole_is_not() -> None:
    # lift.axle: statics; ISO 10392 relation x = m_r L / m; derived from the named formula.
    share = 1.0 - 1.62 / 2.7
    assert axle_loads(2400.0, share) == pytest.approx((960.0, 1440.0))
    points = ((0.0, 0.7), (0.0, -0.7), (2.7, 0.7), (2.7, -0.7))
    car = evolve(make.CAR, mass_kg=2400.0, wheelbase_m=2.7, front_axle_share=share, lift_points=points)
    answer = check_loads(car, two_post(2600.0, 650.0))
    assert answer.loads[0].ok is True
    assert [load.load_kg for load in answer.loads[1:3]] == [pytest.approx(720.0)] * 2
    assert [load.ok for load in answer.loads[1:]] == [False, False, True, True]
    assert not answer.may_lift
    assert check_loads(car, two_post(2600.0, 750.0)).may_lift


def test_axles_on_decks_and_what_is_not_known() -> None:
    answer = check_loads(make.CAR, DECKS)
    assert answer.may_lift
    assert [ENGLISH.write(load.part) for load in answer.loads] == ["the whole car", "front axle", "rear axle"]
    assert not check_loads(make.CAR, evolve(DECKS, axle_capacity_kg=900.0)).may_lift
    unknown = check_loads(evolve(make.CAR, mass_kg=None), evolve(DECKS, axle_capacity_kg=None))
    assert not unknown.may_lift
    assert make.said(unknown.missing) == ("the car's mass", "the lift's capacity for one axle")
    assert make.said(check_loads(make.CAR, two_post(3000.0, 900.0)).missing) == ("the car's lift points",)


def test_a_car_that_would_tip() -> None:
    points = ((1.9, 0.7), (1.9, -0.7), (2.7, 0.7), (2.7, -0.7))
    answer = check_loads(evolve(make.CAR, lift_points=points, front_axle_share=0.45), two_post(5000.0, 5000.0))
    assert answer.tips
    assert not answer.may_lift
    assert answer.verdict is Verdict.REJECT
    lifted = [load for load in answer.loads if load.load_kg is not None and load.load_kg <= 0.0]
    assert len(lifted) == 2
    assert all(load.ok is False and not load.too_much for load in lifted)
    assert not any(load.too_much for load in answer.loads)
    with pytest.raises(ValueError, match="one line"):
        point_loads(1000.0, (0.0, 0.0), ((0.0, 0.0), (1.0, 0.0), (2.0, 0.0)))


def test_the_verdict_on_loads() -> None:
    assert check_loads(make.CAR, DECKS).verdict is Verdict.ACCEPT
    assert check_loads(make.CAR, evolve(DECKS, axle_capacity_kg=900.0)).verdict is Verdict.REJECT
    assert check_loads(make.CAR, evolve(DECKS, axle_capacity_kg=None)).verdict is Verdict.CANNOT_TELL


@law
@given(st.lists(st.tuples(st.floats(-2, 2), st.floats(-1, 1)), min_size=4, max_size=4), st.floats(-0.5, 0.5))
def test_loads_balance(points: list[tuple[float, float]], x: float) -> None:
    try:
        loads = point_loads(1500.0, (x, 0.1), points)
    except ValueError:
        return
    assert sum(loads) == pytest.approx(1500.0, rel=1e-6)
    assert sum(load * px for load, (px, _) in zip(loads, points, strict=True)) == pytest.approx(1500.0 * x, abs=1e-3)
    assert sum(load * py for load, (_, py) in zip(loads, points, strict=True)) == pytest.approx(150.0, abs=1e-3)


# rcs.*: 4 pi a^4 / (3 lambda^2), Doerry SAND2014-0882; published, seen quoted. The edge is the leg along the right
# angle.
@pytest.mark.parametrize(
    ("ghz", "leg", "dbsm"),
    [
        (24.125, 0.10, 4.33),
        (76.5, 0.08, 10.48),
        (76.5, 0.10, 14.36),
        (77.0, 0.08, 10.54),
        (77.0, 0.10, 14.41),
        (77.0, 0.15, 21.46),
        (5.405, 2.5, 47.26),  # rcs.esa: ESA STEP forum, thread 14333; published, seen quoted
    ],
)
def test_cross_section_of_a_trihedral(ghz: float, leg: float, dbsm: float) -> None:
    assert to_decibels(cross_section(leg, ghz * 1e9)) == pytest.approx(dbsm, abs=0.01)


def test_cross_section_at_half_the_efficiency() -> None:
    # A public page gives 7.528 dBsm at 77 GHz, 80 mm, efficiency 0.5; published, seen quoted.
    assert to_decibels(cross_section(0.08, 77e9, 0.5)) == pytest.approx(7.528, abs=0.001)


# rcs.inverse: the same formula; derived from it.
@pytest.mark.parametrize(("ghz", "leg_mm"), [(24.125, 138.6), (76.5, 77.8), (77.0, 77.6)])
def test_leg_for_10_dbsm(ghz: float, leg_mm: float) -> None:
    assert leg_for(from_decibels(10.0), ghz * 1e9) * 1000 == pytest.approx(leg_mm, abs=0.05)


@law
@given(st.floats(0.01, 3.0), st.floats(1e9, 1e11))
def test_leg_there_and_back(leg: float, frequency: float) -> None:
    assert leg_for(cross_section(leg, frequency), frequency) == pytest.approx(leg, rel=1e-9)
    assert from_decibels(to_decibels(leg)) == pytest.approx(leg, rel=1e-9)


def test_far_field() -> None:
    # farfield: 2 D^2 / lambda (IEEE 149; Balanis); from memory.
    assert far_field(0.1, 77e9) == pytest.approx(5.14, abs=0.005)
    assert far_field(0.075, 77e9) == pytest.approx(2.89, abs=0.005)


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan])
def test_nothing_but_positive_sizes(bad: float) -> None:
    with pytest.raises(ValueError, match=r"longer than 0|positive"):
        cross_section(bad, 77e9)
    with pytest.raises(ValueError, match="positive"):
        far_field(0.1, bad)
    with pytest.raises(ValueError, match="positive"):
        to_decibels(bad)
    with pytest.raises(ValueError, match="positive"):
        leg_for(bad, 77e9)


def seen_area(direction: np.ndarray) -> float:
    """The part of a unit trihedral's opening from which light comes back, by brute geometry.

    What enters at a point of the opening leaves at its mirror image in the corner (three reflections turn a ray round
    through the corner): the opening seen along the direction, and the same turned half round, overlap.
    """
    one = np.cross(direction, [1.0, 0.3, -0.2])
    one /= np.linalg.norm(one)
    seen = np.eye(3) @ np.array([one, np.cross(direction, one)]).T
    return float(shapely.Polygon(seen).intersection(shapely.Polygon(-seen)).area)


def test_the_axis_of_a_corner() -> None:
    # The space diagonal of a cube: 35.2644 degrees above its faces, 54.7356 from its edges; solid geometry.
    assert math.degrees(BORESIGHT_RAD) == pytest.approx(35.2644, abs=5e-5)
    assert math.degrees(base_tip(0.0, 2.0)) == pytest.approx(35.2644, abs=5e-5)
    assert math.degrees(base_tip(0.2, 2.0)) == pytest.approx(35.2644 - 5.7106, abs=1e-4)
    assert off_axis(0.0, BORESIGHT_RAD, 0.0) == pytest.approx((0.0, 1.0), abs=1e-7)
    with pytest.raises(ValueError, match="positive"):
        base_tip(0.2, 0.0)


@law
@given(st.floats(-0.2, 0.2), st.floats(-0.6, 0.6), st.floats(-0.6, 0.6))
def test_the_loss_off_the_axis_is_that_of_the_opening_seen(sight: float, more: float, turn: float) -> None:
    tip = BORESIGHT_RAD - sight + more
    off, share = off_axis(sight, tip, turn)
    # The reflector's edges in the room: two level ones at 45 degrees to either side, one upright; tipped, then turned.
    edges = np.array([[1, -1, 0], [1, 1, 0], [0, 0, math.sqrt(2)]]) / math.sqrt(2)
    c, s = math.cos(tip), math.sin(tip)
    tipped = edges @ np.array([[c, 0, -s], [0, 1, 0], [s, 0, c]])
    radar = np.array([math.cos(sight) * math.cos(turn), math.cos(sight) * math.sin(turn), math.sin(sight)])
    direction = tipped @ radar
    assert math.cos(off) == pytest.approx(float(direction.sum()) / math.sqrt(3), abs=1e-9)
    if share is None:
        assert off > math.radians(25.0)
    else:
        assert share == pytest.approx(3 * seen_area(direction) ** 2, abs=1e-9)


def test_the_far_field_of_the_opening_is_twice_that_of_the_leg() -> None:
    assert far_field(aperture_edge(0.08), 77e9) == pytest.approx(2 * far_field(0.08, 77e9))

"""Lay-out: where targets go, and the dimensions to find and check them by."""

from __future__ import annotations

import math

import aim_makers as make
import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.aim.layout import car_offsets, hub_spots, lay_out, target_places
from standtrue.model.anchors import in_frame
from standtrue.model.basics import Place
from standtrue.model.procedure import Target, TargetPosition
from standtrue.model.site import Datum

law = settings(derandomize=True, deadline=None, max_examples=60)
AHEAD = Place(0.0, 0.0, 0.0)
MINUTE = math.radians(1 / 60)


def test_a_target_on_the_thrust_line() -> None:
    # align.target.1: plane geometry; derived. 5 minutes to the right, 4 m ahead of the rear axle.
    board = evolve(make.BOARD, at=(4.0, 0.0, 1.4))
    (found,) = target_places(make.card(board), make.CAR, AHEAD, -5 * MINUTE)
    assert found.center[1] * 1000 == pytest.approx(-5.818, abs=5e-4)
    assert found.facing_rad == pytest.approx(math.pi - 5 * MINUTE)
    (straight,) = target_places(make.card(evolve(board, line="centerline")), make.CAR, AHEAD, -5 * MINUTE)
    assert straight.center == pytest.approx((4.0, 0.0, 1.4))


def test_anchors_that_are_points_stay_and_those_that_are_lines_slide() -> None:
    turn = math.radians(1.0)
    front = evolve(make.BOARD, anchor="front axle", at=(2.0, 0.0, 1.4))
    (found,) = target_places(make.card(front), make.CAR, AHEAD, turn)
    along = make.CAR.wheelbase_m + 2.0
    assert found.center[:2] == pytest.approx((along * math.cos(turn), along * math.sin(turn)))
    at_sensor = evolve(make.BOARD, anchor="sensor", at=(2.0, 0.0, 1.4))
    (found,) = target_places(make.card(at_sensor), make.CAR, AHEAD, turn)
    assert found.center[:2] == pytest.approx((1.925 + 2 * math.cos(turn), 2 * math.sin(turn)))


def test_a_corner_sensors_target_looks_back_at_it() -> None:
    corner = Target("reflector", "sensor", (2.5, 0.0, 0.68), math.pi, turned=True)
    card = make.card(corner, sensor="rear corner radar")
    (found,) = lay_out(card, make.CAR, make.SITE, make.PLACE)
    assert found.sensor is not None
    assert found.sensor.straight_m == pytest.approx(2.5)
    assert found.sensor.rise_m == pytest.approx(0.0)
    assert found.place.facing_rad == pytest.approx(make.PLACE.heading_rad + math.radians(140.0) + math.pi)
    with pytest.raises(KeyError, match="no lidar with a position"):
        lay_out(make.card(corner, sensor="lidar"), make.CAR, make.SITE, make.PLACE)


def test_heights_on_a_raised_lift() -> None:
    floor_bound = evolve(make.BOARD, name="low", from_floor=True)
    raised, low = target_places(make.card(make.BOARD, floor_bound), make.CAR, AHEAD, height_m=0.9)
    assert (raised.center[2], low.center[2]) == pytest.approx((2.3, 1.4))
    assert hub_spots(make.CAR, AHEAD, 0.9)["wheel front left"][2] == pytest.approx(0.9 + 0.334)


def test_positions_one_after_another_and_swept_paths() -> None:
    moving = evolve(
        make.BOARD,
        positions=(TargetPosition((6.0, 0.0, 1.4)), TargetPosition((6.0, 1.0, 1.4), math.radians(170.0))),
        swept=((5.0, -1.0), (5.0, 1.0)),
    )
    first, second = target_places(make.card(moving), make.CAR, make.PLACE)
    assert (first.name, second.name) == ("board 1", "board 2")
    assert second.center[:2] == pytest.approx((2.0, 8.0))
    assert second.facing_rad - make.PLACE.heading_rad == pytest.approx(math.radians(170.0))
    assert [c for at in first.swept for c in at] == pytest.approx([4.0, 7.0, 2.0, 7.0])


def test_diagonals_prove_squareness() -> None:
    (found,) = lay_out(make.card(), make.CAR, make.SITE, make.PLACE)
    left_left, left_right, right_left, right_right = (d.plan_m for d in found.diagonals)
    assert left_left == pytest.approx(right_right)
    assert left_right == pytest.approx(right_left)
    assert left_right > left_left
    assert left_left == pytest.approx(math.hypot(6.0, 0.8 - 0.6))
    rear_left = next(h for h in found.hubs if h.start == "wheel rear left")
    assert rear_left.plan_m == pytest.approx(math.hypot(6.0, 0.8))
    assert rear_left.straight_m == pytest.approx(math.hypot(6.0, 0.8, 1.4 - 0.334))
    (askew,) = lay_out(make.card(), make.CAR, make.SITE, make.PLACE, math.radians(0.5))
    assert askew.diagonals[0].plan_m != pytest.approx(askew.diagonals[3].plan_m, abs=1e-3)


@law
@given(st.floats(-4, 4), st.floats(-4, 4), st.floats(-3.1, 3.1), st.floats(-0.02, 0.02), st.floats(-3.1, 3.1))
def test_dimensions_hang_on_nothing_but_the_stance(
    x: float, y: float, heading: float, thrust: float, way: float
) -> None:
    """Distances from the car do not change with the stance, and offsets lead back to the place."""
    site = evolve(make.SITE, datum=Datum((1.0, -2.0), way))
    (here,) = lay_out(make.card(), make.CAR, site, Place(x, y, heading), thrust)
    (plain,) = lay_out(make.card(), make.CAR, site, AHEAD, thrust)
    for one, two in zip((*here.hubs, *here.diagonals), (*plain.hubs, *plain.diagonals), strict=True):
        assert one.straight_m == pytest.approx(two.straight_m, abs=1e-9)
    marks = {"datum": site.datum.at, **{m.name: m.at for m in site.marks}}
    assert [o.mark for o in here.offsets] == list(marks)
    for offset in here.offsets:
        ((bx, by),) = in_frame((marks[offset.mark], way), ((offset.along_m, offset.left_m),))
        assert (bx, by) == pytest.approx(here.place.center[:2], abs=1e-9)
        assert offset.plan_m == pytest.approx(math.hypot(offset.along_m, offset.left_m))


def test_the_car_itself_can_be_laid_out() -> None:
    wheels = dict(car_offsets(make.CAR, make.SITE, make.PLACE))
    datum = wheels["wheel rear left"][0]
    assert (datum.along_m, datum.left_m) == pytest.approx((2.2, 2.0))

"""Closed forms of turning: the road designers' passenger car, the parking slot, the angles of the front wheels."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from drive_makers import ASK, box

from standtrue.drive.kernels.motion import advance
from standtrue.drive.path.find import find_path
from standtrue.drive.path.found import Found
from standtrue.drive.path.swept import poses_on, swept_by
from standtrue.drive.world.packed import Part, Solid, pack
from standtrue.model.reason import Ref
from standtrue.model.vehicle import Vehicle
from standtrue.plane.shapes import convex_pieces, polygon

FOOT_M = 0.3048


def test_the_passenger_car_template() -> None:
    # aashto.P of the project's check values: AASHTO Green Book tables 2-4/2-5, design vehicle P;
    # standing: published, seen quoted.
    long, wide, base, front, centerline = 19.0, 7.0, 11.0, 3.0, 21.0
    length, width = FOOT_M * long, FOOT_M * wide
    car = Vehicle("P", length, width, width, 1.5, FOOT_M * base, FOOT_M * front, 1.8, 1.8, 0.2, 0.65, 0.15)
    radius = math.sqrt(centerline**2 - base**2)
    arc = np.array([(1.0, 0.0, 1 / (FOOT_M * radius), FOOT_M * radius * math.pi)])
    swept = swept_by(car, poses_on(np.zeros(3), arc)[0])
    center = shapely.Point(0.0, FOOT_M * radius)
    inner = center.distance(swept) / FOOT_M
    outer = shapely.hausdorff_distance(swept.intersection(shapely.box(-50, -50, 50, FOOT_M * radius)), center) / FOOT_M
    assert inner == pytest.approx(14.39, abs=0.1)
    assert outer == pytest.approx(25.56, abs=0.1)
    assert inner == pytest.approx(14.4, rel=0.01)
    assert outer == pytest.approx(25.5, rel=0.01)


def leave_slot(extra_m: float) -> Found:
    """Out of a slot `extra_m` longer than the car, from its rear end, into the street; the kerb is for wheels only."""
    # drive.blackburn of the project's check values: R. R. Blackburn 2009; published, seen quoted. sqrt(r^2 - l^2) there
    # is the distance of the car's outer side from the center of its tightest turn: 5.0 + 1.85 / 2.
    long, wide, base, front = 4.7, 1.85, 2.75, 0.95
    rear = base + front - long
    body = Part("body", convex_pieces(polygon(box(rear, -wide / 2, base + front, wide / 2))))
    wheels = Part("wheels", convex_pieces(polygon(box(-0.1, -wide / 2 + 0.005, 0.1, wide / 2 - 0.005))))
    ahead = Solid(
        Ref("", "car ahead"),
        convex_pieces(polygon(box(base + front + extra_m, -wide / 2, 14.0, wide / 2))),
        {"body": 0.0},
    )
    behind = Solid(Ref("", "car behind"), convex_pieces(polygon(box(-9.0, -wide / 2, rear, wide / 2))), {"body": 0.0})
    kerb = Solid(Ref("", "kerb"), convex_pieces(polygon(box(-9.0, -4.0, 14.0, -wide / 2))), {"wheels": 0.0})
    packed = pack([body, wheels], [ahead, behind, kerb], (-9.0, -4.0, 20.0, 12.0), 1.4)
    return find_path(packed, ASK, [(0.0, 0.0, 0.0)], [(9.0, 5.0, 0.0)])


def test_a_parking_slot_a_centimeter_longer_or_shorter() -> None:
    extra = math.sqrt(5.925**2 + 3.7**2 - (5.925 - 1.85) ** 2) - 3.7
    assert extra == pytest.approx(1.9736, abs=5e-5)
    assert leave_slot(extra + 0.01).shunts == 0
    tight = leave_slot(extra - 0.01)
    assert tight.solved
    assert tight.shunts >= 1


def test_front_wheels_point_as_ackermann_says() -> None:
    # Rolling without slip: each wheel moves square to the line from the center of the turn, so that
    # cot(outer) - cot(inner) = track / wheelbase (Ackermann 1818, as in any textbook of vehicle dynamics).
    base, track, radius, little = 2.75, 1.55, 5.0, 1e-7
    x, y, h = advance(0.0, 0.0, 0.0, 1.0, 0.0, 1 / radius, little)
    angles = []
    for side in (track / 2, -track / 2):
        moved = (x + math.cos(h) * base - math.sin(h) * side, y + math.sin(h) * base + math.cos(h) * side)
        angles.append(math.atan2(moved[1] - side, moved[0] - base))
    inner, outer = angles
    assert 1 / math.tan(outer) - 1 / math.tan(inner) == pytest.approx(track / base, abs=1e-5)

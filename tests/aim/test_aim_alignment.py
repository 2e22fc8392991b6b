"""Wheel alignment: published and derived values, exact kinematics, limits and the gate."""

from __future__ import annotations

import math

import aim_makers as make
import numpy as np
import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.aim.alignment import (
    Angle,
    all_angles,
    caster_from_sweep,
    check_alignment,
    set_back_angle,
    toe_angle,
    toe_length,
)
from standtrue.aim.layout import target_places
from standtrue.aim.tilt import off_aim
from standtrue.model.basics import Place
from standtrue.model.verdict import Verdict

law = settings(derandomize=True, deadline=None, max_examples=100)
MINUTE = math.radians(1 / 60)


def degrees(value: float, u: float = 0.0) -> Angle:
    return Angle(math.radians(value), math.radians(u))


def test_thrust_angle_from_the_rear_toes() -> None:
    # align.thrust.1: plane geometry, the thrust line bisects the rear toes; derived.
    toes = {"toe rear left": Angle(15 * MINUTE), "toe rear right": Angle(5 * MINUTE)}
    angles = all_angles(toes)
    assert angles["thrust angle"].value_rad / MINUTE == pytest.approx(5)
    heading = check_alignment(make.CAR, toes).thrust_heading
    assert heading is not None
    assert math.degrees(heading.value_rad) == pytest.approx(-0.083333, abs=1e-6)
    assert angles["total toe rear"].value_rad / MINUTE == pytest.approx(20)
    # align.thrust.2: the same; derived.
    angles = all_angles({"toe rear left": Angle(15 * MINUTE), "toe rear right": Angle(-5 * MINUTE)})
    assert angles["thrust angle"].value_rad / MINUTE == pytest.approx(10)
    assert angles["total toe rear"].value_rad / MINUTE == pytest.approx(10)


def test_target_on_the_thrust_line() -> None:
    # align.target.1: plane geometry; derived. Left is positive.
    for ahead, left, off in ((4.0, -0.005818, 5e-7), (100.0, -0.1454, 5e-5)):
        card = make.card(evolve(make.BOARD, at=(ahead, 0.0, 1.4)))
        (target,) = target_places(card, make.CAR, Place(0.0, 0.0, 0.0), -5 * MINUTE)
        assert target.center[1] == pytest.approx(left, abs=off)


# align.toe_mm.*: D sin(toe), rim-diameter practice; derived from the named formula.
@pytest.mark.parametrize(("diameter_mm", "toe_mm"), [(381.0, 0.665), (406.4, 0.709), (457.2, 0.798), (600.0, 1.047)])
def test_toe_as_a_length(diameter_mm: float, toe_mm: float) -> None:
    assert toe_length(math.radians(0.1), diameter_mm / 1000) * 1000 == pytest.approx(toe_mm, abs=5e-4)


@law
@given(st.floats(-0.1, 0.1), st.floats(0.2, 1.0))
def test_toe_there_and_back(toe: float, diameter: float) -> None:
    assert toe_angle(toe_length(toe, diameter), diameter) == pytest.approx(toe, abs=1e-12)


def test_no_toe_longer_than_the_rim() -> None:
    with pytest.raises(ValueError, match="rim"):
        toe_angle(0.5, 0.4)


def test_caster_from_a_steer_sweep() -> None:
    # align.caster: small-angle kinematics (Gillespie; Reimpell); from memory. The exact rotation below bears it out.
    caster = caster_from_sweep(math.radians(1.5), math.radians(-1.2), math.radians(20))
    assert math.degrees(caster) == pytest.approx(3.947, abs=5e-4)


@pytest.mark.parametrize("caster", [2.0, 6.0, 9.0])
@pytest.mark.parametrize("inclination", [8.0, 14.0])
@pytest.mark.parametrize("camber", [-1.0, 1.0])
def test_caster_by_the_exact_rotation_of_a_left_wheel(caster: float, inclination: float, camber: float) -> None:
    axis = np.array([-math.tan(math.radians(caster)), -math.tan(math.radians(inclination)), 1.0])
    axle = np.array([0.0, math.cos(math.radians(camber)), -math.sin(math.radians(camber))])
    out, inward = (_camber_steered(axis, axle, math.radians(s)) for s in (20.0, -20.0))
    found = math.degrees(caster_from_sweep(out, inward, math.radians(20.0)))
    assert found == pytest.approx(caster, rel=0.02)


def _camber_steered(axis: np.ndarray, axle: np.ndarray, steer_rad: float) -> float:
    """The camber of a left wheel turned about its steering axis until its plan direction has turned by `steer_rad`."""
    low, high = -1.2, 1.2
    for _ in range(60):
        turned = _rotated(axle, axis / np.linalg.norm(axis), (low + high) / 2)
        if math.atan2(-turned[0], turned[1]) < steer_rad:
            low = (low + high) / 2
        else:
            high = (low + high) / 2
    return -math.asin(turned[2])


def _rotated(vector: np.ndarray, axis: np.ndarray, angle: float) -> np.ndarray:
    """Rodrigues' rotation."""
    return np.asarray(
        vector * math.cos(angle)
        + np.cross(axis, vector) * math.sin(angle)
        + axis * float(axis @ vector) * (1 - math.cos(angle))
    )


def test_set_back() -> None:
    assert math.degrees(set_back_angle(0.005, 1.56)) == pytest.approx(0.1836, abs=5e-5)
    with pytest.raises(ValueError, match="steer"):
        caster_from_sweep(0.0, 0.0, 0.0)


# aim.0.1 to aim.1.0: R tan(e); derived from the named formula.
@pytest.mark.parametrize(("error", "lateral"), [(0.1, 0.1745), (0.3, 0.5236), (0.5, 0.8727), (1.0, 1.7455)])
def test_off_aim_at_100_m(error: float, lateral: float) -> None:
    assert off_aim(math.radians(error), 100.0) == pytest.approx(lateral, abs=5e-5)


def test_a_calibration_starts_only_when_every_limit_has_passed() -> None:
    good = {"toe rear left": degrees(0.08, 0.01), "toe rear right": degrees(0.06, 0.01)}
    answer = check_alignment(make.CAR, good)
    assert answer.may_calibrate
    assert answer.holds == ()
    assert answer.thrust_heading is not None
    assert math.degrees(answer.thrust_heading.value_rad) == pytest.approx(-0.01)
    assert math.degrees(answer.thrust_heading.u_rad) == pytest.approx(0.01 / math.sqrt(2))


@pytest.mark.parametrize(
    ("left", "right", "u", "verdict", "words"),
    [
        (0.30, 0.00, 0.01, Verdict.REJECT, "thrust angle is 0.15°, limits -0.10° to 0.10°: out of tolerance"),
        (0.24, 0.05, 0.01, Verdict.CANNOT_TELL, "too near a limit"),
        (0.24, 0.05, 0.0, Verdict.ACCEPT, ""),
    ],
)
def test_the_gate_holds_and_says_why(left: float, right: float, u: float, verdict: Verdict, words: str) -> None:
    answer = check_alignment(make.CAR, {"toe rear left": degrees(left, u), "toe rear right": degrees(right, u)})
    check = next(c for c in answer.checks if c.name == "thrust angle")
    assert check.verdict is verdict
    assert words in " ".join(make.said(answer.holds))
    assert answer.may_calibrate == (verdict is Verdict.ACCEPT)


def test_what_was_not_measured_holds_too() -> None:
    answer = check_alignment(make.CAR, {"total toe rear": degrees(0.1)})
    assert make.said(answer.holds) == ("thrust angle has not been measured",)
    assert check_alignment(make.CAR, {"total toe rear": degrees(0.1)}, only=["total toe rear"]).may_calibrate
    bare = check_alignment(evolve(make.CAR, alignment=()), {})
    assert not bare.may_calibrate
    assert "service information" in make.said(bare.holds)[0]


def test_a_limit_for_both_sides_is_held_against_each() -> None:
    car = evolve(
        make.CAR, alignment=(("camber front", (math.radians(-1.1), math.radians(0.1))), ("Castor", (0.0, 0.1)))
    )
    readings = {"camber front left": degrees(-0.5), "camber front right": degrees(0.3), "caster left": degrees(3.0)}
    answer = check_alignment(car, readings)
    assert [(c.reading, c.verdict) for c in answer.checks] == [
        ("camber front left", Verdict.ACCEPT),
        ("camber front right", Verdict.REJECT),
        ("caster left", Verdict.ACCEPT),
        ("caster right", None),
    ]
    values = dict(answer.values)
    assert math.degrees(values["cross camber front"].value_rad) == pytest.approx(-0.8)


def test_included_angle_cross_values_and_other_words() -> None:
    angles = all_angles({"KPI left": degrees(13.0, 0.03), "camber front left": degrees(-0.5, 0.04)})
    assert math.degrees(angles["included angle left"].value_rad) == pytest.approx(12.5)
    assert math.degrees(angles["included angle left"].u_rad) == pytest.approx(0.05)
    with pytest.raises(ValueError, match="not an alignment reading: steer"):
        all_angles({"steer": degrees(1.0)})

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
    angle_of,
    as_lengths,
    caster_from_sweep,
    check_alignment,
    set_back_angle,
    toe_angle,
    toe_length,
)
from standtrue.aim.layout import target_places
from standtrue.aim.tilt import off_aim
from standtrue.model.basics import Place
from standtrue.model.setup import AlignmentReading, ReadAngle, ReadLength, Sweep
from standtrue.model.verdict import Verdict

law = settings(derandomize=True, deadline=None, max_examples=100)
MINUTE = math.radians(1 / 60)


def degrees(value: float, u: float = 0.0) -> Angle:
    return Angle(math.radians(value), math.radians(u))


def test_thrust_angle_from_the_rear_toes() -> None:
    # align.thrust.1: plane geometry, the thrust line bisects the rear toes; derived.
    toes = {"toe rear left": Angle(15 * MINUTE), "toe rear right": Angle(5 * MINUTE)}
    angles = all_angles(toes).values
    assert angles["thrust angle"].value_rad / MINUTE == pytest.approx(5)
    heading = check_alignment(make.CAR, toes).thrust_heading
    assert heading is not None
    assert math.degrees(heading.value_rad) == pytest.approx(-0.083333, abs=1e-6)
    assert angles["total toe rear"].value_rad / MINUTE == pytest.approx(20)
    # align.thrust.2: the same; derived.
    angles = all_angles({"toe rear left": Angle(15 * MINUTE), "toe rear right": Angle(-5 * MINUTE)}).values
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
@pytest.mark.parametrize(("steer", "off"), [(5.0, 0.02), (10.0, 0.02), (15.0, 0.02), (20.0, 0.02), (25.0, 0.03)])
def test_caster_by_the_exact_rotation_of_a_left_wheel(
    caster: float, inclination: float, camber: float, steer: float, off: float
) -> None:
    axis = np.array([-math.tan(math.radians(caster)), -math.tan(math.radians(inclination)), 1.0])
    axle = np.array([0.0, math.cos(math.radians(camber)), -math.sin(math.radians(camber))])
    out, inward = (_camber_steered(axis, axle, math.radians(s)) for s in (steer, -steer))
    found = math.degrees(caster_from_sweep(out, inward, math.radians(steer)))
    assert found == pytest.approx(caster, rel=off)


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


def test_readings_that_contradict_each_other_hold_the_gate() -> None:
    """The toes make 0.04 degrees of thrust angle, 0.90 was typed beside them: neither is believed."""
    readings = {
        "toe rear left": degrees(0.12, 0.01),
        "toe rear right": degrees(0.04, 0.01),
        "thrust angle": degrees(0.90, 0.02),
    }
    answer = check_alignment(make.CAR, readings)
    assert answer.verdict is Verdict.CANNOT_TELL
    assert not answer.may_calibrate
    (said,) = make.said(answer.holds)
    assert said.startswith("thrust angle was read as 0.90°, and toe rear left and toe rear right make it 0.04°: ")
    assert math.degrees(dict(answer.values)["thrust angle"].value_rad) == pytest.approx(0.90)
    assert answer.thrust_heading is None
    assert answer.thrust_doubted
    assert {c.verdict for c in answer.checks} == {Verdict.CANNOT_TELL}


def test_readings_that_agree_are_combined_by_how_well_they_are_known() -> None:
    """One reading and what two others make of it: the weighted mean (closed form), and it is said."""
    readings = {
        "toe rear left": degrees(0.10, 0.01),
        "toe rear right": degrees(0.06, 0.01),
        "total toe rear": degrees(0.18, 0.02),
    }
    answer = check_alignment(make.CAR, readings)
    total = dict(answer.values)["total toe rear"]
    weights = 1 / 2e-4, 1 / 4e-4
    assert math.degrees(total.value_rad) == pytest.approx((0.16 * weights[0] + 0.18 * weights[1]) / sum(weights))
    assert math.degrees(total.u_rad) == pytest.approx(sum(weights) ** -0.5)
    assert math.degrees(dict(answer.values)["thrust angle"].value_rad) == pytest.approx(0.02)
    assert "these agree and were combined" in make.said(answer.notes)[0]


def test_total_toe_and_thrust_angle_make_the_toes() -> None:
    angles = all_angles({"total toe rear": degrees(0.2, 0.02), "thrust angle": degrees(0.03, 0.01)}).values
    assert math.degrees(angles["toe rear left"].value_rad) == pytest.approx(0.13)
    assert math.degrees(angles["toe rear right"].value_rad) == pytest.approx(0.07)
    assert math.degrees(angles["toe rear left"].u_rad) == pytest.approx(math.hypot(0.01, 0.01))


def test_sound_readings_seldom_contradict_each_other() -> None:
    """The stated 5 %, three and four readings of one axle, and coverage of what is combined of 95 % at k = 2."""
    rng, count, truth = np.random.default_rng(20), 1500, (0.1, 0.06, 0.16, 0.02)
    names, u = ("toe rear left", "toe rear right", "total toe rear", "thrust angle"), (0.01, 0.02, 0.015, 0.01)
    for used in ((0, 1, 3), (0, 1, 2, 3)):
        alarms = covered = 0
        for _ in range(count):
            found = all_angles({names[i]: degrees(truth[i] + u[i] * rng.normal(), u[i]) for i in used})
            alarms += bool(found.contradictions)
            thrust = found.values["thrust angle"]
            covered += not found.contradictions and abs(math.degrees(thrust.value_rad) - 0.02) <= 2 * math.degrees(
                thrust.u_rad
            )
        assert alarms / count <= 0.05 + 2 * math.sqrt(0.05 * 0.95 / count)
        assert 0.94 <= covered / (count - alarms) <= 0.98


@pytest.mark.parametrize("beyond", [0.0, 0.02])
def test_limits_of_angles_are_decided_wrongly_no_more_often_than_stated(beyond: float) -> None:
    """A thrust angle at its limit, and just beyond it: accepted, and at it rejected, in 5 % at most."""
    rng, count, u = np.random.default_rng(5), 2000, 0.02
    verdicts = []
    for _ in range(count):
        left, right = 0.2 + 2 * beyond + u * rng.normal(), u * rng.normal()
        answer = check_alignment(make.CAR, {"toe rear left": degrees(left, u), "toe rear right": degrees(right, u)})
        verdicts.append(next(c.verdict for c in answer.checks if c.name == "thrust angle"))
    allowed = 0.05 + 2 * math.sqrt(0.05 * 0.95 / count)
    assert verdicts.count(Verdict.ACCEPT) / count <= allowed
    if beyond == 0.0:
        assert verdicts.count(Verdict.REJECT) / count <= allowed


def test_lengths_read_are_angles_with_their_uncertainty() -> None:
    """Against differences of the formulas themselves (JCGM 100:2008, 5.1)."""
    toe = angle_of(AlignmentReading("toe rear left", ReadLength(0.0015, 0.0003), 0.4064), make.CAR)
    assert toe.value_rad == pytest.approx(toe_angle(0.0015, 0.4064))
    assert toe.u_rad == pytest.approx((toe_angle(0.0016, 0.4064) - toe_angle(0.0014, 0.4064)) / 0.0002 * 0.0003)
    back = angle_of(AlignmentReading("set-back rear", ReadLength(0.005, 0.001)), make.CAR)
    track = make.CAR.track_rear_m
    assert back.value_rad == pytest.approx(set_back_angle(0.005, track))
    assert back.u_rad == pytest.approx((set_back_angle(0.0051, track) - set_back_angle(0.0049, track)) / 2e-4 * 1e-3)
    with pytest.raises(ValueError, match="lengths"):
        angle_of(AlignmentReading("camber front left", ReadLength(0.005, 0.001)), make.CAR)


def test_caster_from_a_sweep_covers_the_truth() -> None:
    """By simulation with the exact rotation: u holds what the cambers, the steer angle and the first order do."""
    rng, count, caster, steer, u, u_steer = np.random.default_rng(3), 400, 6.0, 20.0, 0.03, 0.2
    axis = np.array([-math.tan(math.radians(caster)), -math.tan(math.radians(13.0)), 1.0])
    axle = np.array([0.0, math.cos(math.radians(-0.5)), -math.sin(math.radians(-0.5))])
    grid = np.linspace(steer - 1, steer + 1, 21)
    out, inward = (np.array([_camber_steered(axis, axle, math.radians(s * g)) for g in grid]) for s in (1, -1))
    covered = 0
    for _ in range(count):
        true = steer + u_steer * rng.normal()
        cambers = [np.interp(true, grid, way) + math.radians(u) * rng.normal() for way in (out, inward)]
        read = Sweep(*cambers, *map(math.radians, (steer, u, u_steer)))
        found = angle_of(AlignmentReading("caster left", read), make.CAR)
        covered += abs(math.degrees(found.value_rad) - caster) <= 2 * math.degrees(found.u_rad)
    assert covered / count >= 0.93


def test_toes_and_set_backs_are_shown_as_lengths() -> None:
    """There and back: 1.5 mm of toe over 16 inches, 5 mm of set-back over the track."""
    readings = [
        AlignmentReading("toe rear left", ReadLength(0.0015, 0.0003), 0.4064),
        AlignmentReading("toe rear right", ReadAngle(0.001, 0.0002)),
        AlignmentReading("set-back rear", ReadLength(0.005, 0.001)),
    ]
    angles = all_angles({one.name: angle_of(one, make.CAR) for one in readings}).values
    lengths = as_lengths(angles.items(), readings, make.CAR)
    assert (lengths["toe rear left"].value_m, lengths["toe rear left"].u_m) == pytest.approx((0.0015, 0.0003))
    assert (lengths["set-back rear"].value_m, lengths["set-back rear"].u_m) == pytest.approx((0.005, 0.001))
    assert lengths["total toe rear"].value_m == pytest.approx(0.0015 + 0.001 * 0.4064, rel=1e-5)
    assert "thrust angle" not in lengths


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
    angles = all_angles({"KPI left": degrees(13.0, 0.03), "camber front left": degrees(-0.5, 0.04)}).values
    assert math.degrees(angles["included angle left"].value_rad) == pytest.approx(12.5)
    assert math.degrees(angles["included angle left"].u_rad) == pytest.approx(0.05)
    with pytest.raises(ValueError, match="not an alignment reading: steer"):
        all_angles({"steer": degrees(1.0)})

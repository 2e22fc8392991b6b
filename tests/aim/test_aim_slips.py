"""Slips: what a reading would have been without one, worked out by hand."""

from __future__ import annotations

import aim_makers as make
import pytest
from attrs import evolve

from standtrue.aim.bodies import Reading
from standtrue.aim.slips import SHARES, Slip, joint_slips, slips_of
from standtrue.model.setup import Figure, points_of

SCENE = make.scene()
POINTS = SCENE.network(()).points
TAPE = Reading("distance", ("hub rear left",), ("board left",), 6.842, 0.001, plumbed=True)
TYPED = Figure("6842", ((0, 4, 0.001),))


def values(reading: Reading, kind: str) -> list[float]:
    """The values without a slip of a kind, whole tenths of a millimeter."""
    slips = slips_of(0, reading, SCENE, POINTS)
    return sorted(round(s.changed[0][1].value, 4) for s in slips if s.kind == kind)


def points(reading: Reading, kind: str) -> set[tuple[str, ...]]:
    return {s.changed[0][1].points for s in slips_of(0, reading, SCENE, POINTS) if s.kind == kind}


def test_neighboring_digits() -> None:
    assert values(evolve(TAPE, typed=TYPED), "digits swapped") == [6.482, 6.824, 8.642]
    # What nobody typed is taken as whole millimeters.
    assert values(TAPE, "digits swapped") == [6.482, 6.824, 8.642]
    # The point stays where it is: 68.42 -> 86.42, 64.82, 68.24.
    decimals = evolve(TAPE, value=0.6842, typed=Figure("68.42 cm", ((0, 5, 0.01),)))
    assert values(decimals, "digits swapped") == [0.6482, 0.6824, 0.8642]
    assert values(evolve(TAPE, typed=Figure("22", ((0, 2, 0.001),))), "digits swapped") == []


def test_one_digit_another() -> None:
    figures = values(evolve(TAPE, typed=TYPED), "digit wrong")
    assert len(figures) == 4 * 9
    assert {0.842, 6.042, 6.812, 6.849} <= set(figures)


def test_feet_and_inches_each_have_digits_of_their_own() -> None:
    """9 ft 12 in is 10 ft: the inches swapped are 21, 9 in more."""
    figure = Figure("9 ft 12 in", ((0, 1, 0.3048), (5, 7, 0.0254)))
    reading = evolve(TAPE, value=3.048, typed=figure)
    assert values(reading, "digits swapped") == [pytest.approx(3.048 + 9 * 0.0254)]
    slip = next(s for s in slips_of(0, reading, SCENE, POINTS) if s.kind == "digits swapped")
    assert dict(slip.told) == {"typed": "9 ft 12 in", "meant": "9 ft 21 in"}
    assert values(reading, "miscount") == pytest.approx([2.7432, 3.0226, 3.0734, 3.3528])
    assert values(reading, "other unit") == []


def test_a_negative_figure_keeps_its_sign() -> None:
    offset = Reading("offset", points_of("thrust line"), ("board",), -0.0123, 0.001)
    typed = evolve(offset, typed=Figure("-12.3", ((1, 5, 0.001),)))
    assert values(typed, "digits swapped") == [-0.0213, -0.0132]
    assert values(typed, "sign") == [0.0123]


def test_other_units() -> None:
    assert values(evolve(TAPE, value=2.0, typed=Figure("2 m", ((0, 1, 1.0),))), "other unit") == pytest.approx(
        [0.002, 0.02, 0.0508, 0.6096]
    )


def test_other_points() -> None:
    assert points(TAPE, "board sides") == {("hub rear left", "board right")}
    taken = points(TAPE, "other point")
    assert {("hub rear right", "board left"), ("hub front left", "board left"), ("hub rear left", "board")} <= taken
    assert ("wheel rear left", "board left") in taken
    assert ("hub front right", "board left") not in taken
    tie = evolve(TAPE, start=("A",), end=("hub rear left",))
    assert {("B", "hub rear left"), ("A", "hub rear right")} <= points(tie, "other point")


def test_a_distance_has_no_sign_and_an_angle_no_foot() -> None:
    assert values(TAPE, "sign") == []
    lean = Reading("lean", (), ("board",), 0.02, 0.001)
    assert values(lean, "miscount") == []
    assert values(lean, "sign") == [-0.02]


def joint(*readings: Reading) -> list[Slip]:
    return list(joint_slips(readings, SCENE, POINTS))


def test_slips_of_several_readings() -> None:
    other = evolve(TAPE, end=("board right",), value=6.9)
    one, two, line = joint(TAPE, other), joint(TAPE, evolve(other, value=6.8421)), points_of("thrust line")
    assert [s.kind for s in one] == ["board sides", "exchanged"]
    assert one[0].changed[0][1].points == ("hub rear left", "board right")
    assert [r.value for _, r in one[1].changed] == [6.9, 6.842]
    assert [s.kind for s in two] == ["board sides"]  # two alike values are not told apart by being exchanged
    offsets = [Reading("offset", line, (f"board {side}",), 0.6, 0.001) for side in ("left", "right")]
    assert "sign" in {s.kind for s in joint(*offsets)}


def test_the_shares_of_one_readings_slips_are_those_of_their_kinds() -> None:
    assert sum(SHARES.values()) == pytest.approx(1.0)
    for kind in ("digits swapped", "digit wrong", "other point", "board sides"):
        mine = sum(s.share for s in slips_of(0, TAPE, SCENE, POINTS) if s.kind == kind)
        assert mine == pytest.approx(SHARES[kind])

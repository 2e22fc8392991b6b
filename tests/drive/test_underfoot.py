"""Covers that carry the wheels, or not, and low things that wheels roll over."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
import shapely
from attrs import evolve
from drive_makers import CAR, at, bay, box, step_through
from test_shops import replayed, rows_of

from standtrue.drive.engine import drive
from standtrue.drive.question.answer import Answer
from standtrue.model.cover_loads import greatest_kg, overloading, weak_floors
from standtrue.model.lift import Obstacle
from standtrue.model.reason import Length, Mass, Ref
from standtrue.model.site import Cover, Site, Void
from standtrue.model.vehicle import WHEELS, Vehicle
from standtrue.show.words.reader import ENGLISH

HEAVY = evolve(CAR, mass_kg=1600.0, front_axle_share=0.6)
PIT = box(6.0, 0.0, 7.0, 6.0)
PLATE = box(6.0, 0.0, 7.0, 3.0)
NEAR = Ref("cover", "plate", of="pit")


def covered(load_kg: float | None, outline: object = PIT, wide_m: float = 6.0) -> Site:
    assert isinstance(outline, tuple)
    pit = Void("pit", outline, (Cover("plate", outline, load_kg),), ("plate",))
    return evolve(bay(16.0, wide_m), voids=(pit,))


def most_on(answer: Answer, car: Vehicle, outline: tuple[tuple[float, float], ...]) -> float:
    """The greatest load on an outline anywhere on a way, by another reckoning: each wheel put down every 5 mm."""
    assert answer.start is not None
    start = (answer.start.x_m, answer.start.y_m, answer.start.heading_rad)
    poses = step_through(start, rows_of(answer), 5e-3)
    plate, most = shapely.Polygon(outline).buffer(-1e-4), 0.0
    assert car.mass_kg is not None
    assert car.front_axle_share is not None
    share = {"front": car.front_axle_share, "rear": 1.0 - car.front_axle_share}
    for x, y, h in poses:
        c, s = np.cos(h), np.sin(h)
        sums = {"left": 0.0, "right": 0.0}
        for name, patch in car.wheel_patches:
            ring = [(x + c * px - s * py, y + s * px + c * py) for px, py in patch]
            if shapely.Polygon(ring).intersects(plate):
                _, end, side = name.split()
                for heavy in sums:
                    sums[heavy] += car.mass_kg * share[end] * (0.55 if side == heavy else 0.45)
        most = max(most, *sums.values())
    return most


def test_the_greatest_sum_of_wheel_loads() -> None:
    assert greatest_kg(HEAVY, ["wheel front left"]) == pytest.approx(0.55 * 0.6 * 1600)
    assert greatest_kg(HEAVY, ["wheel front left", "wheel front right"]) == pytest.approx(0.6 * 1600)
    assert greatest_kg(HEAVY, ["wheel front left", "wheel rear left"]) == pytest.approx(0.55 * 1600)
    assert greatest_kg(HEAVY, ["wheel front left", "wheel rear right"]) == pytest.approx(
        (0.55 * 0.6 + 0.45 * 0.4) * 1600
    )
    assert greatest_kg(HEAVY, WHEELS) == pytest.approx(1600)
    assert greatest_kg(evolve(HEAVY, mass_kg=None), WHEELS) is None


@pytest.mark.parametrize("load", [100.0, 400.0, 530.0, 700.0, 900.0, 1000.0, 1700.0])
def test_the_choices_of_wheels_to_keep_off_are_all_there_are(load: float) -> None:
    # By brute force over all sets of wheels, on a cover that could be under all of them.
    cover = Cover("plate", box(0.0, 0.0, 9.0, 9.0), load)
    every = [frozenset(c) for n in range(5) for c in combinations(WHEELS, n)]
    borne = {wheels: greatest_kg(HEAVY, wheels) or 0.0 for wheels in every}
    heavy = {wheels for wheels in every if borne[wheels] > load}
    assert all(any(least <= wheels for least in overloading(HEAVY, cover)) == (wheels in heavy) for wheels in every)
    site = covered(load, cover.outline)
    choices = [frozenset(ref.kind for area in areas for ref in area.over) for areas in weak_floors(site, HEAVY)]
    for wheels in every:
        allowed = any(not (wheels & off) for off in choices)
        assert allowed == (wheels not in heavy)


def test_a_cover_too_weak_for_a_wheel_is_not_driven_over() -> None:
    answer = drive(covered(100.0), HEAVY, at(1.2, 3.0), at(10.0, 3.0))
    assert not answer.found
    assert answer.proven
    first = answer.obstructions[0]
    assert first.thing == NEAR
    # The lightest wheel: 0.55 of the rear axle's 640 kg.
    most = first.why["most"]
    assert isinstance(most, Mass)
    assert first.why["load"] == Mass(100.0)
    assert most.kilograms == pytest.approx(352.0)
    assert ENGLISH.reason(first.why).startswith("plate of pit carries 100 kg")
    over = drive(covered(2000.0), HEAVY, at(1.2, 3.0), at(10.0, 3.0))
    assert over.found
    assert not over.warnings


def test_round_a_cover_that_does_not_carry_the_wheels() -> None:
    plate = box(5.0, 2.6, 9.0, 3.1)
    site = covered(100.0, plate, 5.5)
    answer = drive(site, HEAVY, at(1.2, 1.4), at(10.5, 4.0))
    replayed(answer, HEAVY, room=site.outline)
    assert most_on(answer, HEAVY, plate) == 0.0


@pytest.mark.parametrize(("load", "found"), [(500.0, False), (900.0, False), (960.0, True)])
def test_both_wheels_of_an_axle_may_be_too_much_where_each_is_not(load: float, found: bool) -> None:
    # The front axle bears 960 kg, its heavier wheel 528 kg.
    site = covered(load, PLATE, 3.0)
    answer = drive(site, HEAVY, at(1.2, 1.5), at(10.0, 1.5), quick=load == 900.0)
    assert answer.found == found
    if found:
        assert most_on(answer, HEAVY, PLATE) == pytest.approx(960.0)
    else:
        assert answer.obstructions[0].thing == NEAR


def test_where_the_sum_is_too_much_one_wheel_at_a_time_goes_beside_the_cover() -> None:
    # Half the way is covered: straight on both front wheels would be on it; to the side only the right ones.
    site = covered(890.0, PLATE, 8.0)
    answer = drive(site, HEAVY, at(1.2, 1.5), at(12.0, 4.0))
    replayed(answer, HEAVY, room=site.outline)
    assert most_on(answer, HEAVY, PLATE) <= 890.0


@pytest.mark.parametrize(
    ("load", "car", "code"),
    [
        (None, HEAVY, "cover-load-unknown"),
        (1000.0, CAR, "cover-mass-unknown"),
        (1000.0, evolve(CAR, mass_kg=1600.0), "cover-share-unknown"),
    ],
)
def test_what_is_not_known_of_a_cover_is_told(load: float | None, car: Vehicle, code: str) -> None:
    answer = drive(covered(load), car, at(1.2, 3.0), at(10.0, 3.0))
    assert answer.found
    assert [w.code for w in answer.warnings] == [code]
    assert "plate of pit" in ENGLISH.reason(answer.warnings[0])
    beside = drive(covered(load, box(6.0, 4.5, 7.0, 6.0)), car, at(1.2, 1.5), at(10.0, 1.5))
    assert not beside.warnings


def test_a_car_lighter_than_the_load_needs_no_share() -> None:
    car = evolve(CAR, mass_kg=900.0)
    assert not drive(covered(1000.0), car, at(1.2, 3.0), at(10.0, 3.0)).warnings


def strip(top_m: float, roll_over_m: float = 0.030) -> Site:
    site = evolve(bay(16.0), obstacles=(Obstacle("strip", box(6.0, 0.0, 6.2, 4.88), 0.0, top_m),))
    return evolve(site, roll_over_m=roll_over_m)


@pytest.mark.parametrize(
    ("top", "limit", "passes"), [(0.002, 0.03, True), (0.03, 0.03, True), (0.031, 0.03, False), (0.002, 0.0, False)]
)
def test_wheels_roll_over_what_is_low(top: float, limit: float, passes: bool) -> None:
    answer = drive(strip(top, limit), CAR, at(1.2, 2.4), at(10.0, 2.4))
    assert answer.found == passes
    if passes:
        (told,) = answer.warnings
        assert (told.code, told["most"], told["limit"]) == ("way-rolls-over", Length(top), Length(limit))
    else:
        assert answer.proven
        assert answer.obstructions[0].thing == Ref("obstacle", "strip")


def test_a_body_clears_low_things_by_its_ground_clearance() -> None:
    answer = drive(strip(0.02), evolve(CAR, ground_clearance_m=0.015), at(1.2, 2.4), at(10.0, 2.4))
    assert not answer.found
    assert drive(strip(0.02), CAR, at(1.2, 2.4), at(10.0, 2.4)).found

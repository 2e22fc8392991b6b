"""Pits, decks, ramps, doors, and cars boxed in: right answers, with the reason."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from attrs import evolve
from drive_makers import (
    CAR,
    GAP_M,
    MIDDLE_M,
    RADIUS_M,
    WIDE_M,
    at,
    bay,
    box,
    centered,
    least_distance,
    outside_of,
    step_through,
)

from standtrue.drive.engine import drive
from standtrue.drive.path.found import Outcome
from standtrue.drive.question.answer import Answer, End
from standtrue.model.basics import Outline
from standtrue.model.lift import Lift, LiftState, Obstacle, PlacedLift
from standtrue.model.reason import Ref, Text
from standtrue.model.site import Cover, Door, Patch, Site, Void
from standtrue.model.stance import Carrier
from standtrue.model.vehicle import Vehicle
from standtrue.show.words.reader import ENGLISH

LOW, HIGH = WIDE_M / 2 - 0.5, WIDE_M / 2 + 0.5


def rows_of(answer: Answer) -> list[tuple[float, float, float, float]]:
    """The legs told, as twists: what a reader of the JSON would drive."""
    rows = []
    for leg in answer.legs:
        if leg.gear in ("forward", "reverse"):
            gear = 1.0 if leg.gear == "forward" else -1.0
            rows.append((gear, 0.0, gear * leg.curvature_per_m, leg.length_m))
        elif leg.gear == "slide":
            rows.append((math.cos(leg.direction_rad), math.sin(leg.direction_rad), 0.0, leg.length_m))
        else:
            rate = leg.turn_rad / leg.length_m
            rows.append((0.0, -rate * MIDDLE_M, rate, leg.length_m))
    return rows


def replayed(
    answer: Answer,
    car: Vehicle = CAR,
    voids: tuple[Outline, ...] = (),
    things: tuple[Outline, ...] = (),
    room: Outline = (),
) -> None:
    """Nothing of the car comes nearer than its gaps to `things` and the wall of `room`, no wheel to `voids`."""
    assert answer.found
    assert answer.start is not None
    assert answer.goal is not None
    start = (answer.start.x_m, answer.start.y_m, answer.start.heading_rad)
    poses = step_through(start, rows_of(answer))
    assert math.dist(poses[-1][:2], (answer.goal.x_m, answer.goal.y_m)) <= 1e-6
    solid = [shapely.Polygon(o) for o in things] + ([outside_of(room)] if room else [])
    told = answer.least_separation_m
    assert told is not None
    for outline in (car.body, *(o for _, o in car.mirrors)):
        for shape in solid:
            assert least_distance(outline, poses, shape) >= max(GAP_M, told) - 1e-3
    for _, wheel in car.wheel_patches:
        for void in voids:
            assert least_distance(wheel, poses, shapely.Polygon(void)) >= max(GAP_M, told) - 1e-3


def test_over_a_pit_between_the_wheels() -> None:
    # 1.0 m wide between wheels 1.35 m apart inside: straight on is the only way, and the body passes over it.
    pit = box(1.0, WIDE_M / 2 - 0.5, 10.0, WIDE_M / 2 + 0.5)
    site = evolve(bay(20.0), voids=(Void("pit", pit),))
    answer = drive(site, CAR, at(4.0, WIDE_M / 2), at(14.0, WIDE_M / 2))
    replayed(answer, voids=(pit,), room=site.outline)
    assert answer.shunts == 0


def test_round_a_pit_beside_the_wheels() -> None:
    pit = box(5.0, 2.6, 9.0, 3.1)
    site = evolve(bay(16.0, 5.5), voids=(Void("pit", pit),))
    answer = drive(site, CAR, at(1.2, 1.4), at(10.5, 4.0))
    replayed(answer, voids=(pit,), room=site.outline)


def test_a_pit_from_wall_to_wall() -> None:
    pit = Void("pit", box(7.0, 0.0, 7.6, WIDE_M), (Cover("plate", box(7.0, 0.0, 7.6, WIDE_M)),))
    site = evolve(bay(16.0), voids=(pit,))
    answer = drive(site, CAR, at(1.2, LOW), at(10.0, HIGH))
    assert not answer.found
    assert answer.outcome is Outcome.EXHAUSTED
    assert answer.proven
    assert [one.thing.name for one in answer.obstructions] == ["pit"]
    closed = evolve(site, voids=(evolve(pit, closed=("plate",)),))
    assert drive(closed, CAR, at(1.2, LOW), at(10.0, HIGH)).found


def test_a_patch_may_be_rolled_over() -> None:
    site = evolve(bay(16.0), patches=(Patch("drain", box(7.0, 0.0, 7.6, WIDE_M), Text("drain")),))
    assert drive(site, CAR, at(1.2, LOW), at(10.0, HIGH)).found


def test_a_pit_at_the_goal_is_named_with_the_wheel() -> None:
    site = evolve(bay(9.75), voids=(Void("pit", box(2.0, 0.9, 6.0, 1.3)),))
    answer = drive(site, CAR, centered(4.875, HIGH + 0.4), centered(4.875, LOW))
    assert not answer.found
    assert answer.proven
    assert {one.thing.name for one in answer.obstructions} == {"pit"}
    assert all("At the goal the wheel" in ENGLISH.reason(one.why) for one in answer.obstructions)


def test_low_things_stop_wheels_but_not_the_body() -> None:
    # 0.10 m high under a body 0.15 m clear: only the wheels mind it.
    plank = Obstacle("plank", box(6.0, 0.0, 6.2, WIDE_M), 0.0, 0.10)
    island = Obstacle("island", box(6.0, WIDE_M / 2 - 0.4, 6.2, WIDE_M / 2 + 0.4), 0.0, 0.10)
    beam = Obstacle("beam", box(6.0, 0.0, 6.2, WIDE_M), 1.6, 2.0)
    over = evolve(bay(16.0), obstacles=(island, beam))
    assert drive(over, CAR, at(1.2, WIDE_M / 2), at(10.0, WIDE_M / 2)).found
    barred = drive(evolve(bay(16.0), obstacles=(plank,)), CAR, at(1.2, LOW), at(10.0, HIGH))
    assert not barred.found
    assert [one.thing.name for one in barred.obstructions] == ["plank"]


def door(low: float, high: float, long_m: float, height: float = 3.0) -> tuple[Door, ...]:
    return (Door("front door", (long_m, low), (long_m, high), height),)


def test_from_the_door_either_way_round() -> None:
    site = evolve(bay(9.75), doors=door(0.9, 3.9, 9.75))
    inward = drive(site, CAR, End(door="front door"), centered(4.875, HIGH))
    assert inward.found
    assert inward.doors_open == ("front door",)
    assert inward.start is not None
    assert inward.start.heading_rad == pytest.approx(0.0)
    out = drive(site, CAR, at(4.875 + MIDDLE_M, LOW, 180.0), End(door="front door"))
    assert out.found
    assert out.goal is not None
    assert abs(out.goal.heading_rad) == pytest.approx(math.pi)


def test_backing_out_and_coming_in_straight_is_the_easier_shift() -> None:
    shut = drive(bay(6.0), CAR, centered(3.0, LOW), centered(3.0, HIGH))
    site = evolve(bay(6.0), doors=door(0.9, 3.9, 6.0))
    answer = drive(site, CAR, centered(3.0, LOW), centered(3.0, HIGH))
    assert answer.shunts <= 2 < shut.shunts
    assert answer.doors_open == ("front door",)


@pytest.mark.parametrize(("wide", "passes"), [(1.9, False), (1.97, True)])
def test_a_door_must_be_as_wide_as_the_car_and_its_gaps(wide: float, passes: bool) -> None:
    # 1.85 m and twice 50 mm: 1.95 m.
    middle = WIDE_M / 2
    site = evolve(bay(9.75), doors=door(middle - wide / 2, middle + wide / 2, 9.75))
    apron = box(9.75, middle - 3.0, 22.0, middle + 3.0)
    site = evolve(site, doors=(evolve(site.doors[0], apron=apron),))
    answer = drive(site, CAR, at(14.0, middle), centered(4.875, middle))
    assert answer.found == passes
    if not passes:
        assert "front door is 25 mm too narrow on each side for the body" in ENGLISH.reason(answer.obstructions[0].why)
        assert answer.obstructions[0].lacking_m == pytest.approx(0.025)


def test_a_door_must_be_as_high_as_the_car() -> None:
    site = evolve(bay(9.75), doors=door(0.9, 3.9, 9.75, 1.4))
    answer = drive(site, CAR, at(16.0, 2.4, 180.0), at(6.5, 2.4, 180.0))
    assert not answer.found
    lintel = next(one for one in answer.obstructions if one.thing == Ref("lintel", of="front door"))
    assert lintel.lacking_m == pytest.approx(0.1)


@pytest.mark.parametrize("name", ["cabinet", "wall cabinet"])
def test_boxed_in(name: str) -> None:
    # Whatever a thing is called, it is what bars the way: only the walls themselves are told last.
    cabinet = Obstacle(name, box(5.2, 0.0, 5.4, WIDE_M), 0.0, 2.0)
    site = evolve(bay(9.75), obstacles=(cabinet,))
    answer = drive(site, CAR, at(1.1, LOW), at(1.1, HIGH + 0.3))
    assert not answer.found
    assert answer.outcome is Outcome.EXHAUSTED
    assert answer.obstructions[0].thing == Ref("obstacle", name)
    assert name in ENGLISH.reason(answer.obstructions[0].why)
    assert answer.obstructions[0].lacking_m is not None
    assert 0.0 < answer.obstructions[0].lacking_m < 0.6


def test_a_gap_too_narrow_is_told_by_how_much() -> None:
    # 1.90 m between; 1.85 m and twice 50 mm are needed: 25 mm on each side.
    rack, shelf = (Obstacle(n, box(9.0, y0, 9.4, y1), 0.0, 2.0) for n, y0, y1 in (("rack", 0, 3), ("shelf", 4.9, 8)))
    answer = drive(evolve(bay(20.0, 8.0), obstacles=(rack, shelf)), CAR, at(3.0, 4.0), at(13.0, 4.0))
    assert not answer.found
    assert answer.proven
    assert answer.outcome is Outcome.EXHAUSTED
    assert {one.thing.name for one in answer.obstructions} == {"rack", "shelf"}
    assert answer.obstructions[0].lacking_m == pytest.approx(0.025, abs=0.005)
    wide = evolve(shelf, outline=box(9.0, 4.96, 9.4, 8.0))
    assert drive(evolve(bay(20.0, 8.0), obstacles=(rack, wide)), CAR, at(3.0, 4.0), at(13.0, 4.0)).found


def test_a_door_that_fits_to_a_hair_is_passed() -> None:
    # Exactly the car's width and its gaps: what just touches fits.
    middle = WIDE_M / 2
    site = evolve(bay(9.75), doors=door(middle - 0.975, middle + 0.975, 9.75))
    site = evolve(site, doors=(evolve(site.doors[0], apron=box(9.75, middle - 3.0, 22.0, middle + 3.0)),))
    assert drive(site, CAR, at(14.0, middle), centered(4.875, middle)).found


def test_nothing_is_said_to_be_proven_where_a_way_was_missed() -> None:
    # Parked 1 cm from the kerb with 30 cm before and behind: hard, but there is a way out.
    cars = [Obstacle(n, box(x, 1.06, x + 4.7, 2.91), 0.0, 2.0) for n, x in (("van", 1.0), ("truck", 11.0))]
    site = evolve(bay(17.0, 7.0), obstacles=tuple(cars), gaps=evolve(bay(9.0).gaps, body_m=0.01))
    parked = at(6.0 + 0.975, 0.02 + CAR.width_m / 2)
    answer = drive(site, CAR, parked, at(6.0, 5.5, 180.0))
    assert answer.found or not answer.proven


def test_the_ceiling() -> None:
    site = evolve(bay(9.75), clear_height_m=1.4)
    answer = drive(site, CAR, centered(4.875, LOW), centered(4.875, HIGH))
    assert not answer.found
    assert answer.proven
    assert answer.obstructions[0].thing == Ref("ceiling")
    assert answer.obstructions[0].lacking_m == pytest.approx(0.1)


def test_without_a_turning_circle_only_skates_will_do() -> None:
    car = evolve(CAR, turning_circle_m=None)
    assert not drive(bay(9.75), car, centered(4.875, LOW), centered(4.875, HIGH)).found
    answer = drive(bay(6.0), car, centered(3.0, LOW), centered(3.0, HIGH), "skates")
    assert [leg.gear for leg in answer.legs] == ["slide"]
    assert answer.length_m == pytest.approx(1.0)


def test_skates_turn_a_car_where_it_cannot_drive() -> None:
    # 5.05 m from corner to corner and twice 50 mm: turned round in a square of 5.3 m.
    site = bay(5.3, 5.3)
    answer = drive(site, CAR, centered(2.65, 2.65), at(2.65 + MIDDLE_M, 2.65, 180.0), "skates")
    replayed(answer, room=site.outline)
    assert answer.shunts == 0
    assert not drive(bay(5.1, 5.1), CAR, centered(2.55, 2.55), at(2.55 + MIDDLE_M, 2.55, 180.0), "skates").found


def test_skates_round_a_column() -> None:
    column = box(4.5, 2.3, 4.9, 2.7)
    site = evolve(bay(12.0, 6.0), obstacles=(Obstacle("column", column, 0.0, 3.0),))
    answer = drive(site, CAR, at(1.2, 1.1), at(7.0, 4.5), "skates")
    replayed(answer, things=(column,), room=site.outline)


def test_pushing_is_the_same_path_at_its_own_pace() -> None:
    ends = centered(4.875, LOW), centered(4.875, HIGH)
    driven, pushed = drive(bay(9.75), CAR, *ends), drive(bay(9.75), CAR, *ends, "push")
    replayed(pushed, room=bay(9.75).outline)
    assert driven.shunts == pushed.shunts == 2
    low, high = pushed.seconds
    assert low == pytest.approx(pushed.length_m / 0.4 + 2 * 4.0 + 50.0)
    assert high == pytest.approx(pushed.length_m / 0.4 + 2 * 12.0 + 50.0)
    low, high = driven.seconds
    assert low == pytest.approx(driven.length_m + 2 * 4.0 + 50.0)
    assert high == pytest.approx(driven.length_m + 2 * 12.0 + 50.0)


def ramped(height: float) -> Site:
    """A lift of two decks 0.55 m wide that lie `height` above the floor, with a ramp before each."""
    decks = tuple(box(0.0, y, 5.0, y + 0.55) for y in (-1.05, 0.5))
    ramps = tuple(box(-1.0, y, 0.0, y + 0.55) for y in (-1.05, 0.5))
    rest = LiftState("down", (height, height), decks, 0.1, ramps=ramps if height else (), drive_on=True)
    up = LiftState("up", (1.0, 1.8), decks, 0.1)
    return evolve(bay(16.0, 6.0), lifts=(PlacedLift("lift", (9.0, 3.0), 0.0, Lift("two decks", (rest, up))),))


def test_up_the_ramps_and_not_over_their_sides() -> None:
    site, down = ramped(0.12), Carrier("lift", "down", 0.12)
    on = evolve(at(10.2, 3.0), carrier=down)
    answer = drive(site, CAR, at(1.5, 1.6), on)
    assert answer.found
    assert answer.start is not None
    start = (answer.start.x_m, answer.start.y_m, answer.start.heading_rad)
    poses = step_through(start, rows_of(answer))
    lanes = shapely.union_all([shapely.box(8.0, 3.0 + y, 14.0, 3.55 + y) for y in (-1.05, 0.5)])
    sides = shapely.difference(lanes.boundary, shapely.LineString([(8.0, 0.0), (8.0, 6.0)]))
    for _, wheel in CAR.wheel_patches:
        assert least_distance(wheel, poses, sides) > 0.0
    # Straight ahead is the only way up: from beside the ramps the car has to go round.
    beside = drive(site, CAR, at(9.5, 1.0), on)
    assert beside.found
    assert beside.shunts >= 1


def test_decks_without_ramps_cannot_be_driven_onto() -> None:
    site = ramped(0.12)
    lift = site.lifts[0].lift
    bare = evolve(lift, states=tuple(evolve(s, ramps=()) for s in lift.states))
    site = evolve(site, lifts=(evolve(site.lifts[0], lift=bare),))
    on = evolve(at(10.2, 3.0), carrier=Carrier("lift", "down", 0.12))
    answer = drive(site, CAR, at(1.5, 1.6), on)
    assert not answer.found
    assert answer.proven
    assert [one.thing for one in answer.obstructions] == [Ref("deck edge", of="lift")]


def test_flush_decks_are_floor_and_raised_ones_cannot_be_left() -> None:
    flush = ramped(0.0)
    on = evolve(at(10.2, 3.0), carrier=Carrier("lift", "down", 0.0))
    assert drive(flush, CAR, at(9.5, 1.0), on).found
    raised = evolve(at(10.2, 3.0), carrier=Carrier("lift", "up", 1.5))
    answer = drive(flush, CAR, raised, at(1.5, 1.6))
    assert not answer.found
    assert answer.proven
    assert ENGLISH.reason(answer.obstructions[0].why) == "lift cannot be driven on or off in its state up."


def test_mirrors_pass_over_what_is_lower() -> None:
    car = evolve(CAR, width_over_mirrors_m=2.15)
    low = box(0.0, 1.85 + 1.15, 16.0, 4.0)
    for top, passes in ((0.8, True), (1.0, False)):
        bench = Obstacle("bench", low, 0.0, top)
        site = evolve(bay(16.0, 4.0), obstacles=(bench,))
        # The body has 1.925 + 0.05 m of the 3.0 m; the mirrors 2.15 + 0.1.
        narrow = Obstacle("rail", box(6.0, 0.0, 6.2, 0.85), 0.0, 2.0)
        answer = drive(evolve(site, obstacles=(bench, narrow)), car, at(1.2, 1.5 + 0.51), at(9.0, 1.5 + 0.51))
        assert answer.found == passes


def test_the_swept_area_holds_every_pose() -> None:
    answer = drive(bay(9.75), CAR, centered(4.875, LOW), centered(4.875, HIGH))
    swept = shapely.union_all([shapely.Polygon(o) for o in answer.swept]).buffer(5e-3)
    assert len(answer.cusps) == answer.shunts
    for pose in answer.poses[::10]:
        c, s = math.cos(pose.heading_rad), math.sin(pose.heading_rad)
        ring = np.array(CAR.body) @ np.array([[c, s], [-s, c]]) + (pose.x_m, pose.y_m)
        assert swept.covers(shapely.Polygon(ring))


def test_the_radius_is_kept() -> None:
    answer = drive(bay(7.0), CAR, centered(3.5, LOW), centered(3.5, HIGH))
    assert max(abs(leg.curvature_per_m) for leg in answer.legs) <= 1 / RADIUS_M + 1e-9

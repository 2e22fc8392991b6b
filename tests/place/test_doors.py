"""Doors that stand open: what they add, what stays wall, what hangs there, and how few will do.

The car is 4.7 by 1.8 m and must keep 50 mm from everything; a card's zone keeps nothing more than itself. Most doors
here are 1.4 m wide: the car does not go through, a zone of 1.2 m does.
"""

from __future__ import annotations

import math

import pytest
from attrs import evolve

from rooms import ALONE, BODY_M, CAR, ON_DECKS_M, SAME_M, ahead, behind, box, card, room
from standtrue.model.basics import Layer, SupportClass
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.lift import Lift, LiftState, Obstacle, PlacedLift
from standtrue.model.procedure import Procedure
from standtrue.model.site import Door, Site
from standtrue.place.engine import any_fit, best_stance, region
from standtrue.place.question.answer import Answer

EAST = Door("east", (6.0, 0.8), (6.0, 2.2), 2.5, may_stand_open=True, apron=box(6, 0, 9, 3))
WEST = Door("west", (0.0, 0.8), (0.0, 2.2), 2.5, may_stand_open=True, apron=box(-3, 0, 0, 3))
NARROW_M = 1.2
JAMBS_M = (1.4 - NARROW_M) / 2


def shop(*doors: Door) -> Site:
    """A room 6 by 3 m: too short for the car and 3 m ahead of it."""
    return evolve(room(6, 3), doors=doors)


def asked(site: Site, *cards: Procedure, support: SupportClass = "floor") -> Answer:
    answer = best_stance(Grounds(site), CAR, cards, support)
    assert any_fit(Grounds(site), CAR, cards, support) == answer.fits
    return answer


def test_a_zone_goes_on_through_a_door_between_its_jambs() -> None:
    """The zone is 1.2 m wide and the door 1.4 m; lengthwise there is more to spare."""
    answer = asked(shop(EAST), card(ahead(3, NARROW_M)))
    assert answer.fits is Fits.YES
    assert answer.doors_open == ("east",)
    assert answer.margin_m == pytest.approx(JAMBS_M, abs=SAME_M)
    assert answer.place is not None
    assert math.remainder(answer.place.heading_rad, math.tau) == pytest.approx(0.0, abs=0.2)


@pytest.mark.parametrize("door", [evolve(EAST, may_stand_open=False), evolve(EAST, apron=None)])
def test_a_door_that_may_not_stand_open_or_has_no_floor_outside_is_wall(door: Door) -> None:
    assert asked(shop(door), card(ahead(3, NARROW_M))).fits is Fits.NO


def test_the_wall_beside_a_door_stays_although_there_is_floor_on_both_sides() -> None:
    """The floor outside is 3 m wide, the door 1.4 m, the zone 1.6 m."""
    assert asked(shop(EAST), card(ahead(3, wide=1.6))).fits is Fits.NO
    wide = evolve(EAST, start=(6.0, 0.65), end=(6.0, 2.35))
    assert asked(shop(wide), card(ahead(3, wide=1.6))).margin_m == pytest.approx(0.05, abs=SAME_M)


@pytest.mark.parametrize(("height", "fits"), [(1.9, False), (2.0, True)])
@pytest.mark.parametrize("metal", [True, False])
@pytest.mark.parametrize("needs", ["clear", "metal-free"])
def test_above_a_door_is_wall(height: float, fits: bool, metal: bool, needs: Layer) -> None:
    """The zone is 2.0 m high: under a lintel of as much it passes. Wall forbids whatever it is made of."""
    door = evolve(EAST, height_m=height, metal=metal)
    assert asked(shop(door), card(ahead(3, NARROW_M, needs=needs))).fits is Fits.of(fits)


def test_a_zone_that_only_a_lintel_bars_is_never_told_to_fit() -> None:
    """Overlap of a zone, which keeps no gap, with a lintel, which has no thickness, is an overlap all the same."""
    door = evolve(EAST, start=(6.0, 0.0), end=(6.0, 3.0), height_m=1.4, apron=box(6, 0, 7, 3))
    answer = asked(shop(door), card(ahead(1.3, wide=2.9)))
    assert answer.fits is Fits.NO
    assert answer.touches[0].margin_m < 0.0


def test_an_open_door_hangs_under_the_ceiling_on_its_track() -> None:
    """The track is above the car but in the zone's way: the zone begins beyond 5.8 m, the car ends before 6 m."""
    track = Obstacle("track", box(3, 0, 5.8, 3), 1.6, 1.8)
    answer = asked(shop(evolve(EAST, track=track)), card(ahead(3, NARROW_M)))
    assert answer.margin_m == pytest.approx((6 - BODY_M - 5.8) / 2, abs=SAME_M)
    low = evolve(track, bottom_m=1.4)
    assert asked(shop(evolve(EAST, track=low)), card(ahead(3, NARROW_M))).fits is Fits.NO


def test_the_fewest_open_doors_win_over_the_margin() -> None:
    """8 m hold the car and the zone with 0.3 m to spare, 0.05 m of it the body's; with a door open more."""
    door = evolve(EAST, start=(8.0, 0.8), end=(8.0, 2.2), apron=box(8, 0, 11, 3))
    answer = asked(evolve(room(8, 3), doors=(door,)), card(ahead(3, NARROW_M)))
    assert answer.doors_open == ()
    assert answer.margin_m == pytest.approx((0.3 - BODY_M) / 2, abs=SAME_M)
    assert answer.bound_m == pytest.approx((0.3 - BODY_M) / 2, abs=2 * SAME_M)


@pytest.mark.parametrize("order", [(EAST, WEST), (WEST, EAST)])
def test_two_doors_open_where_one_is_not_enough(order: tuple[Door, Door]) -> None:
    answer = asked(shop(*order), card(ahead(3, NARROW_M), behind(3, NARROW_M)))
    assert sorted(answer.doors_open) == ["east", "west"]
    assert answer.margin_m == pytest.approx(JAMBS_M, abs=SAME_M)
    one = asked(shop(*order), card(ahead(3, NARROW_M)))
    assert len(one.doors_open) == 1


def test_the_region_is_that_of_the_doors_the_answer_opens() -> None:
    """At heading 0 the car's origin may be from 1.225 m to 5.95 - 3.525 m along, and 0.1 m to either side."""
    answer = asked(shop(EAST), card(ahead(3, NARROW_M)))
    (part,) = region(answer, [0.0])
    ((outer, _),) = part.polygons
    xs, ys = zip(*outer, strict=True)
    assert (min(xs), max(xs)) == pytest.approx((1.225, 5.95 - 3.525), abs=1e-3)
    assert (min(ys), max(ys)) == pytest.approx((1.4, 1.6), abs=1e-3)


@pytest.mark.parametrize("backward", [False, True])
def test_of_two_doors_that_serve_alike_the_freer_one_opens(backward: bool) -> None:
    """The decks cap the margin at 0.15 m; outside the east door are 1.6 m of floor, outside the west one 3 m."""
    decks = (box(0, -0.45, 3.5, 0.05), box(0, -0.05, 3.5, 0.45))
    lift = Lift("flush", (LiftState("down", (0.0, 0.0), decks, drive_on=True),))
    east = Door("east", (5.5, 0.3), (5.5, 2.7), 2.5, may_stand_open=True, apron=box(5.5, 0, 7.1, 3))
    west = Door("west", (0.0, 0.3), (0.0, 2.7), 2.5, may_stand_open=True, apron=box(-3, 0, 0, 3))
    doors = (west, east) if backward else (east, west)
    site = evolve(room(5.5, 3), gaps=ALONE, doors=doors, lifts=(PlacedLift("L", (1.0, 1.5), 0.0, lift),))
    answer = asked(site, card(ahead(2)), support="lift down")
    assert answer.doors_open == ("west",)
    assert answer.margin_m is not None
    assert answer.bound_m is not None
    assert answer.bound_m - answer.margin_m <= ON_DECKS_M

"""Lifts whose plates must carry the wheels, and lifts whose arms carry the body: conditions outside the margin.

The car is 4.7 by 1.8 m with a wheelbase of 2.35 m and a track of 0.4 m; its origin is 1.175 m from its rear end.
"""

from __future__ import annotations

import math
from typing import Literal

import numpy as np
import oracle
import pytest
import shapely
from attrs import evolve

from rooms import ALONE, BODY_M, CAR, ON_DECKS_M, PERSON_M, SAME_M, WHEEL_M, box, card, room
from standtrue.model.basics import Outline, SupportClass
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.lift import Arm, Lift, LiftState, PlacedLift, Plate
from standtrue.model.procedure import Procedure
from standtrue.model.site import Site, Void
from standtrue.place.engine import any_fit, best_stance
from standtrue.place.margin.arms import holds
from standtrue.place.question.answer import Answer
from standtrue.show.words.reader import ENGLISH

ON_PLATES = evolve(card(), wheels_on="plates")


def asked(site: Site, support: SupportClass, *cards: Procedure, points: Outline = ()) -> Answer:
    car = evolve(CAR, lift_points=points)
    answer = best_stance(Grounds(site), car, cards, support)
    assert any_fit(Grounds(site), car, cards, support) == answer.fits
    return answer


def plates(axle: Literal["front", "rear"], *spans: tuple[float, float]) -> tuple[Plate, ...]:
    """Plates 0.3 m wide under the left and the right wheel, from one x of the lift's frame to another."""
    return tuple(Plate(axle, box(a, y - 0.15, b, y + 0.15)) for a, b in spans for y in (0.2, -0.2))


def with_plates(*found: Plate, rest_m: float = 0.0, at: float = 2.0) -> Site:
    """One deck 5 m long and 2 m wide from (2, 2), or nearer the wall, along +x, in a room 10 by 4 m."""
    down = LiftState("down", (rest_m, rest_m), (box(0, -1, 5, 1),), drive_on=True)
    up = LiftState("up", (0.5, 1.5), (box(0, -1, 5, 1),))
    lift = Lift("flush", (down, up), facing="one", plates=found)
    return evolve(room(10, 4), lifts=(PlacedLift("L", (at, 2.0), 0.0, lift),))


FREE_M = 1.0 - 0.25 - WHEEL_M
"""What the deck's long edges leave of the margin: the wheels' outer sides are 0.25 m from the car's middle."""


@pytest.mark.parametrize(
    ("found", "margin"),
    [
        (plates("front", (2.6, 3.0)), 0.4),
        (plates("front", (2.6, 2.8), (2.8, 3.0)), 0.4),
        (plates("rear", (0.15, 0.55)), 0.3),
        ((*plates("front", (2.6, 3.0)), *plates("rear", (0.15, 0.55))), 0.3),
        (plates("rear", (1.0, 1.6)), FREE_M),
    ],
)
def test_the_wheels_of_an_axle_with_plates_stand_wholly_on_them(found: tuple[Plate, ...], margin: float) -> None:
    """A wheel patch is 0.2 m long. Front plates that end at 3.0 m let the rear patch begin at 3.0 - 0.2 - 2.35 m;

    rear plates that end at 0.55 m let it begin at 0.35 m. That far from the deck's end, 50 mm of it the wheel's gap.
    """
    answer = asked(with_plates(*found), "lift down", ON_PLATES)
    assert answer.margin_m == pytest.approx(margin, abs=ON_DECKS_M)
    assert answer.bound_m == pytest.approx(margin, abs=ON_DECKS_M)
    assert asked(with_plates(*found), "lift down", card()).margin_m == pytest.approx(FREE_M, abs=ON_DECKS_M)


def test_no_plates_no_stance() -> None:
    for support in ("floor", "lift down", "lift up"):
        answer = asked(with_plates(), support, ON_PLATES)
        assert answer.fits is Fits.NO
        assert any("plates" in because for because in ENGLISH.reasons(answer.because))


def test_plates_too_short_for_a_wheel_hold_none() -> None:
    answer = asked(with_plates(*plates("front", (2.6, 2.79))), "lift down", ON_PLATES)
    assert answer.fits is Fits.NO
    assert answer.bound_m is not None or answer.because


def test_on_the_floor_plates_of_a_flush_lift_serve_either_way_round() -> None:
    """Facing +x the rear end would be 0.375 m from the wall; the other way round only the side walls are near."""
    site = with_plates(*plates("front", (2.6, 3.0)), at=1.0)
    answer = asked(site, "floor", ON_PLATES)
    assert answer.margin_m == pytest.approx((4 - 1.8) / 2 - BODY_M, abs=SAME_M)
    assert answer.place is not None
    assert abs(answer.place.heading_deg) > 150.0
    assert answer.carried_by == "floor"


def test_plates_above_the_floor_are_no_floor() -> None:
    site = with_plates(*plates("front", (2.6, 3.0)), rest_m=0.1)
    assert asked(site, "floor", ON_PLATES).fits is Fits.NO
    assert asked(site, "lift down", ON_PLATES).fits is Fits.YES


POINTS: Outline = ((0.5, 0.7), (0.5, -0.7), (1.8, 0.7), (1.8, -0.7))
ARMS = (
    Arm((0.0, 1.5), (0.6, 1.6), (-math.pi / 2, 0.0)),
    Arm((0.0, 1.5), (0.6, 1.6), (-math.pi, -math.pi / 2)),
    Arm((0.0, -1.5), (0.6, 1.6), (0.0, math.pi / 2)),
    Arm((0.0, -1.5), (0.6, 1.6), (math.pi / 2, math.pi)),
)
DOWN, UP = LiftState("down", (0.0, 0.0), drive_on=True), LiftState("up", (0.5, 1.8))


def with_arms(outline: Outline, *arms: Arm, turned: bool = False) -> Site:
    """A post lift at the origin whose arms take the front points ahead of it and the rear points behind it."""
    lift = Lift("posts", (DOWN, UP), carries="body", facing="one", arms=arms)
    placed = PlacedLift("P", (0.0, 0.0), math.pi if turned else 0.0, lift)
    return Site("room", outline, room(1, 1).datum, ALONE, lifts=(placed,))


def test_a_car_on_arms_in_the_middle_of_a_room() -> None:
    """Only the walls count: 0.5 m of them for people round a raised car."""
    answer = asked(with_arms(box(-3.5, -2.5, 3.7, 2.5), *ARMS), "lift up", points=POINTS)
    assert answer.carried_by == "P/up"
    assert answer.height_m == 0.5
    assert answer.margin_m == pytest.approx((7.2 - 4.7) / 2 - PERSON_M, abs=SAME_M)


@pytest.mark.parametrize("turned", [False, True])
def test_the_arms_say_how_far_the_car_can_go(turned: bool) -> None:
    """The arms swing back and forth to straight across: the rear points stay behind the posts, x <= 0.

    So the origin is at -0.5 m at most and the rear end 1.825 m from the wall behind it.
    """
    outline = box(-8, -4, 3.5, 4) if turned else box(-3.5, -4, 8, 4)
    answer = asked(with_arms(outline, *ARMS, turned=turned), "lift up", points=POINTS)
    assert answer.margin_m == pytest.approx(3.5 - 0.5 - 1.175 - PERSON_M, abs=2e-3)
    assert answer.bound_m == pytest.approx(3.5 - 0.5 - 1.175 - PERSON_M, abs=2e-3)


def test_arms_are_taken_one_to_one() -> None:
    site = box(-3.5, -2.5, 3.7, 2.5)
    idle = Arm((0.0, 5.0), (0.6, 0.7), (0.0, 1.0))
    assert asked(with_arms(site, idle, *ARMS), "lift up", points=POINTS).fits is Fits.YES
    assert asked(with_arms(site, idle, *ARMS[:3]), "lift up", points=POINTS).fits is Fits.NO
    few = asked(with_arms(site, *ARMS[:3]), "lift up", points=POINTS)
    assert few.fits is Fits.NO
    assert any("3 arms" in because for because in ENGLISH.reasons(few.because))
    assert asked(with_arms(site, *ARMS), "lift up").fits is Fits.NO


def test_hanging_wheels_stand_on_nothing_and_post_lifts_are_floor_at_rest() -> None:
    site = evolve(with_arms(box(-3.5, -2.5, 3.7, 2.5), *ARMS), voids=(Void("pit", box(-3, -2, 3, 2)),))
    assert asked(site, "lift up", points=POINTS).fits is Fits.YES
    assert asked(site, "floor", points=POINTS).fits is Fits.NO
    assert asked(site, "lift down", points=POINTS).fits is Fits.NO


@pytest.mark.parametrize(("hanging", "arms", "decks", "jacks"), [(True, True, False, True), (False, False, True, True)])
def test_what_serves_hanging_wheels(hanging: bool, arms: bool, decks: bool, jacks: bool) -> None:
    wanted = evolve(card(), wheels_hanging=hanging)
    on_arms = with_arms(box(-3.5, -2.5, 3.7, 2.5), *ARMS)
    on_decks = with_plates()
    lift = on_decks.lifts[0]
    on_jacks = evolve(on_decks, lifts=(evolve(lift, lift=evolve(lift.lift, jacks=True)),))
    assert asked(on_arms, "lift up", wanted, points=POINTS).fits is Fits.of(arms)
    assert asked(on_decks, "lift up", wanted).fits is Fits.of(decks)
    assert asked(on_jacks, "lift up", wanted).fits is Fits.of(jacks)
    assert asked(on_decks, "floor", wanted).fits is Fits.of(not hanging)


@pytest.mark.parametrize("seed", range(6))
def test_every_point_out_of_an_arms_reach_is_inside_one_piece(seed: int) -> None:
    """Also those on the pieces' own edges: a condition about a point must not be met on a line between two pieces."""
    rng = np.random.default_rng(seed)
    start = rng.uniform(-math.pi, math.pi)
    span = (0.4, 1.5, 3.0, math.pi, 4.5, 6.2)[seed]
    least = 0.0 if seed == 2 else rng.uniform(0.1, 0.8)
    arm = Arm((0.3, -0.2), (least, least + rng.uniform(0.05, 1.0)), (start, start + span))
    lift = Lift("posts", (DOWN, UP), carries="body", arms=(arm,))
    placed = PlacedLift("P", (2.0, 1.0), 0.7, lift)
    (hold,) = holds(placed, evolve(CAR, lift_points=((0.0, 0.0),)))
    pieces = [shapely.Polygon(p) for p in hold.conditions[0].pieces]
    assert all(p.exterior.is_ccw for p in pieces)
    near = shapely.box(-2, -3, 6, 5)
    rims = [shapely.segmentize(p.exterior.intersection(near), 0.1) for p in pieces]
    points = np.vstack([rng.uniform((-1, -2), (5, 4), (1000, 2)), *map(shapely.get_coordinates, rims)])
    depths = np.zeros(len(points))
    for piece in pieces:
        depth = shapely.distance(piece.exterior, shapely.points(points))
        depths = np.maximum(depths, np.where(shapely.contains_xy(piece, points), depth, 0.0))
    off = oracle.swept_by(arm, placed, points)
    assert (depths[off > 2e-3] > 1e-6).all()
    assert (depths[off == 0.0] <= 1e-9).all()

"""The bodies of equipment in use and in store, how high it reaches, and the variants of a card.

The car is 4.7 by 1.8 m and keeps 50 mm; a stand is 0.6 m deep and 2 m wide, and keeps nothing more than itself.
"""

from __future__ import annotations

import math

import pytest
from attrs import evolve

from rooms import BODY_M, CAR, LENGTH_M, SAME_M, WIDTH_M, ahead, box, card, room
from standtrue.model.basics import SupportClass
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.lift import Lift, LiftState, Obstacle, PlacedLift
from standtrue.model.procedure import Procedure, Target, TargetPosition, Variant
from standtrue.model.site import Equipment, Site
from standtrue.place.engine import any_fit, best_stance
from standtrue.place.question.answer import Answer
from standtrue.show.words.reader import ENGLISH

STAND = Equipment("big stand", "stand", footprint=box(-0.3, -1, 0.3, 1), height_m=1.4)
TARGET = Target("board", "front", (2.0, 0.0, 1.0), math.pi, equipment="big stand")
BOARD = card(targets=(TARGET,))
SIDES_M = (3 - WIDTH_M) / 2 - BODY_M


def shop(x: float, *equipment: Equipment, y: float = 3.0) -> Site:
    return evolve(room(x, y), equipment=equipment)


def asked(site: Site, *cards: Procedure, support: SupportClass = "floor") -> Answer:
    answer = best_stance(Grounds(site), CAR, cards, support)
    assert any_fit(Grounds(site), CAR, cards, support) == answer.fits
    return answer


@pytest.mark.parametrize(
    ("facing", "length", "margin"),
    [
        (math.pi, 9.0, 0.5),
        (math.pi, 7.4, (7.4 - LENGTH_M - 2.3 - BODY_M) / 2),
        (math.pi / 2, 8.4, (8.4 - LENGTH_M - 3.0 - BODY_M) / 2),
    ],
)
def test_a_stand_takes_its_room_turned_to_its_facing(facing: float, length: float, margin: float) -> None:
    """2 m ahead of the front: facing the car it is 2 m wide in a room of 3 m; turned it reaches 1 m farther ahead."""
    turned = card(targets=(evolve(TARGET, facing_rad=facing),))
    assert asked(shop(length, STAND), turned).margin_m == pytest.approx(margin, abs=SAME_M)


def test_every_position_of_a_target_takes_room() -> None:
    """The second position is 1 m farther ahead, and turned."""
    spots = (TargetPosition((2.0, 0.0, 1.0)), TargetPosition((3.0, 0.0, 1.0), math.pi / 2))
    answer = asked(shop(9.2, STAND), card(targets=(evolve(TARGET, positions=spots),)))
    assert answer.margin_m == pytest.approx((9.2 - LENGTH_M - 4.0 - BODY_M) / 2, abs=SAME_M)


def test_a_stand_is_no_higher_than_it_is() -> None:
    """A beam across the room from 1.4 m up hangs over the stand, not in it; from 1.3 m up nothing fits."""
    beam = Obstacle("beam", box(6.5, 0, 7.4, 3), 1.4, 2.0)
    site = shop(7.4, STAND)
    low = evolve(beam, bottom_m=1.3)
    margin = min((7.4 - LENGTH_M - 2.3 - BODY_M) / 2, SIDES_M)
    assert asked(evolve(site, obstacles=(beam,)), BOARD).margin_m == pytest.approx(margin, abs=SAME_M)
    assert asked(evolve(site, obstacles=(low, evolve(low, outline=box(0, 0, 0.9, 3)))), BOARD).fits is Fits.NO


@pytest.mark.parametrize(("low", "high", "fits"), [(0.5, 0.9, False), (1.1, 2.0, False), (1.0, 1.0, True)])
def test_a_target_out_of_its_equipments_reach_does_not_fit(low: float, high: float, fits: bool) -> None:
    answer = asked(shop(9, evolve(STAND, reach_m=(low, high))), BOARD)
    assert answer.fits is Fits.of(fits)
    assert fits or any("big stand" in because for because in ENGLISH.reasons(answer.because))


@pytest.mark.parametrize(("from_floor", "fits"), [(True, True), (False, False)])
def test_on_a_raised_lift_a_target_rises_with_the_car_unless_it_is_measured_from_the_floor(
    from_floor: bool, fits: bool
) -> None:
    decks = (box(0, -1, 3.5, 1),)
    lift = Lift("flush", (LiftState("down", (0, 0), decks, drive_on=True), LiftState("up", (0.5, 1.5), decks)))
    site = evolve(shop(12, evolve(STAND, reach_m=(0.5, 1.4)), y=6.0), lifts=(PlacedLift("L", (3.0, 3.0), 0.0, lift),))
    wanted = card(targets=(evolve(TARGET, from_floor=from_floor),))
    assert asked(site, wanted, support="lift up").fits is Fits.of(fits)


STORED = evolve(STAND, store=box(0, 0, 1, 3))


def test_equipment_in_store_is_in_the_way_of_everything_but_its_own_use() -> None:
    """The store takes 1 m of a room of 6 m. Equipment may be named by the card, by its name or its kind."""
    short, whole = (5 - LENGTH_M) / 2 - BODY_M, min((6 - LENGTH_M) / 2 - BODY_M, SIDES_M)
    assert asked(shop(6, STORED)).margin_m == pytest.approx(short, abs=SAME_M)
    for name in ("big stand", "stand"):
        assert asked(shop(6, STORED), evolve(card(), equipment=(name,))).margin_m == pytest.approx(whole, abs=SAME_M)
    assert asked(shop(9, STORED), BOARD).margin_m == pytest.approx(0.5, abs=SAME_M)


def test_equipment_in_store_is_metal_and_as_high_as_it_is() -> None:
    tall = ahead(2, needs="metal-free")
    over = evolve(tall, bottom_m=1.4)
    assert asked(shop(7.5, STORED, y=2.2), card(tall)).fits is Fits.NO
    assert asked(shop(7.5, STORED, y=2.2), card(over)).fits is Fits.YES
    assert asked(shop(7.5, evolve(STORED, height_m=None), y=2.2), card(over)).fits is Fits.NO


def test_equipment_with_a_fixed_place_stands_there_while_it_is_used() -> None:
    fixed = evolve(STORED, footprint=box(-0.3, -1.5, 0.3, 1.5), used_at=(5.7, 1.5))
    answer = asked(shop(6, fixed), evolve(card(), equipment=("big stand",)))
    assert answer.margin_m == pytest.approx((5.4 - LENGTH_M) / 2 - BODY_M, abs=SAME_M)


def test_of_two_pieces_of_a_kind_one_is_used_and_the_other_stays_in_store() -> None:
    other = evolve(STORED, name="small stand", store=box(5.6, 0, 6, 3))
    answer = asked(shop(6, STORED, other), evolve(card(), equipment=("stand",)))
    assert answer.margin_m == pytest.approx((5.6 - LENGTH_M) / 2 - BODY_M, abs=SAME_M)


def test_cards_at_one_stance_run_one_after_another() -> None:
    """While one card runs, what only the other uses is in its store."""
    uses = evolve(card(name="uses"), equipment=("big stand",))
    plain = card(name="plain")
    assert asked(shop(6, STORED), uses, uses).margin_m == pytest.approx(SIDES_M, abs=SAME_M)
    assert asked(shop(6, STORED), uses, plain).margin_m == pytest.approx((5 - LENGTH_M) / 2 - BODY_M, abs=SAME_M)


def test_the_body_of_unlisted_equipment_is_said_to_be_left_out() -> None:
    answer = asked(shop(9), BOARD)
    assert any("big stand" in said for said in ENGLISH.reasons(answer.not_considered))


FAR, NEAR = ahead(6), ahead(3)
"""In a room of 8 m only the shorter zone fits."""


def test_a_variant_serves_as_well_as_the_cards_own_zones() -> None:
    either = evolve(card(FAR), variants=(Variant("far too", (FAR,)), Variant("near", (NEAR,))))
    answer = asked(shop(8), either)
    assert answer.variants == ("near",)
    assert answer.margin_m == pytest.approx((8 - LENGTH_M - 3 - BODY_M) / 2, abs=SAME_M)
    own = asked(shop(8), evolve(card(NEAR), variants=(Variant("far", (FAR,)),)))
    assert own.variants == (None,)


def test_the_better_of_two_forms_wins() -> None:
    answer = asked(shop(8.2), evolve(card(NEAR), variants=(Variant("nearer", (ahead(2.8),)),)))
    assert answer.variants == ("nearer",)
    assert answer.margin_m == pytest.approx((8.2 - LENGTH_M - 2.8 - BODY_M) / 2, abs=SAME_M)


def test_each_form_has_its_own_supports() -> None:
    raised = Variant("raised", (NEAR,), supports=("lift up",))
    assert asked(shop(8), evolve(card(FAR), variants=(raised,))).fits is Fits.NO
    floor = Variant("floor", (NEAR,), supports=("floor",))
    answer = asked(shop(8), evolve(card(FAR), supports=("lift up",), variants=(floor, raised)))
    assert answer.variants == ("floor",)


def test_each_of_two_cards_takes_the_form_that_serves_both() -> None:
    """8 m hold the car and 3 m, either ahead or behind: both cards must use the same end."""
    rear = evolve(NEAR, anchor="rear", outline=box(-3, -0.9, 0, 0.9))
    one = evolve(card(NEAR, name="one"), variants=(Variant("behind", (rear,)),))
    two = evolve(card(FAR, name="two"), variants=(Variant("behind", (rear,)), Variant("far behind", (FAR,))))
    answer = asked(shop(8), one, two)
    assert answer.variants == ("behind", "behind")
    assert answer.margin_m == pytest.approx((8 - LENGTH_M - 3 - BODY_M) / 2, abs=SAME_M)

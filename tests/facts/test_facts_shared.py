"""Facts of the trade about how often a car must be moved for its cards. Common practice, no source."""

from __future__ import annotations

import pytest
from attrs import evolve
from facts_shop import FACTS, card, grounds

from standtrue.model.basics import SUPPORT_CLASSES
from standtrue.model.procedure import Procedure
from standtrue.place.many.shared import Shared, shared_places

CAR = FACTS.vehicles["middling car"]
LEFT, RIGHT = card("rear corner radar, reflector/left"), card("rear corner radar, reflector/right")


def shared(site: str, *cards: Procedure) -> Shared:
    found = shared_places(grounds(site), CAR, cards, SUPPORT_CLASSES, straight=False)
    assert found.proven
    assert not found.unserved
    return found


@pytest.mark.parametrize(("site", "places"), [("room 16 ft wide", 2), ("room 20 ft wide", 1)])
def test_the_two_rear_corners_want_two_places_in_a_room_of_16_by_32_feet_and_one_in_a_wide_room(
    site: str, places: int
) -> None:
    """Common practice, no source. The two beams together are 5.50 m across."""
    found = shared(site, LEFT, RIGHT)
    assert len(found.places) == places
    assert found.places[-1].margin_m == pytest.approx(0.858 if places == 2 else (20 * 0.3048 - 5.5) / 2, abs=0.002)


def test_a_flush_lift_at_floor_level_serves_a_floor_card_and_a_lift_down_card_from_one_place() -> None:
    """Common practice, no source. Decks at height 0 are floor."""
    mats = card("surround view, narrow mats")
    floor, down = evolve(mats, supports=("floor",)), evolve(mats, name="on the decks", supports=("lift down",))
    found = shared("single bay, lift centered", floor, down)
    (place,) = found.places
    assert [(u.support, u.height_m) for u in place.uses] == [("floor", 0.0), ("lift down", 0.0)]

"""A stance that is stated: measured as the search measures its own, with everything that stands against it."""

from __future__ import annotations

import math
from functools import cache

import pytest
from attrs import evolve

from rooms import CAR, ON_DECKS_M, SAME_M, ahead, box, card, room
from standtrue.demo import demo_files
from standtrue.documents import Folder, gather, load_text
from standtrue.model.basics import Place, SupportClass
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.lift import Lift, LiftState, PlacedLift, Plate
from standtrue.model.procedure import Variant
from standtrue.model.reason import Ref, because
from standtrue.model.stance import FLOOR, Carrier, support_class
from standtrue.place.engine import best_stance
from standtrue.place.margin.stated import NO_FORM, WRONG_WAY, stated_stance
from standtrue.show.words.reader import ENGLISH


@cache
def shop() -> Folder:
    return gather(load_text(content, name) for name, content in demo_files().items())


@pytest.mark.parametrize(
    ("vehicle", "key", "support"),
    [
        ("Tavlin Corrow", "front radar reflector", "lift down"),
        ("Tavlin Corrow", "forward camera wide board", "floor"),
        ("Tavlin Corrow", "headlamp aim/left", "lift down"),
        ("Quendal Dromond", "tail lamp radar reflector/left", "lift up"),
    ],
)
def test_the_place_that_the_search_found_measures_the_same(vehicle: str, key: str, support: SupportClass) -> None:
    (site,) = shop().sites.values()
    car, asked = shop().vehicles[vehicle], next(c for c in shop().procedures if c.key == key)
    found = best_stance(Grounds(site), car, [asked], support)
    assert found.place is not None
    assert found.carrier is not None
    given = stated_stance(
        found.grounds, car, [asked], found.place, found.carrier,
        doors_open=found.doors_open, variants=found.variants,
    )  # fmt: skip
    assert (given.fits, given.margin_m, given.free_m) == (Fits.YES, found.margin_m, found.free_m)
    assert given.touches == found.touches
    assert [c.ref for c in given.claims] == [c.ref for c in found.claims]
    assert given.in_view == found.in_view


def test_a_car_nearer_to_the_wall_has_that_much_less_and_beyond_it_does_not_fit() -> None:
    grounds = Grounds(room(10, 4))
    there = stated_stance(grounds, CAR, [card()], Place(3.0, 2.0, 0.0))
    nearer = stated_stance(grounds, CAR, [card()], Place(3.0, 2.0 - 0.4, 0.0))
    assert there.fits is nearer.fits is Fits.YES
    assert there.margin_m is not None
    assert nearer.margin_m == pytest.approx(there.margin_m - 0.4, abs=SAME_M)
    beyond = stated_stance(grounds, CAR, [card()], Place(3.0, 0.5, 0.0))
    assert beyond.fits is Fits.NO
    assert beyond.margin_m is not None
    assert beyond.margin_m < 0.0
    assert beyond.touches[0].thing == Ref("wall")
    assert beyond.place == Place(3.0, 0.5, 0.0)


def test_on_a_lift() -> None:
    down = LiftState("down", (0.0, 0.0), (box(0, -1, 5, 1),), drive_on=True)
    up = LiftState("up", (0.5, 1.5), (box(0, -1, 5, 1),))
    plates = tuple(Plate("front", box(2.6, y - 0.15, 3.0, y + 0.15)) for y in (0.2, -0.2))
    lift = Lift("flush", (down, up), facing="one", plates=plates, locks_m=(0.6, 1.2))
    site = evolve(room(10, 4), lifts=(PlacedLift("L", (2.0, 2.0), 0.0, lift),))
    grounds, on_plates = Grounds(site), evolve(card(), wheels_on="plates")
    place = Place(2.0 + 0.45, 2.0, 0.0)
    good = stated_stance(grounds, CAR, [on_plates], place, Carrier("L", "down"))
    assert good.fits is Fits.YES
    assert good.margin_m == pytest.approx(0.3, abs=ON_DECKS_M)
    off = stated_stance(grounds, CAR, [on_plates], Place(2.0 + 0.9, 2.0, 0.0), Carrier("L", "down"))
    assert off.fits is Fits.NO
    assert set(ENGLISH.reasons(off.because)) == {f"wheel front {s}: not on L front plates" for s in ("left", "right")}
    round_about = stated_stance(grounds, CAR, [card()], Place(2.0 + 3.5, 2.0, math.pi), Carrier("L", "down"))
    assert round_about.fits is Fits.NO
    assert WRONG_WAY in round_about.because
    liftable = evolve(card(), supports=("lift up",))
    raised = stated_stance(grounds, CAR, [liftable], place, Carrier("L", "up", 1.2))
    assert raised.height_m == 1.2
    assert raised.support == "lift up"
    between = stated_stance(grounds, CAR, [liftable], place, Carrier("L", "up", 1.0))
    assert between.fits is Fits.NO
    assert between.because == (because("no-height-for-card"),)
    limited = evolve(liftable, lift_height_m=(0.5, 0.8))
    assert stated_stance(grounds, CAR, [limited], place, Carrier("L", "up", 1.2)).fits is Fits.NO
    assert stated_stance(grounds, CAR, [limited], place, Carrier("L", "up", 0.6)).height_m == 0.6


def test_a_support_that_the_site_does_not_have() -> None:
    site = room(10, 4)
    assert support_class(FLOOR, site) == "floor"
    with pytest.raises(ValueError, match="Floor"):
        best_stance(Grounds(site), CAR, [card()], "Floor")  # type: ignore[arg-type]  # from Python without types
    with pytest.raises(KeyError, match="L/up"):
        stated_stance(Grounds(site), CAR, [card()], Place(3.0, 2.0, 0.0), Carrier("L", "up", 1.0))


def test_a_card_that_does_not_allow_the_support_is_not_served_by_it() -> None:
    grounds = Grounds(room(10, 4))
    place = Place(3.0, 2.0, 0.0)
    only = stated_stance(grounds, CAR, [evolve(card(), supports=("lift up",))], place)
    assert only.fits is Fits.NO
    assert ENGLISH.reasons(only.because) == ["card allows only lift up"]
    variant = Variant("other", supports=("lift up",))
    forms = evolve(card(ahead(1.0)), variants=(variant,))
    assert stated_stance(grounds, CAR, [forms], place, variants=("other",)).because == (NO_FORM,)
    assert stated_stance(grounds, CAR, [forms], place, variants=(None,)).fits is Fits.YES

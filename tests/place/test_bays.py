"""One bay of a shop: what must stay inside, what may cross its edges, and the neighbors' cars.

The car is 4.7 by 1.8 m, the bay 6 by 3 m; its edges are numbered from the bottom one, counter-clockwise.
"""

from __future__ import annotations

import pytest
from attrs import evolve

from rooms import ALONE, BODY_M, CAR, LENGTH_M, SAME_M, WIDTH_M, ahead, box, card, room
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.procedure import Procedure, Zone
from standtrue.model.site import Bay, Site
from standtrue.model.vehicle import Vehicle
from standtrue.place.engine import any_fit, best_stance
from standtrue.place.question.answer import Answer
from standtrue.show.words.reader import ENGLISH

HALL = room(20, 10)
SIDES_M, ENDS_M = (3 - WIDTH_M) / 2, (6 - LENGTH_M) / 2


def asked(bay: Bay | None, *cards: Procedure, car: Vehicle = CAR, site: Site = HALL) -> Answer:
    grounds = Grounds(evolve(site, bays=(bay,) if bay else ()), bay)
    answer = best_stance(grounds, car, cards, "floor")
    assert any_fit(grounds, car, cards, "floor") == answer.fits
    return answer


def bay(*closed: int, wide: float = 3.0) -> Bay:
    return Bay("bay", box(5, 2, 11, 2 + wide), closed)


@pytest.mark.parametrize(
    ("closed", "margin"),
    [
        ((), SIDES_M),
        ((0,), SIDES_M - BODY_M / 2),
        ((2,), SIDES_M - BODY_M / 2),
        ((0, 2), SIDES_M - BODY_M),
        ((1, 3), min(SIDES_M, ENDS_M - BODY_M)),
        ((0, 1, 2, 3), SIDES_M - BODY_M),
    ],
)
def test_the_body_keeps_inside_and_clear_of_the_neighbors(closed: tuple[int, ...], margin: float) -> None:
    """To an open edge there is no gap: with one side closed the 50 mm are shared between both."""
    assert asked(bay(*closed)).margin_m == pytest.approx(margin, abs=SAME_M)


def test_without_a_bay_the_whole_hall_serves_and_the_answer_says_what_it_left_out() -> None:
    assert asked(None).margin_m == pytest.approx((10 - WIDTH_M) / 2 - BODY_M, abs=2e-3)
    closed = evolve(HALL, bays=(bay(0),))
    assert any("bay" in said for said in ENGLISH.reasons(best_stance(Grounds(closed), CAR, (), "floor").not_considered))


def test_zones_cross_open_edges_but_not_closed_ones() -> None:
    """A zone of 3 m ahead goes beyond one end; with that end closed, the car turns round; with both, nothing fits."""
    card_ahead = card(ahead(3))
    assert asked(bay(), card_ahead).margin_m == pytest.approx(SIDES_M, abs=SAME_M)
    turned = asked(bay(1), card_ahead)
    assert turned.margin_m == pytest.approx(SIDES_M, abs=SAME_M)
    assert turned.place is not None
    assert abs(turned.place.heading_deg) == pytest.approx(180.0, abs=30.0)
    assert asked(bay(1, 3), card_ahead).fits is Fits.NO


@pytest.mark.parametrize(("start", "fits"), [(4.5, False), (6.5, True)])
def test_a_neighbor_stands_five_meters_deep(start: float, fits: bool) -> None:
    """The front is between 9.7 m and 10.95 m along: 6.5 m ahead of it is beyond the neighbors' cars at 16 m."""
    far = Zone("far", "clear", "front", box(start, -0.5, start + 1, 0.5), 0.0, 2.0)
    site = Site("hall", box(-20, -20, 40, 30), HALL.datum, ALONE)
    assert asked(bay(1, 3), card(far), site=site).fits is Fits.of(fits)


def test_neighbors_are_metal() -> None:
    zone = ahead(3, needs="metal-free")
    assert asked(bay(1, 3), card(zone)).fits is Fits.NO
    assert asked(bay(), card(zone)).margin_m == pytest.approx(SIDES_M, abs=SAME_M)


def test_mirrors_may_stick_out_of_a_bay_but_not_into_a_neighbor() -> None:
    """The bay is 0.1 m wider than the body and 0.3 m narrower than the mirrors."""
    car = evolve(CAR, width_over_mirrors_m=2.2)
    assert asked(bay(wide=1.9), car=car).margin_m == pytest.approx(0.05, abs=SAME_M)
    assert asked(bay(0, wide=1.9), car=car).fits is Fits.NO


def test_walls_stay_walls_within_a_bay() -> None:
    """From a wall at 5.5 m to the open end at 11 m; to the wall the body keeps its 50 mm."""
    site = evolve(HALL, outline=box(5.5, 0, 20, 10))
    assert asked(bay(), site=site).margin_m == pytest.approx((5.5 - LENGTH_M - BODY_M) / 2, abs=SAME_M)

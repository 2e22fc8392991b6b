"""A lift's own parts may rise with its decks: a beam between them is where the decks are, not all the way up."""

from __future__ import annotations

import cases
import pytest
from attrs import evolve

from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds, LiftSetting
from standtrue.model.lift import Lift, LiftState, Obstacle, PlacedLift
from standtrue.model.procedure import Procedure, Source, Zone
from standtrue.model.reason import Ref
from standtrue.model.site import Datum, Gaps, Site
from standtrue.model.vehicle import Vehicle
from standtrue.place.engine import best_stance

CAR = Vehicle("car", 4.7, 1.9, 1.9, 1.5, 2.6, 1.05, 1.5, 1.5, 0.2, 0.6, 0.15)
BEAM = Obstacle("center beam", cases.box(1.0, -0.2, 4.5, 0.2), 0.15, 0.3, rises=True)
DECKS = (cases.box(0, -1.4, 5.5, -0.3), cases.box(0, 0.3, 5.5, 1.4))


def grounds(beam: Obstacle) -> Grounds:
    up = LiftState("up", (0.3, 1.8), DECKS, 0.15, obstacles=(beam,))
    lift = Lift("scissor", (LiftState("down", (0.0, 0.0), DECKS, drive_on=True), up))
    placed = PlacedLift("L", (2.5, 3.0), 0.0, lift)
    gaps = Gaps(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    return Grounds(Site("s", cases.box(0, 0, 10, 6), Datum((0.0, 0.0)), gaps, lifts=(placed,)))


def card(height_m: float, *zones: Zone) -> Procedure:
    asked = Procedure("card", "forward camera", "static", Source("made up"), supports=("lift up",), zones=zones)
    return evolve(asked, lift_height_m=(height_m, height_m))


@pytest.mark.parametrize("height", [0.3, 0.9, 1.8])
def test_it_is_as_far_below_the_decks_at_every_height(height: float) -> None:
    ground = grounds(BEAM).resolve({"L": LiftSetting("up", height)})
    (beam,) = [t for t in ground.things if t.ref == Ref("lift part", "center beam", of="L")]
    assert (beam.bottom_m, beam.top_m) == pytest.approx((height - 0.15, height))


def test_a_part_that_stands_through_all_heights_is_in_the_car_one_that_rises_is_not() -> None:
    standing = evolve(BEAM, top_m=1.8, rises=False)
    assert best_stance(grounds(standing), CAR, [card(1.2)], "lift up").fits is Fits.NO
    assert best_stance(grounds(BEAM), CAR, [card(1.2)], "lift up").fits is Fits.YES


def test_it_is_in_the_way_only_where_it_has_risen_to() -> None:
    view = Zone("view under the car", "clear", "front", cases.box(-4.0, -0.25, -1.0, 0.25), 1.0, 1.25)
    view = evolve(view, from_floor=True)
    assert best_stance(grounds(BEAM), CAR, [card(1.2, view)], "lift up").fits is Fits.NO
    assert best_stance(grounds(BEAM), CAR, [card(0.6, view)], "lift up").fits is Fits.YES, "above it"
    below = evolve(view, bottom_m=0.1, top_m=0.4)
    assert best_stance(grounds(BEAM), CAR, [card(1.2, below)], "lift up").fits is Fits.YES
    assert best_stance(grounds(evolve(BEAM, rises=False)), CAR, [card(1.2, below)], "lift up").fits is Fits.NO

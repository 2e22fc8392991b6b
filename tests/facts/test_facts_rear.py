"""Facts of the trade behind the car, beside it and around it, as documents of our own. Common practice, no source."""

from __future__ import annotations

import math

import pytest
import shapely
from facts_shop import FACTS, HERE, card, grounds

from standtrue.model.basics import Place
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Ref
from standtrue.place.engine import best_stance, region
from standtrue.place.margin.measure import at_place
from standtrue.place.question.answer import Answer
from standtrue.show.words.reader import ENGLISH

CAR = FACTS.vehicles["middling car"]
LEFT, RIGHT = card("rear corner radar, reflector/left"), card("rear corner radar, reflector/right")
NARROW, WIDE = grounds("room 16 ft wide"), grounds("room 20 ft wide")
SIXTEEN_FEET_M = 4.8768


def on_floor(room: Grounds, *cards: Procedure) -> Answer:
    return best_stance(room, CAR, cards, "floor")


def touched(answer: Answer) -> set[tuple[str, str]]:
    return {(ENGLISH.write(t.zone), ENGLISH.write(t.thing)) for t in answer.touches}


def sideways(room: Grounds, wanted: Procedure) -> tuple[float, float]:
    """From where to where across the room the car can stand for a card, straight along the room, nose at +x."""
    (slice_,) = region(on_floor(room, wanted), [0.0])
    ys = [y for outer, _ in slice_.polygons for _, y in outer]
    return min(ys), max(ys)


def same_way_round(place: Place) -> Place:
    """A stance in the narrow room with its nose at +x: turned half round about the room's middle where it is not.

    A plain rectangle turned so is itself, so the stance serves as well there.
    """
    if math.cos(place.heading_rad) >= 0.0:
        return place
    (x0, y0), (x1, y1) = NARROW.site.outline[0], NARROW.site.outline[2]
    heading = math.remainder(place.heading_rad + math.pi, 2 * math.pi)
    return Place(x0 + x1 - place.x_m, y0 + y1 - place.y_m, heading)


def body_middle(place: Place) -> tuple[float, float]:
    return at_place([((CAR.front_x_m + CAR.rear_x_m) / 2, 0.0)], place)[0]


def test_every_document_is_sound() -> None:
    assert not FACTS.faults
    assert not FACTS.warnings


@pytest.mark.parametrize("side", [LEFT, RIGHT], ids=["left", "right"])
def test_each_rear_corner_alone_fits_a_room_of_16_by_32_feet(side: Procedure) -> None:
    """Common practice, no source."""
    answer = on_floor(NARROW, side)
    assert answer.fits is Fits.YES
    assert answer.margin_m == pytest.approx(0.858, abs=0.001)
    assert touched(answer) == {("body", "wall"), ("beam", "wall")}


def test_no_one_stance_serves_both_rear_corners_there() -> None:
    """Common practice, no source. The two beams together are 2 x 2.75 m = 5.50 m across, the room 4.877 m."""
    answer = on_floor(NARROW, LEFT, RIGHT)
    assert answer.fits is Fits.NO
    assert answer.margin_m is None
    assert answer.bound_m == pytest.approx((SIXTEEN_FEET_M - 5.5) / 2, abs=0.001)
    assert {("beam", "wall"), ("reflector stand", "wall")} <= touched(answer)


def test_the_car_is_shifted_sideways_between_them() -> None:
    """Common practice, no source. Straight along the room, the two ranges lie 5.50 - 4.877 = 0.623 m apart."""
    right_of_middle, left_of_middle = sideways(NARROW, LEFT), sideways(NARROW, RIGHT)
    least = left_of_middle[0] - right_of_middle[1]
    assert least == pytest.approx(5.5 - SIXTEEN_FEET_M, abs=0.001)
    between_middles = (sum(left_of_middle) - sum(right_of_middle)) / 2
    assert between_middles == pytest.approx(1.67, abs=0.005)


def test_the_two_best_stances_are_also_turned() -> None:
    """Found, not foretold: with the most room to spare the car stands 16 degrees askew, one way and the other."""
    places = []
    for wanted in (LEFT, RIGHT):
        place = on_floor(NARROW, wanted).place
        assert place is not None
        places.append(same_way_round(place))
    left, right = places
    assert left.heading_deg == pytest.approx(16.1, abs=0.5)
    assert right.heading_deg == pytest.approx(-16.1, abs=0.5)
    assert right.y_m - left.y_m == pytest.approx(0.73, abs=0.03)
    assert body_middle(right)[1] - body_middle(left)[1] == pytest.approx(0.0, abs=0.05)


def test_in_a_room_20_feet_wide_one_stance_serves_both() -> None:
    """Common practice, no source. 6.096 m less the beams' 5.50 m leaves 0.298 m on each side."""
    answer = on_floor(WIDE, LEFT, RIGHT)
    assert answer.fits is Fits.YES
    assert answer.margin_m == pytest.approx((20 * 0.3048 - 5.5) / 2, abs=0.001)
    assert touched(answer) == {("beam", "wall")}


def wheels_over_pit(room: Grounds, place: Place) -> set[str]:
    pits = [u.shape for u in room.at_rest().unfloor]
    return {
        name
        for name, patch in CAR.wheel_patches
        if any(shapely.Polygon(at_place(patch, place)).intersects(pit) for pit in pits)
    }


@pytest.mark.parametrize("side", [LEFT, RIGHT], ids=["left", "right"])
def test_over_an_open_pit_a_wheel_hangs_in_the_sideways_stance(side: Procedure) -> None:
    """Common practice, no source. The same room; the pit reaches 0.2 m past the decks of a centered flush lift."""
    pit = grounds("room 16 ft wide, open pit")
    low, high = sideways(NARROW, side)
    assert wheels_over_pit(pit, Place(4.8, (low + high) / 2, 0.0)) == {f"wheel rear {side.side}"}
    answer = on_floor(pit, side)
    straight = [math.radians(d) for d in (*range(-8, 9), *range(172, 189))]
    assert all(not s.polygons for s in region(answer, straight))


@pytest.mark.parametrize("side", [LEFT, RIGHT], ids=["left", "right"])
def test_the_open_pit_leaves_only_stances_far_askew(side: Procedure) -> None:
    """Found, not foretold: with one axle on the decks and the other beyond the pit, 23 degrees askew, it does fit."""
    answer = on_floor(grounds("room 16 ft wide, open pit"), side)
    assert answer.fits is Fits.YES
    assert answer.margin_m == pytest.approx(0.101, abs=0.001)
    assert (Ref(f"exit {side.side}"), Ref("void", "pit")) in {(t.zone, t.thing) for t in answer.touches}
    assert answer.place is not None
    assert abs(math.remainder(answer.place.heading_deg, 180.0)) == pytest.approx(22.7, abs=0.5)


@pytest.mark.parametrize("side", [LEFT, RIGHT], ids=["left", "right"])
def test_over_a_broad_open_pit_nothing_fits_at_any_heading(side: Procedure) -> None:
    """Common practice, no source. The pit, 5.5 m x 3.1 m, reaches 0.5 m past the decks."""
    answer = on_floor(grounds("room 16 ft wide, broad open pit"), side)
    assert answer.fits is Fits.NO
    assert answer.bound_m == pytest.approx(-0.048, abs=0.001)


@pytest.mark.parametrize(("pit", "margin_m"), [("covered pit", 0.757), ("broad covered pit", 0.6455)])
@pytest.mark.parametrize("side", [LEFT, RIGHT], ids=["left", "right"])
def test_with_the_covers_closed_it_fits(pit: str, margin_m: float, side: Procedure) -> None:
    """Common practice, no source. Wheels roll over the slots of 20 mm; the reflector's stand keeps off them."""
    answer = on_floor(grounds(f"room 16 ft wide, {pit}"), side)
    assert answer.fits is Fits.YES
    assert answer.margin_m == pytest.approx(margin_m, abs=0.001)
    assert {("beam", "wall"), ("reflector stand", "pit")} <= touched(answer)


MATS = {name: card(f"surround view, {name} mats") for name in ("narrow", "wide", "long")}


def test_narrow_mats_fit_the_single_bay() -> None:
    """Common practice, no source. 16 ft less 4.24 m over the side mats leaves 0.318 m on each side."""
    answer = on_floor(grounds("single bay, plain floor"), MATS["narrow"])
    assert answer.fits is Fits.YES
    assert answer.margin_m == pytest.approx((SIXTEEN_FEET_M - 4.24) / 2, abs=0.001)
    assert {("mat left", "wall"), ("mat right", "wall")} <= touched(answer)


@pytest.mark.parametrize("bay", ["single bay", "drive-through bay"])
def test_wide_mats_fit_no_bay_16_feet_wide(bay: str) -> None:
    """Common practice, no source. 5.44 m over the side mats is 0.281 m too much on each side."""
    answer = on_floor(grounds(f"{bay}, plain floor"), MATS["wide"])
    assert answer.fits is Fits.NO
    assert answer.bound_m == pytest.approx((SIXTEEN_FEET_M - 5.44) / 2, abs=0.001)
    assert {("mat left", "wall"), ("mat right", "wall")} <= touched(answer)


def test_long_mats_want_the_drive_through_bay() -> None:
    """Common practice, no source. 9.66 m over the end mats is 0.516 m more than 30 ft."""
    answer = on_floor(grounds("single bay, plain floor"), MATS["long"])
    assert answer.fits is Fits.NO
    assert answer.bound_m == pytest.approx((30 * 0.3048 - 9.66) / 2, abs=0.001)
    assert {("mat ahead", "wall"), ("mat behind", "wall")} <= touched(answer)
    assert on_floor(grounds("drive-through bay, plain floor"), MATS["long"]).fits is Fits.YES


def test_mats_go_around_a_flush_lift_that_is_centered_and_not_otherwise() -> None:
    """Found, not foretold: a mat may not lie across the slot at the decks' ends, so the end mats lie beyond them."""
    centered = best_stance(grounds("single bay, lift centered"), CAR, [MATS["narrow"]], "lift down")
    assert centered.fits is Fits.YES
    assert centered.free_m == pytest.approx(0.15, abs=0.001)
    for place in ("toward the rear wall", "toward the door"):
        answer = best_stance(grounds(f"single bay, lift {place}"), CAR, [MATS["narrow"]], "lift down")
        assert answer.fits is Fits.NO
        assert {t.thing for t in answer.touches} >= {Ref("wall"), Ref("pit", of="lift", number=1)}


def test_the_page_tells_what_was_found() -> None:
    """The figures that the page states in prose are those that the tests above assert."""
    page = (HERE.parents[1] / "docs" / "explanation" / "single-bay.md").read_text(encoding="utf-8")
    single, both = on_floor(NARROW, LEFT).margin_m, on_floor(WIDE, LEFT, RIGHT).margin_m
    assert single is not None
    assert both is not None
    for figure in (
        f"with {single:.2f} m to spare;",
        f"{(5.5 - SIXTEEN_FEET_M) / 2:.2f} m too little on each side",
        f"sideways by {5.5 - SIXTEEN_FEET_M:.2f} m at least",
        f"serves both, with {both:.2f} m to spare",
    ):
        assert figure in page

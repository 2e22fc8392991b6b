"""Stances on level floor: found by the survey, proven where there are none, and never shared off it. All invented."""

from __future__ import annotations

from functools import cache

import pytest
from attrs import evolve

from standtrue.aim.floor import SurveyedFloor
from standtrue.model.basics import Outline
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.procedure import FloorLevel, Procedure, Source, Zone
from standtrue.model.reason import Reason, Ref
from standtrue.model.shop import Shop, Written
from standtrue.model.site import Datum, Site
from standtrue.model.survey import Survey, SurveyPoint
from standtrue.model.vehicle import Vehicle
from standtrue.place.engine import any_fit, best_stance
from standtrue.place.many.shared import shared_places
from standtrue.place.margin.measure import at_place
from standtrue.place.question.answer import Answer
from standtrue.show.words.reader import ENGLISH
from standtrue.work.place.level import LevelFloors, Settled, Uneven, survey_of

CAR = Vehicle("car", 4.0, 1.8, 1.8, 1.5, 2.5, 0.7, 1.5, 1.5, 0.2, 0.6, 0.15)
WHEELS = tuple(f"wheel {end} {side}" for end in ("front", "rear") for side in ("left", "right"))


def box(x0: float, y0: float, x1: float, y1: float) -> Outline:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


SITE = Site("hall", box(0, 0, 20, 8), Datum((0.0, 0.0)))
ZONE = Zone("stand", "stand", "front", box(0.5, -0.5, 1.5, 0.5), 0.0, 1.0)


def card(within_m: float | None = 0.008, over: tuple[str, ...] = (), within_rad: float | None = None) -> Procedure:
    level = FloorLevel(within_m, within_rad, over)
    return Procedure("card", "front radar", "static", Source("invented"), floor_level=level, zones=(ZONE,))


def survey(*heights_mm: tuple[float, float]) -> Survey:
    """A floor whose height depends on x alone: pairs of x (metres) and height (millimetres), straight between."""
    points = [SurveyPoint((x, y), mm / 1000, 0.0005) for x, mm in heights_mm for y in (0.0, 8.0)]
    return Survey("laser", "hall", tuple(points))


def settled(floor: Survey, asked: Procedure) -> Settled:
    return LevelFloors(floor, SITE).settle(roomiest(asked))


@cache
def roomiest(asked: Procedure) -> Answer:
    return best_stance(Grounds(SITE), CAR, [asked], "floor")


FLAT = survey((0, 0), (20, 0))
HALF = survey((0, 0), (13, 90), (14, 90), (20, 91))
SLOPE = survey((0, 0), (20, 200))


def test_on_flat_floor_the_roomiest_stance_stays() -> None:
    same(settled(FLAT, card()), roomiest(card()))


def same(found: Settled, answer: Answer) -> None:
    assert found.answer is answer
    assert found.uneven == ()
    assert found.notes == ()


def test_the_stance_moves_to_the_level_half() -> None:
    """The roomiest place is the middle of the hall, half on the slope; 13 m and on is level."""
    asked = card()
    found = settled(HALF, asked)
    assert found.answer.fits is Fits.YES
    assert found.answer.place is not None
    level = LevelFloors(HALF, SITE).under(found.answer)
    before = LevelFloors(HALF, SITE).under(roomiest(asked))
    assert level is not None
    assert before is not None
    assert before.difference_m > 0.008 >= level.difference_m
    assert found.answer.margin_m is not None
    assert 0.0 < found.answer.margin_m < (roomiest(asked).margin_m or 0.0)
    assert "level enough by the survey laser" in ENGLISH.reason(found.notes[0])
    assert any(t.thing == Ref("uneven", asked.key) for t in found.answer.touches)


def test_across_the_slope_is_level_enough_along_it_is_not() -> None:
    """1 % of slope: 8 mm are 0.8 m, less than the wheels' 1.7 m across; 20 mm are 2 m, enough across the slope only."""
    none = settled(SLOPE, card(0.008))
    assert none.answer.fits is Fits.NO
    no_floor = "no place was found where the floor is level within 8 mm, by the survey laser"
    assert no_floor in ENGLISH.reasons(none.answer.because)
    assert none.answer.nearest_miss is not None
    assert none.answer.margin_m is None
    across = settled(SLOPE, card(0.020))
    assert across.answer.fits is Fits.YES
    assert across.answer.place is not None
    assert abs(abs(across.answer.place.heading_deg) - 90.0) < 12.0


def test_only_what_the_card_names_must_be_level() -> None:
    """1 m of the stand zone is 10 mm of the slope: it alone is level enough at 11 mm, the wheels never are."""
    found = settled(SLOPE, card(0.011, ("stand",)))
    assert found.answer.fits is Fits.YES
    assert settled(SLOPE, card(0.011, WHEELS)).answer.fits is Fits.NO
    asked = card(0.011, ("stand",))
    uneven = LevelFloors(SLOPE, SITE)._outside(asked, 0.05, 0.011)
    assert any_fit(Grounds(SITE), CAR, [asked], "floor", uneven=uneven) is Fits.YES
    assert best_stance(Grounds(SITE), CAR, [asked], "floor", uneven=uneven).fits is Fits.YES


def test_a_greatest_slope() -> None:
    assert settled(SLOPE, card(None, within_rad=0.02)).answer.fits is Fits.YES
    steep = settled(SLOPE, card(None, within_rad=0.005)).answer
    assert steep.fits is Fits.UNDECIDED, "a plane through two slopes may be gentler than either: that is not searched"
    assert settled(HALF, card(None, within_rad=0.005)).answer.fits is Fits.YES


def test_shared_places_keep_to_level_floor() -> None:
    level = LevelFloors(HALF, SITE)
    asked, plain = card(), evolve(card(), name="plain", floor_level=None)
    found = level.settle(roomiest(asked))
    rough: Uneven = {("card", "floor"): level.rough_for(found)}
    shared = shared_places(Grounds(SITE), CAR, [asked, plain], ["floor"], uneven=rough)
    assert len(shared.places) == 1
    place = shared.places[0].place
    stands = [at_place(outline, place) for _, outline in CAR.wheel_patches]
    told = SurveyedFloor(HALF.points).level(stands)
    assert told is not None
    assert told.difference_m <= 0.008


def test_unsurveyed_floor_is_told() -> None:
    corner = survey((0, 0), (3, 0))
    (note,) = settled(corner, card()).notes
    assert "of the floor that its card asks to be level was surveyed" in ENGLISH.reason(note)


def test_the_survey_of_the_site() -> None:
    def found(*surveys: Survey) -> tuple[Survey | None, Reason | None]:
        return survey_of(Shop(Written(surveys={s.name: s for s in surveys})), SITE)

    assert found() == (None, None)
    assert found(FLAT) == (FLAT, None)
    assert found(evolve(FLAT, site="other")) == (None, None)
    other = evolve(FLAT, name="other")
    several = found(FLAT, other)[1]
    assert several is not None
    assert ENGLISH.reason(several) == "the folder holds 2 surveys of hall: level floor was not looked at"


@pytest.mark.parametrize("floor", [FLAT, HALF, SLOPE], ids=["flat", "half", "slope"])
def test_what_asks_nothing_is_left_alone(floor: Survey) -> None:
    plain = evolve(card(), floor_level=None)
    same(settled(floor, plain), roomiest(plain))

"""Stances on level floor: found by the survey, proven where there are none, and never shared off it. All invented."""

from __future__ import annotations

from functools import cache

import pytest
import shapely
import work_makers as make
from attrs import evolve

from standtrue.aim.floor_level import Level, asked_shapes
from standtrue.draw.shapes import Shape
from standtrue.model.basics import Outline, Place
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.level import IsLevel
from standtrue.model.procedure import FloorLevel, Procedure, Source, Zone
from standtrue.model.reason import Reason, Ref
from standtrue.model.shop import Shop, Written
from standtrue.model.site import Datum, Door, Site
from standtrue.model.survey import Survey, SurveyPoint
from standtrue.model.vehicle import Vehicle
from standtrue.place.engine import best_stance
from standtrue.place.many.shared import shared_places
from standtrue.place.question.answer import Answer
from standtrue.show.pictures.place import drawing_of
from standtrue.show.words.place import touch_words, verdict
from standtrue.show.words.reader import ENGLISH
from standtrue.work.place.level import LevelFloors, survey_of
from standtrue.work.place.settle import Settled, Uneven, rough_for, settle

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
    return settle(LevelFloors(floor, SITE), roomiest(asked))


@cache
def roomiest(asked: Procedure) -> Answer:
    return best_stance(Grounds(SITE), CAR, [asked], "floor")


def level_of(found: Settled) -> str | None:
    return None if found.answer.level is None else found.answer.level.level.value


def placed(answer: Answer) -> Place:
    assert answer.place is not None
    return answer.place


def under(floor: Survey, answer: Answer) -> Level | None:
    judged = LevelFloors(floor, SITE).judged(answer.cards[0], CAR, placed(answer))
    return None if judged is None else judged.level


FLAT = survey((0, 0), (20, 0))
HALF = survey((0, 0), (13, 90), (14, 90), (20, 91))
SLOPE = survey((0, 0), (20, 200))


def test_on_flat_floor_the_roomiest_stance_stays() -> None:
    found = settled(FLAT, card())
    same(found, roomiest(card()))
    assert level_of(found) == "met"


def same(found: Settled, answer: Answer) -> None:
    assert found.answer.place == answer.place
    assert found.answer.fits is answer.fits
    assert found.uneven == ()
    assert found.notes == ()


def test_the_stance_moves_to_the_level_half() -> None:
    """The roomiest place is the middle of the hall, half on the slope; 13 m and on is level."""
    asked = card()
    found = settled(HALF, asked)
    assert found.answer.fits is Fits.YES
    assert found.answer.place is not None
    assert level_of(found) == "met"
    level, before = under(HALF, found.answer), under(HALF, roomiest(asked))
    assert level is not None
    assert before is not None
    assert before.difference_m > 0.008 >= level.difference_m
    assert found.answer.margin_m is not None
    assert 0.0 < found.answer.margin_m < (roomiest(asked).margin_m or 0.0)
    assert "level enough by the survey laser" in ENGLISH.reason(found.notes[0])
    assert any(t.thing == Ref("uneven", asked.key) for t in found.answer.touches)


def test_across_the_slope_is_level_enough_along_it_is_not() -> None:
    """1 % of slope: 8 mm are 0.8 m, less than the wheels' 1.7 m across; 20 mm are 2 m, enough across the slope only.

    Level changes nothing of whether the car fits: the roomiest stance stays, and it is told that it is not level.
    """
    none = settled(SLOPE, card(0.008))
    assert none.answer.fits is Fits.YES
    assert none.answer.place == roomiest(card(0.008)).place
    assert none.answer.margin_m == roomiest(card(0.008)).margin_m
    assert level_of(none) == "not met"
    (why,) = none.answer.level.because if none.answer.level is not None else ()
    assert "at most 8 mm" in ENGLISH.reason(why)
    no_floor = "no place was found where the floor is level within 8 mm, by the survey laser"
    assert no_floor in ENGLISH.reason(none.notes[0])
    assert not any("level enough" in ENGLISH.reason(note) for note in none.notes)
    across = settled(SLOPE, card(0.022))
    assert level_of(across) == "met"
    assert across.answer.place is not None
    assert abs(abs(across.answer.place.heading_deg) - 90.0) < 12.0


def test_what_is_too_close_to_the_limit_cannot_be_told() -> None:
    """Across 1 % of slope the wheels differ by 17.1 mm, known to 0.2 mm: of 17.2 mm that cannot be told."""
    close = settled(SLOPE, card(0.0172, WHEELS))
    assert level_of(close) == "cannot tell"
    assert close.answer.level is not None
    assert "too close to the limit" in ENGLISH.reason(close.answer.level.because[0])
    assert level_of(settled(SLOPE, card(0.0180, WHEELS))) == "met"


def test_only_what_the_card_names_must_be_level() -> None:
    """1 m of the stand zone is 10 mm of the slope: it alone is level enough at 12 mm, the wheels never are."""
    assert level_of(settled(SLOPE, card(0.012, ("stand",)))) == "met"
    assert level_of(settled(SLOPE, card(0.012, WHEELS))) == "not met"


def test_a_greatest_slope() -> None:
    assert level_of(settled(SLOPE, card(None, within_rad=0.02))) == "met"
    assert level_of(settled(SLOPE, card(None, within_rad=0.005))) == "not met"
    moved = settled(HALF, card(None, within_rad=0.005))
    assert level_of(moved) == "met"
    assert moved.answer.place != roomiest(card(None, within_rad=0.005)).place


def test_shared_places_keep_to_level_floor() -> None:
    level = LevelFloors(HALF, SITE)
    asked, plain = card(), evolve(card(), name="plain", floor_level=None)
    rough: Uneven = {("card", "floor"): rough_for(level, settle(level, roomiest(asked)))}
    shared = level.noted_shared(shared_places(Grounds(SITE), CAR, [asked, plain], ["floor"], uneven=rough), CAR)
    assert len(shared.places) == 1
    told = {use.card.name: use.level for use in shared.places[0].uses}
    assert told["plain"] is None
    assert told["card"] is not None
    assert told["card"].level is IsLevel.MET


def test_without_a_survey_stances_are_given_as_ever() -> None:
    found = settle(LevelFloors(None, SITE), roomiest(card()))
    same(found, roomiest(card()))
    assert level_of(found) == "cannot tell"
    assert verdict(found.answer, ENGLISH).startswith("Fits on the floor, level not surveyed: rear axle center")


def test_surveyed_floor_is_preferred_even_where_it_is_not_level() -> None:
    """The survey reaches 9 m into the hall of 20 m: the roomiest stance, in the middle, lies half beyond it."""
    level = settled(survey((0, 0), (9, 1)), card())
    assert level_of(level) == "met"
    assert "stands on floor that is level enough" in ENGLISH.reason(level.notes[0])
    edge = next(t for t in level.answer.touches if t.thing == Ref("unsurveyed"))
    assert "floor that was not surveyed" in touch_words(edge, ENGLISH)
    (beyond,) = (s for s in drawing_of(level.answer, ENGLISH).shapes if s.role == "unsurveyed")
    drawn = shapely.union_all([shapely.Polygon(outer, holes) for outer, holes in beyond.areas])
    assert drawn.bounds == pytest.approx((9.0, 0.0, 20.0, 8.0))
    steep = settled(survey((0, 0), (9, 300)), card())
    assert level_of(steep) == "not met"
    assert steep.answer.fits is Fits.YES
    assert "kept to the floor that was surveyed" in ENGLISH.reason(steep.notes[0])
    for found in (level, steep):
        judged = LevelFloors(survey((0, 0), (9, 1)), SITE).judged(card(), CAR, placed(found.answer))
        assert judged is not None
        assert judged.unknown == ()


def test_where_only_unsurveyed_floor_fits_that_stance_is_told() -> None:
    corner = settled(survey((0, 0), (1.5, 0)), card())
    same(evolve(corner, notes=()), roomiest(card()))
    assert level_of(corner) == "cannot tell"
    assert corner.answer.level is not None
    assert "says nothing of the floor" in ENGLISH.reason(corner.answer.level.because[0])


def test_nobody_flees_through_the_door_onto_floor_that_was_not_surveyed() -> None:
    """A fall of 28 mm over 12 m, surveyed wall to wall, and an apron that nobody surveyed. The roomiest stance is
    inside and not level enough; out on the apron nothing is known, which is not level."""
    door = Door("gate", (12.0, 1.0), (12.0, 7.0), 4.0, may_stand_open=True, apron=box(12, 0, 30, 8))
    hall = Site("hall", box(0, 0, 12, 8), Datum((0.0, 0.0)), doors=(door,))
    points = tuple(SurveyPoint((x, y), 0.028 * x / 12, 0.0005) for x in (0.0, 4.0, 8.0, 12.0) for y in (0.0, 4.0, 8.0))
    asked = card(0.002)
    inside = best_stance(Grounds(hall), CAR, [asked], "floor")
    found = settle(LevelFloors(Survey("laser", "hall", points), hall), inside)
    assert inside.doors_open == found.answer.doors_open == ()
    assert placed(found.answer) == placed(inside)
    assert level_of(found) == "not met"


def test_wheels_on_decks_at_floor_level_are_asked_as_on_the_floor() -> None:
    """14.6 mm over the decks against 10 mm: `place` skipped wheels on decks, and called it level enough."""
    room = make.site(wide=6.0, long=12.0, lift_x=4.0)
    points = tuple(SurveyPoint((x, y), 0.0146 * x / 2.35, 0.0005) for x in (0.0, 6.0, 12.0) for y in (0.0, 6.0))
    asked = evolve(card(0.010, WHEELS), supports=("lift down",), zones=())
    roomy = best_stance(Grounds(room), make.car(), [asked], "lift down")
    assert roomy.fits is Fits.YES
    assert roomy.height_m == 0.0
    level = LevelFloors(Survey("laser", "shop", points), room)
    found = settle(level, roomy)
    assert found.answer.fits is Fits.YES
    assert level_of(found) == "not met"
    assert not any("level enough" in ENGLISH.reason(note) for note in found.notes)
    # Level behind 7 m: the stance on the decks moves there.
    behind = [evolve(p, height_m=0.0 if p.at[0] < 5.0 else 0.0008 * p.at[0]) for p in points]
    moved = settle(LevelFloors(Survey("laser", "shop", tuple(behind)), room), roomy)
    assert level_of(moved) == "met"


def uneven_shapes(answer: Answer) -> list[Shape]:
    return [s for s in drawing_of(answer, ENGLISH).shapes if s.role == "uneven"]


def test_the_hatch_contradicts_no_stance_that_is_drawn() -> None:
    """What must be level and is stands off the hatch; what is not level is hatched itself, and says so."""
    met, not_met = settled(HALF, card()).answer, settled(SLOPE, card(0.008)).answer
    stands = shapely.union_all([shapely.Polygon(o) for o in asked_shapes(card(), CAR, placed(met)).values()])
    (hatched,) = uneven_shapes(met)
    areas = shapely.union_all([shapely.Polygon(outer, holes) for outer, holes in hatched.areas])
    assert shapely.intersection(areas, stands).area < 1e-6
    assert "nothing may stand" not in hatched.meaning
    (under,) = uneven_shapes(not_met)
    assert under.label == "level not met"
    assert "at most 8 mm" in under.meaning
    area = sum(shapely.Polygon(outer, holes).area for outer, holes in under.areas)
    own = asked_shapes(card(), CAR, placed(not_met)).values()
    assert area == pytest.approx(shapely.union_all([shapely.Polygon(o) for o in own]).area, rel=1e-6)
    assert "level not met" in drawing_of(not_met, ENGLISH).verdict


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

"""The bay-size chart, held to closed forms and to `place` itself."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
import shapely
from attrs import evolve
from work_makers import BODY_M, LIFT, ahead, box, car, card, folder, site, turned

from standtrue.model.basics import SupportClass
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds, LiftSetting, Thing, Unfloor
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Ref, because
from standtrue.model.site import Equipment, Gaps
from standtrue.model.vehicle import Vehicle
from standtrue.place.engine import best_stance
from standtrue.show.words.reader import ENGLISH
from standtrue.study.sizes import Size, SizeRange, find_frontiers
from standtrue.work.ask import UnansweredError
from standtrue.work.study.sized_rooms import Rooms, Rule, Standing, fit_function, own_size, rooms_frontiers, standing
from standtrue.work.study.sizes import find_sizes, work_of_cars
from standtrue.work.study.year import some_cars

SIZES = SizeRange((1.5, 7.0), (1.5, 9.0))


def corners(*cards: Procedure, vehicle: Vehicle, rooms: Rooms, sizes: SizeRange = SIZES) -> list[tuple[Size, ...]]:
    fits = fit_function(rooms, [vehicle], cards)
    return [f.corners for f in find_frontiers(fits, [(0, i) for i in range(len(cards))], sizes)]


@pytest.mark.parametrize("gap", [0.05, 0.2])
def test_a_car_alone_needs_its_own_size_and_two_gaps_either_way_round(gap: float) -> None:
    """Closed form: width + 2 gaps by length + 2 gaps, or turned by a quarter; slanted as Carver's formula says.

    Carver 1957, American Mathematical Monthly 64: p x q fits slanted in a x b (a < p) just if
    ((a + b)/(p + q))^2 + ((a - b)/(p - q))^2 >= 2.
    """
    p, q = 4.703, 1.801
    sizes = SizeRange((1.7, 5.4), (1.7, 5.4), 0.01)
    (found,) = corners(
        card(), vehicle=car(length=p, width=q), rooms=Rooms(site(gaps=Gaps(gap, exit_m=0.0))), sizes=sizes
    )

    def exactly(size: Size, spare: float) -> bool:
        a, b = sorted((size.width_m - 2 * gap + spare, size.length_m - 2 * gap + spare))
        slanted = b >= a > q and ((a + b) / (p + q)) ** 2 + ((a - b) / (p - q)) ** 2 >= 2 and b < p
        return (a >= q and b >= p) or slanted

    assert found[0] == Size(_up(q + 2 * gap, 0.01), _up(p + 2 * gap, 0.01))
    assert found[-1] == Size(_up(p + 2 * gap, 0.01), _up(q + 2 * gap, 0.01))
    assert len(found) > 4, "in a nearly square room it stands slanted"
    for corner in found:
        assert exactly(corner, 1e-6)
        assert not exactly(Size(corner.width_m - 0.01, corner.length_m), -0.002)
        assert not exactly(Size(corner.width_m, corner.length_m - 0.01), -0.002)


def _up(metres: float, step_m: float = 0.005) -> float:
    """The next size of the lattice."""
    return round(math.ceil(metres / step_m - 1e-6) * step_m, 6)


def test_a_zone_ahead_adds_its_depth() -> None:
    (found,) = corners(card(ahead(2.0)), vehicle=car(), rooms=Rooms(site()))
    assert found[0] == Size(1.9, 6.75), "length, zone, and a gap at the tail alone: a zone asks for none"


def test_on_a_centered_lift_the_decks_bound_how_far_the_car_moves() -> None:
    """By hand: wheel patches 0.2 m long stay 50 mm inside the decks' ends, so the front axle is at most 4.35 m along
    the deck, 2.1 m ahead of its middle; the front bumper 1.175 m farther; at the back likewise, with the body's gap."""
    rooms = Rooms(site(lift_x=2.0), Standing(site(lift_x=2.0).lifts[0]))
    vehicle = car()
    fits = fit_function(rooms, [vehicle], [card(ahead(2.0))], ("lift down",))
    (found,) = find_frontiers(fits, [(0, 0)], SIZES)
    slide = 4.5 - 2 * 0.05 - 0.2 - vehicle.wheelbase_m
    front = 2.25 - 0.05 - 0.1 - slide + vehicle.front_overhang_m + 2.0
    assert found.corners[0].length_m == _up(2 * front)


def stances(count: int = 14) -> list[tuple[Rooms, Vehicle, Procedure, SupportClass]]:
    rng = np.random.default_rng(4)
    placed = site(lift_x=2.0).lifts[0]
    made = []
    for i in range(count):
        gaps = Gaps(exit_m=0.6 * float(i % 3 == 0))
        lift = (None, Standing(placed), Standing(placed, nose_m=1.3), Standing(placed, tail_m=0.9))[i % 4]
        vehicle = car(length=rng.uniform(3.9, 5.2), width=rng.uniform(1.7, 2.0))
        zones = (ahead(rng.uniform(0.5, 2.5), rng.uniform(0.6, 3.0)),)
        supports: tuple[SupportClass, ...] = ("floor",) if lift is None else ("lift down", "lift up", "floor")
        made.append((Rooms(site(gaps=gaps), lift), vehicle, card(*zones), supports[i % len(supports)]))
    return made


@pytest.mark.parametrize(("rooms", "vehicle", "asked", "support"), stances())
def test_place_agrees_just_inside_and_just_outside(
    rooms: Rooms, vehicle: Vehicle, asked: Procedure, support: SupportClass
) -> None:
    """The frontier's corners fit, by the search for the best stance; a step shorter or narrower does not."""
    sizes = SizeRange((2.0, 4.2), (4.3, 12.0))
    fits = fit_function(rooms, [vehicle], [asked], (support,))
    (found,) = find_frontiers(fits, [(0, 0)], sizes)
    assert found.corners
    for corner in (found.corners[0], found.corners[len(found.corners) // 2], found.corners[-1]):
        assert _placed(rooms, corner, vehicle, asked, support) is not Fits.NO
        more = Size(corner.width_m + 0.003, corner.length_m + 0.003)
        assert _placed(rooms, more, vehicle, asked, support) is Fits.YES
        for narrower, shorter in ((0.006, 0.0), (0.0, 0.006)):
            less = Size(corner.width_m - narrower, corner.length_m - shorter)
            if less.width_m > 2.0 and less.length_m > 4.3:
                assert _placed(rooms, less, vehicle, asked, support) is not Fits.YES
                assert not found.fits(less)


def _placed(rooms: Rooms, size: Size, vehicle: Vehicle, asked: Procedure, support: SupportClass) -> Fits:
    grounds = rooms.grounds(size)
    return Fits.NO if grounds is None else best_stance(grounds, vehicle, [asked], support).fits


@pytest.mark.parametrize(("rooms", "vehicle", "asked", "support"), stances())
def test_what_walls_alone_allow_is_what_place_says(
    rooms: Rooms, vehicle: Vehicle, asked: Procedure, support: SupportClass
) -> None:
    """Two ways to the same frontier: from how far things reach, and by asking `place` at every size. Within a step."""
    sizes = SizeRange((2.0, 5.5), (4.3, 9.0), 0.02)
    asking = fit_function(rooms, [vehicle], [asked], (support,))
    (by_asking,) = find_frontiers(asking, [(0, 0)], sizes)
    (found,) = rooms_frontiers(rooms, [vehicle], [asked], [(0, 0)], (support,), sizes)
    for one, other in ((found, by_asking), (by_asking, found)):
        assert one.corners
        for corner in one.corners:
            assert other.fits(Size(corner.width_m + 0.001, corner.length_m + 0.02))
            assert other.fits(Size(corner.width_m + 0.02, corner.length_m + 0.001))


@pytest.mark.parametrize("which", range(4))
def test_a_larger_room_never_covers_less(which: int) -> None:
    """Asked of `place` itself at random sizes, not of the staircase: by every rule, on every support."""
    rng = np.random.default_rng(which)
    rooms, vehicle, asked, support = stances(4)[which]
    sizes = [Size(w, x) for w, x in rng.uniform((2.0, 4.0), (6.0, 11.0), (60, 2))]
    fits = fit_function(rooms, [vehicle], [asked], (support,))([(size, 0, 0) for size in sizes])
    assert 5 < fits.count(Fits.YES) < 55
    for (a, fits_a), (b, fits_b) in itertools.permutations(zip(sizes, fits, strict=True), 2):
        if fits_a is Fits.YES and b.width_m >= a.width_m and b.length_m >= a.length_m:
            assert fits_b is Fits.YES


def test_a_room_too_small_for_its_lift_holds_no_car() -> None:
    rooms = Rooms(site(), Standing(site(lift_x=2.0).lifts[0], tail_m=0.5))
    assert rooms.grounds(Size(2.2, 5.04)) is not None
    assert rooms.grounds(Size(2.2, 5.01)) is None
    assert rooms.grounds(Size(2.1, 6.0)) is None
    (answer,) = fit_function(rooms, [car(length=2.0, width=1.0)], [card()])([(Size(2.2, 5.01), 0, 0)])
    assert answer is Fits.NO


def test_as_today_keeps_the_nearer_end_where_it_is() -> None:
    where = site(wide=5.0, long=9.0, lift_x=3.5)
    nose = standing(where, where.lifts[0], "as today")
    assert nose.nose_m == pytest.approx(1.0)
    assert nose.tail_m is None
    where = site(wide=5.0, long=9.0, lift_x=0.6)
    for one in (where, turned(where)):
        tail = standing(one, one.lifts[0], "as today")
        assert tail.nose_m is None
        assert tail.tail_m == pytest.approx(0.6)
        assert tail.room(Size(4.0, 12.0)) == pytest.approx(np.array(box(-0.6, -2.0, 11.4, 2.0)))
    centered = standing(where, where.lifts[0], "centered").room(Size(4.0, 12.0))
    assert centered == pytest.approx(np.array(box(-3.75, -2.0, 8.25, 2.0)))


@pytest.mark.parametrize("lift", [None, "centered", "as today"])
def test_a_room_stretched_is_the_room_made_anew(lift: Rule | None) -> None:
    """Only the walls move; the model's own making of the same site says the same."""
    where = site(lift_x=2.0)
    rooms = Rooms(where, None if lift is None else standing(where, where.lifts[0], lift))
    stretched = rooms.grounds(Size(3.7, 7.3))
    assert stretched is not None
    anew = Grounds(stretched.site)
    for setting in ({}, {"lift": LiftSetting("up", 0.9)} if lift else {}):
        one, other = stretched.resolve(setting), anew.resolve(setting)
        assert [(t.ref, t.kind, t.metal) for t in one.things] == [(t.ref, t.kind, t.metal) for t in other.things]
        shapes: list[tuple[Thing | Unfloor, Thing | Unfloor]] = list(zip(one.things, other.things, strict=True))
        for a, b in [*shapes, *zip(one.unfloor, other.unfloor, strict=True)]:
            assert shapely.area(shapely.symmetric_difference(a.shape, b.shape)) < 1e-6
            assert sorted(len(p) for p in a.pieces) == sorted(len(p) for p in b.pieces)
        assert one.reach == pytest.approx(other.reach)
        assert (one.settings, one.decks, one.doors_open) == (other.settings, other.decks, other.doors_open)


def test_the_room_keeps_gaps_ceiling_and_equipment_and_nothing_that_stands_there() -> None:
    frame = Equipment("frame", "stand", footprint=box(-0.3, -0.3, 0.3, 0.3), store=box(1, 1, 2, 2), used_at=(1.0, 1.0))
    where = evolve(site(lift_x=2.0), clear_height_m=3.3, wall_metal=False, equipment=(frame,))
    grounds = Rooms(where).grounds(Size(4.0, 7.0))
    assert grounds is not None
    made = grounds.site
    assert (made.gaps, made.clear_height_m, made.wall_metal) == (where.gaps, 3.3, False)
    assert made.lifts == ()
    assert made.equipment[0].footprint == frame.footprint
    assert [t.kind for t in grounds.at_rest().things] == ["wall"]
    assert "nothing-stands-in-room" in [rule.code for rule in Rooms(where).rules]
    assert "lift-stands-centered" in [rule.code for rule in Rooms(where, Standing(where.lifts[0])).rules]


def test_the_chart_of_a_folder_weighs_cars_by_share_and_cards_alike() -> None:
    short, long = car("short", 4.0), car("long", 5.5)
    cards = (card(ahead(1.0), name="near"), card(ahead(3.0), name="far"))
    shop = folder(site(), (short, long), cards).shop()
    where = shop.sites[site().name]
    chart = find_sizes(shop, where, work_of_cars(shop, {"short": 3.0, "long": 1.0}), sizes=SIZES)
    coverage = chart.coverage
    assert [(f.car, f.card) for f in chart.frontiers] == [(0, 0), (0, 1), (1, 0), (1, 1)]
    assert coverage.weights == (1.5, 1.5, 0.5, 0.5)
    assert coverage.share(Size(3.0, 4.0 + 1.0 + BODY_M + 0.01)) == pytest.approx(0.375)
    assert coverage.share(Size(7.0, 9.0)) == pytest.approx(1.0)
    assert chart.today == Size(5.0, 9.0)
    assert {m.kind for m in chart.basis.marks} == {"site", "vehicle", "procedure"}


def test_what_cannot_be_asked_is_told() -> None:
    shop = folder(site(), (car(),), ())
    with pytest.raises(UnansweredError, match="no-card-to-weigh"):
        find_sizes(shop.shop(), site(), work_of_cars(shop.shop(), {"car": 1.0}))
    sensor = evolve(ahead(1.0), anchor="sensor")
    shop = folder(site(), (car(),), (card(sensor, name="by its sensor"), card(ahead(1.0))))
    chart = find_sizes(
        shop.shop(), site(), work_of_cars(shop.shop(), {"car": 1.0}), sizes=SizeRange((2.0, 2.2), (6.0, 6.2))
    )
    left_out = because("sensor-place-unknown-left-out", card=Ref("card", "by its sensor"), **some_cars(["car"]))
    assert left_out in chart.basis.warnings
    assert "is left out for car" in ENGLISH.reason(left_out)


def test_only_a_rectangle_has_a_size_of_its_own() -> None:
    assert own_size(site(wide=4.88, long=9.14)) == Size(4.88, 9.14)
    assert own_size(turned(site(wide=4.88, long=9.14))) == Size(4.88, 9.14)
    assert own_size(evolve(site(), outline=((0, 0), (9, 0), (9, 4), (5, 4), (5, 6), (0, 6)))) is None


def test_the_lift_of_these_tests_is_sound() -> None:
    assert LIFT.rest.name == "down"
    assert Grounds(site(lift_x=2.0)).at_rest().setting("lift").height_m == 0.0


def test_cards_that_ask_for_a_lift_are_named_where_none_stands() -> None:
    """A chart without a lift said nothing of why lift cards fit nowhere."""
    raised = evolve(card(ahead(2.0), name="raised"), supports=("lift up",))
    where, cars = site(), (car(),)
    shop = folder(where, cars, (card(ahead(2.0)), raised)).shop()
    told = find_sizes(shop, where, work_of_cars(shop, {"car": 1.0}), sizes=SIZES)
    notes = [r for r in told.basis.warnings if r.code == "cards-ask-for-lift"]
    assert [r["cards"] for r in notes] == [(Ref("card", "raised"),)]

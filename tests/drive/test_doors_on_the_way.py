"""Doors: passed by the whole car, any set of them open, and floor outside that nobody entered."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from attrs import evolve
from drive_makers import CAR, MIDDLE_M, at, bay, box, centered, least_distance, step_through
from test_shops import rows_of

from standtrue.drive.engine import drive
from standtrue.drive.path.found import Outcome
from standtrue.drive.question.answer import Answer, End
from standtrue.drive.world.doors import too_narrow
from standtrue.model.lift import Obstacle
from standtrue.model.reason import Ref
from standtrue.model.site import Door, Site
from standtrue.model.vehicle import Vehicle
from standtrue.show.answers.drive import of_way
from standtrue.show.words.drive import move_verdict
from standtrue.show.words.reader import ENGLISH

DEEP_M = 16.0


def kept(answer: Answer, car: Vehicle, site: Site) -> None:
    """Replayed by general geometry: nothing of the car comes nearer than its gap to the walls, doors told shut shut.

    The floor is the site's with the aprons of the doors that are told open; the walls are the outline between them.
    """
    assert answer.found
    assert answer.start is not None
    start = (answer.start.x_m, answer.start.y_m, answer.start.heading_rad)
    poses = step_through(start, rows_of(answer), 5e-3)
    opened = [d for d in site.doors if d.name in answer.doors_open]
    openings = shapely.union_all([shapely.LineString([d.start, d.end]) for d in opened])
    walls = shapely.Polygon(site.outline).exterior.difference(openings.buffer(1e-9, cap_style="flat"))
    floor = shapely.union_all([shapely.Polygon(o) for o in (site.outline, *(d.apron for d in opened if d.apron))])
    solid = shapely.union_all([walls, *(shapely.Polygon(o.outline) for o in site.obstacles)])
    tracks = [d.track for d in opened if d.track is not None and d.track.bottom_m < car.height_m]
    for outline in (car.body, *(o for _, o in car.mirrors)):
        for shape in (solid, floor.buffer(50.0).difference(floor), *(shapely.Polygon(t.outline) for t in tracks)):
            assert least_distance(outline, poses, shape) >= site.gaps.body_m - 1e-3


def fronted(site: Site, wide_m: float, *, apron_m: float = 5.0, height_m: float = 3.0) -> Site:
    """The site with a door in the middle of its right wall, and floor well beyond its sides outside."""
    _, _, x, y = shapely.Polygon(site.outline).bounds
    low, high = y / 2 - wide_m / 2, y / 2 + wide_m / 2
    apron = box(x, low - apron_m, x + DEEP_M, high + apron_m)
    return evolve(site, doors=(Door("front", (x, low), (x, high), height_m, apron=apron),))


WIDE_MIRRORS = evolve(CAR, width_m=1.942, width_over_mirrors_m=2.1)
SITE = bay(12.0, 6.0)
CLOSE = evolve(SITE, gaps=evolve(SITE.gaps, body_m=0.010))


@pytest.mark.parametrize("turned", [False, True])
def test_mirrors_too_wide_for_a_door_do_not_start_inside(turned: bool) -> None:
    # 1.942 m of body and twice 10 mm fill the door; the mirrors want 2.12 m.
    site = fronted(CLOSE, 1.962)
    goal, outside = at(6.0, 3.0, 180.0), at(18.0, 3.0, 180.0)
    for start in (End(door="front"), outside):
        ends = (goal, start) if turned else (start, goal)
        answer = drive(site, WIDE_MIRRORS, *ends)
        assert not answer.found
        first = answer.obstructions[0]
        assert first.thing == Ref("door frame", of="front")
        assert first.lacking_m == pytest.approx((2.1 + 0.02 - 1.962) / 2)
        assert "too narrow on each side for the mirrors" in ENGLISH.reason(first.why)
    wide = fronted(CLOSE, 2.12)
    found = drive(wide, WIDE_MIRRORS, End(door="front"), goal)
    kept(found, WIDE_MIRRORS, wide)


def test_no_mirror_goes_through_a_door_before_the_other() -> None:
    # Turned by half a right angle, each mirror of a narrow car fits by itself; the car is not led through so.
    car = evolve(CAR, width_m=1.2, width_over_mirrors_m=2.3)
    site = fronted(bay(14.0, 12.0), 2.2)
    answer = drive(site, car, at(19.0, 6.0, 180.0), at(5.0, 6.0, 180.0))
    assert not answer.found
    assert answer.obstructions[0].thing == Ref("door frame", of="front")


def test_a_door_is_too_narrow_only_for_what_is_nowhere_narrower() -> None:
    """A car that tapers is a little less wide square to its side than at its rear end: no proof lies between."""
    outline = ((-1.0, -0.95), (3.7, -0.60), (3.7, 0.60), (-1.0, 0.95))
    car = evolve(CAR, outline=outline, width_m=1.9, width_over_mirrors_m=1.9)
    # Square to a side: across both rear corners, turned by as much as the side is.
    least = 1.9 * math.cos(math.atan2(0.35, 4.7))
    gaps = 2 * CLOSE.gaps.body_m
    for wide, narrow in ((least - 1e-4, True), (least + 1e-4, False), (1.9, False)):
        (door,) = fronted(CLOSE, wide + gaps).doors
        assert (too_narrow(CLOSE, car, door) is not None) is narrow


def test_a_door_answers_as_the_floor_before_it() -> None:
    """From the door, to it, and from a place outside: the same, whatever the door and the car."""
    rng = np.random.default_rng(20261130)
    passed = 0
    for _ in range(20):
        body = float(rng.uniform(1.6, 2.0))
        car = evolve(CAR, width_m=body, width_over_mirrors_m=body + float(rng.choice([0.0, 0.2, 0.4])))
        wide = car.width_over_mirrors_m + float(rng.uniform(-0.05, 0.25))
        site = fronted(SITE, wide, height_m=float(rng.choice([1.45, 1.55, 3.0])))
        goal = at(5.0 + MIDDLE_M, 3.0 + float(rng.uniform(-0.5, 0.5)), 180.0)
        answers = [
            drive(site, car, *ends)
            for ends in (
                (End(door="front"), goal),
                (goal, End(door="front")),
                (at(18.0, 3.0, 180.0), goal),
            )
        ]
        fits = car.width_over_mirrors_m + 0.1 <= wide and car.height_m <= site.doors[0].height_m
        assert [answer.found for answer in answers] == [fits] * 3
        for answer in answers if fits else []:
            kept(answer, car, site)
        passed += fits
    assert 4 <= passed <= 16


def test_a_car_at_a_door_is_wholly_outside_it() -> None:
    site = fronted(SITE, 3.0)
    answer = drive(site, CAR, End(door="front"), at(6.0, 3.0, 180.0))
    assert answer.start is not None
    assert answer.start.x_m == pytest.approx(12.0 + 0.06 + CAR.front_x_m)
    backed = drive(site, CAR, at(5.0, 3.0, 0.0), End(door="front"))
    assert backed.goal is not None
    assert min(backed.goal.x_m + x for x in (CAR.rear_x_m, CAR.front_x_m)) >= 12.0


def test_an_apron_that_does_not_hold_the_car_is_prolonged_and_that_is_told() -> None:
    site = fronted(SITE, 3.0)
    short = evolve(site, doors=(evolve(site.doors[0], apron=box(12.0, 1.5, 13.5, 4.5)),))
    answer = drive(short, CAR, End(door="front"), at(6.0, 3.0, 180.0))
    assert answer.found
    assert [(a.door, a.beyond) for a in answer.aprons] == [("front", True)]
    assert any(w.code == "apron-prolonged" for w in answer.warnings)
    assert not drive(site, CAR, End(door="front"), at(6.0, 3.0, 180.0)).aprons


def two_doors(*, low: bool, needed: bool = True) -> Site:
    """A bay in which a car can be turned round only outside door D; door E's track hangs over where it stands."""
    site = bay(8.0, 4.88)
    apron = box(8.0, -8.0, 24.0, 12.88)
    d = Door("D", (8.0, 0.9), (8.0, 3.9), 3.0, apron=apron)
    hung = Obstacle("track", box(0.0, 0.9, 4.0, 3.9), 1.2 if low else 2.5, 2.8)
    e = Door("E", (0.0, 0.9), (0.0, 3.9), 3.0, apron=box(-3.0, 0.9, 0.0, 3.9), track=hung)
    return evolve(site, doors=(d, e) if needed else (e,))


ENDS = centered(3.0, 2.44), at(3.0 + MIDDLE_M, 2.44, 180.0)


@pytest.mark.parametrize("low", [False, True])
def test_a_second_door_serves_whatever_hangs_inside_a_third(low: bool) -> None:
    site = two_doors(low=low)
    answer = drive(site, CAR, *ENDS)
    kept(answer, CAR, site)
    assert answer.doors_open == ("D",)
    assert answer.shunts == 2


def test_where_no_set_of_doors_serves_it_is_proven() -> None:
    answer = drive(two_doors(low=True, needed=False), CAR, *ENDS)
    assert not answer.found
    assert answer.proven
    assert not answer.aprons


def test_a_door_whose_own_track_bars_its_only_use() -> None:
    # The way out leads through E alone, and what hangs inside E hangs right in it.
    site = two_doors(low=True, needed=False)
    outside = at(-2.0 - CAR.front_x_m, 2.44)
    deep = evolve(site, doors=(evolve(site.doors[0], apron=box(-16.0, 0.9, 0.0, 3.9)),))
    answer = drive(deep, CAR, outside, centered(5.5, 2.44))
    assert not answer.found
    assert answer.proven
    assert Ref("track", of="E") in [one.thing for one in answer.obstructions]
    high = evolve(deep, doors=(evolve(deep.doors[0], track=None),))
    assert drive(high, CAR, outside, centered(5.5, 2.44)).found


def test_what_rests_on_an_assumed_apron_is_told_and_proves_nothing() -> None:
    # Turned round outside: on floor as wide as the door there is no room for it; there may be more.
    site = two_doors(low=False)
    wide = evolve(site, doors=site.doors[:1])
    bare = evolve(site, doors=(evolve(wide.doors[0], apron=None),))
    answer = drive(bare, CAR, *ENDS)
    assert not answer.found
    assert not answer.proven
    assert answer.none_as_assumed
    assert answer.outcome is Outcome.EXHAUSTED
    assert [a.door for a in answer.aprons] == ["D"]
    assert "With the floor that is assumed outside D there is none" in move_verdict(answer)
    told = of_way(answer)
    assert told.aprons_assumed == ["D"]
    assert told.none_as_assumed
    assert any("8.000 m deep is assumed" in w for w in ENGLISH.reasons(answer.warnings))
    found = drive(wide, CAR, *ENDS)
    kept(found, CAR, wide)
    assert found.shunts == 2


def test_what_no_floor_outside_would_help_is_proven_all_the_same() -> None:
    # A cabinet from wall to wall stands between the car and the door.
    site = evolve(bay(14.0), doors=(Door("D", (14.0, 0.9), (14.0, 3.9), 3.0),))
    barred = evolve(site, obstacles=(Obstacle("cabinet", box(8.0, 0.0, 8.3, 4.88), 0.0, 2.0),))
    answer = drive(barred, CAR, End(door="D"), at(1.5, 2.44))
    assert not answer.found
    assert answer.proven
    assert not answer.aprons
    assert [one.thing for one in answer.obstructions] == [Ref("obstacle", "cabinet")]


def test_a_way_by_an_assumed_apron_says_so() -> None:
    site = evolve(bay(12.0), doors=(Door("D", (12.0, 0.9), (12.0, 3.9), 3.0),))
    answer = drive(site, CAR, End(door="D"), at(5.0, 2.44, 180.0))
    assert answer.found
    assert [(a.door, a.deep_m, a.beyond) for a in answer.aprons] == [("D", 8.0, False)]
    assert [w.code for w in answer.warnings] == ["apron-assumed"]


def test_a_door_is_told_open_where_the_way_comes_nearer_than_a_shut_one_allows() -> None:
    # Nose 20 mm inside the door's line: nothing crosses it, and yet a shut door would be too near.
    site = fronted(SITE, 3.0)
    goal = at(12.0 - 0.02 - CAR.front_x_m, 3.0)
    answer = drive(site, CAR, at(4.0, 3.0), goal)
    assert answer.found
    assert answer.doors_open == ("front",)
    assert math.isclose(answer.length_m, goal.place.x_m - 4.0 if goal.place else 0.0, abs_tol=1e-6)

"""Laws that any right engine keeps: symmetry, monotony, and regions that agree with margins."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

import cases
import numpy as np
import oracle
import pytest
import shapely
from attrs import evolve

from standtrue.model.basics import Outline, Side, SupportClass
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.lift import Lift, LiftState, Obstacle, PlacedLift
from standtrue.model.procedure import Procedure, Source, Zone
from standtrue.model.site import Datum, Gaps, Site, Void
from standtrue.model.vehicle import Sensor, Vehicle
from standtrue.place.engine import best_stance, region
from standtrue.place.question.answer import Answer

SEEDS = range(20_000, 20_024)
OFF_LIMIT_M = 3e-3


def asked(case: cases.Case) -> Answer:
    return best_stance(Grounds(case.site), case.vehicle, case.cards, case.support)


def changed_site(site: Site, point: Callable[[Outline], Outline], lift: Callable[[PlacedLift], PlacedLift]) -> Site:
    """The site with every outline mapped."""
    return evolve(
        site,
        outline=point(site.outline),
        holes=tuple(point(h) for h in site.holes),
        obstacles=tuple(evolve(o, outline=point(o.outline)) for o in site.obstacles),
        voids=tuple(
            evolve(v, outline=point(v.outline), covers=tuple(evolve(c, outline=point(c.outline)) for c in v.covers))
            for v in site.voids
        ),
        patches=tuple(evolve(p, outline=point(p.outline)) for p in site.patches),
        lifts=tuple(lift(p) for p in site.lifts),
    )


def moved(case: cases.Case, by: oracle.Stance) -> cases.Case:
    """The same case with the whole shop turned and shifted."""

    def lift(placed: PlacedLift) -> PlacedLift:
        at = cases.turned([placed.at], by)[0]
        return evolve(placed, at=at, heading_rad=placed.heading_rad + by[2])

    return evolve(case, site=changed_site(case.site, lambda o: cases.turned(o, by), lift), planted=())


def flipped(outline: Outline) -> Outline:
    return tuple((x, -y) for x, y in reversed(outline))


def other(name: str) -> str:
    return name.replace("left", "#").replace("right", "left").replace("#", "right")


def other_side(side: Side | None) -> Side | None:
    return None if side is None else "left" if side == "right" else "right"


def mirrored_lift(placed: PlacedLift) -> PlacedLift:
    def obstacles(parts: tuple[Obstacle, ...]) -> tuple[Obstacle, ...]:
        return tuple(evolve(o, outline=flipped(o.outline)) for o in parts)

    def state(s: LiftState) -> LiftState:
        return evolve(
            s,
            decks=tuple(map(flipped, s.decks)),
            voids=tuple(map(flipped, s.voids)),
            fills=tuple(map(flipped, s.fills)),
            ramps=tuple(map(flipped, s.ramps)),
            obstacles=obstacles(s.obstacles),
        )

    kind: Lift = placed.lift
    kind = evolve(kind, states=tuple(map(state, kind.states)), posts=obstacles(kind.posts))
    return PlacedLift(placed.name, (placed.at[0], -placed.at[1]), -placed.heading_rad, kind)


def mirrored(case: cases.Case) -> cases.Case:
    """The same case in a mirror, the car and the cards too."""

    def sensor(s: Sensor) -> Sensor:
        at = None if s.at is None else (s.at[0], -s.at[1], s.at[2])
        return evolve(s, side=other_side(s.side), at=at, facing_rad=-s.facing_rad)

    def zone(z: Zone) -> Zone:
        return evolve(z, anchor=other(z.anchor), outline=flipped(z.outline))

    def card(c: Procedure) -> Procedure:
        return evolve(c, side=other_side(c.side), zones=tuple(map(zone, c.zones)))

    car: Vehicle = case.vehicle
    outline = None if car.outline is None else flipped(car.outline)
    car = evolve(car, outline=outline, sensors=tuple(map(sensor, car.sensors)))
    site = changed_site(case.site, flipped, mirrored_lift)
    return evolve(case, site=site, vehicle=car, cards=tuple(map(card, case.cards)), planted=())


def far_from_limit(answer: Answer) -> bool:
    figures = [f for f in (answer.margin_m, answer.bound_m) if f is not None]
    return answer.fits is not Fits.UNDECIDED and all(abs(f) > OFF_LIMIT_M for f in figures)


def assert_same(one: Answer, two: Answer) -> None:
    if far_from_limit(one) or far_from_limit(two):
        assert one.fits == two.fits
    if one.margin_m is not None and two.margin_m is not None:
        assert one.margin_m == pytest.approx(two.margin_m, abs=1e-3 if one.support == "floor" else 2e-3)


@pytest.mark.parametrize("seed", SEEDS)
def test_mirrored_turned_and_shifted_shops_give_the_same_answer(seed: int) -> None:
    case = cases.make(seed)
    answer = asked(case)
    rng = np.random.default_rng(seed)
    assert_same(answer, asked(mirrored(case)))
    assert_same(answer, asked(moved(case, (*rng.uniform(-30, 30, 2).tolist(), float(rng.uniform(-3, 3))))))
    assert_same(answer, asked(moved(mirrored(case), (3.0, -7.0, math.pi / 2))))


def assert_no_better(more: Answer, less: Answer) -> None:
    """`more` is asked of a shop in which nothing is easier than in the shop of `less`."""
    assert not (more.fits is Fits.YES and less.fits is Fits.NO)
    if more.margin_m is not None and less.bound_m is not None:
        assert more.margin_m <= less.bound_m + 1e-6


@pytest.mark.parametrize("seed", SEEDS)
def test_one_more_obstacle_or_a_larger_gap_never_helps(seed: int) -> None:
    case = cases.make(seed)
    answer = asked(case)
    rng = np.random.default_rng(seed)
    x0, y0, x1, y1 = shapely.Polygon(case.site.outline).bounds
    x, y = rng.uniform(x0, x1), rng.uniform(y0, y1)
    extra = Obstacle("extra", cases.box(x, y, x + rng.uniform(0.1, 0.6), y + 0.3), 0.0, float(rng.choice([0.1, 2.0])))
    assert_no_better(asked(evolve(case, site=evolve(case.site, obstacles=(*case.site.obstacles, extra)))), answer)
    name = str(rng.choice(["body_m", "wheel_m", "zone_m", "person_m", "exit_m"]))
    raised = evolve(case.site.gaps, **{name: getattr(case.site.gaps, name) + 0.03})
    assert_no_better(asked(evolve(case, site=evolve(case.site, gaps=raised))), answer)


@pytest.mark.parametrize("seed", range(12))
def test_closing_a_cover_never_hurts_on_the_floor(seed: int) -> None:
    rng = np.random.default_rng(seed)
    car = cases.random_vehicle(rng)
    site = Site("s", cases.box(0, 0, 7.0, 4.4), Datum((0.0, 0.0)))
    pit = cases.pit_under(rng, (2.0, 2.2, 0.1))
    cards = (cases.random_card(rng, 0),)
    answers = []
    for count in range(len(pit.covers) + 1):
        closed = tuple(c.name for c in pit.covers[:count])
        ground = Grounds(evolve(site, voids=(evolve(pit, closed=closed),)))
        answers.append(best_stance(ground, car, cards, "floor"))
    for fewer, more in pairwise(answers):
        assert_no_better(fewer, more)


@pytest.mark.parametrize("seed", range(20_100, 20_124))
def test_a_region_holds_what_fits_at_its_heading_and_nothing_else(seed: int) -> None:
    case = cases.make(seed)
    answer = asked(case)
    way = next((w for w in oracle.ways(case.site, case.vehicle, case.cards, case.support)), None)
    if way is None or answer.carried_by != way.carried_by:
        return
    rng = np.random.default_rng(seed)
    shown = answer.shown.heading_rad if answer.shown else 0.0
    headings = [shown, shown + math.pi, shown + 0.01, float(rng.uniform(-3, 3))]
    slices = region(answer, headings)
    assert [s.heading_rad for s in slices] == headings
    for part in slices:
        inside = shapely.union_all([shapely.Polygon(outer, holes) for outer, holes in part.polygons])
        x0, y0, x1, y1 = way.bounds
        points = rng.uniform((x0, y0), (x1, y1), (300, 2))
        if not inside.is_empty:
            a, b, c, d = inside.bounds
            near = shapely.get_coordinates(shapely.segmentize(inside, 0.2)) + rng.normal(0.0, 1e-3, 2)
            points = np.vstack([points, rng.uniform((a, b), (c, d), (200, 2)), near])
        stances = np.column_stack([points, np.full(len(points), part.heading_rad)])
        margins = oracle.margins(way, stances)[0]
        within = shapely.contains(inside, shapely.points(points))
        assert margins[within].min(initial=math.inf) >= -1e-9
        assert margins[~within].max(initial=-math.inf) <= 1e-4 + 1e-6


def test_a_strip_beside_a_pit_carries_wheels_as_a_lone_strip_does() -> None:
    """A 30 mm slot that runs into a pit is floor for wheels where it is narrow, and void where it is not."""
    car = cases.random_vehicle(np.random.default_rng(3))
    room = cases.box(0, 0, 6.2, 3.6)
    slotted: Outline = ((0, 0), (0.2, 0), (0.2, 0.9), (6.2, 0.9), (6.2, 0.93), (0.2, 0.93), (0.2, 3.6), (0, 3.6))
    pit = cases.box(0, 0, 0.2, 3.6)
    both = [
        best_stance(Grounds(Site("s", room, Datum((0.0, 0.0)), voids=(Void("pit", shape),))), car, (), "floor")
        for shape in (slotted, pit)
    ]
    assert both[0].fits is Fits.YES
    assert both[0].margin_m == pytest.approx(both[1].margin_m, abs=1e-3)


def test_two_narrow_strips_side_by_side_are_one_wide_void() -> None:
    car = cases.random_vehicle(np.random.default_rng(3))
    room = cases.box(0, 0, 6.2, 3.6)
    halves = (Void("a", cases.box(0, 0.9, 6.2, 0.93)), Void("b", cases.box(0, 0.93, 6.2, 0.96)))
    whole = (Void("a", cases.box(0, 0.9, 6.2, 0.96)),)
    answers = [
        best_stance(Grounds(Site("s", room, Datum((0.0, 0.0)), voids=voids)), car, (), "floor")
        for voids in (halves, whole)
    ]
    assert answers[0].margin_m == pytest.approx(answers[1].margin_m, abs=1e-3)


def test_a_kerb_on_a_flush_deck_stops_a_wheel_as_it_does_on_the_floor() -> None:
    car = cases.random_vehicle(np.random.default_rng(3))
    decks = (cases.box(0, -1.2, 3.4, -0.2), cases.box(0, 0.2, 3.4, 1.2))
    state = LiftState("down", (0.0, 0.0), decks, drive_on=True)
    lift = PlacedLift("L", (2.0, 2.5), 0.0, Lift("flush", (state,)))
    kerbs = tuple(Obstacle(f"kerb {i}", cases.box(2.0, y, 5.4, y + 0.3), 0.0, 0.05) for i, y in enumerate((1.75, 2.95)))
    site = Site("s", cases.box(0, 0, 8, 5), Datum((0.0, 0.0)), Gaps(), obstacles=kerbs, lifts=(lift,))
    bare = evolve(site, obstacles=())
    assert best_stance(Grounds(bare), car, (), "lift down").fits is Fits.YES
    answer = best_stance(Grounds(site), car, (), "lift down")
    floor = best_stance(Grounds(site), car, (), "floor")
    assert answer.fits is Fits.NO or (answer.margin_m or 0.0) <= (floor.bound_m or 0.0) + 1e-6


@pytest.mark.parametrize("backward", [False, True])
@pytest.mark.parametrize("support", ["lift down", "lift up"])
def test_of_two_equal_lifts_the_freer_one_is_chosen(backward: bool, support: SupportClass) -> None:
    """The decks' edges cap the margin alike on both lifts, so the room round them decides."""
    car = cases.random_vehicle(np.random.default_rng(3))
    half = car.track_rear_m / 2
    decks = (cases.box(0, half - 0.25, 3.5, half + 0.25), cases.box(0, -half - 0.25, 3.5, -half + 0.25))
    kind = Lift("flush", (LiftState("down", (0.0, 0.0), decks, drive_on=True), LiftState("up", (0.3, 1.5), decks)))
    lifts = (PlacedLift("tight", (1.7, 1.4), 0.0, kind), PlacedLift("free", (11.0, 5.0), 0.0, kind))
    site = Site("s", cases.box(0, 0, 20, 10), Datum((0.0, 0.0)), lifts=lifts[::-1] if backward else lifts)
    answer = best_stance(Grounds(site), car, (), support)
    assert answer.carried_by.startswith("free/")


def test_a_one_way_lift_takes_no_car_backward() -> None:
    """The room beyond the lift suits a car that faces it; the lift faces the other way."""
    car = cases.random_vehicle(np.random.default_rng(3))
    half = car.track_rear_m / 2
    run = car.wheelbase_m + 0.5
    decks = (cases.box(0, half - 0.25, run, half + 0.25), cases.box(0, -half - 0.25, run, -half + 0.25))
    state = LiftState("down", (0.0, 0.0), decks, drive_on=True)
    ahead = Zone("ahead", "clear", "front", cases.box(0, -1, 3, 1), 0.0, 2.0)
    card = Procedure("ahead", "front radar", "static", Source("invented"), zones=(ahead,))
    for heading in (0.0, 1.0):
        outline = cases.turned(cases.box(-4.5, -2.5, run + 1.5, 2.5), (0.0, 0.0, heading))
        answers = {}
        for way, facing in ((heading, "either"), (heading, "one"), (heading + math.pi, "one")):
            kind = Lift("flush", (state,), facing="either" if facing == "either" else "one")
            at = (0.0, 0.0) if way == heading else (run * math.cos(heading), run * math.sin(heading))
            site = Site("s", outline, Datum((0.0, 0.0)), lifts=(PlacedLift("L", at, way, kind),))
            answers[way, facing] = best_stance(Grounds(site), car, (card,), "lift down")
        assert answers[heading, "either"].fits is Fits.YES
        assert answers[heading, "one"].fits is Fits.NO
        assert answers[heading + math.pi, "one"].fits is Fits.YES


def knotted(outline: Outline) -> Outline:
    """The same shape with a needless corner in the middle of every edge."""
    pairs = zip(outline, (*outline[1:], outline[0]), strict=True)
    return tuple(p for a, b in pairs for p in (a, ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)))


@pytest.mark.parametrize("seed", range(20_200, 20_216))
def test_needless_corners_change_nothing(seed: int) -> None:
    case = cases.make(seed)
    site = changed_site(case.site, knotted, lambda placed: placed)
    car = case.vehicle
    car = evolve(car, outline=None if car.outline is None else knotted(car.outline))
    cards = tuple(evolve(c, zones=tuple(evolve(z, outline=knotted(z.outline)) for z in c.zones)) for c in case.cards)
    assert_same(asked(case), asked(evolve(case, site=site, vehicle=car, cards=cards, planted=())))


@pytest.mark.parametrize("spare", [0.0009, 0.0007, 0.002])
def test_ranking_never_gives_up_a_fit_that_is_tight_on_the_decks(spare: float) -> None:
    """Stances up to 1 mm worse may be preferred, but not below a margin of zero."""
    car = evolve(cases.random_vehicle(np.random.default_rng(3)), track_front_m=1.5, track_rear_m=1.5)
    wide = car.tire_width_m / 2 + Gaps().wheel_m + spare
    decks = (cases.box(0, 0.75 - wide, 5.0, 0.75 + wide), cases.box(0, -0.75 - wide, 5.0, -0.75 + wide))
    kind = Lift("flush", (LiftState("down", (0.0, 0.0), decks, drive_on=True),))
    site = Site("s", cases.box(-3, -3, 8, 4), Datum((0.0, 0.0)), lifts=(PlacedLift("L", (0.0, 0.0), 0.0, kind),))
    answer = best_stance(Grounds(site), car, (), "lift down")
    assert answer.fits is Fits.YES
    assert answer.margin_m is not None
    assert 0.0 <= answer.margin_m <= spare + 1e-9

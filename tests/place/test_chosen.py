"""The stance that a person would choose: parallel where a parallel one fits, the roomiest of those, told as it is.

Held against a second reading of the documents reference by shapely: a grid of stances at the parallel headings, the
best of them climbing by shrinking steps. All shops, cars and cards are invented.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import cases
import numpy as np
import oracle
import pytest
from attrs import evolve
from test_random import ways_of

import rooms
from rooms import CAR, SAME_M, ahead, box, card
from standtrue.model.basics import Outline, Place
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.lift import Obstacle
from standtrue.model.reason import Length
from standtrue.model.site import Bay, Datum, Gaps, Site
from standtrue.place.engine import best_stance
from standtrue.place.many.shared import shared_places
from standtrue.place.question.answer import Answer

EVERYTHING_M = 99.0
"""So much room is never left: then the roomiest of all lines is chosen, whatever it is parallel to."""


def turned(outline: Outline, turn: float) -> Outline:
    c, s = math.cos(turn), math.sin(turn)
    return tuple((c * x - s * y, s * x + c * y) for x, y in outline)


def long_sides(outline: Outline) -> Iterator[float]:
    """The way that the longest side runs, or each of several: edges in one line are one side."""
    points = np.array(outline)
    edges = np.roll(points, -1, axis=0) - points
    turns = np.arctan2(edges[:, 1], edges[:, 0])
    start = next(i for i in range(len(turns)) if abs(math.remainder(turns[i] - turns[i - 1], math.tau)) > 1e-3)
    sides: list[tuple[float, float]] = []
    for i in [*range(start, len(turns)), *range(start)]:
        long = float(np.hypot(*edges[i]))
        if sides and i != start and abs(math.remainder(turns[i] - turns[i - 1], math.tau)) <= 1e-9:
            sides[-1] = (sides[-1][0] + long, sides[-1][1])
        else:
            sides.append((long, float(turns[i])))
    longest = max(long for long, _ in sides)
    yield from (turn for long, turn in sides if long > longest - 1e-3)


def headings_of(case: cases.Case, way: oracle.Way) -> list[float]:
    """Every heading that is parallel to something, for a way of being carried."""
    lift = way.carried_by.split("/")[0] if "/" in way.carried_by else None
    runs = [p.heading_rad for p in case.site.lifts if lift in (None, p.name)]
    if lift is None:
        runs += long_sides(case.site.outline)
        for bay in case.site.bays if case.bay is None else (case.bay,):
            runs += long_sides(bay.outline)
    return [run + turn for run in runs for turn in (0.0, math.pi)]


def best_at(way: oracle.Way, heading: float, step: float = 0.3, rounds: int = 13) -> float:
    """The largest margin at one heading: a grid by shapely, the best of it climbing by shrinking steps."""
    x0, y0, x1, y1 = way.bounds
    x, y = np.meshgrid(np.arange(x0, x1 + step, step), np.arange(y0, y1 + step, step))
    stances = np.column_stack([x.ravel(), y.ravel(), np.full(x.size, heading)])
    found, _ = oracle.margins(way, stances)
    pick = np.argsort(-found)[:6]
    top, score, size = stances[pick], found[pick], step
    around = np.array([(a, b, 0.0) for a in (-1.0, 0.0, 1.0) for b in (-1.0, 0.0, 1.0)])
    for _ in range(rounds):
        tries = (top[:, None, :] + around[None] * size).reshape(-1, 3)
        found = oracle.margins(way, tries)[0].reshape(len(top), -1)
        best = found.argmax(axis=1)
        moved = found.max(axis=1) > score
        top = np.where(moved[:, None], tries.reshape(len(top), -1, 3)[np.arange(len(top)), best], top)
        score = np.maximum(score, found.max(axis=1))
        size *= 0.6
    return float(score.max(initial=-math.inf))


def against(case: cases.Case) -> tuple[str, list[str]]:
    """What the answer says of its stance, and all that speaks against it."""
    gaps = evolve(case.site.gaps, room_m=EVERYTHING_M)
    site = evolve(case.site, gaps=gaps)
    case = evolve(case, site=site)
    answer = best_stance(Grounds(site, case.bay), case.vehicle, case.cards, case.support)
    ways = [w for w in ways_of(case) if not w.blocked and len(w.doors) == len(answer.doors_open)]
    best = max((best_at(w, h) for w in ways for h in headings_of(case, w)), default=-math.inf)
    if answer.fits is not Fits.YES:
        return "no", [f"{case.seed}: a parallel stance of {best} fits"] if best >= 1e-6 else []
    chosen = answer.chosen
    assert chosen is not None
    assert answer.bound_m is not None
    wrong = [] if chosen.margin_m <= answer.bound_m else [f"{case.seed}: chosen above the bound"]
    if chosen.parallel_to is None:
        return "askew", [*wrong, *([f"{case.seed}: {best} parallel, and it is askew"] if best >= 1e-6 else [])]
    slack = 1e-3 if case.support == "floor" else 2e-3
    if chosen.margin_m < best - slack:
        wrong.append(f"{case.seed}: {chosen.margin_m} chosen, and {best} is there")
    return "parallel", wrong


def tally(seeds: Sequence[int]) -> dict[str, int]:
    told = [against(cases.make(seed)) for seed in seeds]
    assert [w for _, wrong in told for w in wrong] == []
    return {kind: sum(k == kind for k, _ in told) for kind in ("parallel", "askew", "no")}


def test_no_grid_finds_a_roomier_parallel_stance() -> None:
    told = tally((700, 703, 706, 710))
    assert told["parallel"] > 0
    assert told["askew"] > 0


@pytest.mark.long
@pytest.mark.parametrize("start", range(0, 600, 60))
def test_no_grid_finds_a_roomier_parallel_stance_in_many_rooms(start: int) -> None:
    told = tally(range(5000 + start, 5060 + start))
    assert told["parallel"] > 5


def hall(turn: float = 0.0, mirror: bool = False, *, bays: bool = True, room: float = 0.3) -> Site:
    """A notched hall with a bay, a bench and a duct, its roomiest stance askew; turned or mirrored as a whole."""

    def laid(outline: Outline) -> Outline:
        flat = tuple((x, -y) for x, y in reversed(outline)) if mirror else outline
        return turned(flat, turn)

    walls = ((0.0, 0.0), (9.0, 0.0), (9.0, 7.0), (8.0, 7.0), (8.0, 8.0), (0.0, 8.0))
    bench = Obstacle("bench", laid(box(7.6, 0.0, 8.6, 0.4)), 0.0, 1.0)
    # Over the car, but in the way of the zone ahead: so the way round matters.
    duct = Obstacle("duct", laid(box(8.5, 0.0, 9.0, 8.0)), 1.7, 1.9)
    bay = Bay("south bay", laid(box(0.5, 0.3, 8.8, 4.8)))
    gaps = Gaps(exit_m=0.0, room_m=room)
    return Site("hall", laid(walls), Datum((0.0, 0.0)), gaps, bays=(bay,) if bays else (), obstacles=(bench, duct))


def asked(site: Site, deep: float = 3.4, bay: Bay | None = None) -> Answer:
    return best_stance(Grounds(site, bay), CAR, (card(ahead(deep)),), "floor")


def test_a_parallel_stance_is_chosen_before_a_roomier_askew_one() -> None:
    answer = asked(hall())
    chosen = answer.chosen
    assert chosen is not None
    assert answer.place is not None
    assert answer.margin_m is not None
    assert chosen.because.code == "stands-parallel"
    assert chosen.parallel_to is not None
    assert chosen.parallel_to.name == "south bay"
    assert chosen.off_parallel_rad == 0.0
    assert abs(math.sin(chosen.place.heading_rad)) < 1e-12
    assert chosen.margin_m < answer.margin_m
    assert abs(math.sin(answer.place.heading_rad)) > 0.01
    assert chosen.because["roomiest"] == Length(answer.margin_m)
    assert answer.stands.place == chosen.place
    assert answer.stands.margin_m == chosen.margin_m


@pytest.mark.parametrize(("turn", "mirror"), [(0.0, True), (0.7, False), (math.radians(37.3), True), (math.pi, False)])
@pytest.mark.parametrize("bays", [True, False])
def test_a_turned_or_mirrored_hall_gives_the_same_stance_turned_or_mirrored(
    turn: float, mirror: bool, bays: bool
) -> None:
    plain, laid = asked(hall(bays=bays)).chosen, asked(hall(turn, mirror, bays=bays)).chosen
    assert plain is not None
    assert laid is not None
    assert laid.margin_m == pytest.approx(plain.margin_m, abs=SAME_M)
    assert (laid.parallel_to, laid.off_parallel_rad) == (plain.parallel_to, plain.off_parallel_rad)
    heading = (-1 if mirror else 1) * plain.place.heading_rad + turn
    assert abs(math.remainder(laid.place.heading_rad - heading, math.tau)) < 1e-9


@pytest.mark.parametrize(("wide", "turn"), [(1.96, 0.0), (2.3, 0.4), (2.6, 1.9)])
def test_what_is_lacking_of_the_room_wanted_is_told(wide: float, turn: float) -> None:
    """In a corridor the car stands in the middle, and its sides decide: half of what its width leaves, less the gap."""
    site = Site("corridor", turned(box(0, 0, 9.0, wide), turn), Datum((0.0, 0.0)), Gaps(exit_m=0.0, room_m=0.3))
    chosen = best_stance(Grounds(site), CAR, (), "floor").chosen
    assert chosen is not None
    exact = (wide - 1.8) / 2 - 0.05
    assert chosen.margin_m == pytest.approx(exact, abs=SAME_M)
    assert chosen.lacks_m == pytest.approx(max(0.0, 0.3 - exact), abs=SAME_M)
    assert ("lacks" in dict(chosen.because.values)) is (chosen.lacks_m > 0.0)


def test_square_before_askew_and_askew_only_where_nothing_else_fits() -> None:
    # Across the corridor's mouth: a zone to the left fits only along the short wall.
    ell = ((0.0, 0.0), (8.0, 0.0), (8.0, 2.0), (2.2, 2.0), (2.2, 7.0), (0.0, 7.0))
    site = Site("ell", ell, Datum((0.0, 0.0)), Gaps(exit_m=0.0))
    long, short = asked(site, 0.5), asked(site, 3.4)
    assert long.chosen is not None
    assert long.chosen.because.code == "stands-parallel"
    blocked = evolve(site, obstacles=(Obstacle("crate", box(4.0, 0.5, 5.0, 1.5), 0.0, 1.0),))
    across = asked(blocked, 0.5).chosen
    assert across is not None
    assert across.because.code == "stands-square"
    assert across.parallel_to is None
    assert across.off_parallel_rad == pytest.approx(math.pi / 2)
    assert short.fits is Fits.NO
    # The car's length fits a square room only from corner to corner.
    diagonal = best_stance(Grounds(rooms.room(5.4, 4.7)), CAR, (card(ahead(1.0, 0.2)),), "floor").chosen
    assert diagonal is not None
    assert diagonal.because.code == "stands-askew"
    assert diagonal.off_parallel_rad > 0.1


def test_a_near_miss_is_shown_straight() -> None:
    answer = asked(hall(0.4), 9.0)
    assert answer.fits is Fits.NO
    assert answer.nearest_miss is not None
    assert abs(math.sin(answer.nearest_miss.heading_rad - 0.4)) < 1e-9


def test_the_bay_asked_for_comes_before_the_longest_wall() -> None:
    bay = Bay("slant", turned(box(0.0, -1.6, 6.4, 1.6), 0.5))
    site = Site("hall", box(-3.0, -3.0, 12.0, 9.0), Datum((0.0, 0.0)), Gaps(exit_m=0.0), bays=(bay,))
    for grounds in (Grounds(site, bay), Grounds(site)):
        chosen = best_stance(grounds, CAR, (), "floor").chosen
        assert chosen is not None
        assert chosen.parallel_to is not None
        assert chosen.parallel_to.name == "slant"
        assert abs(math.sin(chosen.place.heading_rad - 0.5)) < 1e-9


def test_shared_places_are_parallel_where_such_a_place_serves_the_same_cards() -> None:
    site = hall(0.3)
    one, other = card(ahead(2.0), name="one"), card(ahead(1.0, 3.0), name="other")
    shared = shared_places(Grounds(site), CAR, (one, other), ("floor",))
    assert shared.proven
    (place,) = shared.places
    assert place.aligned.parallel_to is not None
    assert abs(math.sin(place.place.heading_rad - 0.3)) < 1e-9
    counted = shared_places(Grounds(site), CAR, (one, other), ("floor",), straight=False)
    assert len(counted.places) == 1
    at = np.array([(place.place.x_m, place.place.y_m, place.place.heading_rad)])
    for use in place.uses:
        case = cases.Case(0, site, CAR, (use.card,), "floor")
        assert max(float(oracle.margins(w, at)[0][0]) for w in ways_of(case)) == pytest.approx(use.margin_m, abs=1e-6)


def test_a_place_is_one_place() -> None:
    """The heading told is exactly the line's."""
    chosen = asked(hall(math.radians(37.3))).chosen
    assert chosen is not None
    assert isinstance(chosen.place, Place)
    assert abs(math.remainder(chosen.place.heading_rad - math.radians(37.3), math.pi)) < 1e-12

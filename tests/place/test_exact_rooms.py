"""Rooms that are as large as the car asks to the millimeter, walls written in parts, covers that are a hair off.

The car is 4.7 by 1.8 m and must keep 50 mm from everything, see `rooms`.
"""

from __future__ import annotations

import math

import numpy as np
import oracle
import pytest
from attrs import evolve

import rooms
from rooms import ALONE, CAR, box, room
from standtrue.model.basics import Outline
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.reason import Ref
from standtrue.model.site import Cover, Datum, Site, Void
from standtrue.place.change.changes import subjects, wall_moved
from standtrue.place.change.remedies import NOT_ASKED, Remedies, changed, find_remedies
from standtrue.place.engine import any_fit, best_stance
from standtrue.place.many.shared import shared_places
from standtrue.place.question.answer import FIT_M, Answer
from standtrue.place.question.walls import walls
from standtrue.show.words.reader import ENGLISH
from standtrue.show.words.remedies import remedies_words

MM = 1e-3
LONG_M, WIDE_M = 4.8, 1.9
"""What the car asks: its length and its width, and 50 mm at either end."""


def asked(site: Site) -> Answer:
    return best_stance(Grounds(site), CAR, (), "floor")


def floor(outline: Outline) -> Site:
    return Site("room", outline, Datum((0.0, 0.0)), ALONE)


@pytest.mark.parametrize("turn", [0.0, 0.4, 2.0])
@pytest.mark.parametrize("size", [(6.5, WIDE_M), (LONG_M, 2.2), (LONG_M, WIDE_M)])
def test_a_room_just_as_wide_or_as_long_as_the_car_asks_fits(size: tuple[float, float], turn: float) -> None:
    """Beforehand the search alone was asked here, and left it open: 0 lies between margin and bound."""
    site = floor(turned(room(*size).outline, turn))
    answer = asked(site)
    assert answer.fits is any_fit(Grounds(site), CAR, (), "floor") is Fits.YES
    assert answer.place is not None
    assert answer.margin_m == pytest.approx(0.0, abs=-FIT_M)
    (way,) = oracle.ways(site, CAR, (), "floor")
    at = np.array([(answer.place.x_m, answer.place.y_m, answer.place.heading_rad)])
    assert oracle.margins(way, at)[0][0] >= 2 * FIT_M
    less = asked(floor(turned(room(size[0] - 2 * MM, size[1] - 2 * MM).outline, turn)))
    assert less.fits is Fits.NO
    assert less.bound_m is not None
    assert less.bound_m < 0.0


def test_one_place_is_shared_where_it_just_fits() -> None:
    cards = tuple(rooms.card(name=f"card {i}") for i in range(2))
    shared = shared_places(Grounds(room(6.5, WIDE_M)), CAR, cards, ["floor"])
    assert len(shared.places) == 1
    assert shared.proven
    assert not shared.unserved


def turned(outline: Outline, turn: float) -> Outline:
    c, s = math.cos(turn), math.sin(turn)
    return tuple((c * x - s * y, s * x + c * y) for x, y in outline)


def test_a_remedy_once_done_fits_and_2_mm_less_does_not() -> None:
    """A room 0.1 m too narrow beside a pier: its face and the wall over against it must move by as much."""
    outline = ((0, 0), (2, 0), (2, 0.3), (2.4, 0.3), (2.4, 0), (6, 0), (6, 2.1), (0, 2.1))
    site = floor(tuple((float(x), float(y)) for x, y in outline))
    remedies = find_remedies(asked(site))
    assert remedies.complete
    assert [r.least_m for r in remedies.single[:2]] == [pytest.approx(0.1), pytest.approx(0.1)]
    for remedy in remedies.single:
        assert asked(changed(site, remedy)).fits is Fits.YES
        assert asked(changed(site, remedy, 2 * MM)).fits is Fits.NO


PIER = ((0.0, 0.0), (0.5, 0.0), (0.5, 0.3), (0.9, 0.3), (0.9, 0.0), (1.6, 0.0), (1.6, 1.6), (0.0, 1.6))
"""A closet with a pier on one wall: no wall alone makes room, and two of the pier's walls cannot both be moved far."""

RECESS = ((0.0, 0.0), (1.6, 0.0), (1.6, 1.3), (1.2, 1.3), (1.2, 1.6), (0.4, 1.6), (0.4, 1.3), (0.0, 1.3))


@pytest.mark.parametrize("outline", [PIER, RECESS])
def test_two_changes_that_exclude_each_other_are_no_pair(outline: Outline) -> None:
    """Beforehand to move one wall and then another that by then could not move as far was a traceback."""
    remedies = find_remedies(asked(floor(outline)))
    assert not remedies.single
    assert len(remedies.pairs) == 2
    for one, other in remedies.pairs:
        assert asked(changed(changed(floor(outline), one), other)).fits is Fits.YES


def test_every_wall_of_a_room_can_be_moved_until_its_neighbors_vanish() -> None:
    """A pier's face moved flush leaves no edge of no length behind, of which no direction can be told."""
    face = next(s for s in subjects(floor(PIER)) if s.thing.number == 3)
    flush = wall_moved(floor(PIER), face, 0.3)
    assert flush is not None
    assert len(walls(flush.outline)) == 4
    assert all(math.dist(a, b) > MM for a, b in zip(flush.outline, flush.outline[1:], strict=False))
    assert find_remedies(asked(flush)).pairs
    # In floating point the pier's sides miss each other by a hair: no spike stays behind either.
    pier = ((0.0, 0.0), (4.672, 0.0), (4.672, 1.059), (4.355, 1.059), (4.355, 1.219), (4.672, 1.219), (4.672, 1.876))
    site = floor((*pier, (0.0, 1.876)))
    under = next(s for s in subjects(site) if s.thing.number == 3)
    gone = wall_moved(site, under, 0.16)
    assert gone is not None
    assert len(walls(gone.outline)) == 4


@pytest.mark.parametrize("off", [0.0, 1 * MM, -1 * MM])
def test_a_wall_written_in_two_parts_is_one_wall(off: float) -> None:
    """A laser gives one more corner in a wall's line. Beforehand each half alone had to move by meters."""
    whole = ((0.0, 0.0), (6.0, 0.0), (6.0, 1.85), (0.0, 1.85))
    split = ((0.0, 0.0), (2.5, off), (6.0, 0.0), (6.0, 1.85), (0.0, 1.85))
    assert [(w.edge + 1, w.count) for w in walls(split)] == [(1, 2), (3, 1), (4, 1), (5, 1)]
    front = find_remedies(asked(floor(whole))).single[0]
    same = next(r for r in find_remedies(asked(floor(split))).single if r.thing == front.thing)
    assert front.thing == Ref("wall", number=1, state="front")
    assert front.least_m == pytest.approx(0.05)
    assert same.least_m == pytest.approx(0.05 + max(off, 0.0), abs=MM)
    assert same.direction_rad == pytest.approx(front.direction_rad)
    moved = changed(floor(split), same)
    assert len(moved.outline) == len(split), "no step in it"
    assert asked(moved).fits is Fits.YES


def test_corners_that_are_no_wall_of_their_own_begin_none() -> None:
    """A chamfer of a millimeter goes with one of its walls; a corner 2 mm off the line is one, and so is a notch."""
    chamfer = ((0.0, 0.0), (5.999, 0.0), (6.0, 0.001), (6.0, 2.0), (0.0, 2.0))
    assert [w.count for w in walls(chamfer)] == [2, 1, 1, 1]
    kink = ((0.0, 0.0), (3.0, -0.002), (6.0, 0.0), (6.0, 2.0), (0.0, 2.0))
    assert len(walls(kink)) == 5
    assert len(walls(PIER)) == 8
    begins_in_line = ((3.0, 0.0), (6.0, 0.0), (6.0, 2.0), (0.0, 2.0), (0.0, 0.0))
    assert [(w.edge + 1, w.count) for w in walls(begins_in_line)] == [(1, 2), (2, 1), (3, 1), (4, 1)]


HAIR_M = 9e-7


@pytest.mark.parametrize("hair", [-HAIR_M, -5e-7, -1e-9, 5e-7, HAIR_M])
@pytest.mark.parametrize("corner", range(4))
def test_a_cover_a_hair_off_its_pit_leaves_floor(hair: float, corner: int) -> None:
    """The wheels stand on the long edge of a closed pit, and a card's stand too. What stays open is no micrometer wide.

    Beforehand the spike barred the wheels: a certified no of a room in which the car stands.
    """
    pit, lid = box(0.5, 0.3, 6.0, 0.8), [(0.5, 0.3), (6.0, 0.3), (6.0, 0.8), (0.5, 0.8)]
    x, y = lid[corner]
    lid[corner] = (x + hair, y + hair)
    cards = (rooms.card(evolve(rooms.ahead(1.0), needs="stand")),)
    site = evolve(room(6.5, 2.0), voids=(Void("pit", pit, (Cover("lid", tuple(lid)),), ("lid",)),))
    answer = best_stance(Grounds(site), CAR, cards, "floor")
    assert answer.fits is Fits.YES
    exact = evolve(site, voids=(Void("pit", pit, (Cover("lid", pit),), ("lid",)),))
    assert answer.margin_m == pytest.approx(best_stance(Grounds(exact), CAR, cards, "floor").margin_m, abs=MM)


@pytest.mark.parametrize("hair", [-HAIR_M, -5e-7, -1e-9])
def test_a_spike_beside_a_cover_goes_with_the_strip_that_it_is(hair: float) -> None:
    """The lid ends midway, and its far corner is a hair off: a spike runs from what is open along the pit's edge.

    Beforehand it was cut off with the strips, dropped as a sliver, and so stayed on: a certified no.
    """
    pit = box(0.5, 0.2, 9.5, 0.7)
    lid = Cover("lid", ((0.5, 0.2), (6.0, 0.2), (6.0, 0.7 + hair), (0.5, 0.7)))
    site = evolve(room(10.0, WIDE_M), voids=(Void("pit", pit, (lid,), ("lid",)),))
    assert sum(u.wheel_shape.area for u in Grounds(site).at_rest().unfloor) == pytest.approx(3.5 * 0.5, abs=3e-6)
    assert asked(site).fits is Fits.YES


@pytest.mark.parametrize("open_m", [0.0, 0.03, 0.039, 0.041, 0.2])
def test_no_strip_wider_than_what_is_bridged_is_lost(open_m: float) -> None:
    """Of a closed pit a strip stays open along its edge: up to 40 mm is floor for wheels, and never for stands."""
    lid = Cover("lid", box(0.5, 0.3, 6.0, 0.8 - open_m))
    site = evolve(room(6.5, 2.0), voids=(Void("pit", box(0.5, 0.3, 6.0, 0.8), (lid,), ("lid",)),))
    unfloor = Grounds(site).at_rest().unfloor
    assert sum(u.shape.area for u in unfloor) == pytest.approx(5.5 * open_m, abs=1e-6)
    carried = open_m if open_m > site.gaps.bridge_m else 0.0
    assert sum(u.wheel_shape.area for u in unfloor) == pytest.approx(5.5 * carried, abs=1e-6)


def test_remedies_cut_short_say_what_is_missing() -> None:
    """Stopped at once nothing is known; stopped later what was asked until then holds, and the rest is named."""
    outline = ((0, 0), (2, 0), (2, 0.3), (2.4, 0.3), (2.4, 0), (6, 0), (6, 2.1), (0, 2.1))
    site = floor(tuple((float(x), float(y)) for x, y in outline))
    answer = asked(site)
    every = find_remedies(answer)
    assert not every.cut
    assert not every.missing
    at_once = find_remedies(answer, stopped=lambda: True)
    assert at_once.cut
    assert not at_once.complete
    assert at_once.missing == tuple(s.thing for s in subjects(site))
    assert "as long as" in remedies_words(at_once, answer, ENGLISH)[0]
    for rows in (200, 500, 1000, 2000, 4000):
        some = find_remedies(answer, most_rows=rows)
        known = {r.thing: r for r in every.single}
        for remedy in some.single:
            assert asked(changed(site, remedy)).fits is Fits.YES
            assert remedy == known[remedy.thing] or not remedy.exact
        told = {r.thing for r in some.single} | set(some.missing)
        assert told >= {r.thing for r in every.single}
        assert some.cut is not some.complete
    assert find_remedies(answer, most_rows=10**9) == every


def test_what_was_not_asked_is_not_told_as_none() -> None:
    answer = asked(room(4.0, 1.5))
    assert remedies_words(NOT_ASKED, answer, ENGLISH) == []
    assert "No single change" in remedies_words(Remedies(), answer, ENGLISH)[0]


@pytest.mark.parametrize("size", [(7.0, 2.4), (6.0, 3.0)])
def test_both_ends_of_a_least_distance_are_told(size: tuple[float, float]) -> None:
    """From the car's body to the wall: both ends lie on what they are said to lie on, so far apart."""
    answer = asked(room(*size))
    assert answer.touches
    for touch in answer.touches:
        assert math.dist(touch.at, touch.of_at) == pytest.approx(touch.separation_m)
        on_wall = min(abs(touch.at[0]), abs(touch.at[0] - size[0]), abs(touch.at[1]), abs(touch.at[1] - size[1]))
        assert on_wall == pytest.approx(0.0, abs=1e-9)

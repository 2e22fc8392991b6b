"""Regions: against general geometry, against closed forms, and where edges coincide or nothing is left."""

from __future__ import annotations

import math
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from region_cases import Case, Geometry, Way, against, box, claimed, complaints, joined, make, within
from shapely import affinity

from standtrue.model.basics import Outline
from standtrue.model.reason import Ref
from standtrue.place.margin.pairs import Pair
from standtrue.place.region import slices
from standtrue.place.region.slices import free_polygons, packed_ways
from standtrue.plane.shapes import outside

SAME_M2 = 1e-7
HAIR_M = 2e-9
EDGE = Ref("edge")
CAR = claimed(box(-1.0, -0.9, 3.5, 0.9))
ROOM = box(0.0, 0.0, 9.0, 6.0)
BOUNDS = (0.0, 0.0, 9.0, 6.0)

EXAMPLES = settings(derandomize=True, deadline=None, max_examples=40)


def region(pairs: list[Pair], heading: float = 0.0, bounds: tuple[float, float, float, float] = BOUNDS) -> Geometry:
    return joined(free_polygons([(pairs, bounds)], [heading])[0])


def differ(one: Geometry, other: Geometry) -> float:
    return float(shapely.symmetric_difference(one, other).area)


def told_wrong(case: Case) -> list[str]:
    told = free_polygons(case.ways, case.headings)
    return [w for h, polygons in zip(case.headings, told, strict=True) for w in complaints(polygons, case.ways, h)]


@pytest.mark.parametrize("block", range(8))
def test_general_geometry_finds_the_same_where_edges_coincide(block: int) -> None:
    wrong = {seed: told_wrong(make(seed)) for seed in range(block * 50, block * 50 + 50)}
    assert {seed: w for seed, w in wrong.items() if w} == {}


@pytest.mark.long
@pytest.mark.parametrize("block", range(20))
def test_general_geometry_finds_the_same_in_many_rooms(block: int) -> None:
    wrong = {seed: told_wrong(make(seed)) for seed in range(1000 + block * 500, 1500 + block * 500)}
    assert {seed: w for seed, w in wrong.items() if w} == {}


@pytest.mark.parametrize("gap", [0.0, 0.05])
@pytest.mark.parametrize("heading", [0.0, 0.3, math.pi / 2, 2.0, math.pi, -1.1])
def test_a_rectangle_in_a_rectangle_has_a_closed_form(heading: float, gap: float) -> None:
    """The corners of the turned car bound how near each wall its origin may come."""
    corners = np.array(CAR.outline) @ np.array(
        [[math.cos(heading), math.sin(heading)], [-math.sin(heading), math.cos(heading)]]
    )
    (x0, y0), (x1, y1) = corners.min(axis=0), corners.max(axis=0)
    found = region([within(CAR, ROOM, gap)], heading)
    right = (gap - x0, gap - y0, 9.0 - gap - x1, 6.0 - gap - y1)
    assert len(shapely.get_coordinates(found)) == 5
    assert found.bounds == pytest.approx(right, abs=1e-9)
    assert found.area == pytest.approx((right[2] - right[0]) * (right[3] - right[1]), abs=SAME_M2)


def test_a_thing_in_the_middle_is_a_hole_grown_by_the_car() -> None:
    room, bounds = box(0, 0, 20, 20), (0.0, 0.0, 20.0, 20.0)
    (polygon,) = free_polygons([([within(CAR, room), against(CAR, box(9, 9, 11, 10))], bounds)], [0.0])[0]
    outer, (hole,) = polygon
    assert shapely.Polygon(hole).bounds == pytest.approx((9 - 3.5, 9 - 0.9, 11 + 1.0, 10 + 0.9), abs=1e-9)
    assert shapely.Polygon(outer).bounds == pytest.approx((1.0, 0.9, 16.5, 19.1), abs=1e-9)


def test_gaps_have_round_corners_replaced_outward_by_at_most_a_tenth_of_a_millimeter() -> None:
    gap = 0.5
    room, bounds = box(0, 0, 20, 20), (0.0, 0.0, 20.0, 20.0)
    found = region([within(CAR, room), against(CAR, box(9, 9, 11, 10), gap)], 0.0, bounds)
    hole = shapely.Polygon(found.interiors[0])
    sharp = shapely.box(9 - 3.5, 9 - 0.9, 11 + 1.0, 10 + 0.9)
    assert hole.hausdorff_distance(sharp.buffer(gap, quad_segs=500)) <= 1.01e-4
    assert shapely.difference(sharp.buffer(gap, quad_segs=500), hole).area < 1e-7


def test_nothing_is_free_where_the_car_is_longer_than_the_room() -> None:
    assert free_polygons([([within(CAR, box(0, 0, 4.4, 3))], (0.0, 0.0, 4.4, 3.0))], [0.0, math.pi / 2]) == ((), ())


def test_everything_is_free_where_nothing_is_asked() -> None:
    assert differ(region([against(CAR, box(50, 50, 51, 51))]), shapely.box(*BOUNDS)) == 0.0
    assert region([]).equals(shapely.box(*BOUNDS))


def test_no_ways_leave_nothing() -> None:
    assert free_polygons([], [0.0, 1.0]) == ((), ())


def test_a_slot_that_the_car_just_fits_is_told_though_it_has_hardly_a_width() -> None:
    """A margin of 0 fits: the region is as wide as the rounding that a fit is allowed."""
    found = region([within(CAR, box(0, 0, 9.0, 1.8))], 0.0, (0.0, 0.0, 9.0, 1.8))
    x0, y0, x1, y1 = found.bounds
    assert (x0, x1) == pytest.approx((1.0, 5.5), abs=1e-9)
    assert 0.0 < y1 - y0 <= HAIR_M
    assert y0 <= 0.9 <= y1


@pytest.mark.parametrize("between", [1.8, 1.8 - 1e-6, 1.8 + 1e-6])
def test_a_slot_between_things_is_open_exactly_where_the_car_fits(between: float) -> None:
    things = [box(0, 0, 9, 2), box(0, 2 + between, 9, 6)]
    found = region([within(CAR, ROOM), *(against(CAR, t) for t in things)])
    assert found.is_empty == (between < 1.8 - 2e-9)
    if between > 1.8 + 2e-9:
        assert found.area == pytest.approx(4.5 * 1e-6, rel=1e-2)


def test_a_room_as_large_as_the_car_leaves_a_single_position() -> None:
    found = region([within(CAR, box(0, 0, 4.5, 1.8))], 0.0, (0.0, 0.0, 4.5, 1.8))
    assert found.centroid.distance(shapely.Point(1.0, 0.9)) < HAIR_M
    assert max(found.bounds[2] - found.bounds[0], found.bounds[3] - found.bounds[1]) <= HAIR_M


def test_regions_that_touch_at_a_point_stay_valid() -> None:
    """Two things whose grown corners meet: only a hair joins the two free parts."""
    unit = claimed(box(-0.5, -0.5, 0.5, 0.5))
    things = [box(0, 0, 2.5, 2.5), box(3.5, 3.5, 6, 6)]
    bounds = (0.5, 0.5, 5.5, 5.5)
    pairs = [within(unit, box(0, 0, 6, 6)), *(against(unit, t) for t in things)]
    told = free_polygons([(pairs, bounds)], [0.0])[0]
    assert all(shapely.Polygon(*p).is_valid for p in told)
    assert joined(told).area == pytest.approx(2 * 2.5 * 2.5, abs=SAME_M2)


def test_things_cut_into_flush_parts_forbid_what_the_whole_does() -> None:
    whole = [against(CAR, box(2, 4.5, 6, 6))]
    parts = [against(CAR, box(2 + i, 4.5 + 0.5 * j, 3 + i, 5 + 0.5 * j)) for i in range(4) for j in range(3)]
    for heading in (0.0, math.pi / 2, math.pi, 0.4):
        walls = [within(CAR, ROOM)]
        assert differ(region([*walls, *whole], heading), region([*walls, *parts], heading)) < SAME_M2


def test_wheels_stay_on_two_decks_that_the_car_could_only_just_straddle() -> None:
    """Plates, decks and other shapes to stay inside: all that lies outside them is forbidden."""
    wheels = [claimed(box(x - 0.1, y - 0.1, x + 0.1, y + 0.1)) for x in (0.0, 2.6) for y in (0.75, -0.75)]
    decks: tuple[Outline, ...] = (box(2, 2.0, 7, 2.5), box(2, 3.5, 7, 4.0))
    shape = shapely.MultiPolygon([shapely.Polygon(d) for d in decks])
    both = outside(shape)
    pieces = within(wheels[0], box(2, 2, 7, 4)).pieces
    pairs = [Pair(w, EDGE, "deck edge", both, (*pieces, *against(w, box(2, 2.5, 7, 3.5)).pieces), 0.05) for w in wheels]
    found = region(pairs, 0.0)
    assert found.bounds == pytest.approx((2.15, 2.9, 4.25, 3.1), abs=2e-9)
    assert found.area == pytest.approx(2.1 * 0.2, abs=SAME_M2)


def test_either_exit_strip_will_do() -> None:
    left, right = claimed(box(0.5, 0.9, 1.5, 1.5), "left"), claimed(box(0.5, -1.5, 1.5, -0.9), "right")
    room = [within(CAR, ROOM), against(CAR, box(3, 4.8, 5, 6))]
    sides = [[within(c, ROOM), against(c, box(3, 4.8, 5, 6))] for c in (left, right)]
    for heading in (0.0, 0.2, math.pi / 2, 3.0):
        union = shapely.union_all([region([*room, *side], heading) for side in sides])
        assert differ(region([*room, *sides[0], *sides[1]], heading), union) < SAME_M2


def test_options_are_joined_in_lots_where_they_are_many(monkeypatch: pytest.MonkeyPatch) -> None:
    case = next(c for c in map(make, range(100)) if len(c.ways) == 3)
    whole = free_polygons(case.ways, case.headings)
    monkeypatch.setattr(slices, "MOST_OPTIONS", 1)
    assert len(list(packed_ways(case.ways))) >= 3
    for one, lots in zip(whole, free_polygons(case.ways, case.headings), strict=True):
        assert differ(joined(one), joined(lots)) < SAME_M2


def test_headings_do_not_depend_on_each_other_nor_on_threads() -> None:
    seen = list(map(make, range(20)))
    alone = [tuple(free_polygons(c.ways, [h])[0] for h in c.headings) for c in seen]
    with ThreadPoolExecutor(4) as pool:
        together = list(pool.map(lambda c: free_polygons(c.ways, c.headings), seen * 3))
    assert together == alone * 3


def moved(pair: Pair, turn: float, x: float, y: float) -> Pair:
    """The same pair in a site that is turned about the origin and shifted."""
    c, s = math.cos(turn), math.sin(turn)
    pieces = tuple(p @ np.array([[c, s], [-s, c]]) + (x, y) for p in pair.pieces)
    return Pair(pair.claim, pair.thing, pair.kind, pair.shape, pieces, pair.gap_m)


def mirrored(pair: Pair) -> Pair:
    """The same pair in a mirror along x."""
    claim = claimed(tuple((x, -y) for x, y in reversed(pair.claim.outline)))
    pieces = tuple(np.ascontiguousarray(p[::-1] * (1.0, -1.0)) for p in pair.pieces)
    return Pair(claim, pair.thing, pair.kind, pair.shape, pieces, pair.gap_m)


def wide(way: Way) -> list[Pair]:
    """The pairs of a way, whatever the exit strip."""
    return [p for p in way[0] if p.side is None]


@EXAMPLES
@given(st.integers(0, 10_000), st.floats(0.0, 6.3), st.floats(-9.0, 9.0), st.floats(-9.0, 9.0))
def test_a_site_turned_and_shifted_has_its_region_turned_and_shifted(
    seed: int, turn: float, x: float, y: float
) -> None:
    case = make(seed)
    pairs, bounds = wide(case.ways[0]), case.ways[0][1]
    far = (-40.0, -40.0, 40.0, 40.0)
    here = [*pairs, within(CAR, box(*bounds))]
    for heading in case.headings:
        back = affinity.translate(region([moved(p, turn, x, y) for p in here], heading + turn, far), -x, -y)
        same = affinity.rotate(back, -turn, origin=(0.0, 0.0), use_radians=True)
        assert differ(same, region(here, heading, far)) < SAME_M2


@EXAMPLES
@given(st.integers(0, 10_000))
def test_a_site_in_the_mirror_has_its_region_in_the_mirror(seed: int) -> None:
    case = make(seed)
    pairs, (x0, y0, x1, y1) = wide(case.ways[0]), case.ways[0][1]
    for heading in case.headings:
        other = region([mirrored(p) for p in pairs], -heading, (x0, -y1, x1, -y0))
        assert (
            differ(affinity.scale(other, 1.0, -1.0, origin=(0.0, 0.0)), region(pairs, heading, (x0, y0, x1, y1)))
            < SAME_M2
        )


@EXAMPLES
@given(st.integers(0, 10_000), st.floats(0.0, 8.0), st.floats(0.0, 8.0), st.floats(0.1, 2.0))
def test_one_more_obstacle_never_adds_a_position(seed: int, x: float, y: float, size: float) -> None:
    case = make(seed)
    pairs, bounds = case.ways[0]
    more = [*pairs, against(pairs[0].claim, box(x, y, x + size, y + size))]
    for heading in case.headings:
        fewer = region(more, heading, bounds)
        assert shapely.difference(fewer, region(list(pairs), heading, bounds)).area < SAME_M2

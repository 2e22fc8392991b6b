"""The floor: published values, closed forms, and laws of the surveyed surface."""

from __future__ import annotations

import math

import aim_makers as make
import numpy as np
import pytest
import shapely
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.aim.floor import SurveyedFloor, fit_plane
from standtrue.aim.floor_bands import contours, level_floor
from standtrue.aim.floor_level import Level, level_under
from standtrue.aim.floor_standards import check_flatness, flatness_limit, floor_numbers
from standtrue.aim.tilt import car_tilt, off_aim
from standtrue.model.basics import Outline
from standtrue.model.survey import SurveyPoint
from standtrue.model.vehicle import WHEELS
from standtrue.model.verdict import Verdict
from standtrue.show.words.reader import ENGLISH

law = settings(derandomize=True, deadline=None, max_examples=60)

# floor.plane: least squares, exact normal equations; derived from the named formula. Metres, heights in mm.
SURVEY_MM = ((0, 0, 0), (2, 0, 3), (4, 0, 5), (0, 1.5, 1), (2, 1.5, 2), (4, 1.5, 6), (0, 3, 1), (2, 3, 4), (4, 3, 7))
SURVEY = tuple(SurveyPoint((x, y), z / 1000, 0.0005) for x, y, z in SURVEY_MM)
ROOM = ((0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0))


def box(x0: float, y0: float, x1: float, y1: float) -> tuple[tuple[float, float], ...]:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def sloped(bx: float, cy: float, a: float = 0.0, u: float = 0.0) -> SurveyedFloor:
    at = [(x, y) for x in (-10.0, -3.0, 0.5, 4.0, 10.0) for y in (-10.0, -1.0, 2.0, 10.0)]
    return SurveyedFloor([SurveyPoint((x, y), a + bx * x + cy * y, u) for x, y in at])


def under(floor: SurveyedFloor, *shapes: Outline) -> Level | None:
    return level_under(floor, {str(i): shape for i, shape in enumerate(shapes)})


def test_least_squares_plane() -> None:
    plane = fit_plane(SURVEY)
    assert plane.a_m * 1000 == pytest.approx(-0.11111, abs=5e-6)
    assert plane.bx * 1000 == pytest.approx(1.33333, abs=5e-6)
    assert plane.cy * 1000 == pytest.approx(0.44444, abs=5e-6)
    assert plane.greatest_m * 1000 == pytest.approx(1.22222, abs=5e-6)
    assert plane.rms_m is not None
    assert plane.rms_m * 1000 == pytest.approx(0.60858, abs=5e-6)
    assert plane.slope * 1000 == pytest.approx(1.40546, abs=5e-6)
    assert math.degrees(plane.slope_rad) == pytest.approx(0.080527, abs=5e-7)
    assert math.degrees(plane.uphill_rad) == pytest.approx(math.degrees(math.atan2(1, 3)))


def test_planes_that_cannot_be() -> None:
    assert fit_plane(SURVEY[:2] + SURVEY[3:4]).rms_m is None
    for points in (SURVEY[:2], SURVEY[:3]):
        with pytest.raises(ValueError, match="three points"):
            fit_plane(points)
    with pytest.raises(ValueError, match="same place"):
        SurveyedFloor([*SURVEY, SURVEY[0]])


@law
@given(st.floats(-0.01, 0.01), st.floats(-0.01, 0.01), st.floats(-1, 1))
def test_a_flat_slope_is_found_everywhere(bx: float, cy: float, a: float) -> None:
    floor = sloped(bx, cy, a)
    assert floor.height((1.3, -2.2)) == pytest.approx(a + bx * 1.3 - cy * 2.2, abs=1e-9)
    assert floor.height((30.0, 0.0)) is None
    level = under(floor, box(0, 0, 2, 1), box(3, 3, 4, 4))
    assert level is not None
    corners = [a + bx * x + cy * y for x, y in (*box(0, 0, 2, 1), *box(3, 3, 4, 4))]
    assert level.difference_m == pytest.approx(max(corners) - min(corners), abs=1e-9)
    assert math.tan(level.slope_rad) == pytest.approx(math.hypot(bx, cy), abs=1e-9)
    assert level.unknown_m2 == 0.0
    mean = floor.mean_height(box(0, 0, 2, 1))
    assert mean == pytest.approx(a + bx + cy / 2, abs=1e-9)


def test_level_over_shapes_and_what_was_not_surveyed() -> None:
    floor = SurveyedFloor(SURVEY)
    level = under(floor, ROOM)
    assert level is not None
    assert (level.lowest_m, level.highest_m) == (0.0, 0.007)
    assert level.lowest_at == (0.0, 0.0)
    assert level.u_m == pytest.approx(0.0005 * math.sqrt(2))
    assert [level.tested(limit).verdict for limit in (0.010, 0.0075, 0.004)] == [
        Verdict.ACCEPT,
        Verdict.CANNOT_TELL,
        Verdict.REJECT,
    ]
    partly = under(floor, box(3, 2, 5, 3))
    assert partly is not None
    assert partly.unknown_m2 == pytest.approx(1.0)
    assert under(floor, box(8, 8, 9, 9)) is None
    assert floor.mean_height(box(8, 8, 9, 9)) is None


def test_extremes_agree_with_a_dense_grid() -> None:
    rng = np.random.default_rng(3)
    points = [SurveyPoint((float(x), float(y)), float(z)) for x, y, z in rng.uniform(0, 1, (40, 3)) * [6, 6, 0.01]]
    floor = SurveyedFloor(points)
    shape = ((1.5, 2.0), (3.7, 1.6), (4.2, 3.9), (2.0, 4.4))
    level = under(floor, shape)
    assert level is not None
    inside = shapely.Polygon(shape)
    heights = [
        h
        for x in np.linspace(1.5, 4.2, 60)
        for y in np.linspace(1.6, 4.4, 60)
        if inside.contains(shapely.Point(x, y)) and (h := floor.height((float(x), float(y)))) is not None
    ]
    assert level.lowest_m <= min(heights) + 1e-12
    assert level.highest_m >= max(heights) - 1e-12
    assert level.highest_m == pytest.approx(max(heights), abs=5e-4)
    assert level.lowest_m == pytest.approx(min(heights), abs=5e-4)
    mean = floor.mean_height(shape)
    assert mean == pytest.approx(float(np.mean(heights)), abs=5e-5)


def test_where_the_floor_is_level_enough() -> None:
    floor = sloped(0.002, 0.0)
    found = level_floor(floor, 0.010, box(-10, -10, 10, 10))
    assert found.to_m - found.from_m == pytest.approx(0.010)
    assert found.level.area == pytest.approx(5.0 * 20.0, rel=1e-6)  # 10 mm at 2 mm a metre: 5 m of 20 m
    uneven = shapely.union_all([shapely.Polygon(o) for o in found.uneven])
    assert uneven.area == pytest.approx(300.0, rel=1e-6)
    assert shapely.intersection(uneven, found.level).area < 1e-6
    assert "10 mm" in ENGLISH.reason(found.because)
    assert level_floor(floor, 0.010, box(-10, -10, 10, 10), steepest=0.001).level.is_empty


def test_floor_that_was_not_surveyed_is_said_to_be_unknown() -> None:
    found = level_floor(SurveyedFloor(SURVEY), 0.003, box(-1, -1, 5, 4))
    assert sum(shapely.Polygon(o).area for o in found.unknown) == pytest.approx(30.0 - 12.0, rel=1e-6)
    rings = [shapely.get_coordinates(part)[:-1] for part in shapely.get_parts(found.level)]
    level = under(SurveyedFloor(SURVEY), *[tuple((float(x), float(y)) for x, y in ring) for ring in rings])
    assert level is not None
    assert level.difference_m <= 0.003 + 1e-6
    with pytest.raises(ValueError, match="greater than 0"):
        level_floor(SurveyedFloor(SURVEY), 0.0, ROOM)


@pytest.mark.parametrize("seed", range(20))
def test_no_band_holds_more_floor(seed: int) -> None:
    rng = np.random.default_rng(seed)
    at = [(x, y) for x in (0.0, 2.0, 4.0) for y in (0.0, 1.5, 3.0)]
    floor = SurveyedFloor([SurveyPoint(p, float(z)) for p, z in zip(at, rng.uniform(0, 0.01, 9), strict=True)])
    found = level_floor(floor, 0.004, ROOM)
    lowest = float(rng.uniform(-0.004, 0.01))
    spots = [(float(x), float(y)) for x, y in rng.uniform(0, 1, (400, 2)) * [4, 3]]
    heights = np.array([floor.height(p) for p in spots], dtype=float)
    share = float(np.mean((heights >= lowest) & (heights <= lowest + 0.004)))
    assert found.level.area / 12.0 >= share - 4 * math.sqrt(0.25 / 400)


def test_contours_lie_at_their_height() -> None:
    floor = SurveyedFloor(SURVEY)
    lines = contours(floor, 0.002)
    assert [round(height * 1000) for height, _ in lines] == [0, 2, 4, 6]
    for height, segments in lines:
        for segment in segments:
            for at in segment:
                assert floor.height(at) == pytest.approx(height, abs=1e-9)
    with pytest.raises(ValueError, match="greater than 0"):
        contours(floor, 0.0)


def test_tilt_of_a_car() -> None:
    # floor.tilt: atan; derived from the named formula. 5 mm over a wheelbase of 2700 mm, and over a track of 1560 mm.
    car = evolve(make.CAR, wheelbase_m=2.7, track_front_m=1.56, track_rear_m=1.56)
    nose_down = car_tilt(car, {w: 0.005 if "rear" in w else 0.0 for w in WHEELS})
    assert math.degrees(nose_down.pitch_rad) == pytest.approx(0.1061, abs=5e-5)
    assert off_aim(nose_down.pitch_rad) == pytest.approx(0.185, abs=5e-4)
    left_up = car_tilt(car, {w: 0.005 if "left" in w else 0.0 for w in WHEELS})
    assert math.degrees(left_up.roll_rad) == pytest.approx(0.1836, abs=5e-5)
    assert nose_down.roll_rad == pytest.approx(0.0, abs=1e-12)
    assert left_up.warp_m == pytest.approx(0.0, abs=1e-12)


def test_where_sensors_then_look() -> None:
    car = make.CAR
    tilt = car_tilt(car, {w: 0.010 if "rear" in w else 0.0 for w in WHEELS})
    assert tilt.sensor_pitch(0.0) == pytest.approx(tilt.pitch_rad)
    assert tilt.sensor_pitch(math.pi) == pytest.approx(-tilt.pitch_rad)
    assert tilt.sensor_pitch(math.pi / 2) == pytest.approx(0.0, abs=1e-12)
    assert tilt.sensor_roll(math.pi / 2) == pytest.approx(tilt.pitch_rad)
    twisted = car_tilt(car, {w: 0.004 if w in (WHEELS[0], WHEELS[3]) else 0.0 for w in WHEELS})
    assert twisted.warp_m == pytest.approx(0.002, abs=2e-5)


def test_floor_numbers() -> None:
    # floor.astm: ASTM E1155 (q the second difference at 12 in, z the difference over 10 ft,
    # FF = 4.57 / (3 s_q + |mean q|), FL = 12.5 / (3 s_z + |mean z|)); published, seen quoted. The profile is too short
    # for a result by the standard.
    inches = (0, 0.04, 0.07, 0.05, 0.02, 0.03, 0.08, 0.1, 0.09, 0.06, 0.05, 0.08, 0.12)
    numbers = floor_numbers([h * 0.0254 for h in inches])
    assert numbers.sd_curvature_m is not None
    assert numbers.sd_curvature_m / 0.0254 == pytest.approx(0.0319374, abs=5e-8)
    assert numbers.ff == pytest.approx(47.7, abs=0.05)
    assert numbers.fl == pytest.approx(195.35, abs=0.005)
    assert floor_numbers([0.0] * 5).ff == math.inf
    assert floor_numbers([0.0] * 5).fl is None


def test_flatness_rows_of_din_18202() -> None:
    # floor.din18202: DIN 18202 table 3; published, seen quoted (rows 3 and 4 up to 4 m also by a tiler's public page).
    # Between columns along straight lines (beaplan.de; a trade handbook's table agrees to the rounded millimetre).
    at_m = (0.1, 1.0, 4.0, 10.0, 15.0)
    rows = {2: (5, 8, 12, 15, 20), 3: (2, 4, 10, 12, 15), 4: (1, 3, 9, 12, 15)}
    for row, limits in rows.items():
        for apart, limit in zip(at_m, limits, strict=True):
            assert flatness_limit(row, apart) * 1000 == pytest.approx(limit)
    assert round(flatness_limit(3, 2.7) * 1000, 1) == 7.4


def test_gaps_under_a_straight_edge() -> None:
    gaps = check_flatness(SURVEY, 3)
    assert all(g.ok for g in gaps)
    assert len(gaps) == 8  # three rows, three columns, two diagonals
    middle = next(g for g in gaps if (g.one, g.middle, g.two) == (0, 4, 8))
    assert middle.off_m == pytest.approx(-0.0015)
    dented = [*SURVEY[:4], SurveyPoint((2.0, 1.5), -0.008), *SURVEY[5:]]
    assert not check_flatness(dented, 3)[0].ok
    assert check_flatness(dented, 3)[0].middle == 4

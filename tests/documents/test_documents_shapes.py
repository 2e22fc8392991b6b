"""Outlines: boxes, circles, sectors and polygons, made simple and counter-clockwise."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.documents import shapes
from standtrue.documents.faults import RefusedError

radii = st.floats(0.01, 100.0)
angles = st.floats(-2 * math.pi, 2 * math.pi)


def check(shape: shapes.Shape) -> shapely.Polygon:
    face = shapely.Polygon(shape.points)
    assert face.is_valid
    assert shapely.LinearRing(shape.points).is_ccw
    return face


@settings(derandomize=True, deadline=None)
@given(st.floats(-50, 50), st.floats(-50, 50), radii)
def test_a_circle_is_contained_within_a_millimetre(x: float, y: float, radius: float) -> None:
    shape = shapes.circle(x, y, radius)
    face = check(shape)
    center = shapely.Point(x, y)
    assert face.exterior.distance(center) >= radius - 1e-9  # no edge cuts the circle
    assert max(math.dist((x, y), point) for point in shape.points) <= radius + 0.001 + 1e-9


@settings(derandomize=True, deadline=None)
@given(st.floats(0, 1), radii, angles, st.floats(0.01, 6.2))
def test_a_sector_is_contained_within_a_millimetre(part: float, outer: float, start: float, span: float) -> None:
    inner = 0.0 if part < 0.1 else 0.9 * part * outer
    if span * (outer**2 - inner**2) / 2 < 1e-6:
        return
    shape = shapes.sector(inner, outer, start, start + span)
    face = check(shape).buffer(1e-9)
    for i in range(21):
        angle = start + span * i / 20
        for radius in (inner, (inner + outer) / 2, outer):
            assert face.contains(shapely.Point(radius * math.cos(angle), radius * math.sin(angle)))
    for x, y in shape.points:
        assert math.hypot(x, y) <= outer + 0.001 + 1e-9
    if inner > 0:
        assert shapely.LinearRing(shape.points).distance(shapely.Point(0, 0)) >= inner - 0.001 - 1e-9


def test_a_sector_runs_counter_clockwise_past_the_rear() -> None:
    face = check(shapes.sector(1, 2, math.radians(150), math.radians(-150)))
    assert face.contains(shapely.Point(-1.5, 0))
    assert not face.contains(shapely.Point(1.5, 0))


def test_a_full_sector_is_a_circle() -> None:
    assert shapes.sector(0, 2, 0, 2 * math.pi) == shapes.circle(0, 0, 2)


def test_a_clockwise_outline_is_turned_and_keeps_its_first_point_and_its_edges() -> None:
    written = ((1.0, 1.0), (1.0, 5.0), (9.0, 5.0), (9.0, 1.0))
    shape = shapes.polygon(written)
    check(shape)
    assert shape.flipped
    assert shape.points[0] == written[0]
    for i in range(4):
        j = shape.edge(i)
        ends = {shape.points[j], shape.points[(j + 1) % 4]}
        assert ends == {written[i], written[(i + 1) % 4]}


@settings(derandomize=True, deadline=None)
@given(st.lists(st.tuples(st.integers(-5, 5), st.integers(-5, 5)), min_size=0, max_size=8))
def test_any_points_are_a_simple_outline_or_refused(points: list[tuple[int, int]]) -> None:
    floats = tuple((float(x), float(y)) for x, y in points)
    repeated = any(floats[i - 1] == floats[i] for i in range(len(floats)))
    if len(floats) >= 3 and not repeated and shapely.Polygon(floats).is_valid:
        check(shapes.polygon(floats))
    else:
        with pytest.raises(RefusedError, match=r"outline|point"):
            shapes.polygon(floats)


def test_a_box_takes_any_two_opposite_corners() -> None:
    assert shapes.box(3, 4, 1, 2) == shapes.box(1, 2, 3, 4)
    assert shapes.box(1, 2, 3, 4).points == ((1, 2), (3, 2), (3, 4), (1, 4))


@pytest.mark.parametrize("angle", [0.0, 0.5, -2.0])
def test_mirroring_twice_changes_nothing(angle: float) -> None:
    outline = shapes.placed(shapes.sector(1, 2, 0.1, 1.2).points, 3, 4, angle)
    assert shapes.mirrored(shapes.mirrored(outline)) == outline
    assert shapes.signed_area(shapes.mirrored(outline)) == pytest.approx(shapes.signed_area(outline))

"""The kernels against a collision library's GJK distance and against shapely."""

from __future__ import annotations

import math

import coal
import numpy as np
import pytest
import shapely
from numpy.typing import NDArray

from standtrue.plane.kernels import lowest, minkowski_sum, rotation_core, signed_distance, turned_negative

Array = NDArray[np.float64]
SAME_M = 1e-6


def convex(rng: np.random.Generator, corners: int) -> Array:
    """A convex polygon, counter-clockwise: sorted edge vectors of a random point set's hull."""
    while True:
        points = rng.normal(size=(corners + 2, 2)) * rng.uniform(0.05, 3.0, 2)
        hull = shapely.orient_polygons(shapely.MultiPoint(points).convex_hull)
        if hull.geom_type == "Polygon" and hull.area > 1e-3:
            return np.ascontiguousarray(shapely.get_coordinates(hull)[:-1] + rng.uniform(-3, 3, 2))


def turned(points: Array, angle: float) -> Array:
    c, s = math.cos(angle), math.sin(angle)
    return np.asarray(points @ np.array([[c, s], [-s, c]]))


def kernel_distance(zone: Array, thing: Array, at: Array, heading: float) -> float:
    """How the engine measures: the pose's distance from the Minkowski sum of the thing and the turned zone."""
    negative = np.empty_like(zone)
    turned_negative(zone, 0, len(zone), math.cos(heading), math.sin(heading), negative)
    total = np.empty((len(zone) + len(thing), 2))
    count = minkowski_sum(thing, 0, len(thing), lowest(thing, 0, len(thing)), negative, len(negative), total)
    return float(signed_distance(at[0], at[1], total, 0, count))


def prism(points: Array) -> coal.Convex:
    """A convex polygon as a plate 2 m thick about z = 0, for the collision library."""
    corners = coal.StdVec_Vec3s()
    for z in (-1.0, 1.0):
        for x, y in points:
            corners.append(np.array([x, y, z]))
    return coal.Convex.convexHull(corners, False, None)


@pytest.mark.parametrize("block", range(10))
def test_minkowski_distance_is_the_gjk_distance(block: int) -> None:
    rng = np.random.default_rng([3, block])
    apart = 0
    for _ in range(200):
        zone, thing = convex(rng, int(rng.integers(3, 9))), convex(rng, int(rng.integers(3, 9)))
        at, heading = rng.uniform(-5, 5, 2), float(rng.uniform(-7, 7))
        placed = turned(zone, heading) + at
        ours = kernel_distance(zone, thing, at, heading)
        flat = float(shapely.Polygon(placed).distance(shapely.Polygon(thing)))
        result = coal.DistanceResult()
        pose = coal.Transform3s.Identity()
        theirs = coal.distance(prism(placed), pose, prism(thing), pose, coal.DistanceRequest(), result)
        assert max(ours, 0.0) == pytest.approx(flat, abs=SAME_M)
        assert max(ours, 0.0) == pytest.approx(max(theirs, 0.0), abs=SAME_M)
        assert (ours < -SAME_M) <= bool(shapely.Polygon(placed).intersects(shapely.Polygon(thing)))
        apart += ours > 0.0
    assert 40 < apart < 200


def test_overlap_depth_is_the_least_translation_apart() -> None:
    rng = np.random.default_rng(5)
    for _ in range(200):
        zone, thing = convex(rng, 5), convex(rng, 6)
        zone, thing = zone - zone.mean(axis=0), thing - thing.mean(axis=0)
        at = rng.uniform(-0.2, 0.2, 2)
        ours = kernel_distance(zone, thing, at, 0.3)
        assert ours < 0.0
        sums = (thing[:, None, :] - turned(zone, 0.3)[None, :, :]).reshape(-1, 2)
        edge = shapely.MultiPoint(sums).convex_hull.exterior
        assert -ours == pytest.approx(edge.distance(shapely.Point(at)), abs=SAME_M)


def test_the_rotation_core_is_covered_at_every_rotation_of_the_interval() -> None:
    rng = np.random.default_rng(6)
    filled = 0
    for _ in range(300):
        shape = convex(rng, int(rng.integers(3, 9)))
        half = float(10 ** rng.uniform(-3, -0.1))
        out, spare = np.empty((4 * len(shape) + 8, 2)), np.empty((4 * len(shape) + 8, 2))
        count = rotation_core(np.ascontiguousarray(shape), 0, len(shape), half, out, spare)
        if count == 0:
            continue
        filled += 1
        core = shapely.Polygon(out[:count])
        assert core.is_valid
        for angle in np.linspace(-half, half, 41):
            whole = shapely.Polygon(turned(shape, float(angle)))
            assert core.difference(whole.buffer(1e-9)).area < 1e-12
        assert shapely.MultiPoint(out[:count]).difference(shapely.Polygon(shape).buffer(1e-9)).is_empty
    assert filled > 100


@pytest.mark.parametrize("at", [(2.5, 0.0), (-1.0, 0.0), (0.5, 0.0), (0.5, 0.25)])
def test_a_line_has_no_inside(at: tuple[float, float]) -> None:
    # Beyond its ends a point may be on one line with it, and is as far off as from its nearer end.
    told = signed_distance(at[0], at[1], np.array([(0.0, 0.0), (1.0, 0.0)]), 0, 2)
    line = shapely.LineString([(0.0, 0.0), (1.0, 0.0)])
    assert told == pytest.approx(line.distance(shapely.Point(at)), abs=1e-12)

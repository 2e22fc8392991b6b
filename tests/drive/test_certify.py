"""What is called proven holds between poses too, and little is lost by the proof."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from drive_makers import Array, least_distance, placed, step_through
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.drive.kernels.certify import free_travel, least_separation, scratch_for, separation
from standtrue.drive.kernels.motion import advance
from standtrue.drive.world.packed import Packed, Part, Solid, pack
from standtrue.model.reason import Ref
from standtrue.plane.shapes import convex_pieces

BODY = ((-0.9, -0.9), (3.4, -0.9), (3.8, -0.4), (3.8, 0.4), (3.4, 0.9), (-0.9, 0.9))


def scene(rng: np.random.Generator, gap: float) -> tuple[Packed, list[shapely.Polygon]]:
    """A car with cut corners among hulls of random points, none over the origin; the hulls in the order packed."""
    shapes: list[shapely.Polygon] = []
    while len(shapes) < 6:
        x, y = rng.uniform(-9.0, 9.0, 2)
        hull = shapely.convex_hull(shapely.MultiPoint(rng.normal((x, y), rng.uniform(0.2, 1.2), (6, 2))))
        if hull.distance(shapely.Polygon(BODY)) > gap + 0.01:
            shapes.append(hull)
    solids = [Solid(Ref("thing", f"thing {i}"), convex_pieces(s), {"body": gap}) for i, s in enumerate(shapes)]
    body = Part("body", convex_pieces(shapely.Polygon(BODY)))
    packed = pack([body], solids, (-10.0, -10.0, 10.0, 10.0), 1.45)
    return packed, [shapes[int(ref.name.split()[1])] for ref in packed.solid_of]


@settings(max_examples=60, deadline=None, derandomize=True)
@given(
    st.integers(0, 10**6),
    st.sampled_from([1.0, -1.0]),
    st.floats(-0.25, 0.25),
    st.sampled_from([0.0, 0.01, 0.3]),
    st.booleans(),
)
def test_free_travel_is_free_and_ends_at_something(
    seed: int, gear: float, curvature: float, gap: float, skating: bool
) -> None:
    packed, shapes = scene(np.random.default_rng(seed), gap)
    w = packed.world
    twist = (
        np.array([math.cos(4 * curvature), math.sin(4 * curvature), 0.3 * gear])
        if skating
        else np.array([gear, 0.0, gear * curvature])
    )
    scratch = scratch_for(w)
    free = free_travel(w, np.zeros(3), twist, 7.0, scratch)
    things = shapely.union_all(shapes)
    if free > 0.0:
        poses = step_through((0.0, 0.0, 0.0), [(*twist, free)], 2e-3)
        assert least_distance(BODY, poses, things) >= gap - 2e-6
    if free < 7.0:
        beyond = step_through(advance(0.0, 0.0, 0.0, twist[0], twist[1], twist[2], free), [(*twist, 2e-3)], 1e-4)
        assert least_distance(BODY, beyond, shapes[w.pairs[scratch.blocker[0], 1]]) <= gap + 1e-4


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.integers(0, 10**6))
def test_the_least_separation_told_is_the_least_there_is(seed: int) -> None:
    rng = np.random.default_rng(seed)
    packed, shapes = scene(rng, 0.0)
    path = np.array(
        [
            (g, 0.0, g * k, d)
            for g, k, d in zip((1.0, -1.0, 1.0), rng.uniform(-0.25, 0.25, 3), rng.uniform(0.1, 2.0, 3), strict=True)
        ]
    )
    poses = step_through((0.0, 0.0, 0.0), path)
    seen = least_distance(BODY, poses, shapely.union_all(shapes))
    if seen > 0.0:
        low, _ = least_separation(packed.world, np.zeros(3), path, 1e-5)
        assert seen - 1e-3 <= low <= seen + 1e-9


def test_separation_is_the_distance_at_a_pose() -> None:
    rng = np.random.default_rng(1)
    for _ in range(30):
        packed, shapes = scene(rng, 0.0)
        pose: Array = np.array([*rng.uniform(-1.0, 1.0, 2), rng.uniform(-3.0, 3.0)])
        for j, shape in enumerate(shapes):
            true = float(shapely.distance(placed(BODY, pose[None])[0], shape))
            told = separation(packed.world, 0, j, pose, scratch_for(packed.world))
            assert told == pytest.approx(true, abs=1e-9) if true > 0.0 else told <= 1e-9


def test_along_a_wall_nothing_is_lost() -> None:
    wall = shapely.box(-50.0, -3.0, 50.0, -0.95)
    body = Part("body", convex_pieces(shapely.Polygon(BODY)))
    packed = pack(
        [body], [Solid(Ref("thing", "wall"), convex_pieces(wall), {"body": 0.05})], (-10.0, -3.0, 40.0, 3.0), 1.45
    )
    scratch = scratch_for(packed.world)
    assert free_travel(packed.world, np.zeros(3), np.array([1.0, 0.0, 0.0]), 30.0, scratch) == 30.0


def test_motion_is_exact_at_every_curvature() -> None:
    for w in (0.0, 1e-15, 1e-9, 1e-6, 0.2):
        x, y, h = advance(1.0, 2.0, 0.5, 1.0, 0.0, w, 3.0)
        fine = step_through((1.0, 2.0, 0.5), [(1.0, 0.0, w, 3.0)], math.inf)[-1]
        assert (x, y, h) == pytest.approx(tuple(fine), abs=1e-12 if w in (0.0, 0.2) else 1e-6)

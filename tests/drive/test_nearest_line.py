"""Where a path comes nearest to something: the leaps over poses lose nothing."""

from __future__ import annotations

import math

import numpy as np
import shapely
from drive_makers import box
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.drive.path.swept import CLOSE_M, LEAP, nearest_line, poses_on

PIECE = np.array(box(-0.9, -0.9, 3.6, 0.9))
coordinates = st.floats(-8.0, 8.0)


@settings(derandomize=True, deadline=None, max_examples=30)
@given(
    st.tuples(coordinates, coordinates, st.floats(0.0, 6.0)),
    st.lists(st.tuples(st.sampled_from((1.0, -1.0)), st.floats(-0.2, 0.2), st.floats(0.001, 3.0)), max_size=3),
    st.tuples(coordinates, coordinates),
)
def test_the_line_is_as_short_as_from_the_nearest_of_all_poses(
    start: tuple[float, float, float], legs: list[tuple[float, float, float]], corner: tuple[float, float]
) -> None:
    path = np.array([(gear, 0.0, gear * k, long) for gear, k, long in legs]).reshape(-1, 4)
    poses, _ = poses_on(np.array(start), path, CLOSE_M)
    solid = np.array(box(*corner, corner[0] + 0.7, corner[1] + 0.4))
    told = math.dist(*nearest_line(PIECE, solid, poses))
    c, s = np.cos(poses[:, 2:]), np.sin(poses[:, 2:])
    xs = poses[:, :1] + c * PIECE[:, 0] - s * PIECE[:, 1]
    ys = poses[:, 1:2] + s * PIECE[:, 0] + c * PIECE[:, 1]
    every = shapely.distance(shapely.polygons(np.stack([xs, ys], axis=-1)), shapely.Polygon(solid))
    assert LEAP > 1
    assert abs(told - every.min()) <= 1e-12

"""The public low level of `drive`: a path for one outline among polygons."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely

from standtrue.drive.kernels.joins import Ask
from standtrue.drive.path.find import find_path
from standtrue.drive.path.found import Found
from standtrue.drive.world.packed import Packed, Part, Pose, Solid, pack
from standtrue.model.basics import Outline
from standtrue.model.reason import Ref
from standtrue.plane.shapes import Convex, convex_pieces, polygon

SPECK_M = 1e-6
"""How large a point is taken to be."""

ROUND_M = 8.0
"""How far round all that is named a car may go where no bounds are given."""


def plan_among(
    obstacles: Sequence[Outline],
    car: Outline,
    radius_m: float,
    start: Pose,
    goal: Pose,
    *,
    gap_m: float = 0.0,
    bounds: tuple[float, float, float, float] | None = None,
) -> tuple[Found, Packed]:
    """A path for one car outline among polygons, with everything about doors, heights and wheels left out.

    `car` is in the vehicle frame (origin under the rear axle's center, x forward). Without `bounds`, the search keeps
    within `ROUND_M` of everything named.
    """
    parts = [Part("body", convex_pieces(polygon(car)))]
    solids = [
        Solid(Ref("obstacle", f"obstacle {i}"), _pieces_of(o), {"body": gap_m}) for i, o in enumerate(obstacles, 1)
    ]
    xs, ys = zip(*car, strict=True)
    middle, arm = (min(xs) + max(xs)) / 2, math.hypot(max(xs) - min(xs), max(ys) - min(ys)) / 2
    if bounds is None:
        points = np.array([p for o in obstacles for p in o] + [start[:2], goal[:2]])
        (x0, y0), (x1, y1) = points.min(axis=0) - ROUND_M, points.max(axis=0) + ROUND_M
        bounds = (float(x0), float(y0), float(x1), float(y1))
    packed = pack(parts, solids, bounds, middle)
    ask = Ask(radius_m, 1.0, 4.0, 0.2, middle, arm)
    return find_path(packed, ask, [start], [goal]), packed


def _pieces_of(outline: Outline) -> tuple[Convex, ...]:
    """Convex pieces of an outline from anywhere: crossing itself, or with no area, it is still in the way."""
    hull = shapely.convex_hull(shapely.MultiPoint(outline))
    if hull.geom_type == "LineString":
        return (shapely.get_coordinates(hull),)
    if hull.geom_type == "Point":
        return convex_pieces(hull.buffer(SPECK_M, quad_segs=1))
    shape = polygon(outline)
    return convex_pieces(shape if shape.is_valid else shapely.make_valid(shape))

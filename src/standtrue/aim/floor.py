"""The floor as surveyed: its plane and residuals, its height everywhere, how level it is under shapes.

Between the surveyed points the floor is taken as the triangles of their Delaunay triangulation. Beyond them it is
unknown, and every answer says how much of what was asked is unknown.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from functools import cached_property

import numpy as np
import shapely
from attrs import frozen
from numpy.typing import NDArray

from standtrue.model.basics import Outline, Point
from standtrue.model.survey import SurveyPoint
from standtrue.plane.shapes import Convex, convex_pieces, polygon

Array = NDArray[np.float64]

THIN_M2 = 1e-9
"""Triangles smaller than this hold no floor."""

UNKNOWN_M2 = 1e-6
"""Less floor than this that was not surveyed is rounding."""


@frozen(eq=False)
class FloorPlane:
    """The least-squares plane z = a + bx x + cy y, metres, and what the points differ from it.

    `rms_m` has n - 3 degrees of freedom (None for three points). `slope_rad` is the steepest, `uphill_rad` its
    direction in the site frame.
    """

    a_m: float
    bx: float
    cy: float
    residuals_m: tuple[float, ...]
    rms_m: float | None

    @property
    def slope(self) -> float:
        """Metres a metre, uphill."""
        return math.hypot(self.bx, self.cy)

    @property
    def slope_rad(self) -> float:
        return math.atan(self.slope)

    @property
    def uphill_rad(self) -> float:
        return math.atan2(self.cy, self.bx)

    @property
    def greatest_m(self) -> float:
        """The greatest residual, without its sign."""
        return max(map(abs, self.residuals_m))

    def height(self, at: Point) -> float:
        return self.a_m + self.bx * at[0] + self.cy * at[1]


def fit_plane(points: Sequence[SurveyPoint]) -> FloorPlane:
    """The least-squares plane of three points or more, all of the same weight. Raises ValueError for points in line."""
    matrix = np.array([[1.0, *p.at] for p in points])
    if len(points) < 3 or np.linalg.matrix_rank(matrix - [0.0, *matrix[0, 1:]], tol=1e-6) < 3:
        raise ValueError("a plane needs three points that are not in one line")
    heights = np.array([p.height_m for p in points])
    (a, bx, cy), *_ = np.linalg.lstsq(matrix, heights, rcond=None)
    residuals = heights - matrix @ np.array([a, bx, cy])
    free = len(points) - 3
    rms = math.sqrt(float(residuals @ residuals) / free) if free else None
    return FloorPlane(float(a), float(bx), float(cy), tuple(map(float, residuals)), rms)


class SurveyedFloor:
    """The floor between surveyed points, as triangles.

    `measured` are the heights and `covariance` theirs, metres and square metres, in the order of the points; without a
    covariance each point has its own uncertainty and no other. Raises ValueError for fewer than three points, for
    points in one line, and for two points at one place.
    """

    def __init__(self, points: Sequence[SurveyPoint], covariance: Array | None = None) -> None:
        if len({p.at for p in points}) < len(points):
            raise ValueError("two survey points have the same place")
        self.points = tuple(points)
        self.plane = fit_plane(points)
        self.measured: Array = np.array([p.height_m for p in points])
        self.covariance: Array = np.diag([p.u_m**2 for p in points]) if covariance is None else covariance
        number = {p.at: i for i, p in enumerate(points)}
        found = shapely.get_parts(shapely.delaunay_triangles(shapely.MultiPoint([p.at for p in points])))
        corners = [shapely.get_coordinates(t)[:3] for t in found if t.area > THIN_M2]
        self.triangles: Array = np.array(corners).reshape(-1, 3, 2)
        self.corners: NDArray[np.int64] = np.array([[number[x, y] for x, y in t] for t in corners]).reshape(-1, 3)
        self.heights: Array = self.measured[self.corners]
        ones = np.concatenate([np.ones((*self.triangles.shape[:2], 1)), self.triangles], axis=2)
        self._parts: Array = np.linalg.inv(ones)
        self.planes: Array = np.linalg.solve(ones, self.heights[..., None])[..., 0]
        self._tree = shapely.STRtree(list(shapely.polygons(self.triangles)))
        self.known = shapely.union_all(self._tree.geometries)

    def shares_at(self, at: Point) -> Array | None:
        """How much each surveyed height counts for the height at a point; None beyond the surveyed points."""
        near = self._tree.query_nearest(shapely.Point(at), max_distance=1e-6)
        return None if not len(near) else self.shares_in(int(near[0]), at)

    def height(self, at: Point) -> float | None:
        """The height at a point, or None beyond the surveyed points."""
        shares = self.shares_at(at)
        return None if shares is None else float(shares @ self.measured)

    @property
    def slopes(self) -> Array:
        """The slope of every triangle, metres a metre."""
        return np.asarray(np.hypot(self.planes[:, 1], self.planes[:, 2]), dtype=np.float64)

    @cached_property
    def spacing_m(self) -> float:
        """How far the loneliest point lies from its nearest neighbor: the survey's own spacing."""
        spots = shapely.points([p.at for p in self.points])
        _, away = shapely.STRtree(spots).query_nearest(spots, exclusive=True, return_distance=True)
        return float(away.max())

    def apart_m(self, triangles: Collection[int]) -> float:
        """The longest side of these triangles: so far apart are heights between which floor is taken as straight."""
        sides = self.triangles[list(triangles)] - np.roll(self.triangles[list(triangles)], 1, axis=1)
        return float(np.linalg.norm(sides, axis=2).max(initial=0.0))

    def pieces(self, outline: Outline) -> list[tuple[int, Convex]]:
        """The convex pieces of a shape with the triangle that each lies in."""
        shape = polygon(outline)
        hits = self._tree.query(shape, predicate="intersects")
        cut = shapely.intersection(self._tree.geometries[hits], shape)
        return [(int(i), piece) for i, part in zip(hits, cut, strict=True) for piece in convex_pieces(part)]

    def shares(self, outline: Outline) -> Array | None:
        """How much each surveyed height counts for the mean height under a shape; None where part of it is unknown."""
        whole = polygon(outline).area
        covered, shares = 0.0, np.zeros(len(self.points))
        for triangle, piece in self.pieces(outline):
            shape = shapely.polygons(piece)
            center = shapely.centroid(shape)
            covered += shape.area
            shares += shape.area * self.shares_in(triangle, (center.x, center.y))
        return None if whole - covered > UNKNOWN_M2 else shares / covered

    def shares_in(self, triangle: int, at: Point) -> Array:
        """How much each surveyed height counts for the height at a point of a triangle, or of its plane."""
        shares = np.zeros(len(self.points))
        shares[self.corners[triangle]] = np.array([1.0, *at]) @ self._parts[triangle]
        return shares

    def mean_height(self, outline: Outline) -> float | None:
        """The mean height of the floor under a shape, or None where some of it was not surveyed."""
        shares = self.shares(outline)
        return None if shares is None else float(shares @ self.measured)

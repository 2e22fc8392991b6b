"""Outlines as documents give them, made into simple counter-clockwise polygons in metres."""

from __future__ import annotations

import math
from typing import NamedTuple

import shapely

from standtrue.documents.faults import RefusedError
from standtrue.model.basics import Outline, Point
from standtrue.model.reason import Length, because
from standtrue.plane.shapes import circle_outline, sector_outline

LEAST_AREA_M2 = 1e-6


class Shape(NamedTuple):
    """An outline, counter-clockwise, its first point as written; `flipped` if it was written clockwise."""

    points: Outline
    flipped: bool = False

    def edge(self, written: int) -> int:
        """The index of an edge, given its index in the order of writing (edge i runs from point i to the next)."""
        return len(self.points) - 1 - written if self.flipped else written


def polygon(points: Outline) -> Shape:
    """A simple polygon from its corners, in either turning direction. Raises `RefusedError`."""
    if len(points) < 3:
        what = because("outline-of-few-points", count=len(points))
        raise RefusedError("outline-no-area", what, because("give-three-points"))
    for i, point in enumerate(points):
        if point == points[i - 1]:
            _refuse_repeat(i)
    area = signed_area(points)
    face = shapely.Polygon(points)
    if not face.is_valid:
        if face.convex_hull.area < LEAST_AREA_M2:
            _refuse_area()
        where = shapely.is_valid_reason(face).partition("[")[2].rstrip("]").split()
        what = because("outline-crosses")
        if len(where) == 2:
            what = because("outline-crosses", x=Length(float(where[0])), y=Length(float(where[1])))
        raise RefusedError("outline-crosses-itself", what, because("list-corners-in-order"))
    if abs(area) < LEAST_AREA_M2:
        _refuse_area()
    return counter_clockwise(points, area)


def counter_clockwise(points: Outline, area: float | None = None) -> Shape:
    """The same polygon counter-clockwise, starting at the same point."""
    if (signed_area(points) if area is None else area) > 0:
        return Shape(points)
    return Shape((points[0], *reversed(points[1:])), True)


def signed_area(points: Outline) -> float:
    """The area, positive if counter-clockwise; measured about the first point, to lose no digits far out."""
    x0, y0 = points[0]
    double = 0.0
    for i, (x, y) in enumerate(points):
        px, py = points[i - 1]
        double += (px - x0) * (y - y0) - (x - x0) * (py - y0)
    return double / 2


def box(x0: float, y0: float, x1: float, y1: float) -> Shape:
    """A box from two opposite corners, starting lower left: its edges are 0 bottom, 1 right, 2 top, 3 left."""
    left, right = sorted((x0, x1))
    low, high = sorted((y0, y1))
    if (right - left) * (high - low) < LEAST_AREA_M2:
        _refuse_area()
    return Shape(((left, low), (right, low), (right, high), (left, high)))


def circle(x: float, y: float, radius: float) -> Shape:
    """A polygon that contains the circle and stands out from it by at most 1 mm. Raises `RefusedError`."""
    if radius <= 0:
        what = because("circle-without-radius")
        raise RefusedError("value-impossible", what, because("write-form", form="[x, y, radius]"))
    if math.pi * radius * radius < LEAST_AREA_M2:
        _refuse_area()
    return Shape(circle_outline(x, y, radius))


def sector(inner: float, outer: float, start_rad: float, end_rad: float) -> Shape:
    """A polygon that contains the sector between two radii, from one angle counter-clockwise to another.

    The outer arc is circumscribed and the inner arc inscribed, each by at most 1 mm. Raises `RefusedError`.
    """
    span = end_rad - start_rad
    if span < 0:
        span += 2 * math.pi
    if inner < 0 or outer <= inner:
        remedy = because("write-form", form="[r0, r1, from, to]")
        raise RefusedError("value-impossible", because("sector-radii-wrong"), remedy)
    if span > 2 * math.pi - 1e-9:
        if inner == 0:
            return circle(0.0, 0.0, outer)
        raise RefusedError("value-impossible", because("ring-not-simple"), because("write-two-half-rings"))
    if span * (outer * outer - inner * inner) / 2 < LEAST_AREA_M2:
        _refuse_area()
    return Shape(sector_outline(inner, outer, start_rad, span))


def placed(outline: Outline, x: float, y: float, heading_rad: float) -> Outline:
    """An outline about its own origin, moved to a place and turned to its heading."""
    cos, sin = math.cos(heading_rad), math.sin(heading_rad)
    return tuple((x + cos * px - sin * py, y + sin * px + cos * py) for px, py in outline)


def mirrored(outline: Outline) -> Outline:
    """An outline with left and right exchanged (y negated), counter-clockwise again."""
    return tuple((x, 0.0 - y) for x, y in (outline[0], *reversed(outline[1:])))


def mirror_point(point: Point) -> Point:
    return (point[0], 0.0 - point[1])


def _refuse_area() -> None:
    raise RefusedError("outline-no-area", because("outline-encloses-nothing"), because("give-corners-off-one-line"))


def _refuse_repeat(index: int) -> None:
    what, remedy = because("outline-closed-by-point"), because("leave-out-last-point")
    if index:
        what, remedy = because("point-repeats", index=index), because("leave-out-one-point")
    raise RefusedError("outline-repeats-point", what, remedy)

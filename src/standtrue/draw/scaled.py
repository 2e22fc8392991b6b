"""A drawing to scale: from the site frame to millimetres on the sheet."""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from attrs import frozen
from shapely.geometry.base import BaseGeometry

from standtrue.draw.shapes import Area, Drawing, Shape
from standtrue.model.basics import Point
from standtrue.model.site import from_datum

Bounds = tuple[float, float, float, float]
"""Least x, least y, greatest x, greatest y."""


@frozen
class Paper:
    """From the site frame to millimetres on the sheet, y down, the datum's direction to the right."""

    drawing: Drawing
    k: float
    left: float
    top: float
    bounds: tuple[float, float, float, float]

    def at(self, point: Point) -> Point:
        x, y = from_datum(point, self.drawing.datum)
        return (self.left + (x - self.bounds[0]) * self.k, self.top + (self.bounds[3] - y) * self.k)

    def right(self, x_m: float) -> float:
        """Where a distance from the datum along its direction falls on the sheet."""
        return self.left + (x_m - self.bounds[0]) * self.k

    def down(self, y_m: float) -> float:
        return self.top + (self.bounds[3] - y_m) * self.k


def bounds_of(drawing: Drawing) -> tuple[float, float, float, float]:
    """What the shapes span in the datum's frame, metres."""
    points = [p for s in drawing.shapes for outer, _ in s.areas for p in outer]
    points.extend(p for s in drawing.shapes for line in s.lines for p in line)
    points.extend(p for s in drawing.shapes for p in s.spots)
    turned = [from_datum(p, drawing.datum) for p in points]
    xs, ys = [p[0] for p in turned], [p[1] for p in turned]
    return min(xs), min(ys), max(xs), max(ys)


def polygons(areas: Sequence[Area], paper: Paper) -> BaseGeometry:
    """Areas on the sheet, as one geometry."""
    return shapely.union_all(
        [
            shapely.Polygon([paper.at(p) for p in o], [[paper.at(p) for p in hole] for hole in holes])
            for o, holes in areas
        ]
    )


def footprint(shape: Shape, paper: Paper) -> BaseGeometry:
    """What a shape covers on the sheet: its areas, and its lines and spots with their width."""
    parts = [polygons(shape.areas, paper)]
    parts.extend(shapely.LineString([paper.at(p) for p in line]).buffer(0.6) for line in shape.lines)
    parts.extend(shapely.Point(paper.at(p)).buffer(1.6) for p in shape.spots)
    return shapely.union_all(parts)

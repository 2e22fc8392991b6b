"""The near view of a move: what of a site's drawing lies about it, where the move is small against the site."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import shapely
from attrs import evolve
from shapely.geometry.base import BaseGeometry

from standtrue.draw.shapes import Area, Shape, areas_of
from standtrue.model.basics import Outline, Place, Point
from standtrue.model.site import Datum, from_datum
from standtrue.show.pictures.car import at_place

ABOUT_M = 1.5
"""How much is drawn round a move in a near view."""

SMALL = 0.5
"""A move is drawn near by where what is about it is less than this share of the site's drawing."""

Window = tuple[float, float, float, float]
"""Least right and up of the datum, greatest right and up, metres."""


def window_about(move: Iterable[Shape], whole: Iterable[Shape], datum: Datum) -> Window | None:
    """What a near view of a move shows; None where the whole drawing does as well."""
    x0, y0, x1, y1 = _bounds(move, datum)
    window = (x0 - ABOUT_M, y0 - ABOUT_M, x1 + ABOUT_M, y1 + ABOUT_M)
    a0, b0, a1, b1 = _bounds(whole, datum)
    seen = (max(window[0], a0), max(window[1], b0), min(window[2], a1), min(window[3], b1))
    return seen if (seen[2] - seen[0]) * (seen[3] - seen[1]) < SMALL * (a1 - a0) * (b1 - b0) else None


def cropped(shapes: Iterable[Shape], window: Window, datum: Datum) -> Iterator[Shape]:
    """What of the shapes lies in the window; a shape of which nothing does is left out."""
    x0, y0, x1, y1 = window
    origin = Place(*datum.at, datum.direction_rad)
    frame = shapely.Polygon(at_place(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), origin))
    shapely.prepare(frame)
    for shape in shapes:
        left = evolve(
            shape,
            areas=_areas(shape.areas, frame),
            lines=tuple(_lines(shape.lines, frame)),
            spots=tuple(p for p in shape.spots if frame.covers(shapely.Point(p))),
            room=_areas(shape.room, frame),
        )
        if left.areas or left.lines or left.spots:
            yield left if left.spots or not shape.spots else evolve(left, tag="", label="")


def _areas(areas: Sequence[Area], frame: BaseGeometry) -> tuple[Area, ...]:
    polygons = [shapely.Polygon(outer, holes) for outer, holes in areas]
    if all(frame.covers(one) for one in polygons):
        return tuple(areas)
    return areas_of(shapely.union_all([shapely.intersection(one, frame) for one in polygons]))


def _lines(lines: Sequence[Outline], frame: BaseGeometry) -> Iterator[Outline]:
    for line in lines:
        for part in shapely.get_parts(shapely.LineString(line).intersection(frame)):
            if part.geom_type == "LineString":
                yield tuple((float(x), float(y)) for x, y in shapely.get_coordinates(part))


def _bounds(shapes: Iterable[Shape], datum: Datum) -> Window:
    points: list[Point] = []
    for s in shapes:
        points.extend(p for outer, _ in s.areas for p in outer)
        points.extend(p for line in s.lines for p in line)
        points.extend(s.spots)
    xs, ys = zip(*(from_datum(p, datum) for p in points), strict=True)
    return min(xs), min(ys), max(xs), max(ys)

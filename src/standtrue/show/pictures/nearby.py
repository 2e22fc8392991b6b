"""The near view of a move: what of a site's drawing lies about it, where the move is small against the site."""

from __future__ import annotations

from collections.abc import Iterable

from standtrue.draw.near import clipped, conventional
from standtrue.draw.shapes import Shape
from standtrue.model.basics import Place, Point
from standtrue.model.site import Datum, from_datum
from standtrue.show.pictures.car import at_place

ABOUT_M = 1.5
"""How much is drawn round a move in a near view."""

SMALL = 0.15
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


def about(shapes: Iterable[Shape], window: Window, datum: Datum) -> tuple[Shape, ...]:
    """What of the shapes lies in the window. Of a bay the corners do, where its own are there."""
    x0, y0, x1, y1 = window
    origin = Place(*datum.at, datum.direction_rad)
    frame = at_place(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), origin)
    return clipped([part for s in shapes for part in (conventional(s) if s.role == "bay" else (s,))], frame)


def _bounds(shapes: Iterable[Shape], datum: Datum) -> Window:
    points: list[Point] = []
    for s in shapes:
        points.extend(p for outer, _ in s.areas for p in outer)
        points.extend(p for line in s.lines for p in line)
        points.extend(s.spots)
    xs, ys = zip(*(from_datum(p, datum) for p in points), strict=True)
    return min(xs), min(ys), max(xs), max(ys)

"""Hatching as lines and dots cut to a shape, so that it prints as sharply as everything else.

Patterns and shaders are turned into coarse pictures by some printers; lines are not.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from standtrue.draw.styles import Hatch
from standtrue.model.basics import Point

Strokes = tuple[tuple[Point, Point], ...]


def hatch_lines(shape: BaseGeometry, hatch: Hatch) -> Strokes:
    """The strokes of a hatch inside a shape, millimetres, y down. A dot is a stroke without length.

    Hatches of one kind share one grid, so that neighbors join.
    """
    if shape.is_empty:
        return ()
    angles = (hatch.angle_deg, hatch.angle_deg + 90.0) if hatch.cross else (hatch.angle_deg,)
    found = [stroke for angle in angles for stroke in _cut(shape, angle, hatch.spacing)]
    return tuple(_dots(found, hatch.spacing)) if hatch.dots else tuple(found)


def _cut(shape: BaseGeometry, angle_deg: float, spacing: float) -> Iterator[tuple[Point, Point]]:
    """Level lines through the shape turned by the angle (y is down, so a turn is clockwise), turned back."""
    level = affinity.rotate(shape, angle_deg, origin=(0, 0))
    x0, y0, x1, y1 = level.bounds
    rows = range(math.ceil(y0 / spacing), math.floor(y1 / spacing) + 1)
    lines = shapely.MultiLineString([((x0 - 1, r * spacing), (x1 + 1, r * spacing)) for r in rows])
    inside = affinity.rotate(level.intersection(lines), -angle_deg, origin=(0, 0))
    for part in shapely.get_parts(inside):
        if part.geom_type == "LineString" and part.length > 0.05:
            (ax, ay), *_, (bx, by) = part.coords
            yield (float(ax), float(ay)), (float(bx), float(by))


def _dots(strokes: list[tuple[Point, Point]], spacing: float) -> Iterator[tuple[Point, Point]]:
    """Dots along level strokes, every other row set between those of the last."""
    for (ax, ay), (bx, _) in strokes:
        left, right = min(ax, bx), max(ax, bx)
        shift = 0.5 * spacing if round(ay / spacing) % 2 else 0.0
        for i in range(math.ceil((left - shift) / spacing), math.floor((right - shift) / spacing) + 1):
            dot = (i * spacing + shift, ay)
            yield dot, dot

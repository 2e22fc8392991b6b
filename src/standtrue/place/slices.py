"""The region of positions that fit at one heading, as polygons."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from standtrue.model.basics import Outline
from standtrue.place.pairs import Pair, sides_asked
from standtrue.plane.kernels import lowest, minkowski_sum, turned_negative
from standtrue.plane.shapes import Convex

CONSERVATIVE_M = 1e-4
"""How far a gap's round corner may be replaced outward by a polygon."""

Bounds = tuple[float, float, float, float]
Polygons = tuple[tuple[Outline, tuple[Outline, ...]], ...]


def free_polygons(ways: Sequence[tuple[Sequence[Pair], Bounds]], heading_rad: float) -> Polygons:
    """Where the vehicle's origin may be at this heading, in any way: its origins less every pair's forbidden set.

    Gaps are inflated outward, so the region is conservative by at most 0.1 mm. With exit strips
    it is the union over the two sides.
    """
    free = [shapely.box(*origins).difference(taken) for pairs, origins in ways for taken in _taken(pairs, heading_rad)]
    whole = shapely.union_all(free)
    return tuple(
        (_ring(part.exterior), tuple(_ring(hole) for hole in part.interiors))
        for part in shapely.get_parts(whole)
        if part.geom_type == "Polygon" and part.area > 1e-12
    )


def _taken(pairs: Sequence[Pair], heading_rad: float) -> Iterator[BaseGeometry]:
    """What the pairs forbid, once for each exit strip that would do."""
    common = shapely.union_all([s for p in pairs if p.side is None for s in _forbidden(p, heading_rad)])
    for side in sides_asked(pairs):
        strip = [s for p in pairs if side is not None and p.side == side for s in _forbidden(p, heading_rad)]
        yield shapely.union_all([common, *strip])


def _forbidden(pair: Pair, heading_rad: float) -> list[BaseGeometry]:
    c, s = math.cos(heading_rad), math.sin(heading_rad)
    shapes = []
    for zone in pair.claim.pieces:
        turned = np.empty_like(zone)
        turned_negative(zone, 0, len(zone), c, s, turned)
        for thing in pair.pieces:
            grown = inflated(thing, pair.gap_m)
            total = np.empty((len(zone) + len(grown), 2))
            n = minkowski_sum(grown, 0, len(grown), lowest(grown, 0, len(grown)), turned, len(zone), total)
            shapes.append(shapely.Polygon(total[:n]))
    return shapes


def inflated(piece: Convex, gap_m: float) -> Convex:
    """The convex piece grown by `gap_m`, its round corners replaced outward by at most 0.1 mm."""
    if gap_m <= 0.0:
        return piece
    count = max(8, math.ceil(math.pi / math.acos(gap_m / (gap_m + CONSERVATIVE_M))))
    turns = 2 * math.pi * np.arange(count) / count
    disc = np.column_stack([np.cos(turns), np.sin(turns)]) * (gap_m / math.cos(math.pi / count))
    total = np.empty((len(piece) + count, 2))
    n = minkowski_sum(piece, 0, len(piece), lowest(piece, 0, len(piece)), disc, count, total)
    return total[:n].copy()


def _ring(ring: BaseGeometry) -> Outline:
    return tuple((float(x), float(y)) for x, y in shapely.get_coordinates(ring)[:-1])

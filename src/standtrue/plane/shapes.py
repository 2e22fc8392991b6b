"""Polygons made of convex pieces: overlays, decomposition, narrow strips.

Shapely does the general geometry here; the kernels only ever see convex pieces.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

Points = Sequence[tuple[float, float]]
Convex = NDArray[np.float64]
"""A convex polygon: vertices in counter-clockwise order, shape (n, 2), metres, not closed."""

GRID_M = 1e-9
"""Overlays snap to this grid, so that edges meant to coincide do."""

BEYOND_M = 100.0
"""How far the outside of a floor reaches: farther than any zone."""

SAGITTA_M = 1e-3
"""How far a polygon may stand out from the circle that it contains."""

SLIVER_M = 1e-6
"""Pieces thinner than this are rounding, not floor or void."""

KEPT = 2048
"""How many shapes made last are kept, for each operation: a site is resolved over and over with little changed."""


def circle_outline(x: float, y: float, radius: float) -> tuple[tuple[float, float], ...]:
    """A polygon that contains the circle and stands out from it by at most 1 mm, symmetric in x and y."""
    count = 4 * math.ceil(_segments(radius, 2 * math.pi) / 4)
    reach = radius / math.cos(math.pi / count)
    step = 2 * math.pi / count
    return tuple((x + reach * math.cos((i + 0.5) * step), y + reach * math.sin((i + 0.5) * step)) for i in range(count))


def sector_outline(inner: float, outer: float, start_rad: float, span_rad: float) -> tuple[tuple[float, float], ...]:
    """A polygon that contains the ring sector about the origin from one angle counter-clockwise over a span below 2 pi.

    The outer arc is circumscribed and the inner arc inscribed, each by at most 1 mm.
    """
    count = _segments(outer, span_rad)
    reach, step = outer / math.cos(span_rad / count / 2), span_rad / count
    outside = [_polar(outer, start_rad), *(_polar(reach, start_rad + (i + 0.5) * step) for i in range(count))]
    outside.append(_polar(outer, start_rad + span_rad))
    if inner == 0:
        return ((0.0, 0.0), *outside)
    count = _segments(inner, span_rad)
    inside = [_polar(inner, start_rad + span_rad - i * span_rad / count) for i in range(count + 1)]
    return (*outside, *inside)


def _segments(radius: float, span: float) -> int:
    """How many chords or tangents keep within 1 mm of an arc, never fewer than 12 to the full circle."""
    most = 2 * math.acos(radius / (radius + SAGITTA_M))
    return max(math.ceil(span / most), math.ceil(span / (math.pi / 6)), 1)


def _polar(radius: float, angle_rad: float) -> tuple[float, float]:
    return (radius * math.cos(angle_rad), radius * math.sin(angle_rad))


def polygon(outline: Points) -> BaseGeometry:
    """The shapely polygon of an outline."""
    return shapely.Polygon(outline)


def union(shapes: Iterable[BaseGeometry]) -> BaseGeometry:
    return _union(tuple(shapes))


@lru_cache(KEPT)
def _union(shapes: tuple[BaseGeometry, ...]) -> BaseGeometry:
    if len(shapes) == 1:
        return shapes[0]  # as it is written, off the grid
    return shapely.union_all([_sound(shape) for shape in shapes], grid_size=GRID_M)


@lru_cache(KEPT)
def difference(shape: BaseGeometry, cut: BaseGeometry) -> BaseGeometry:
    """`shape` less `cut`, on the overlay grid, without slivers."""
    return _without_slivers(shapely.difference(_sound(shape), _sound(cut), grid_size=GRID_M))


@lru_cache(KEPT)
def intersection(shape: BaseGeometry, other: BaseGeometry) -> BaseGeometry:
    """What both share, on the overlay grid, without slivers."""
    return _without_slivers(shapely.intersection(_sound(shape), _sound(other), grid_size=GRID_M))


def _sound(shape: BaseGeometry) -> BaseGeometry:
    """The same area as polygons that do not cross themselves. With corners that lie nearer to each other than rounding
    one may, by as little: an overlay then fails, or gives an area that is wrong altogether."""
    if shapely.is_valid(shape):
        return shape
    return _without_slivers(shapely.make_valid(shape, method="structure", keep_collapsed=False))


def _without_slivers(shape: BaseGeometry) -> BaseGeometry:
    """The polygons of an overlay's result: lines, points and slivers are rounding."""
    kept = [p for p in shapely.get_parts(shape) if p.geom_type == "Polygon" and _thickness(p) > SLIVER_M]
    return shapely.MultiPolygon(kept)


@lru_cache(KEPT)
def without_strips(shape: BaseGeometry, width: float) -> BaseGeometry:
    """`shape` less the strips of it that are narrower than `width` metres.

    A morphological opening with square corners, so that a corner wider than the strip stays whole.
    """
    if width <= 0.0 or shape.is_empty:
        return shape
    half = width / 2 * (1 - 1e-6)
    shrunk = shape.buffer(-half, join_style="mitre", mitre_limit=20.0)
    opened = shrunk.buffer(half * (1 + 1e-9), join_style="mitre", mitre_limit=20.0)
    return intersection(opened, shape)


@lru_cache(KEPT)
def outside(shape: BaseGeometry) -> BaseGeometry:
    """Everything outside `shape`, as far as BEYOND_M from its bounds."""
    x0, y0, x1, y1 = shape.bounds
    room = shapely.box(x0 - BEYOND_M, y0 - BEYOND_M, x1 + BEYOND_M, y1 + BEYOND_M)
    if isinstance(shape, shapely.Polygon) and not len(shape.interiors):
        return shapely.Polygon(room.exterior, [shape.exterior])  # its edges as they are written, off the grid
    return difference(room, shape)


@lru_cache(KEPT)
def pieces_outside(shape: BaseGeometry) -> tuple[Convex, ...]:
    """Convex polygons that together are everything outside `shape`, as far as BEYOND_M from its hull.

    A long rectangle along every edge of the convex hull, and the pieces of what the hull has more than the shape.
    They may overlap; few and large ones serve the kernels best.
    """
    hull = shapely.orient_polygons(shapely.convex_hull(shape))
    ring = shapely.get_coordinates(hull.exterior)
    slabs: list[Convex] = []
    for start, end in pairwise(ring):
        along = (end - start) / np.hypot(*(end - start))
        out = np.array([along[1], -along[0]]) * BEYOND_M
        first, last = start - along * BEYOND_M, end + along * BEYOND_M
        slabs.append(np.ascontiguousarray([first, first + out, last + out, last]))
    return (*slabs, *convex_pieces(difference(hull, shape)))


@lru_cache(KEPT)
def convex_pieces(shape: BaseGeometry) -> tuple[Convex, ...]:
    """Convex polygons that together are `shape`: its constrained Delaunay triangles, joined greedily."""
    pieces: list[Convex] = []
    for part in shapely.get_parts(shape):
        if part.geom_type != "Polygon" or part.area <= 0.0:
            continue
        ring = shapely.get_coordinates(shapely.orient_polygons(part).exterior)[:-1]
        if not len(part.interiors) and _is_convex(ring):
            pieces.append(_tidy(ring))
            continue
        triangles = shapely.get_parts(shapely.constrained_delaunay_triangles(part))
        rings = [shapely.get_coordinates(shapely.orient_polygons(t).exterior)[:-1] for t in triangles if t.area > 0.0]
        pieces.extend(_tidy(np.asarray(r)) for r in _join([[(float(x), float(y)) for x, y in r] for r in rings]))
    return tuple(pieces)


def _join(rings: list[list[tuple[float, float]]]) -> list[list[tuple[float, float]]]:
    """Remove shared diagonals while both sides joined stay convex (Hertel and Mehlhorn 1983)."""
    alive = dict(enumerate(rings))
    owner: dict[tuple[tuple[float, float], tuple[float, float]], int] = {}
    for index, ring in alive.items():
        for i, start in enumerate(ring):
            owner[start, ring[(i + 1) % len(ring)]] = index
    for start, end in sorted(owner, key=lambda e: -math.dist(*e)):
        one, two = owner.get((start, end)), owner.get((end, start))
        if one is None or two is None or one == two:
            continue
        first, second = alive[one], alive[two]
        i, j = first.index(end), second.index(start)
        joined = first[i:] + first[:i]
        joined = joined + (second[j + 1 :] + second[:j])[:-1]
        if not _is_convex(np.asarray(joined)):
            continue
        alive[one] = joined
        del alive[two], owner[start, end], owner[end, start]
        for k, point in enumerate(joined):
            owner[point, joined[(k + 1) % len(joined)]] = one
    return list(alive.values())


def _tidy(ring: NDArray[np.float64]) -> Convex:
    """The ring without repeated and collinear points."""
    before, after = np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0)
    cross = _cross(ring - before, after - ring)
    scale = np.hypot(*(ring - before).T) * np.hypot(*(after - ring).T)
    kept = ring[cross > 1e-12 * scale]
    return np.ascontiguousarray(kept if len(kept) >= 3 else ring, dtype=np.float64)


def _cross(a: NDArray[np.float64], b: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0], dtype=np.float64)


def _is_convex(ring: NDArray[np.float64]) -> bool:
    one, two = ring - np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0) - ring
    scale = np.hypot(*one.T) * np.hypot(*two.T)
    return bool(np.all(_cross(one, two) >= -1e-12 * scale))


def _thickness(part: BaseGeometry) -> float:
    x0, y0, x1, y1 = part.bounds
    return float(part.area / max(math.hypot(x1 - x0, y1 - y0), 1e-12))

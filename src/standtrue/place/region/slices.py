"""The region of positions that fit, heading by heading, as polygons."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from attrs import frozen
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standtrue.model.basics import Outline
from standtrue.place.kernels.outline import ROUNDED_M, SliceProblem
from standtrue.place.kernels.rings import Rings, free_rings
from standtrue.place.margin.pairs import Pair, exit_sides
from standtrue.plane.kernels import lowest, minkowski_sum
from standtrue.plane.shapes import Convex

MOST_OPTIONS = 62

Bounds = tuple[float, float, float, float]
Polygons = tuple[tuple[Outline, tuple[Outline, ...]], ...]


@frozen(eq=False)
class Packed:
    """The pairs of some ways, packed for any number of headings."""

    problem: SliceProblem
    options: int


def free_polygons(ways: Sequence[tuple[Sequence[Pair], Bounds]], headings_rad: Sequence[float]) -> tuple[Polygons, ...]:
    """Where the vehicle's origin may be at each heading, in any of the ways: pairs, and bounds of the origin.

    With exit strips it is the union over the two sides. Outer rings run counter-clockwise, holes clockwise. Gaps'
    round corners are replaced outward, so the region is conservative by at most 0.1 mm; everything else is exact to
    1e-9 m, by which a stance may fall short of fitting. So a slot that the car just fits is told, 2e-9 m wide.
    """
    found = [_polygons(packed, headings_rad) for packed in packed_ways(ways)]
    if len(found) == 1:
        return found[0]
    return tuple(_union(parts) for parts in zip(*found, strict=True)) if found else ((),) * len(headings_rad)


def packed_ways(ways: Sequence[tuple[Sequence[Pair], Bounds]]) -> Iterator[Packed]:
    """Everything that the ways forbid; in one lot unless there are more options than bits in a number."""
    options = [(pairs, origins, side) for pairs, origins in ways for side in exit_sides(pairs)]
    for start in range(0, len(options), MOST_OPTIONS):
        yield _pack(options[start : start + MOST_OPTIONS])


def _pack(options: Sequence[tuple[Sequence[Pair], Bounds, str | None]]) -> Packed:
    """Ways share most pairs: the same claim, thing and gap is packed once for all options that have it."""
    zones: list[Convex] = []
    things: list[Convex] = []
    zone_index: dict[int, range] = {}
    thing_index: dict[int, range] = {}
    found: dict[tuple[int, int, float], int] = {}
    for number, (pairs, _, side) in enumerate(options):
        for pair in pairs:
            if pair.side is not None and pair.side != side:
                continue
            claim, pieces = pair.claim.pieces, pair.pieces
            key = id(claim), id(pieces), pair.gap_m
            if key[0] not in zone_index:
                zone_index[key[0]] = range(len(zones), len(zones) + len(claim))
                zones.extend(claim)
            if key[1] not in thing_index:
                thing_index[key[1]] = range(len(things), len(things) + len(pieces))
                things.extend(pieces)
            found[key] = found.get(key, 0) | 1 << number
    packed = [(z, t, gap, mask) for (c, p, gap), mask in found.items() for z in zone_index[c] for t in thing_index[p]]
    packed.sort(key=lambda row: row[1])
    rows = np.array([row[:2] for row in packed], dtype=np.int64).reshape(-1, 2)
    domains = np.array([origins for _, origins, _ in options])
    middle = (domains[:, :2].min(axis=0) + domains[:, 2:].max(axis=0)) / 2
    problem = SliceProblem(
        _joined(zones),
        _offsets(zones),
        _joined(things) - middle,
        _offsets(things),
        rows,
        np.argsort(-_sizes(zones)[rows[:, 0]] * _sizes(things)[rows[:, 1]], kind="stable"),
        np.array([row[2] for row in packed], dtype=np.float64),
        np.array([row[3] for row in packed], dtype=np.int64),
        domains - np.tile(middle, 2),
        np.array([1 << i for i in range(len(options))], dtype=np.int64),
        middle,
    )
    return Packed(problem, len(options))


def _joined(pieces: Sequence[Convex]) -> Convex:
    return np.concatenate([np.empty((0, 2)), *pieces])


def _offsets(pieces: Sequence[Convex]) -> NDArray[np.int64]:
    return np.cumsum([0, *map(len, pieces)], dtype=np.int64)


def _sizes(pieces: Sequence[Convex]) -> NDArray[np.float64]:
    """How large each piece is, roughly: what is large hides much of the others."""
    points, starts = _joined(pieces), _offsets(pieces)[:-1]
    spans = np.maximum.reduceat(points, starts) - np.minimum.reduceat(points, starts)
    return np.asarray((spans[:, 0] + 1.0) * (spans[:, 1] + 1.0))


def _polygons(packed: Packed, headings_rad: Sequence[float]) -> tuple[Polygons, ...]:
    rings, _ = free_rings(packed.problem, np.array(headings_rad, dtype=np.float64), packed.options)
    return _nested(rings, len(headings_rad))


def _nested(rings: Rings, count: int) -> tuple[Polygons, ...]:
    """The rings of each heading as polygons: every outer ring with its holes."""
    points = list(map(tuple, rings.points.tolist()))
    at, parents = rings.at.tolist(), rings.parent.tolist()
    found: list[list[tuple[Outline, list[Outline]]]] = [[] for _ in range(count)]
    outers: dict[int, list[Outline]] = {}
    for i, heading in enumerate(rings.heading.tolist()):
        if parents[i] < 0:
            if at[i] == at[i + 1]:
                raise ArithmeticError(f"the region at heading number {heading} does not close")
            outers[i] = []
            found[heading].append((tuple(points[at[i] : at[i + 1]]), outers[i]))
    for i, parent in enumerate(parents):
        if parent >= 0:
            outers[parent].append(tuple(points[at[i] : at[i + 1]]))
    return tuple(tuple((outer, tuple(holes)) for outer, holes in parts) for parts in found)


def _union(parts: Sequence[Polygons]) -> Polygons:
    """The union of what several lots of options leave free."""
    whole = shapely.union_all([shapely.Polygon(outer, holes) for lot in parts for outer, holes in lot])
    return tuple(
        (_ring(part.exterior), tuple(_ring(hole) for hole in part.interiors))
        for part in shapely.get_parts(shapely.orient_polygons(whole))
    )


def _ring(ring: BaseGeometry) -> Outline:
    return tuple((float(x), float(y)) for x, y in shapely.get_coordinates(ring)[:-1])


def inflated(piece: Convex, gap_m: float) -> Convex:
    """The convex piece grown by `gap_m`, its round corners replaced outward by at most 0.1 mm."""
    if gap_m <= 0.0:
        return piece
    count = max(8, math.ceil(math.pi / math.acos(gap_m / (gap_m + ROUNDED_M))))
    turns = 2 * math.pi * np.arange(count) / count
    disc = np.column_stack([np.cos(turns), np.sin(turns)]) * (gap_m / math.cos(math.pi / count))
    total = np.empty((len(piece) + count, 2))
    n = minkowski_sum(piece, 0, len(piece), lowest(piece, 0, len(piece)), disc, count, total)
    return total[:n].copy()

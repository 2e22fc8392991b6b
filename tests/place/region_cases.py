"""Random rooms on a coarse grid, full of edges that coincide, and the region by general geometry.

The oracle shares no code with the engine: the hull of all sums of corners, rounded by shapely, joined by shapely.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely
from attrs import frozen

from standtrue.model.basics import Outline, Side
from standtrue.model.reason import Ref
from standtrue.place.margin.pairs import Pair
from standtrue.place.question.claims import Claim, claim
from standtrue.place.region.slices import Polygons
from standtrue.plane.shapes import convex_pieces, outside, pieces_outside, polygon

Bounds = tuple[float, float, float, float]
Way = tuple[Sequence[Pair], Bounds]
Geometry = Any

ROUNDED_M = 1e-4
"""How far a gap's round corner may be replaced outward."""


def box(x0: float, y0: float, x1: float, y1: float) -> Outline:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def claimed(outline: Outline, side: Side | None = None) -> Claim:
    return claim(Ref("claim"), "exit" if side else "body", "clear", outline, 0.0, 1.0, side)


def against(claim: Claim, outline: Outline, gap_m: float = 0.0) -> Pair:
    """A claim and a solid thing."""
    shape = polygon(outline)
    return Pair(claim, Ref("thing"), "obstacle", shape, convex_pieces(shape), gap_m)


def within(claim: Claim, outline: Outline, gap_m: float = 0.0) -> Pair:
    """A claim and everything outside an outline."""
    shape = polygon(outline)
    return Pair(claim, Ref("wall"), "wall", outside(shape), pieces_outside(shape), gap_m)


def joined(polygons: Polygons) -> Geometry:
    return shapely.union_all([shapely.Polygon(outer, holes) for outer, holes in polygons])


def free(ways: Sequence[Way], heading: float) -> Geometry:
    """What is free in any way, with any of its exit strips."""
    found = []
    for pairs, origins in ways:
        sides: set[Side | None] = {p.side for p in pairs if p.side}
        for side in sides or {None}:
            asked = [p for p in pairs if p.side in (None, side)]
            taken = shapely.union_all([s for p in asked for s in _forbidden(p, heading)])
            found.append(shapely.difference(shapely.box(*origins), taken))
    return shapely.union_all(found)


def _forbidden(pair: Pair, heading: float) -> list[Geometry]:
    c, s = math.cos(heading), math.sin(heading)
    turn = np.array([[c, s], [-s, c]])
    sums = []
    for zone in pair.claim.pieces:
        for thing in pair.pieces:
            corners = (thing[:, None] - (zone @ turn)[None]).reshape(-1, 2)
            hull = shapely.MultiPoint(corners).convex_hull
            sums.append(shapely.buffer(hull, pair.gap_m, quad_segs=128) if pair.gap_m else hull)
    return sums


def complaints(told: Polygons, ways: Sequence[Way], heading: float) -> list[str]:
    """What the oracle holds against one region."""
    wrong = []
    shapes = [shapely.Polygon(outer, holes) for outer, holes in told]
    if not all(p.is_valid and p.exterior.is_ccw and not any(h.is_ccw for h in p.interiors) for p in shapes):
        wrong.append("a polygon is not valid, or runs the wrong way round")
    mine, right = joined(told), free(ways, heading)
    around = mine.length + right.length
    gap = max(p.gap_m for pairs, _ in ways for p in pairs)
    over, under = shapely.difference(mine, right).area, shapely.difference(right, mine).area
    if over > around * (3e-9 + 2e-5 * gap) + 1e-9:
        wrong.append(f"{over} m2 too much")
    if under > around * (3e-9 + (ROUNDED_M if gap else 0.0)) + 1e-9:
        wrong.append(f"{under} m2 too little")
    return wrong


@frozen(eq=False)
class Case:
    ways: tuple[Way, ...]
    headings: tuple[float, ...]


def make(seed: int) -> Case:
    """One way, sometimes two or three with bounds of their own that share pairs."""
    rng = np.random.default_rng(seed)
    ways = [_way(rng)]
    if rng.random() < 0.25:
        ways.append(_way(rng))
        if rng.random() < 0.5:
            ways.append(([*ways[1][0][1:], *ways[0][0][:3]], ways[1][1]))
    near = float(rng.choice([math.pi, math.pi / 4, 1e-9, 1e-12, -1e-6, math.pi / 2 + 1e-7]))
    return Case(tuple(w for w in ways if w[0]), (0.0, math.pi / 2, float(rng.uniform(0, 6)), near))


def _way(rng: np.random.Generator) -> Way:
    grid = float(rng.choice([0.1, 0.25, 0.5, 1.0])) if rng.random() < 0.75 else 1e-3

    def some(low: float, high: float) -> float:
        return float(np.round(rng.uniform(low, high) / grid) * grid)

    wide, deep = some(4, 13), some(4, 11)
    x, y = some(0.5 * wide, 0.9 * wide), some(0.5 * deep, 0.9 * deep)
    notched: Outline = ((0, 0), (wide, 0), (wide, y), (x, y), (x, deep), (0, deep))
    room = notched if rng.random() < 0.5 and x < wide and y < deep else box(0, 0, wide, deep)
    length, width = some(1, 4) + grid, some(0.5, 2) + grid
    rear = some(0.2, 0.4 * length)
    claims = [claimed(box(-rear, -width / 2, length - rear, width / 2))]
    claims += [claimed(_shape(rng, some(-1, 3), some(-1, 1), grid)) for _ in range(rng.integers(0, 5))]
    if rng.random() < 0.5:
        claims.append(claimed(box(0, width / 2, grid + 1, width / 2 + 0.5), "left"))
        claims.append(claimed(box(0, -width / 2 - 0.5, grid + 1, -width / 2), "right"))
    things = [_shape(rng, some(0, wide), some(0, deep), grid) for _ in range(rng.integers(0, 9))]
    gaps = [0.0, 0.0, 0.05, float(rng.choice([0.01, 0.1, 0.5, 1.0]))] if rng.random() < 0.5 else [0.0]
    pairs = []
    for c in claims:
        gap = float(rng.choice(gaps))
        pairs += [within(c, room, gap)] if rng.random() < 0.9 else []
        pairs += [against(c, t, gap) for t in things if rng.random() < 0.85]
        pairs += [within(c, box(1, 1, 4, 3), gap)] if rng.random() < 0.05 else []
    return pairs, (0.0, 0.0, wide, deep)


def _shape(rng: np.random.Generator, x: float, y: float, grid: float) -> Outline:
    """A box, an L, a triangle or a hull, its corners on the grid but for the hull's."""
    a, b = (float(np.round(rng.uniform(0.2, 2.0) / grid) * grid) + grid for _ in range(2))
    kind = rng.random()
    if kind < 0.6:
        return box(x, y, x + a, y + b)
    if kind < 0.8:
        return ((x, y), (x + 2 * a, y), (x + 2 * a, y + b), (x + a, y + b), (x + a, y + 2 * b), (x, y + 2 * b))
    if kind < 0.9:
        return ((x, y), (x + a, y), (x, y + b))
    turns = np.linspace(0.0, math.tau, 7, endpoint=False) + rng.uniform(0.0, 0.8, 7)
    return tuple((float(x + a * math.cos(t)), float(y + b * math.sin(t))) for t in turns)

"""Regions, measured beside Minkowski sums joined by general geometry and beside a grid of positions, in one run."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import partial

import numpy as np
import shapely

from benchmarks.place import Row, asked_of, grid_fits, timed, way_of
from standtrue.place.margin.pairs import Pair, exit_sides
from standtrue.place.margin.ways import Way, ways
from standtrue.place.region.slices import free_polygons, inflated
from standtrue.plane.kernels import Array, lowest, minkowski_sum, turned_negative

HEADINGS = tuple(math.radians(5 * i) for i in range(72))
SAMPLED = 9
"""Of the 72 headings, how many the grid is measured on: it takes as long for each."""


def joined_sums(pairs: Sequence[Pair], origins: tuple[float, float, float, float], heading_rad: float) -> float:
    """The area that is free at a heading, by Minkowski sums joined by shapely."""
    taken = {
        side: [shapely.Polygon(s) for p in pairs if p.side == side for s in sums_at(p, heading_rad)]
        for side in (None, "left", "right")
    }
    common = shapely.union_all(taken[None])
    free = [
        shapely.box(*origins).difference(shapely.union_all([common, *(taken[side] if side else [])]))
        for side in exit_sides(pairs)
    ]
    return float(shapely.union_all(free).area)


def sums_at(pair: Pair, heading_rad: float) -> list[Array]:
    """The polygons of positions that a pair forbids at a heading."""
    c, s = math.cos(heading_rad), math.sin(heading_rad)
    found = []
    for zone in pair.claim.pieces:
        turned = np.empty_like(zone)
        turned_negative(zone, 0, len(zone), c, s, turned)
        for thing in pair.pieces:
            grown = inflated(thing, pair.gap_m)
            total = np.empty((len(zone) + len(grown), 2))
            n = minkowski_sum(grown, 0, len(grown), lowest(grown, 0, len(grown)), turned, len(zone), total)
            found.append(total[:n])
    return found


def spent(way: Way) -> float:
    """Seconds for the polygons of all headings, packing of the pairs included."""
    return timed(lambda: free_polygons([(way.pairs, way.origins)], HEADINGS), 9)


def way_with(seed: int, things: int, zones: int) -> Way:
    """A stance on a floor of about 14 x 14 m for a card of so many different zones."""
    return next(ways(asked_of(seed, things, zones), (), []))


def _sums(way: Way) -> list[float]:
    """The free area at every heading."""
    return [joined_sums(way.pairs, way.origins, heading) for heading in HEADINGS]


def region_rows() -> list[Row]:
    rows = []
    for seed, things, size in ((1, 7, (9.0, 6.0)), (3, 25, (14.0, 14.0))):
        way = way_of(seed, things, size)
        free_polygons([(way.pairs, way.origins)], HEADINGS)
        ours = spent(way)
        sums = timed(partial(_sums, way), 2)
        label = f"region, 72 headings, {size[0]:.0f} x {size[1]:.0f} m, {things} things"
        rows += [
            (label, f"{1e3 * ours:.2f} ms"),
            ("the same by Minkowski sums joined by shapely", f"{1e3 * sums:.0f} ms: {sums / ours:.0f} times as long"),
        ]
        if things < 10:
            gridded = timed(partial(grid_fits, way.pairs, way.origins, 0.05, 360.0 / SAMPLED), 1)
            gridded *= len(HEADINGS) / SAMPLED
            told = f"{gridded:.1f} s ({SAMPLED} headings measured, scaled to 72): {gridded / ours:,.0f} times as long"
            rows.append(("the same by a 5 cm, 5 degree grid (shapely)", told))
    return rows


def region_curves() -> dict[str, list[tuple[int, float]]]:
    """Seconds for 72 headings by the number of things and of zones, on floors of about 14 x 14 m."""
    things = [(n, float(np.mean([spent(way_with(seed, n, 5)) for seed in range(3)]))) for n in (5, 10, 20, 40, 80)]
    zones = [(n, float(np.mean([spent(way_with(seed, 25, n)) for seed in range(3)]))) for n in (1, 2, 5, 10, 20)]
    return {"region of 72 headings, by things": things, "region of 72 headings, by zones": zones}

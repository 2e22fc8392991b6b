"""Place, measured beside the alternatives a user would pick, in one run, as ratios."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Sequence

import numpy as np
import shapely

from benchmarks.rooms import case
from standtrue.place.decide import decide
from standtrue.place.engine import best_stance
from standtrue.place.pairs import Pair, pack
from standtrue.place.search import search
from standtrue.place.sweep import sweep
from standtrue.place.ways import Question, Way, ways

Row = tuple[str, str]


def timed(work: Callable[[], object], repeat: int = 3) -> float:
    """Seconds, the least of several runs."""
    least = math.inf
    for _ in range(repeat):
        begun = time.perf_counter()
        work()
        least = min(least, time.perf_counter() - begun)
    return least


def way_of(seed: int, things: int = 7, size: tuple[float, float] = (9.0, 6.0)) -> Way:
    grounds, car, card = case(seed, things, size)
    return next(ways(Question(grounds, car, (card,), "floor"), (), []))


def grid_fits(pairs: Sequence[Pair], origins: tuple[float, float, float, float], step_m: float, step_deg: float) -> int:
    """How many stances of a grid fit, by general geometry: the spreadsheet way."""
    x0, y0, x1, y1 = origins
    xs, ys = np.arange(x0, x1, step_m), np.arange(y0, y1, step_m)
    grid = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)
    fitting = 0
    for heading in np.arange(0.0, 360.0, step_deg):
        c, s = math.cos(math.radians(heading)), math.sin(math.radians(heading))
        left = grid
        for pair in pairs:
            if pair.side == "right" or not len(left):
                continue
            zone = np.array(pair.claim.outline) @ np.array([[c, s], [-s, c]])
            shapes = shapely.polygons(zone[None] + left[:, None])
            shapely.prepare(pair.shape)
            left = left[shapely.distance(shapes, pair.shape) >= max(pair.gap_m, 1e-9)]
        fitting += len(left)
    return fitting


def by_boxes(way: Way) -> bool:
    packed = pack(way.pairs, way.origins, "either", axis_rad=way.axis_rad)
    return search(packed, any_fit=True).margin_m >= 0.0


def any_fit_rows() -> list[Row]:
    found = [way_of(seed) for seed in range(200)]
    packed = [(w, pack(w.pairs, w.origins, "either", axis_rad=w.axis_rad)) for w in found]
    ready = [(p.problem, np.array(p.domain)) for _, p in packed]
    verdicts = [sweep(*r, 20_000)[0] for r in ready]
    swept = timed(lambda: [sweep(*r, 20_000) for r in ready]) / len(ready)
    whole = timed(lambda: [decide(w.packed()) for w in found], 1) / len(found)
    boxes = timed(lambda: list(map(by_boxes, found)), 1) / len(found)
    gridded = timed(lambda: grid_fits(found[0].pairs, found[0].origins, 0.05, 5.0), 1)
    return [
        ("any-fit, hard cases that do not fit", f"{100 * verdicts.count(0) / len(verdicts):.0f} %"),
        ("any-fit, undecided", f"{verdicts.count(-1)} of {len(verdicts)}"),
        ("any-fit, packed, one core", f"{1e6 * swept:.0f} us ({1 / swept:,.0f} a second)"),
        ("any-fit, packing included", f"{1e6 * whole:.0f} us"),
        ("the same by boxes (the search)", f"{1e6 * boxes:.0f} us: {boxes / whole:.0f} times as long"),
        ("the same by a 5 cm, 5 degree grid (shapely)", f"{gridded:.1f} s: {gridded / whole:,.0f} times as long"),
    ]


def best_rows() -> list[Row]:
    rows = []
    for things, size in ((7, (9.0, 6.0)), (25, (14.0, 14.0))):
        times = []
        for seed in range(10):
            grounds, car, card = case(seed, things, size)
            grounds.at_rest()
            times.append(timed(lambda g=grounds, v=car, c=card: best_stance(g, v, [c], "floor")))  # type: ignore[misc]
        label = f"best stance, ten rooms of about {size[0]:.0f} x {size[1]:.0f} m, {things} things"
        rows.append((label, f"{1e3 * np.mean(times):.0f} ms mean, {1e3 * max(times):.0f} ms worst"))
    return rows


def scaling_rows() -> list[Row]:
    rows = []
    for things in (5, 10, 20, 40, 80):
        grounds, car, card = case(3, things, (14.0, 14.0))
        grounds.at_rest()
        spent = timed(lambda g=grounds, v=car, c=card: best_stance(g, v, [c], "floor"))  # type: ignore[misc]
        rows.append((f"best stance, 14 x 14 m, {things} things", f"{1e3 * spent:.0f} ms"))
    return rows


def measure() -> list[Row]:
    """Every figure. Warm first: compiling is no part of it."""
    from benchmarks.place_region import region_rows  # it measures with what stands here

    best_stance(*case(0)[:2], [case(0)[2]], "floor")
    decide(way_of(0).packed())
    return [*any_fit_rows(), *region_rows(), *best_rows(), *scaling_rows()]

"""Plan a path between poses among polygons: several resolutions, then polishing. The public low level of `drive`."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence
from typing import Literal

import numpy as np
import shapely
from attrs import evolve, frozen

from standtrue.drive.barrier import Barrier, find_barrier
from standtrue.drive.certify import kept_gaps
from standtrue.drive.field import Grid, cell_at, distances, grid_for
from standtrue.drive.flood import PARTED, boxes_for, flood
from standtrue.drive.gates import find_gates
from standtrue.drive.joins import Ask, path_seconds, shorten
from standtrue.drive.motion import gear_of
from standtrue.drive.repeated import repeated_s
from standtrue.drive.search import EXHAUSTED, SOLVED, Effort, search
from standtrue.drive.stones import chain
from standtrue.drive.symmetry import answered_form, as_asked
from standtrue.drive.world import Ints, Packed, Part, Solid, World, pack
from standtrue.model.basics import Outline
from standtrue.plane.kernels import Array
from standtrue.plane.shapes import Convex, convex_pieces, polygon

Pose = tuple[float, float, float]
Ended = Literal["solved", "exhausted", "gave up"]


@frozen(eq=False)
class Found:
    """A path as rows (u, v, w, travel) from `start`, or why there is none.

    `cell_m` is the finest resolution that was searched, to the end or to its limit; `nodes` are those of all searches
    that found nothing. `blockers` says what
    stopped the search how often. It is proven that there is no way if `parted` (no body of this shape gets through,
    however it moves) or with a `barrier` (headings that the car cannot turn through).
    """

    ended: Ended
    start: Pose | None
    path: Array
    seconds: float
    cell_m: float
    nodes: int
    blockers: tuple[tuple[str, int], ...] = ()
    barrier: Barrier | None = None
    parted: bool = False

    @property
    def proven(self) -> bool:
        """Whether there is no way at all, at any resolution."""
        return self.parted or self.barrier is not None

    @property
    def shunts(self) -> int:
        return shunts_of(self.path)


def shunts_of(path: Array) -> int:
    """How often the direction of travel changes."""
    gears = [g for row in path if (g := gear_of(row[0], row[1])) != 0]
    return sum(a != b for a, b in itertools.pairwise(gears))


LEVELS = (
    Effort(0.4, math.radians(10.0), 1.6, 10_000, 1.4, 6, 1.0),
    Effort(0.8, math.radians(15.0), 1.6, 20_000, 1.3, 6, 1.0),
    Effort(0.4, math.radians(10.0), 1.6, 25_000, 1.3, 6, 4.0),
    Effort(0.4, math.radians(6.0), 1.6, 60_000, 1.3, 6, 1.0),
    Effort(0.4, math.radians(6.0), 1.6, 150_000, 1.2, 6, 3.0),
    Effort(0.2, math.radians(4.0), 1.6, 120_000, 1.2, 6, 2.0),
    Effort(0.1, math.radians(3.0), 1.6, 80_000, 1.2, 6, 2.0),
    Effort(0.05, math.radians(1.5), 1.6, 60_000, 1.2, 6, 2.0),
)
"""One after another until a way is found: a coarse search that finds one is quick; where it is tight, only a fine one
does."""

SAME = 1e-9
"""Poses nearer than this, meters and radians, are one."""

KEEP_M = 2e-5
"""So much more than its gaps a path keeps, if its ends do."""

TIGHT = 2
"""The level with the finest cells where the car touches its gaps."""

FINER = 4
"""How much finer the grid is that proves that there is no way."""

STEP_CELLS = 1.6
"""How many cells long one step is."""

CUT_M = 0.7
"""How far apart the poses are between which a path is shortened."""

FLOODS = ((0.2, 72), (0.1, 120), (0.05, 180))
"""Edges of the boxes, metres, and how many go round the circle, where a way is shown not to exist."""
MOST_BOXES = 60_000_000
MOST_FLOODED = 300_000

LEAST_TURN_RAD = math.radians(10.0)
"""Between headings nearer than this no barrier is looked for."""

STONES_AFTER = 4
"""After which level stepping stones are tried."""

STONE_LEVELS = (LEVELS[0]._replace(most=5_000), LEVELS[TIGHT]._replace(most=10_000))
"""How hard the legs between stepping stones are searched for."""

FEW_PAIRS = 150
"""With so few pairs a proof that there is no way is quicker than a search."""

BETTER_NODES = 1_500
"""How many more nodes a way already found is worth."""


SPECK_M = 1e-6
"""How large a point is taken to be."""

ROUND_M = 8.0
"""How far round all that is named a car may go where no bounds are given."""


def car_moves(radius_m: float, step_m: float, gently: bool = False) -> Array:
    """Forward and in reverse: straight on, half lock and full lock either way; `gently`, a little lock too.

    Close along a wall a car can only leave it gently: at more lock its tail would swing into it.
    """
    lock = 1.0 / radius_m
    shares = (0.0, 1.0, -1.0, 0.4, -0.4, 0.12, -0.12) if gently else (0.0, 1.0, -1.0, 0.5, -0.5)
    curves = [share * lock for share in shares]
    return np.array([(gear, 0.0, gear * k, step_m) for gear in (1.0, -1.0) for k in curves])


def skate_moves(ask: Ask, step_m: float) -> Array:
    """Eight slides, and a turn either way about the pivot."""
    slides = [(math.cos(a), math.sin(a), 0.0, step_m) for a in np.arange(8) * math.pi / 4]
    turns = [(0.0, -rate * ask.pivot, rate, step_m) for rate in (1.0 / ask.arm, -1.0 / ask.arm)]
    return np.array(slides + turns)


def find_path(
    packed: Packed,
    ask: Ask,
    starts: Sequence[Pose],
    goals: Sequence[Pose],
    levels: Sequence[Effort] = LEVELS,
    *,
    prove: bool = True,
    hopeless: Callable[[], bool] | None = None,
) -> Found:
    """The cheapest path found from one of `starts` to one of `goals`, polished.

    Resolutions are tried until one gives a path, and a little further for a cheaper one. The path keeps `KEEP_M` more
    than every gap where it can, so that what just touches on paper is apart in any other reckoning. Without `prove` no
    proofs that there is no way are tried. `hopeless` is asked, after a resolution that shows no way, whether to look no
    further.
    """
    here = next((one for one in starts for two in goals if _same(one, two)), None)
    if here is not None:
        return Found("solved", here, np.empty((0, 4)), 0.0, 0.0, 0)
    form = answered_form(packed, starts, goals)
    found = _find(form.packed, ask, form.starts, form.goals, levels, prove, hopeless)
    if found.start is not None:
        start, path = as_asked(form, starts, found.start, found.path)
        return evolve(found, start=start, path=path)
    if found.proven:
        found = evolve(found, ended="exhausted")
    if found.barrier is not None:
        heading = form.turned.heading_back(found.barrier.heading_rad)
        return evolve(found, barrier=evolve(found.barrier, heading_rad=heading))
    return found


def _same(one: Pose, two: Pose) -> bool:
    turn = abs(math.remainder(one[2] - two[2], math.tau))
    return max(abs(one[0] - two[0]), abs(one[1] - two[1]), turn) < SAME


def _find(
    packed: Packed,
    ask: Ask,
    starts: Sequence[Pose],
    goals: Sequence[Pose],
    levels: Sequence[Effort],
    prove: bool,
    hopeless: Callable[[], bool] | None,
) -> Found:
    ones, twos = np.array(starts, dtype=np.float64), np.array(goals, dtype=np.float64)
    wide = evolve(packed, world=packed.world._replace(gaps=kept_gaps(packed.world, np.vstack([ones, twos]), KEEP_M)))
    best = _shifted(wide.world, ask, ones, twos)
    grid = grid_for(packed.world, packed.bounds)
    gates = _gates(wide, ask)
    if prove and best.ended != "solved" and len(packed.world.pairs) <= FEW_PAIRS:
        best = _no_turn(packed, grid, ones, twos, best)
        if best.proven:
            return best
    spare, total = BETTER_NODES, 0
    for number, e in enumerate(levels):
        found = best.ended == "solved"
        if found and (best.shunts <= 1 or spare <= 0):
            break
        effort = e._replace(most=min(e.most, spare)) if found else e
        tried = _searched(wide, ask, effort, grid, ones, twos, gates, best.seconds)
        total += tried.nodes
        if tried.ended == "solved":
            best = tried if tried.seconds < best.seconds else best
        elif not found:
            best = evolve(tried, nodes=total)
            if number == 0 and prove:
                best = _no_way(packed, grid, ones, twos, tried)
                if best.proven:
                    break
            if number == TIGHT and prove:
                best = _to_a_hair(packed, ask, grid, ones, twos, best)
            if number == STONES_AFTER and len(gates):
                best = _over_stones(wide, ask, grid, ones, twos, gates, best)
            if hopeless is not None and best.ended != "solved" and hopeless():
                break
        if best.ended == "solved":
            spare -= tried.nodes if found else max(tried.nodes, BETTER_NODES // 3)
    return best


def _to_a_hair(packed: Packed, ask: Ask, grid: Grid, ones: Array, twos: Array, best: Found) -> Found:
    """A way that keeps its gaps and no more, or what was found before."""
    exact = _searched(packed, ask, LEVELS[TIGHT], grid, ones, twos, _gates(packed, ask), math.inf)
    return exact if exact.ended == "solved" else best


def _gates(packed: Packed, ask: Ask) -> Array:
    """Poses before and behind narrow gates; none are needed on skates."""
    return find_gates(packed.world, np.array(packed.bounds)) if ask.radius > 0.0 else np.empty((0, 3))


def _searched(
    packed: Packed, ask: Ask, e: Effort, grid: Grid, ones: Array, twos: Array, gates: Array, below: float
) -> Found:
    """One search at one resolution, polished."""
    w = packed.world
    step = STEP_CELLS * e.cell
    moves = car_moves(ask.radius, step, e.finer > 1.0) if ask.radius > 0.0 else skate_moves(ask, step)
    far0, far1 = distances(grid, twos), distances(grid, ones)
    ended, _, path, which, nodes, blocked = search(w, ask, e, grid, far0, far1, moves, ones, twos, gates, below)
    if ended == SOLVED:
        path = shorten(w, ask, ones[which], path, CUT_M, 4, 4000)
        return _solved(ask, ones[which], path, e.cell, nodes)
    told: Ended = "exhausted" if ended == EXHAUSTED else "gave up"
    return Found(told, None, path, math.inf, e.cell, int(nodes), _stopped(packed, blocked))


def _over_stones(packed: Packed, ask: Ask, grid: Grid, ones: Array, twos: Array, gates: Array, best: Found) -> Found:
    """A path from gate to gate, or what was found before."""
    none = np.empty((0, 3))

    def leg(one: Array, two: Array) -> Array | None:
        for e in STONE_LEVELS:
            found = _searched(packed, ask, e, grid, one[None], two[None], none, math.inf)
            if found.ended == "solved":
                return found.path
        return None

    path = chain(ask, ones[0], twos[0], gates, leg)
    if path is None:
        return best
    path = shorten(packed.world, ask, ones[0], path, CUT_M, 4, 4000)
    return _solved(ask, ones[0], path, STONE_LEVELS[-1].cell, best.nodes)


def _no_way(packed: Packed, grid: Grid, ones: Array, twos: Array, best: Found) -> Found:
    """What was found, with a proof that there is no way, if one comes quickly."""
    for g in (grid, grid_for(packed.world, packed.bounds, FINER)):
        far = distances(g, ones)
        if not any(np.isfinite(far[cell_at(g, two[0], two[1])]) for two in twos):
            return evolve(best, parted=True)
    best = _no_turn(packed, grid, ones, twos, best)
    if best.proven:
        return best
    for edge, turns in FLOODS:
        boxes = boxes_for(packed.bounds, edge, turns)
        if int(boxes.shape.prod()) <= MOST_BOXES and flood(packed.world, boxes, ones, twos, MOST_FLOODED) == PARTED:
            return evolve(best, parted=True)
    return best


def _no_turn(packed: Packed, grid: Grid, ones: Array, twos: Array, best: Found) -> Found:
    """What was found, with the headings that the car cannot turn through on its way, if there are such."""
    far = distances(grid, ones)
    barriers = []
    for one in ones:
        for two in twos:
            if abs(math.remainder(two[2] - one[2], math.tau)) < LEAST_TURN_RAD:
                return best
            barrier = find_barrier(packed, grid, far, float(one[2]), float(two[2]))
            if barrier is None:
                return best
            barriers.append(barrier)
    return evolve(best, barrier=min(barriers, key=lambda b: b.lacking_m))


def _solved(ask: Ask, start: Array, path: Array, cell_m: float, nodes: int) -> Found:
    pose = (float(start[0]), float(start[1]), float(start[2]))
    return Found("solved", pose, path, float(path_seconds(ask, path)), cell_m, int(nodes), ())


def _shifted(w: World, ask: Ask, starts: Array, goals: Array) -> Found:
    """The best repeated S, if there is one."""
    best = Found("exhausted", None, np.empty((0, 4)), math.inf, 0.0, 0, ())
    if ask.radius <= 0.0:
        return best
    for one in starts:
        for two in goals:
            path = repeated_s(w, ask, one, two)
            if len(path):
                path = shorten(w, ask, one, path, CUT_M, 4, 2000)
                found = _solved(ask, one, path, 0.0, 0)
                best = found if found.seconds < best.seconds else best
    return best


def _stopped(packed: Packed, blocked: Ints) -> tuple[tuple[str, int], ...]:
    """What stopped the search how often, the most often first."""
    counts: dict[str, int] = {}
    for name, count in zip(packed.solid_of, blocked, strict=False):
        if count:
            counts[name] = counts.get(name, 0) + int(count)
    return tuple(sorted(counts.items(), key=lambda item: (-item[1], item[0])))


def plan_among(
    obstacles: Sequence[Outline],
    car: Outline,
    radius_m: float,
    start: Pose,
    goal: Pose,
    *,
    gap_m: float = 0.0,
    bounds: tuple[float, float, float, float] | None = None,
) -> tuple[Found, Packed]:
    """A path for one car outline among polygons, with everything about doors, heights and wheels left out.

    `car` is in the vehicle frame (origin under the rear axle's center, x forward). Without `bounds`, the search keeps
    within `ROUND_M` of everything named.
    """
    parts = [Part("body", convex_pieces(polygon(car)))]
    solids = [Solid(f"obstacle {i}", _pieces_of(o), {"body": gap_m}) for i, o in enumerate(obstacles, 1)]
    xs, ys = zip(*car, strict=True)
    middle, arm = (min(xs) + max(xs)) / 2, math.hypot(max(xs) - min(xs), max(ys) - min(ys)) / 2
    if bounds is None:
        points = np.array([p for o in obstacles for p in o] + [start[:2], goal[:2]])
        (x0, y0), (x1, y1) = points.min(axis=0) - ROUND_M, points.max(axis=0) + ROUND_M
        bounds = (float(x0), float(y0), float(x1), float(y1))
    packed = pack(parts, solids, bounds, middle)
    ask = Ask(radius_m, 1.0, 4.0, 0.2, middle, arm)
    return find_path(packed, ask, [start], [goal]), packed


def _pieces_of(outline: Outline) -> tuple[Convex, ...]:
    """Convex pieces of an outline from anywhere: crossing itself, or with no area, it is still in the way."""
    hull = shapely.convex_hull(shapely.MultiPoint(outline))
    if hull.geom_type == "LineString":
        return (shapely.get_coordinates(hull),)
    if hull.geom_type == "Point":
        return convex_pieces(hull.buffer(SPECK_M, quad_segs=1))
    shape = polygon(outline)
    return convex_pieces(shape if shape.is_valid else shapely.make_valid(shape))

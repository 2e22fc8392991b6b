"""Drive, measured beside a general planning library (OMPL) on the same cases, in one run."""

from __future__ import annotations

import itertools
import math
import time
from collections.abc import Sequence
from typing import Any

import numpy as np
from ompl import base, geometric, util

from standtrue.drive.kernels.certify import pose_free, scratch_for
from standtrue.drive.kernels.joins import Ask
from standtrue.drive.path.find import find_path
from standtrue.drive.world.packed import Packed, Part, Pose, Solid, pack
from standtrue.model.basics import Outline
from standtrue.model.reason import Ref
from standtrue.plane.shapes import convex_pieces, pieces_outside, polygon

Row = tuple[str, str]

RADIUS_M, GAP_M, WIDE_M, MIDDLE_M = 5.0, 0.05, 4.88, 1.375
BODY = ((-0.975, -0.925), (3.725, -0.925), (3.725, 0.925), (-0.975, 0.925))
ASK = Ask(RADIUS_M, 1.0, 4.0, 0.2, MIDDLE_M, 2.5)
PLANNERS = (("RRTConnect", "RRT-connect"), ("LBKPIECE1", "LBKPIECE"))
CHECKED_M = 0.005
"""How far apart the poses are that the general planner checks."""
GIVEN_S = 5.0
"""How long a general planner may take for one case."""


def room(long_m: float) -> Packed:
    shape = polygon(((0.0, 0.0), (long_m, 0.0), (long_m, WIDE_M), (0.0, WIDE_M)))
    wall = Solid(Ref("thing", "wall"), pieces_outside(shape), {"body": GAP_M})
    body = Part("body", convex_pieces(polygon(BODY)))
    return pack([body], [wall], (0.0, 0.0, long_m, WIDE_M), MIDDLE_M)


def ends(long_m: float) -> tuple[Pose, Pose]:
    """A meter sideways, center to center."""
    x = long_m / 2 - MIDDLE_M
    return (x, WIDE_M / 2 - 0.5, 0.0), (x, WIDE_M / 2 + 0.5, 0.0)


def parking(obstacles: Sequence[Outline], bounds: tuple[float, float, float, float]) -> Packed:
    """The body alone among convex things, no gap asked."""
    solids = [
        Solid(Ref("thing", f"thing {i}"), convex_pieces(polygon(o)), {"body": 0.0}) for i, o in enumerate(obstacles, 1)
    ]
    return pack([Part("body", convex_pieces(polygon(BODY)))], solids, bounds, MIDDLE_M)


def box(x0: float, y0: float, x1: float, y1: float) -> Outline:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def walls(x0: float, y0: float, x1: float, y1: float) -> list[Outline]:
    return [
        box(x0 - 1, y0 - 1, x1 + 1, y0),
        box(x0 - 1, y1, x1 + 1, y1 + 1),
        box(x0 - 1, y0, x0, y1),
        box(x1, y0, x1 + 1, y1),
    ]


def slot(half: float) -> list[Outline]:
    """A slot square to an aisle 6 m wide."""
    return [box(-15, -6, -half, 0), box(half, -6, 15, 0), box(-16, -7, 16, -6), box(-16, 6, 16, 7)]


def strewn(count: int) -> list[Outline]:
    """A floor of 40 x 40 m with squares strewn about, none near the corners where the car starts and ends."""
    rng = np.random.default_rng(5)
    found = walls(0, 0, 40, 40)
    while len(found) < count + 4:
        x, y = (float(v) for v in rng.uniform(0, 38, 2))
        if min(math.hypot(x - 4, y - 4), math.hypot(x - 36, y - 36)) > 7.0:
            found.append(box(x, y, x + 1.2, y + 1.2))
    return found


UP = math.pi / 2
PARKING: tuple[tuple[str, Packed, Pose, Pose], ...] = (
    ("a slot, 25 cm on each side", parking(slot(1.175), (-16, -7, 16, 7)), (-9.0, 3.0, 0.0), (0.0, -4.9, UP)),
    ("a slot, 1 cm on each side", parking(slot(0.935), (-16, -7, 16, 7)), (-9.0, 3.0, 0.0), (0.0, -4.9, UP)),
    (
        "a gate, 1 cm on each side",
        parking([*walls(0, 0, 30, 10), box(14, 0, 14.3, 4), box(14, 5.87, 14.3, 10)], (0, 0, 30, 10)),
        (3.0, 2.0, 0.4),
        (24.0, 5.0, 1.2),
    ),
    ("100 things strewn over 40 m", parking(strewn(100), (0, 0, 40, 40)), (3.0, 3.0, 0.3), (36.0, 36.0, 1.0)),
)


def ours(packed: Packed, one: Pose, two: Pose) -> tuple[float, int]:
    """Seconds, the least of three runs, and shunts."""
    least = math.inf
    for _ in range(3):
        begun = time.perf_counter()
        found = find_path(packed, ASK, [one], [two])
        least = min(least, time.perf_counter() - begun)
    return least, found.shunts


def general(packed: Packed, one: Pose, two: Pose, planner: str) -> tuple[float, int | None]:
    """A planner of OMPL over Reeds-Shepp curves; seconds, and shunts once simplified. Our kernel checks its poses."""
    space: Any = base.ReedsSheppStateSpace(RADIUS_M)
    bounds = base.RealVectorBounds(2)
    x0, y0, x1, y1 = packed.bounds
    for axis, (low, high) in enumerate(((x0, x1), (y0, y1))):
        bounds.setLow(axis, low)
        bounds.setHigh(axis, high)
    space.setBounds(bounds)
    setup: Any = geometric.SimpleSetup(space)
    scratch = scratch_for(packed.world)

    def free(state: Any) -> bool:
        return bool(pose_free(packed.world, np.array([state.getX(), state.getY(), state.getYaw()]), scratch))

    setup.setStateValidityChecker(free)
    setup.getSpaceInformation().setStateValidityCheckingResolution(CHECKED_M / space.getMaximumExtent())
    start, goal = space.allocState(), space.allocState()
    for state, pose in ((start, one), (goal, two)):
        state.setX(pose[0])
        state.setY(pose[1])
        state.setYaw(pose[2])
    setup.setStartAndGoalStates(start, goal)
    setup.setPlanner(getattr(geometric, planner)(setup.getSpaceInformation()))
    begun = time.perf_counter()
    solved = setup.solve(GIVEN_S)
    if not solved or not setup.haveExactSolutionPath():
        return time.perf_counter() - begun, None
    setup.simplifySolution()
    spent = time.perf_counter() - begun
    path = setup.getSolutionPath()
    path.interpolate(2000)
    states = path.getStates()
    gears = []
    for a, b in itertools.pairwise(states):
        along = (b.getX() - a.getX()) * math.cos(a.getYaw()) + (b.getY() - a.getY()) * math.sin(a.getYaw())
        if abs(along) > 1e-6:
            gears.append(along > 0.0)
    return spent, sum(a != b for a, b in itertools.pairwise(gears))


def beside(label: str, packed: Packed, one: Pose, two: Pose) -> Row:
    """One case, by us and by each of OMPL's planners."""
    spent, shunts = ours(packed, one, two)
    told = f"{1e3 * spent:.0f} ms, {shunts} shunts"
    for planner, name in PLANNERS:
        theirs, count = general(packed, one, two, planner)
        shown = "no path" if count is None else f"{count} shunts"
        told += f"; {name} {1e3 * theirs:.0f} ms, {shown} ({theirs / spent:.1f} times as long)"
    return label, told


def random_pairs() -> Row:
    """Forty pairs of stances in the room of 9.75 m; each is solved, or shown to have no way."""
    packed, rng = room(9.75), np.random.default_rng(40)
    scratch = scratch_for(packed.world)

    def stance() -> Pose:
        while True:
            pose = (rng.uniform(0.0, 9.75), rng.uniform(0.0, WIDE_M), rng.uniform(-math.pi, math.pi))
            if pose_free(packed.world, np.array(pose), scratch):
                return pose

    times, solved = [], 0
    for _ in range(40):
        one, two = stance(), stance()
        begun = time.process_time()
        found = find_path(packed, ASK, [one], [two])
        times.append(time.process_time() - begun)
        solved += found.solved
    middle, most = 1e3 * float(np.median(times)), 1e3 * float(np.quantile(times, 0.95))
    told = f"median {middle:.1f} ms, 95 of 100 within {most:.0f} ms"
    return "forty random pairs in a room of 9.75 m", f"{told}; {solved} solved, the others proven impossible"


def measure() -> list[Row]:
    """Every figure. Warm first: compiling is no part of it."""
    util.setLogLevel(util.LogLevel.LOG_NONE)
    util.RNG.setSeed(1)
    ours(room(9.0), *ends(9.0))
    ours(*PARKING[1][1:])
    random_pairs()
    rows = [
        beside(f"a meter sideways in a room of {long_m} m", room(long_m), *ends(long_m))
        for long_m in (9.75, 8.5, 7.5, 7.0, 6.5, 6.0)
    ]
    rows.append(random_pairs())
    rows.extend(beside(*case) for case in PARKING)
    return rows

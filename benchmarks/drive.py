"""Drive, measured beside a general planning library (OMPL) on the same cases, in one run."""

from __future__ import annotations

import itertools
import math
import time
from typing import Any

import numpy as np
from ompl import base, geometric, util

from standtrue.drive.certify import pose_free, scratch_for
from standtrue.drive.joins import Ask
from standtrue.drive.plan import Pose, find_path
from standtrue.drive.world import Packed, Part, Solid, pack
from standtrue.plane.shapes import convex_pieces, pieces_outside, polygon

Row = tuple[str, str]

RADIUS_M, GAP_M, WIDE_M, MIDDLE_M = 5.0, 0.05, 4.88, 1.375
BODY = ((-0.975, -0.925), (3.725, -0.925), (3.725, 0.925), (-0.975, 0.925))
ASK = Ask(RADIUS_M, 1.0, 4.0, 0.2, MIDDLE_M, 2.5)
GIVEN_S = 5.0
"""How long the general planner may take for one case."""


def room(long_m: float) -> Packed:
    shape = polygon(((0.0, 0.0), (long_m, 0.0), (long_m, WIDE_M), (0.0, WIDE_M)))
    wall = Solid("wall", pieces_outside(shape), {"body": GAP_M})
    body = Part("body", convex_pieces(polygon(BODY)))
    return pack([body], [wall], (0.0, 0.0, long_m, WIDE_M), MIDDLE_M)


def ends(long_m: float) -> tuple[Pose, Pose]:
    """A meter sideways, center to center."""
    x = long_m / 2 - MIDDLE_M
    return (x, WIDE_M / 2 - 0.5, 0.0), (x, WIDE_M / 2 + 0.5, 0.0)


def ours(packed: Packed, one: Pose, two: Pose) -> tuple[float, int]:
    """Seconds, the least of three runs, and shunts."""
    least = math.inf
    for _ in range(3):
        begun = time.perf_counter()
        found = find_path(packed, ASK, [one], [two])
        least = min(least, time.perf_counter() - begun)
    return least, found.shunts


def general(packed: Packed, one: Pose, two: Pose) -> tuple[float, int | None]:
    """RRT-connect over Reeds-Shepp curves, poses checked by our own kernel; seconds, and shunts once simplified."""
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
    setup.getSpaceInformation().setStateValidityCheckingResolution(0.002)
    start, goal = space.allocState(), space.allocState()
    for state, pose in ((start, one), (goal, two)):
        state.setX(pose[0])
        state.setY(pose[1])
        state.setYaw(pose[2])
    setup.setStartAndGoalStates(start, goal)
    setup.setPlanner(geometric.RRTConnect(setup.getSpaceInformation()))
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


def measure() -> list[Row]:
    """Every figure. Warm first: compiling is no part of it."""
    util.setLogLevel(util.LogLevel.LOG_NONE)
    util.RNG.setSeed(1)
    ours(room(9.0), *ends(9.0))
    rows = []
    for long_m in (9.75, 8.5, 7.5, 7.0, 6.5, 6.0):
        packed = room(long_m)
        one, two = ends(long_m)
        spent, shunts = ours(packed, one, two)
        theirs, count = general(packed, one, two)
        told = f"{count} shunts" if count is not None else "no path"
        ratio = f"{theirs / spent:.1f} times"
        label = f"a meter sideways in a room of {long_m} m"
        rows.append(
            (
                label,
                f"{1e3 * spent:.0f} ms, {shunts} shunts; OMPL {1e3 * theirs:.0f} ms, {told}: {ratio} as long",
            )
        )
    return rows

"""Out of a place along a wall: to and fro in S moves, each shifting sideways as much as the gaps let it.

A car that stands a centimeter from a wall can hardly turn: its tail swings out. Each S move, gentle at first, wins
a little room beside the car, and the more room, the stronger the next one may be. How strong is found by halving.
"""

from __future__ import annotations

from standtrue.drive.kernels.certify import Scratch, free_travel, path_free
from standtrue.drive.kernels.joins import Ask
from standtrue.drive.kernels.motion import advance
from standtrue.drive.kernels.repeated import one_s, sideways
from standtrue.drive.kernels.world import World
from standtrue.plane.compiled import compiled_bare
from standtrue.plane.kernels import Array

RUNS = 48
"""How often the car goes to and fro at most."""

LONGEST_M = 4.0
"""Runs are not longer than this: with so much room a search gets along."""

ENOUGH_M = 0.7
"""So much sideways is enough to go on by searching."""

HALVINGS = 10
LEAST_M = 1e-4
"""A smaller shift than this is none."""


@compiled_bare
def escape(
    w: World, ask: Ask, start: Array, side: float, first: float, path: Array, at: Array, scratch: Scratch
) -> int:
    """Write S moves to one side (1 left, -1 right) as pairs of rows; returns how many rows.

    `first` is the gear of the first run, 1 or -1. Both rows of a pair have one gear and end at the first heading; a
    pair whose second row has no travel is straight. `path` must have 2 `RUNS` rows, `at` is room for two poses.
    """
    pose, room = at[0], at[1]
    pose[0], pose[1], pose[2] = start[0], start[1], start[2]
    gear, n, won, idle = first, 0, 0.0, 0
    while n < 2 * RUNS and won < ENOUGH_M and idle < 3:
        path[n, 0], path[n, 1], path[n, 2], path[n, 3] = gear, 0.0, 0.0, LONGEST_M
        run = free_travel(w, pose, path[n, :3], LONGEST_M, scratch)
        if run < LEAST_M:
            gear = -gear
            idle += 1
            continue
        shift = _most_shift(w, ask, pose, gear * run, side, path, n, room, scratch)
        _write(ask, gear * run, side * shift, path, n)
        for k in range(2):
            x, y, h = advance(pose[0], pose[1], pose[2], gear, 0.0, path[n + k, 2], path[n + k, 3])
            pose[0], pose[1], pose[2] = x, y, h
        pose[2] = start[2]
        n += 2
        won += shift
        idle = idle + 1 if shift < LEAST_M else 0
        gear = -gear
    return n


@compiled_bare
def _write(ask: Ask, run: float, shift: float, path: Array, n: int) -> None:
    """One S, always as two rows."""
    if one_s(ask.radius, run, shift, path, n) == n + 1:
        path[n + 1, 0], path[n + 1, 1], path[n + 1, 2], path[n + 1, 3] = path[n, 0], 0.0, 0.0, 0.0


@compiled_bare
def _most_shift(
    w: World, ask: Ask, pose: Array, run: float, side: float, path: Array, n: int, room: Array, scratch: Scratch
) -> float:
    """The most that one S over this run shifts to a side with every gap kept, to a thousandth of the most."""
    low, high = 0.0, sideways(ask.radius, abs(run))
    shift = high
    for _ in range(HALVINGS):
        _write(ask, run, side * shift, path, n)
        if path_free(w, pose, path[n : n + 2], 2, scratch, room):
            low = shift
            if shift == high:
                break
        else:
            high = shift
        shift = 0.5 * (low + high)
    return float(low)

"""The repeated S: how a car is shifted sideways in a bay by going to and fro, worked out rather than searched for.

One run of length l between two poses of one heading shifts the car sideways by at most 2R - sqrt(4R^2 - l^2): two arcs
of the least radius R. With d less than that, the two arcs have the radius (l^2 + d^2) / 4d.
"""

from __future__ import annotations

import math

import numpy as np

from standtrue.drive.kernels.certify import free_travel, path_free, scratch_for
from standtrue.drive.kernels.joins import Ask
from standtrue.drive.kernels.reeds_shepp import wrap
from standtrue.drive.kernels.world import World
from standtrue.plane.compiled import compiled, compiled_bare
from standtrue.plane.kernels import Array

PARALLEL_RAD = 1e-9
MOST_RUNS = 60
FARTHEST_M = 30.0
SHARES = (1.0, 0.98, 0.93, 0.85, 0.7, 0.5)
"""How much of the room ahead and behind is used, tried in this order."""


@compiled_bare
def sideways(radius: float, run: float) -> float:
    """The most that one S shifts a car sideways over a run of this length, metres."""
    if run >= 2.0 * radius:
        return float(2.0 * radius)
    return 2.0 * radius - math.sqrt(4.0 * radius * radius - run * run)


@compiled_bare
def one_s(radius: float, run: float, shift: float, path: Array, n: int) -> int:
    """Two rows for a signed run and a signed shift; one if there is nothing to shift."""
    gear = 1.0 if run > 0.0 else -1.0
    far = abs(run)
    if abs(shift) < 1e-12:
        path[n, 0], path[n, 1], path[n, 2], path[n, 3] = gear, 0.0, 0.0, far
        return n + 1
    turning = max(radius, (far * far + shift * shift) / (4.0 * abs(shift)))
    angle = 2.0 * math.atan2(abs(shift), far)
    # To shift left the car heads left going forward, and right going back.
    rate = math.copysign(1.0, shift) * gear / turning
    for k in range(2):
        path[n, 0], path[n, 1] = gear, 0.0
        path[n, 2] = rate if k == 0 else -rate
        path[n, 3] = turning * angle
        n += 1
    return n


@compiled
def repeated_s(w: World, ask: Ask, start: Array, goal: Array) -> Array:
    """The repeated S of fewest runs that provably keeps every gap; no rows if there is none.

    Only between poses of one heading.
    """
    path = np.empty((2 * MOST_RUNS, 4))
    if abs(wrap(goal[2] - start[2])) > PARALLEL_RAD:
        return path[:0].copy()
    c, s = math.cos(start[2]), math.sin(start[2])
    dx = c * (goal[0] - start[0]) + s * (goal[1] - start[1])
    dy = c * (goal[1] - start[1]) - s * (goal[0] - start[0])
    scratch, pose = scratch_for(w), np.empty(3)
    ahead, back = np.array([1.0, 0.0, 0.0]), np.array([-1.0, 0.0, 0.0])
    front = min(
        free_travel(w, start, ahead, FARTHEST_M, scratch),
        dx + free_travel(w, goal, ahead, FARTHEST_M, scratch),
    )
    rear = max(
        -free_travel(w, start, back, FARTHEST_M, scratch),
        dx - free_travel(w, goal, back, FARTHEST_M, scratch),
    )
    stops, caps = np.empty(MOST_RUNS + 1), np.empty(MOST_RUNS)
    for runs in range(1, MOST_RUNS + 1):
        for first in range(2):
            for share in SHARES:
                stops[0] = 0.0
                for i in range(1, runs):
                    end = front if (i + first) % 2 == 1 else rear
                    stops[i] = share * end
                stops[runs] = dx
                room = 0.0
                alternate = True
                for i in range(runs):
                    caps[i] = sideways(ask.radius, abs(stops[i + 1] - stops[i]))
                    room += caps[i]
                    if i > 1:
                        alternate = alternate and (stops[i + 1] - stops[i]) * (stops[i] - stops[i - 1]) < 0.0
                if room < abs(dy) - 1e-12 or room == 0.0 or not alternate:
                    break
                n = 0
                for i in range(runs):
                    n = one_s(ask.radius, stops[i + 1] - stops[i], caps[i] * dy / room, path, n)
                if path_free(w, start, path, n, scratch, pose):
                    return path[:n].copy()
                if runs == 1:
                    break
    return path[:0].copy()

"""A lazy roadmap: where one search is drawn into dead ends, several short ones from narrow passage to passage are not.

Legs between start, passages and goal are first taken at what they would cost if nothing stood about; the
legs of the cheapest chain are then searched for, and struck out where nothing is found, until a chain holds.
"""

from __future__ import annotations

import heapq
import itertools
import math
from collections.abc import Callable

import numpy as np

from standtrue.drive.kernels.joins import Ask, bench, least_seconds
from standtrue.plane.kernels import Array

MOST_POSES = 16
MOST_LEGS = 24

Leg = Callable[[Array, Array], Array | None]


def chain(ask: Ask, start: Array, goal: Array, passages: Array, leg: Leg) -> Array | None:
    """A path from `start` to `goal` by way of `passages`; None if none was found. `leg` searches between two poses."""
    poses = [start, *passages[:MOST_POSES], goal]
    last = len(poses) - 1
    b = bench()
    costs = np.array([[least_seconds(ask, one, two, b) for two in poses] for one in poses])
    costs[0, last] = math.inf
    paths: dict[tuple[int, int], Array] = {}
    tried = 0
    while tried < MOST_LEGS:
        order = _cheapest(costs, last)
        if order is None:
            return None
        unknown = [key for key in itertools.pairwise(order) if key not in paths]
        if not unknown:
            return np.concatenate([paths[key] for key in itertools.pairwise(order)])
        key = max(unknown, key=lambda k: (k[0] == 0 or k[1] == last, -k[0]))
        tried += 1
        found = leg(poses[key[0]], poses[key[1]])
        if found is None:
            costs[key] = math.inf
        else:
            paths[key] = found
            costs[key] = max(costs[key], float(found[:, 3].sum()) * ask.seconds_per_m)
    return None


def _cheapest(costs: Array, last: int) -> list[int] | None:
    """The cheapest chain from 0 to `last` (Dijkstra)."""
    best, before = {0: 0.0}, {0: -1}
    heap = [(0.0, 0)]
    while heap:
        cost, node = heapq.heappop(heap)
        if node == last:
            order = [node]
            while before[order[-1]] >= 0:
                order.append(before[order[-1]])
            return order[::-1]
        if cost > best[node]:
            continue
        for other in range(1, last + 1):
            there = cost + costs[node, other]
            if other != node and there < best.get(other, math.inf):
                best[other], before[other] = there, node
                heapq.heappush(heap, (there, other))
    return None

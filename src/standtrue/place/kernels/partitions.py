"""The lightest partition of a set into groups, by all subsets."""

from __future__ import annotations

import numpy as np

from standtrue.place.kernels.bounds import Ints
from standtrue.plane.compiled import compiled
from standtrue.plane.kernels import Array

NEVER = 1 << 40


@compiled
def lightest_partitions(weights: Ints, rooms: Array) -> Ints:
    """For each set, the group of its first member in its lightest partition."""
    best = np.full(weights.shape[0], 32 * NEVER)
    room = np.full(weights.shape[0], -np.inf)
    first = np.zeros(weights.shape[0], np.int64)
    best[0], room[0] = 0, np.inf
    for whole in range(1, weights.shape[0]):
        low = whole & -whole
        rest = whole ^ low
        part = rest
        while True:
            group = part | low
            weight = weights[group] + best[whole ^ group]
            least = min(rooms[group], room[whole ^ group])
            if weight < best[whole] or (weight == best[whole] and least > room[whole]):
                best[whole], room[whole], first[whole] = weight, least, group
            if part == 0:
                break
            part = (part - 1) & rest
    return first

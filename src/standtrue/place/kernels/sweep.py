"""Yes or no, certified over continuous headings: exact slices of free positions, swept over the headings.

A node is an interval of headings and the positions that are free there of every zone's rotation core and as
far from every wall as the car's hull is at the best heading of the interval, kept as convex pieces. Both only
grow tighter as the interval shrinks, so a child starts from its parent's pieces: most pairs miss them and are
dropped for good. A node without pieces holds no stance. At the node's middle heading the same subtraction with
the whole zones gives the positions that do fit: a piece left there holds a witness. Gaps are grown by inscribed
polygons, so a "no" is never wrong; a witness is measured before it counts.
"""

from __future__ import annotations

import math

import numpy as np

from standtrue.place.kernels.bench import (
    Bench,
    bench_of,
    holds_at,
    slice_of,
    turn_to,
)
from standtrue.place.kernels.bounds import Ints, Problem
from standtrue.place.kernels.field import Field, field_of
from standtrue.place.kernels.survivors import GONE, survivors
from standtrue.plane.compiled import compiled, compiled_bare
from standtrue.plane.kernels import (
    Array,
)

YES, NO, UNDECIDED = 1, 0, -1

MOST_NODES = 20_000
"""Where the sweep gives up and leaves it to the search."""

LEAST_SWING_M = 4e-4
"""Below this swing of the farthest point an interval of headings is not split again."""

FINE_LEVEL = 6
"""From this level on corners are grown finely: before, what the interval leaves open is much more."""


# The functions below take single arrays: taking them out of a tuple for every pair costs more than the work.


@compiled
def sweep(q: Problem, domain: Array, most: int) -> tuple[int, Array, int]:
    """Whether some stance fits: 1 yes, 0 no, -1 undecided; a witness (x, y, heading, margin); nodes looked at.

    The witness is of the reference point.

    Undecided only if an interval no wider than LEAST_SWING_M at the farthest point keeps free positions without a
    witness, if a piece overflows, or past `most` nodes.
    """
    f = field_of(q)
    return sweep_field(f, bench_of(f), domain, most)


@compiled
def sweep_field(f: Field, b: Bench, domain: Array, most: int) -> tuple[int, Array, int]:
    """As `sweep`, of a field laid out already."""
    levels = f.halves.shape[0]
    pose = np.zeros(4)
    active = np.empty(f.pairs.shape[0] * (levels + 2), np.int64)
    found, nodes = _sweep(f, b, domain, most, pose, active, np.empty((2 * levels + 16, 6)))
    return found, pose, nodes


@compiled_bare
def _sweep(f: Field, b: Bench, domain: Array, most: int, pose: Array, active: Ints, node: Array) -> tuple[int, int]:
    count, levels, arm = f.pairs.shape[0], f.halves.shape[0], 0.0
    for i in range(f.arms.shape[0]):
        arm = max(arm, f.arms[i])
    two_sided = False
    for k in range(f.walls.shape[0]):
        two_sided |= f.wall_sides[k] > 0
    for k in range(count):
        two_sided |= f.sides[k] > 0
    corners, piece_at = b.corners, b.piece_at
    undecided = False
    nodes = 0
    for i in range(count):
        active[i] = i
    for i in range(4):
        corners[i, 0] = domain[0] if i in (0, 3) else domain[2]
        corners[i, 1] = domain[1] if i < 2 else domain[3]
    piece_at[0], piece_at[1] = 0, 4
    depth = _roots(node, f.halves, domain[4], domain[5], count)
    while depth > 0:
        depth -= 1
        heading, level = node[depth, 0], int(node[depth, 1])
        first, past = int(node[depth, 2]), int(node[depth, 3])
        theirs, mine = int(node[depth, 4]), int(node[depth, 4] + node[depth, 5])
        kept = mine - theirs
        nodes += 1
        if nodes > most:
            return UNDECIDED, nodes
        half = f.halves[level]
        for i in range(kept):
            active[mine + i] = active[theirs + i]
        # Which of the parent's pieces does the cores' slice leave?
        cut = slice_of(level, level < FINE_LEVEL, heading, 2.0 * math.sin(half / 2), corners, piece_at, first, past)
        turn_to(b, heading, half)
        b.tops[0] = past
        found = survivors(f, b, cut, two_sided, active, mine, kept, first, past, 1 << 30, True)
        if found < 0:
            return UNDECIDED, nodes
        last = past + found
        if last == past:
            continue
        still = 0
        for i in range(mine, mine + kept):
            if b.size[active[i]] != GONE:
                active[mine + still] = active[i]
                still += 1
        kept = still
        # Does a position in one of them fit at the middle heading?
        if _fits_at(f, b, heading, level < FINE_LEVEL, two_sided, active, mine, kept, past, last, pose):
            return YES, nodes
        if level + 1 >= levels or arm * half < LEAST_SWING_M:
            undecided = True
            continue
        for side in range(2):
            depth = _add_node(
                node, depth, heading + (2 * side - 1) * f.halves[level + 1], level + 1, past, last, mine, kept
            )
    return (UNDECIDED if undecided else NO), nodes


@compiled_bare
def _fits_at(
    f: Field,
    b: Bench,
    heading: float,
    coarse: bool,
    two_sided: bool,
    active: Ints,
    begin: int,
    count: int,
    first: int,
    past: int,
    pose: Array,
) -> bool:
    """Whether the middle of what is left of pieces `first:past` at a heading is a stance that fits, written to `pose`.

    No more than a try: what it does not find may be there.
    """
    corners, piece_at = b.corners, b.piece_at
    cut = slice_of(-1, coarse, heading, 0.0, corners, piece_at, first, past)
    turn_to(b, heading, 0.0)
    for i in range(first, past):
        b.tops[0] = past
        found = survivors(f, b, cut, two_sided, active, begin, count, i, i + 1, 1, i == first)
        size = piece_at[past + 1] - piece_at[past]
        if found > 0 and holds_at(f, b, corners[piece_at[past] :], size, heading, pose):
            return True
    return False


@compiled_bare
def _roots(node: Array, halves: Array, center: float, reach: float, count: int) -> int:
    """The first intervals: about the center, where a car stands along the walls or the lift, and outward from it.

    The last put is the first to be looked at.
    """
    half = halves[0]
    depth = 0
    if reach >= math.pi:
        # The quarter turns from the center come first, those half way between last.
        for k in (7, 5, 3, 1, 6, 2, 4, 0):
            depth = _add_node(node, depth, center + 2 * k * half, 0, 0, 1, 0, count)
        return depth
    done = half
    while done < reach - 1e-9:
        level = 0 if reach - done > half + 1e-9 else 1
        for sign in (-1.0, 1.0):
            depth = _add_node(node, depth, center + sign * (done + halves[level]), level, 0, 1, 0, count)
        done += 2 * halves[level]
    return _add_node(node, depth, center, 0, 0, 1, 0, count)


@compiled_bare
def _add_node(
    node: Array, depth: int, heading: float, level: int, first: int, past: int, theirs: int, count: int
) -> int:
    node[depth, 0], node[depth, 1], node[depth, 2] = heading, level, first
    node[depth, 3], node[depth, 4], node[depth, 5] = past, theirs, count
    return depth + 1

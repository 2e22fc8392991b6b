"""One search for a path, in the form that is answered, and its single attempts."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from attrs import evolve, frozen

from standtrue.drive.kernels.certify import kept_gaps
from standtrue.drive.kernels.field import Grid, distances
from standtrue.drive.kernels.joins import Ask, path_seconds, shorten
from standtrue.drive.kernels.narrow_passages import find_passages
from standtrue.drive.kernels.repeated import repeated_s
from standtrue.drive.kernels.search import EXHAUSTED, SOLVED, search
from standtrue.drive.kernels.trees import Effort
from standtrue.drive.kernels.world import Ints
from standtrue.drive.path.effort import LEG_EFFORTS, LEVELS, TIGHT, moves_for
from standtrue.drive.path.found import Found, Outcome
from standtrue.drive.path.roadmap import chain
from standtrue.drive.world.grid import grid_for
from standtrue.drive.world.packed import Packed, Pose
from standtrue.model.reason import Ref
from standtrue.plane.kernels import Array

KEEP_M = 2e-5
"""So much more than its gaps a path keeps, if its ends do."""

CUT_M = 0.7
"""How far apart the poses are between which a path is shortened."""

NONE = np.empty((0, 3))


@frozen(eq=False)
class Task:
    """A search: the world as it is, with every gap a hair `wide`r, ends as rows (x, y, heading), narrow passages."""

    packed: Packed
    wide: Packed
    ask: Ask
    grid: Grid
    ones: Array
    twos: Array
    passages: Array

    def searched(self, e: Effort, below: float = math.inf) -> Found:
        """One search at one resolution for a path of less than `below` seconds, polished."""
        return _searched(self.wide, self.ask, e, self.grid, self.ones, self.twos, self.passages, below)

    def to_a_hair(self) -> Found:
        """A search for a way that keeps its gaps and no more."""
        passages = _passages(self.packed, self.ask)
        return _searched(self.packed, self.ask, LEVELS[TIGHT], self.grid, self.ones, self.twos, passages, math.inf)

    def repeated(self) -> Found:
        """The best repeated S, worked out without a grid, if there is one."""
        best = Found(Outcome.EXHAUSTED, None, np.empty((0, 4)), math.inf, 0.0, 0)
        if self.ask.radius <= 0.0:
            return best
        w = self.wide.world
        for one in self.ones:
            for two in self.twos:
                path = repeated_s(w, self.ask, one, two)
                if len(path):
                    path = shorten(w, self.ask, one, path, CUT_M, 4, 2000)
                    found = solved(self.ask, one, path, 0.0, 0)
                    best = found if found.seconds < best.seconds else best
        return best

    def over_passages(self) -> Array | None:
        """A path from the first start from narrow passage to passage; None if none was found."""
        path = chain(self.ask, self.ones[0], self.twos[0], self.passages, self._leg)
        if path is None:
            return None
        shorter: Array = shorten(self.wide.world, self.ask, self.ones[0], path, CUT_M, 4, 4000)
        return shorter

    def _leg(self, one: Array, two: Array) -> Array | None:
        for e in LEG_EFFORTS:
            found = _searched(self.wide, self.ask, e, self.grid, one[None], two[None], NONE, math.inf)
            if found.solved:
                return found.path
        return None


def task_for(packed: Packed, ask: Ask, starts: Sequence[Pose], goals: Sequence[Pose]) -> Task:
    """The search between these ends."""
    ones, twos = np.array(starts, dtype=np.float64), np.array(goals, dtype=np.float64)
    wide = evolve(packed, world=packed.world._replace(gaps=kept_gaps(packed.world, np.vstack([ones, twos]), KEEP_M)))
    return Task(packed, wide, ask, grid_for(packed.world, packed.bounds), ones, twos, _passages(wide, ask))


def solved(ask: Ask, start: Array, path: Array, cell_m: float, nodes: int) -> Found:
    """What was found with this path."""
    pose = (float(start[0]), float(start[1]), float(start[2]))
    return Found(Outcome.SOLVED, pose, path, float(path_seconds(ask, path)), cell_m, int(nodes))


def _passages(packed: Packed, ask: Ask) -> Array:
    """Poses before and behind narrow passages; none are needed on skates."""
    if ask.radius <= 0.0:
        return NONE
    poses: Array = find_passages(packed.world, np.array(packed.bounds))
    return poses


def _searched(
    packed: Packed, ask: Ask, e: Effort, grid: Grid, ones: Array, twos: Array, passages: Array, below: float
) -> Found:
    w, moves = packed.world, moves_for(ask, e)
    far0, far1 = distances(grid, twos), distances(grid, ones)
    ended, _, path, which, nodes, blocked = search(w, ask, e, grid, far0, far1, moves, ones, twos, passages, below)
    if ended == SOLVED:
        path = shorten(w, ask, ones[which], path, CUT_M, 4, 4000)
        return solved(ask, ones[which], path, e.cell, nodes)
    outcome = Outcome.EXHAUSTED if ended == EXHAUSTED else Outcome.GAVE_UP
    return Found(outcome, None, path, math.inf, e.cell, int(nodes), _stopped(packed, blocked))


def _stopped(packed: Packed, blocked: Ints) -> tuple[tuple[Ref, int], ...]:
    """What stopped the search how often, the most often first."""
    counts: dict[Ref, int] = {}
    for ref, count in zip(packed.solid_of, blocked, strict=False):
        if count:
            counts[ref] = counts.get(ref, 0) + int(count)
    return tuple(sorted(counts.items(), key=lambda item: (-item[1], item[0])))

"""A path that was found, or why there is none."""

from __future__ import annotations

import itertools
from enum import Enum

from attrs import frozen

from standtrue.drive.kernels.motion import gear_of
from standtrue.drive.proofs.barrier import Barrier
from standtrue.drive.proofs.no_way import Proof
from standtrue.drive.world.packed import Pose
from standtrue.model.reason import Ref
from standtrue.plane.kernels import Array


class Outcome(Enum):
    """How a search for a way ended.

    SOLVED with a path. EXHAUSTED: all that could be reached at the finest resolution was tried, or nothing was left to
    try, since the car or its place at an end rules the move out. GAVE_UP at its limit.
    """

    SOLVED = "solved"
    EXHAUSTED = "exhausted"
    GAVE_UP = "gave up"


@frozen(eq=False)
class Found:
    """A path as rows (u, v, w, travel) from `start`, or why there is none.

    `cell_m` is the finest resolution that was searched, to the end or to its limit; `nodes` are those of all searches
    that found nothing. `blockers` says what stopped the search how often. With a `proof` there is no way at all.
    """

    outcome: Outcome
    start: Pose | None
    path: Array
    seconds: float
    cell_m: float
    nodes: int
    blockers: tuple[tuple[Ref, int], ...] = ()
    proof: Proof | None = None

    @property
    def solved(self) -> bool:
        return self.outcome is Outcome.SOLVED

    @property
    def proven(self) -> bool:
        """Whether there is no way at all, at any resolution."""
        return self.proof is not None

    @property
    def barrier(self) -> Barrier | None:
        """Headings that the car cannot turn through, where they are the proof."""
        return None if self.proof is None else self.proof.barrier

    @property
    def shunts(self) -> int:
        return shunts_of(self.path)


def shunts_of(path: Array) -> int:
    """How often the direction of travel changes."""
    gears = [g for row in path if (g := gear_of(row[0], row[1])) != 0]
    return sum(a != b for a, b in itertools.pairwise(gears))

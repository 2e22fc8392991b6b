"""Yes or no for one packed way, and its roomiest stance: the same rule for both.

Whether anything fits is for the sweep to say; what it leaves open, a close search decides.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property

import numpy as np
from attrs import evolve, frozen

from standtrue.model.fits import Fits
from standtrue.place.kernels.sweep import MOST_NODES, NO, YES, sweep
from standtrue.place.margin.search import CLOSER_M, FEW_BOXES, TOLERANCE_M, Found, Packed, search
from standtrue.place.margin.ways import Way
from standtrue.place.question.answer import FIT_M

Pose = tuple[float, float, float]

FEW_NODES = 100
"""Where the sweep leaves it to the search whether something fits with as many doors open: that costs about as much."""


RANK_M = 1e-3
"""On decks, stances this near the largest margin are ranked by the margin without the lift's own pairs."""


@frozen(eq=False)
class Best:
    """A stance, and the way in which it serves."""

    found: Found
    way: Way


@frozen(eq=False)
class Ready:
    """A way, packed once for whatever is asked of it."""

    way: Way

    @cached_property
    def packed(self) -> Packed:
        return self.way.packed()

    def facing(self, heading_rad: float) -> Packed:
        """The same at one heading only."""
        return self.packed.facing(heading_rad)

    def may_fit(self) -> bool:
        """Whether the sweep does not rule out that something fits."""
        return not self.way.blocked and sweep(self.packed.problem, np.array(self.packed.domain), FEW_NODES)[0] != NO


def decide(packed: Packed, sure: bool = True) -> tuple[Fits, Pose | None]:
    """Whether some stance fits, and one: x, y and heading of the vehicle's origin. Not `sure`: by the sweep alone."""
    verdict, at, _ = sweep(packed.problem, np.array(packed.domain), MOST_NODES)
    if verdict == NO:
        return Fits.NO, None
    if verdict == YES:
        return Fits.YES, packed.origin_of(*(float(v) for v in at[:3]))
    if not sure:
        return Fits.UNDECIDED, None
    return decide_closely(packed)


def decide_closely(packed: Packed) -> tuple[Fits, Pose | None]:
    """The same by a close search alone, which at one heading is over soon."""
    found = closely(packed)
    if found.place is not None and found.margin_m >= FIT_M:
        return Fits.YES, found.place
    return (Fits.NO if found.bound_m < FIT_M else Fits.UNDECIDED), None


def roomiest(packed: Packed, known_m: float = -math.inf) -> Found:
    """The stance of the largest margin, or, with `known_m`, that nothing here has much more.

    Where the search does not say whether anything fits, the sweep does: with its stance, or with a bound below 0.
    """
    found = search(packed, known_m=known_m, tolerance_m=TOLERANCE_M)
    if known_m >= FIT_M or not found.margin_m < FIT_M <= found.bound_m:
        return found
    verdict, at, _ = sweep(packed.problem, np.array(packed.domain), MOST_NODES)
    if verdict == NO:
        return evolve(found, bound_m=FIT_M, complete=True)
    if verdict == YES:
        # The sweep's margin is perhaps too great where it is above 0.
        place = packed.origin_of(*(float(v) for v in at[:3]))
        return evolve(found, place=place, margin_m=min(float(at[3]), found.bound_m))
    if not found.complete:
        return found
    closer = closely(packed)
    best = max(found, closer, key=lambda f: f.margin_m)
    return evolve(best, bound_m=max(min(found.bound_m, closer.bound_m), best.margin_m), complete=True)


def closely(packed: Packed) -> Found:
    """Whether something fits, where the usual tolerance leaves it open."""
    return search(packed, tolerance_m=CLOSER_M, any_fit=True, most=FEW_BOXES)


def freest(best: Best, candidates: Sequence[tuple[Packed, Way]]) -> Best:
    """Of the stances within 1 mm of the largest margin, the one with the most room from all but the carrying lift."""
    least = max(best.found.margin_m - RANK_M, 0.0)
    freest: Best | None = None
    # A strip beside the lift's own posts must hold on its own side only, so each side is a search of its own.
    for packed, way in sorted(candidates, key=lambda c: c[1] is not best.way):
        own = np.array([p.own for p in way.pairs])[packed.sources]
        floors = np.where(np.isnan(packed.problem.floors) & own, least, packed.problem.floors)
        for side in sorted(set(packed.problem.sides.tolist()) - {0}) or [0]:
            known = least if freest is None else freest.found.margin_m
            found = search(packed.keeping(floors, side), known_m=known, tolerance_m=TOLERANCE_M, most=FEW_BOXES)
            if found.place is not None and found.margin_m >= known:
                freest = Best(found, way)
    return freest or best

"""Yes or no for one packed way, and its roomiest stance: the same rule for both.

Whether anything fits is for the sweep to say; what it leaves open, a close search decides.
"""

from __future__ import annotations

import math

import numpy as np
from attrs import evolve

from standtrue.model.fits import Fits
from standtrue.place.kernels.sweep import MOST_NODES, NO, YES, sweep
from standtrue.place.margin.search import CLOSER_M, FEW_BOXES, TOLERANCE_M, Found, Packed, search
from standtrue.place.question.answer import FIT_M

Pose = tuple[float, float, float]


def decide(packed: Packed, sure: bool = True) -> tuple[Fits, Pose | None]:
    """Whether some stance fits, and one: x, y and heading of the vehicle's origin. Not `sure`: by the sweep alone."""
    verdict, at, _ = sweep(packed.problem, np.array(packed.domain), MOST_NODES)
    if verdict == NO:
        return Fits.NO, None
    if verdict == YES:
        return Fits.YES, packed.origin_of(*(float(v) for v in at[:3]))
    if not sure:
        return Fits.UNDECIDED, None
    found = _closely(packed)
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
    closer = _closely(packed)
    best = max(found, closer, key=lambda f: f.margin_m)
    return evolve(best, bound_m=max(min(found.bound_m, closer.bound_m), best.margin_m), complete=True)


def _closely(packed: Packed) -> Found:
    return search(packed, tolerance_m=CLOSER_M, any_fit=True, most=FEW_BOXES)

"""Yes or no for one packed way: the sweep first, and what it leaves open by the search."""

from __future__ import annotations

import numpy as np

from standtrue.model.fits import Fits
from standtrue.place.kernels.sweep import MOST_NODES, NO, YES, sweep
from standtrue.place.margin.search import CLOSER_M, FEW_BOXES, Packed, search
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
    found = search(packed, tolerance_m=CLOSER_M, any_fit=True, most=FEW_BOXES)
    if found.place is not None and found.margin_m >= FIT_M:
        return Fits.YES, found.place
    return (Fits.NO if found.bound_m < FIT_M else Fits.UNDECIDED), None

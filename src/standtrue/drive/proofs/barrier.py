"""Proofs that there is no way at all, whatever the car could do: headings that it cannot turn through anywhere.

Headings are continuous: between two headings a car turns through all of one arc between them or all of the other. If
at one heading of each arc no position keeps the gaps, there is no path. At a fixed heading the separation of two
convex shapes is a convex function of the position, so over a box of positions it is greatest at a corner.
"""

from __future__ import annotations

import math

from attrs import frozen

from standtrue.drive.kernels.barrier import fits_at
from standtrue.drive.kernels.field import Grid
from standtrue.drive.world.packed import Packed
from standtrue.model.reason import Ref
from standtrue.plane.kernels import Array

STEP_RAD = math.radians(5.0)
MOST_BOXES = 400
"""How many boxes one heading is worth. A car that fits nowhere at a heading shows it soon, as a rule."""

NEAR_M, MOST_MEASURED = 5e-4, 4_000
"""How near the amount told comes to the least that is lacking, and how many boxes that is worth."""


@frozen
class Barrier:
    """A heading at which the car fits nowhere, and by how much it misses at best, metres."""

    heading_rad: float
    lacking_m: float
    thing: Ref


def find_barrier(packed: Packed, g: Grid, far: Array, one_rad: float, two_rad: float) -> Barrier | None:
    """The lesser of two barriers, one on each arc between two headings; None if either arc shows none."""
    arc = math.remainder(two_rad - one_rad, math.tau)
    barred = []
    for span in (arc, arc - math.copysign(math.tau, arc)):
        heading = _on_arc(packed, g, far, one_rad, span)
        if heading is None:
            return None
        barred.append(heading)
    return min((_worst_near(packed, g, far, h) for h in barred), key=lambda b: b.lacking_m)


def _on_arc(packed: Packed, g: Grid, far: Array, one_rad: float, span: float) -> float | None:
    """A heading of an arc at which the car fits nowhere, looked for from the middle outward."""
    steps = max(2, math.ceil(abs(span) / STEP_RAD))
    for k in sorted(range(1, steps), key=lambda k: abs(2 * k - steps)):
        heading = one_rad + span * k / steps
        margin, _ = fits_at(packed.world, g, far, heading, math.inf, MOST_BOXES)
        if margin < 0.0:
            return heading
    return None


def _worst_near(packed: Packed, g: Grid, far: Array, heading: float) -> Barrier:
    """The heading near one that is barred at which most is lacking, by how much, and what bars it."""
    worst = Barrier(heading, 0.0, Ref(""))
    for step in (0.0, -2.0, -1.0, 1.0, 2.0):
        turned = heading + step * STEP_RAD
        margin, pair = fits_at(packed.world, g, far, turned, NEAR_M, MOST_MEASURED)
        if -margin > worst.lacking_m:
            thing = packed.solid_of[packed.world.pairs[pair, 1]] if pair >= 0 else Ref("")
            worst = Barrier(math.remainder(turned, math.tau), float(-margin), thing)
    return worst

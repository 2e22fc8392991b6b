"""The largest margin of packed pairs, with its proven bound, and margins at one pose."""

from __future__ import annotations

import math
from functools import cached_property

import numpy as np
from attrs import evolve, frozen

from standtrue.place.kernels.bounds import Ints, Problem, pair_values, scratch_for
from standtrue.place.kernels.search import best_pose
from standtrue.plane.kernels import Array, rotation_cores

TOLERANCE_M = 5e-4


CLOSER_M = 1e-5
"""The tolerance where the first one leaves open whether anything fits."""


MOST_BOXES = 2_000_000


FEW_BOXES = 40_000
"""Where to stop what is no proof: ranking stances on decks, and a closer look."""


STILL_RAD = 1e-30
"""No turn at all."""


@frozen(eq=False)
class Packed:
    """A problem, where its reference point lies in the vehicle frame, and the domain to search.

    `domain`: x0, y0, x1, y1 of the reference point; center and half-width of the heading.
    `sources`: for each row of the problem's pairs, the index of the pair that it is a piece of.
    The problem and its domain are in axes turned by `axis_rad` from the site's.
    """

    problem: Problem
    reference: tuple[float, float]
    domain: tuple[float, float, float, float, float, float]
    sources: Ints
    axis_rad: float = 0.0

    def origin_of(self, x: float, y: float, heading: float) -> tuple[float, float, float]:
        """The vehicle's origin and heading in the site frame, for a pose of the reference point in the problem's."""
        c, s = math.cos(heading), math.sin(heading)
        rx, ry = self.reference
        x, y = x - c * rx + s * ry, y - s * rx - c * ry
        c, s = math.cos(self.axis_rad), math.sin(self.axis_rad)
        return c * x - s * y, s * x + c * y, math.remainder(heading + self.axis_rad, math.tau)

    def pose_of(self, x: float, y: float, heading: float) -> tuple[float, float, float]:
        """The reverse of `origin_of`."""
        c, s = math.cos(self.axis_rad), math.sin(self.axis_rad)
        x, y, heading = c * x + s * y, c * y - s * x, heading - self.axis_rad
        c, s = math.cos(heading), math.sin(heading)
        rx, ry = self.reference
        return x + c * rx - s * ry, y + s * rx + c * ry, heading

    @cached_property
    def with_cores(self) -> Problem:
        """The problem with its rotation cores, which only the search asks for."""
        q = self.problem
        if len(q.core_at) > 1:
            return q
        cores, core_at = rotation_cores(q.zones, q.zone_at, q.halves)
        return q._replace(cores=cores, core_at=core_at)

    def facing(self, heading_rad: float) -> Packed:
        """The same at one heading only, the vehicle's in the site frame.

        Its single core of each piece is the piece itself. The climb is kept from turning by arms so long that no turn
        is short enough for it, and by a heading (whole turns on) too large for one to show.
        """
        q = self.problem
        problem = q._replace(
            cores=q.zones,
            core_at=q.zone_at,
            halves=np.array([STILL_RAD]),
            arms=np.full_like(q.arms, 1e18),
        )
        x0, y0, x1, y1, *_ = self.domain
        heading = math.remainder(heading_rad - self.axis_rad, math.tau) + 2.0 * math.tau
        return evolve(self, problem=problem, domain=(x0, y0, x1, y1, heading, 0.0))

    def keeping(self, floors: Array, side: int) -> Packed:
        """The problem with other floors, one for each row, and of two exit strips only one: 1 the left, 2 the right."""
        q = self.with_cores
        kept = (q.sides == 0) | (q.sides == side)
        problem = q._replace(
            pairs=q.pairs[kept], gaps=q.gaps[kept], floors=floors[kept], sides=np.zeros(int(kept.sum()), np.int64)
        )
        return evolve(self, problem=problem, sources=self.sources[kept])


@frozen
class Found:
    """The best pose of the vehicle's origin, its margin, and the proven bound on every pose's margin.

    `place` is None if no pose was seen that satisfies the pairs that do not count.
    `complete` is False if the limit of boxes was reached first: the bound holds all the same.
    """

    place: tuple[float, float, float] | None
    margin_m: float
    bound_m: float
    boxes: int
    complete: bool


def search(
    packed: Packed,
    *,
    known_m: float = -math.inf,
    tolerance_m: float = TOLERANCE_M,
    any_fit: bool = False,
    most: int = MOST_BOXES,
) -> Found:
    """The pose of the largest margin, to within `tolerance_m` of the bound that comes with it.

    With `known_m` (a margin already had elsewhere) the search stops as soon as nothing here beats
    it by more than the tolerance. With `any_fit` it stops at the first pose of margin >= 0, or
    when the bound falls below 0.
    """
    best, bound, boxes, complete = best_pose(
        packed.with_cores, np.array(packed.domain), known_m, tolerance_m, any_fit, most
    )
    place = packed.origin_of(*(float(v) for v in best[:3])) if best[3] > -math.inf else None
    return Found(place, float(best[3]), float(bound), int(boxes), bool(complete))


def values_at(packed: Packed, x_m: float, y_m: float, heading_rad: float) -> Array:
    """Separation less gap of every row at one pose of the vehicle's origin."""
    problem = packed.problem
    found: Array = pair_values(problem, scratch_for(problem), *packed.pose_of(x_m, y_m, heading_rad))
    return found

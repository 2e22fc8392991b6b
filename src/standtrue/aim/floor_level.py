"""How level the floor is under some shapes, held against what a card asks, with guard bands.

The surveyed heights are taken as normal with their covariance; everything here is linear in them, but for the greatest
difference and the greatest slope. Both are chosen by the noise as well, and their tests allow for it: a floor just out
is accepted, and one just in rejected, with probability `risk` at most.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from functools import cached_property
from itertools import pairwise

import numpy as np
import shapely
from attrs import evolve, frozen
from numpy.typing import NDArray

from standtrue.aim.conformity import RISK, Tested, decide, guard_factor
from standtrue.aim.floor import UNKNOWN_M2, SurveyedFloor
from standtrue.aim.floor_slope import slope_verdict
from standtrue.aim.uncertainty import Estimate
from standtrue.model.anchors import in_frame, zone_outline
from standtrue.model.basics import Outline, Place, Point
from standtrue.model.procedure import FloorLevel, Procedure
from standtrue.model.vehicle import WHEELS, Vehicle
from standtrue.model.verdict import Verdict
from standtrue.plane.shapes import Convex, polygon

Array = NDArray[np.float64]

NEAR_LIMIT_U = 3.0
"""Pairs of points whose difference lies farther than so many u below the limit cannot pass it by noise."""

ALIKE = 0.2
"""Two points whose difference has less than this share of their variance err alike, and count as one."""

SPARSE = 3.0
"""Floor between heights that lie farther apart than so many times the survey's spacing was hardly looked at: it lies in
a notch of what was surveyed."""

SHARE = 1e-9
"""A surveyed height that counts for less than this counts for nothing."""


@frozen(eq=False, slots=False)
class Level:
    """How level the floor is under some shapes.

    `corners` are where the floor under them can be highest or lowest, `heights` their heights and covariance;
    `gradient` is the rise of the plane that lies best through all the floor under the shapes, metres a metre, and its
    covariance. `unknown` names the shapes over floor that was not wholly surveyed, `rests_on` the surveyed points that
    count, by number. `apart_m` is how far apart heights lie between which floor under the shapes is taken as straight;
    `sparse`: much farther than the survey's own spacing.
    """

    corners: tuple[Point, ...]
    heights: Estimate
    gradient: Estimate
    unknown: tuple[str, ...]
    unknown_m2: float
    rests_on: frozenset[int]
    apart_m: float = 0.0
    sparse: bool = False

    @property
    def lowest_m(self) -> float:
        return float(self.heights.value.min())

    @property
    def highest_m(self) -> float:
        return float(self.heights.value.max())

    @property
    def lowest_at(self) -> Point:
        return self.corners[int(np.argmin(self.heights.value))]

    @property
    def difference_m(self) -> float:
        return self.highest_m - self.lowest_m

    @cached_property
    def _differences_u(self) -> Array:
        """The standard uncertainty of the difference of every two corners' heights, shape (n, n)."""
        spread, own = self.heights.covariance, np.diag(self.heights.covariance)
        squared = own[:, None] + own[None, :] - 2.0 * spread
        return np.sqrt(np.maximum(squared, 0.0))

    @property
    def u_m(self) -> float:
        """The standard uncertainty of the greatest difference in height."""
        high, low = np.argmax(self.heights.value), np.argmin(self.heights.value)
        return float(self._differences_u[high, low])

    @property
    def slope_rad(self) -> float:
        return math.atan(math.hypot(*self.gradient.value))

    @property
    def slope_u_rad(self) -> float:
        """The standard uncertainty of the slope along itself; of the greatest there is where it has no direction."""
        slope = math.hypot(*self.gradient.value)
        if slope == 0.0:
            return math.sqrt(float(np.linalg.eigvalsh(self.gradient.covariance)[-1]))
        along = self.gradient.value / slope
        return math.sqrt(float(along @ self.gradient.covariance @ along)) / (1.0 + slope**2)

    def tested(self, within_m: float, risk: float = RISK) -> Tested:
        """The difference in height against the greatest that is allowed.

        Accepted where every two points are, each with its own guard band: whichever two it is that differ by too much
        in truth, they are accepted with probability `risk` at most. Rejected where some two differ by too much even
        if the worst of as many independent pairs as there are near the limit was picked (Bonferroni).
        """
        tested = decide(self.difference_m, self.u_m, high=within_m, risk=risk)
        u = self._differences_u
        over = self.heights.value[:, None] - self.heights.value[None, :] - within_m
        if np.all(over + guard_factor(risk) * u <= 0.0):
            return evolve(tested, verdict=Verdict.ACCEPT)
        near = over > -NEAR_LIMIT_U * u
        pairs = self._apart(np.any(near, axis=1)) * self._apart(np.any(near, axis=0))
        rejected = bool(np.any(over > guard_factor(risk / max(pairs, 1)) * u))
        return evolve(tested, verdict=Verdict.REJECT if rejected else Verdict.CANNOT_TELL)

    def _apart(self, chosen: NDArray[np.bool_] | np.bool_) -> int:
        """How many of the chosen corners err differently."""
        kept: list[int] = []
        own = np.diag(self.heights.covariance)
        for i in np.flatnonzero(chosen):
            if all(self._differences_u[i, j] ** 2 >= ALIKE * max(own[i], own[j]) for j in kept):
                kept.append(int(i))
        return len(kept)

    def slope_tested(self, within_rad: float, risk: float = RISK) -> Tested:
        """The slope against the greatest that is allowed."""
        tested = decide(self.slope_rad, self.slope_u_rad, high=within_rad, risk=risk)
        return evolve(tested, verdict=slope_verdict(self.gradient, math.tan(within_rad), risk))


@frozen(eq=False)
class Judged:
    """The floor under one stance against what its card asks; `level` None where none of it was surveyed.

    `unknown` is what was not wholly surveyed, `doubtful` the surveyed heights that it rests on and that look misread.
    """

    asked: FloorLevel
    level: Level | None
    unknown: tuple[str, ...]
    doubtful: tuple[int, ...]

    @property
    def difference(self) -> Tested | None:
        """The difference in height against the card's; None where either is missing."""
        within = self.asked.within_m
        return None if self.level is None or within is None else self.level.tested(within)

    @property
    def slope(self) -> Tested | None:
        """The slope against the card's; None where either is missing."""
        within = self.asked.within_rad
        return None if self.level is None or within is None else self.level.slope_tested(within)

    @property
    def verdict(self) -> Verdict:
        """REJECT where what was surveyed is out already; ACCEPT only where all of it was, and nothing looks misread."""
        if self.doubtful:
            return Verdict.CANNOT_TELL
        decided = Verdict.overall([t.verdict for t in (self.difference, self.slope) if t is not None])
        return Verdict.CANNOT_TELL if decided is Verdict.ACCEPT and self.unknown else decided


def judge_level(
    floor: SurveyedFloor, card: Procedure, vehicle: Vehicle, place: Place, height_m: float, doubtful: Collection[int]
) -> Judged | None:
    """The floor under a car at a place on decks of a height (0 on the floor), for a card in the form that is met.

    None where the card asks for no level floor. `doubtful` are the surveyed heights that look misread, by number. Every
    answer about a stance's level comes from here. Raises KeyError if the car lacks what a zone is measured from.
    """
    asked = card.floor_level
    if asked is None:
        return None
    shapes = asked_shapes(card, vehicle, place, height_m)
    # Wheels on raised decks stand on no floor that a survey tells of.
    missing = [name for name in asked.over if name not in shapes] if shapes else list(asked.over or WHEELS)
    level = level_under(floor, shapes) if shapes else None
    unknown = (*missing, *(shapes if level is None else level.unknown))
    rests_on = frozenset() if level is None else level.rests_on
    return Judged(asked, level, unknown, tuple(sorted(rests_on & set(doubtful))))


def asked_shapes(card: Procedure, vehicle: Vehicle, place: Place, height_m: float = 0.0) -> dict[str, Outline]:
    """The zones and wheels over which a card asks for level floor, in the site frame; all that stand on the floor where
    it names none. Wheels on decks at floor level stand on it."""
    assert card.floor_level is not None
    over, frame = card.floor_level.over, ((place.x_m, place.y_m), place.heading_rad)
    zones = {
        zone.name: in_frame(frame, zone_outline(zone, card, vehicle))
        for zone in card.zones
        if zone.name in over or (not over and zone.needs == "stand")
    }
    wheels = {} if height_m > 0.0 else {w: in_frame(frame, outline) for w, outline in vehicle.wheel_patches}
    return zones | {wheel: outline for wheel, outline in wheels.items() if wheel in over or not over}


def level_under(floor: SurveyedFloor, shapes: Mapping[str, Outline]) -> Level | None:
    """How level the floor is under all the shapes together; None where none of them was surveyed."""
    found = {name: floor.pieces(outline) for name, outline in shapes.items()}
    pieces = [piece for parts in found.values() for piece in parts]
    if not pieces:
        return None
    rows = _distinct([(i, (float(x), float(y))) for i, piece in pieces for x, y in piece], floor)
    gradient = _best_slope(floor, pieces)
    missing = {
        name: polygon(outline).area - shapely.intersection(polygon(outline), floor.known).area
        for name, outline in shapes.items()
    }
    shares = np.array([share for _, share in rows])
    counts = np.flatnonzero(np.abs(np.vstack([shares, gradient])).max(axis=0) > SHARE)
    return Level(
        tuple(at for at, _ in rows),
        _estimate(shares, floor),
        _estimate(gradient, floor),
        tuple(name for name, area in missing.items() if area > UNKNOWN_M2),
        sum(area for area in missing.values() if area > UNKNOWN_M2),
        frozenset(int(i) for i in counts),
        apart := floor.apart_m({i for i, _ in pieces}),
        apart > SPARSE * floor.spacing_m,
    )


def _estimate(shares: Array, floor: SurveyedFloor) -> Estimate:
    return Estimate(shares @ floor.measured, shares @ floor.covariance @ shares.T)


def _distinct(corners: Sequence[tuple[int, Point]], floor: SurveyedFloor) -> list[tuple[Point, Array]]:
    """Each corner of the pieces once, with its shares of the surveyed heights."""
    spots = {(round(x, 7), round(y, 7)): (triangle, (x, y)) for triangle, (x, y) in corners}
    return [(at, floor.shares_in(triangle, at)) for triangle, at in spots.values()]


def _best_slope(floor: SurveyedFloor, pieces: Sequence[tuple[int, Convex]]) -> Array:
    """The gradient of the plane with the least integral of squared differences from the floor, as shares of the
    surveyed heights, shape (2, p).

    Over a triangle the three midpoints of its sides integrate squares of linear functions exactly.
    """
    spots, weights, heights = [], [], []
    for index, piece in pieces:
        for one, two in pairwise(piece[1:]):
            first, second = one - piece[0], two - piece[0]
            area = abs(float(first[0] * second[1] - first[1] * second[0])) / 2
            for spot in ((piece[0] + one) / 2, (one + two) / 2, (two + piece[0]) / 2):
                spots.append([1.0, *spot])
                weights.append(math.sqrt(area / 3))
                heights.append(floor.shares_in(index, (float(spot[0]), float(spot[1]))))
    root = np.array(weights)[:, None]
    origin = [0.0, spots[0][1], spots[0][2]]
    solved = np.linalg.lstsq((np.array(spots) - origin) * root, np.array(heights) * root, rcond=None)[0]
    return np.asarray(solved[1:], dtype=np.float64)

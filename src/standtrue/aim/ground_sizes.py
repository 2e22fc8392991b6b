"""The floor under a set-up as a body: where heights start, what a lean against gravity lacks, and how well.

The surveyed heights are correlated, so that the plane of the wheels and the floor under each target are too. They
hang on independent sizes of one standard uncertainty: the eigenvectors of their covariance (JCGM 101:2008, 6.4.8).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from standtrue.aim.bodies import Tip
from standtrue.aim.ground_under import FloorUnder
from standtrue.aim.layout import TargetPlace
from standtrue.aim.points import Moves, Reachable, Size
from standtrue.model.basics import Place
from standtrue.model.setup import FLOOR_START, WHEELS_START

Array = NDArray[np.float64]

SHARE = 0.01
"""The standard uncertainty of each size of the ground, in its own unit; only its products mean metres or radians."""


@frozen(slots=False)
class GroundSizes:
    """What heights and leans of targets start from, in a frame in which the plane of the wheels is level.

    `height_m` is the ground of the wheels above the shop's floor. Without a survey (`floor` None) the floor is taken
    as level. `middle_m` is how far ahead of the rear axle the middle of the wheels lies: there a level line of sight
    through the wheels' ground meets their plane.
    """

    place: Place
    height_m: float
    middle_m: float
    floor: FloorUnder | None = None
    _shares: Array = field(init=False, eq=False)

    def __attrs_post_init__(self) -> None:
        object.__setattr__(self, "_shares", np.zeros((0, 0)) if self.floor is None else _root(self.floor))

    @property
    def sizes(self) -> tuple[Size, ...]:
        """The sizes that the floor hangs on, none without a survey."""
        return tuple(Size(name, 0.0, SHARE) for name in self._names)

    def points_of(self, target: TargetPlace) -> tuple[Reachable, ...]:
        """Where heights of a target start: the floor right below it, and the level of the wheels' ground there."""
        x, y, _ = target.center
        level = self._ahead_left(x, y) @ self._rise
        floor = 0.0
        below = np.zeros(len(self._names))
        index = None if self.floor is None else self.floor.index(target.name)
        if self.floor is not None and index is not None:
            floor = self.height_m + float(self.floor.joint.value[index])
            below = self._shares[index]
        sinks = -self._ahead_left(x, y) @ self._rise_shares
        return (
            Reachable(_name(FLOOR_START, target), (x, y, floor), self._up(below)),
            Reachable(_name(WHEELS_START, target), (x, y, self.height_m - float(level)), self._up(sinks)),
        )

    @staticmethod
    def starts_of(target: TargetPlace) -> tuple[tuple[str, str], ...]:
        """The words for where heights of a target start, and the points that they mean."""
        return tuple((word, _name(word, target)) for word in (FLOOR_START, WHEELS_START))

    def tip_of(self, target: TargetPlace) -> Tip:
        """How much the plane of the wheels rises the way a target faces."""
        facing = target.facing_rad - self.place.heading_rad
        return self._rising(np.array([math.cos(facing), math.sin(facing)]))

    @property
    def rises(self) -> tuple[Tip, Tip] | None:
        """How much the plane of the wheels rises along the site's x and y; None where the floor is taken as level."""
        if self.floor is None:
            return None
        c, s = math.cos(self.place.heading_rad), math.sin(self.place.heading_rad)
        return self._rising(np.array([c, -s])), self._rising(np.array([s, c]))

    def _rising(self, way: Array) -> Tip:
        """How much the plane rises in a direction of the vehicle frame."""
        shares = way @ self._rise_shares
        return Tip(float(way @ self._rise), tuple(zip(self._names, map(float, shares), strict=True)))

    @property
    def _names(self) -> tuple[str, ...]:
        return tuple(f"floor {i}" for i in range(1, self._shares.shape[1] + 1))

    @property
    def _rise(self) -> Array:
        """The plane's rise forward and to the left, metres a metre."""
        return np.zeros(2) if self.floor is None else self.floor.joint.value[1:3]

    @property
    def _rise_shares(self) -> Array:
        return np.zeros((2, 0)) if self.floor is None else self._shares[1:3]

    def _ahead_left(self, x: float, y: float) -> Array:
        """How far a point lies ahead and to the left of the middle of the wheels."""
        dx, dy = x - self.place.x_m, y - self.place.y_m
        c, s = math.cos(self.place.heading_rad), math.sin(self.place.heading_rad)
        return np.array([c * dx + s * dy - self.middle_m, c * dy - s * dx])

    def _up(self, shares: Sequence[float] | Array) -> Moves:
        pairs = zip(self._names, map(float, shares), strict=True)
        return tuple((name, (0.0, 0.0, share)) for name, share in pairs)


def _name(word: str, target: TargetPlace) -> str:
    return f"{word}: {target.name}"


def _root(floor: FloorUnder) -> Array:
    """What the joint quantities of a floor move with each size, shape (3 + targets, sizes)."""
    strengths, ways = np.linalg.eigh(floor.joint.covariance)
    kept = strengths > 1e-6 * max(float(strengths[-1]), 1e-30)
    return np.asarray(ways[:, kept] * np.sqrt(strengths[kept]) / SHARE)

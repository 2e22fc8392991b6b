"""Bodies, their points, and the readings between points: what is measured, and how it changes with the unknowns.

Every quantity is computed for many sets of unknowns at once, so that a simulation costs little more than one solution.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

Array = NDArray[np.float64]
Spot = tuple[float, float, float]

Unknown = Literal["x", "y", "z", "turn", "lean"]
POSE: tuple[Unknown, ...] = ("x", "y", "z", "turn", "lean")
What = Literal["distance", "offset", "height", "angle", "lean"]

_ENDS: dict[str, tuple[tuple[int, ...], int]] = {
    "distance": ((1,), 1),
    "offset": ((2,), 1),
    "height": ((0, 1), 1),
    "angle": ((2,), 2),
    "lean": ((0,), 1),
}
"""How many points a reading starts from, and ends at."""


@frozen
class Body:
    """Something rigid with named points: the car, a target, the floor with its marks.

    `points` are in the body's own frame, metres (x forward, y left, z up). `at` and `turn_rad` place it in the site
    frame, `lean_rad` turns it about its own y axis first (positive: its front, which looks along x, tips down).
    `free` are the unknowns to be found; `at`, `turn_rad`, `lean_rad` are then where the search for them begins.
    """

    name: str
    points: tuple[tuple[str, Spot], ...]
    at: Spot = (0.0, 0.0, 0.0)
    turn_rad: float = 0.0
    lean_rad: float = 0.0
    free: tuple[Unknown, ...] = ()

    @property
    def pose(self) -> dict[Unknown, float]:
        """Where it stands, or the search for it begins: metres and radians, by unknown."""
        return dict(zip(POSE, (*self.at, self.turn_rad, self.lean_rad), strict=True))


@frozen
class Reading:
    """One reading: metres or radians, and its standard uncertainty.

    - `distance` from one point to another; straight, or on the floor between the two points plumbed down (`plumbed`);
    - `offset` of a point from the line through two others, on the plan, positive to the left of the line;
    - `height` of a point above another, or above the floor (z = 0) where `start` is empty;
    - `angle` on the plan from the line through two points (`start`) to that through two others (`end`), positive
      counter-clockwise;
    - `lean` of the body that the point belongs to.

    Raises ValueError for the wrong number of points, or an uncertainty that is not positive.
    """

    what: What
    start: tuple[str, ...]
    end: tuple[str, ...]
    value: float
    u: float
    plumbed: bool = False
    name: str = ""

    def __attrs_post_init__(self) -> None:
        starts, ends = _ENDS[self.what]
        if len(self.start) not in starts or len(self.end) != ends:
            raise ValueError(f"{self.what}: wrong number of points")
        if not (self.u > 0.0 and math.isfinite(self.u) and math.isfinite(self.value)):
            raise ValueError(f"{self.what}: a reading is finite and its standard uncertainty positive")

    @property
    def points(self) -> tuple[str, ...]:
        return (*self.start, *self.end)

    @property
    def title(self) -> str:
        """How a person calls it."""
        if self.name:
            return self.name
        ends = " - ".join(self.end)
        starts = " - ".join(self.start)
        if self.what == "distance":
            return f"distance {starts} to {ends}" + (" on the floor" if self.plumbed else "")
        if self.what == "offset":
            return f"offset of {ends} from the line {starts}"
        if self.what == "angle":
            return f"angle from {starts} to {ends}"
        return f"{self.what} of {ends}" + (f" above {starts}" if starts else "")


class Network:
    """Bodies whose unknowns are to be found together. Raises ValueError if two points have one name."""

    def __init__(self, bodies: Sequence[Body]) -> None:
        self.bodies = tuple(bodies)
        self.unknowns: tuple[tuple[str, Unknown], ...] = tuple((b.name, u) for b in bodies for u in b.free)
        self._column = {unknown: i for i, unknown in enumerate(self.unknowns)}
        self._home: dict[str, tuple[Body, Spot]] = {}
        for body in bodies:
            for name, spot in body.points:
                if name in self._home:
                    raise ValueError(f"two points are called {name}")
                self._home[name] = (body, spot)
        self.start: Array = np.array([b.pose[u] for b in bodies for u in b.free], dtype=np.float64)

    def column(self, body: str, unknown: Unknown) -> int:
        """Where an unknown stands in the vector of unknowns. Raises KeyError if it is not free."""
        return self._column[body, unknown]

    def missing(self, readings: Sequence[Reading]) -> tuple[str, ...]:
        """The points that readings name and no body has."""
        return tuple(dict.fromkeys(p for r in readings for p in r.points if p not in self._home))

    def pose(self, body: str, unknowns: Array) -> Array:
        """x, y, z, turn and lean of a body, shape (..., 5)."""
        found = next(b for b in self.bodies if b.name == body)
        return np.stack([self._value(found, name, unknowns) for name in POSE], axis=-1)

    def place(self, point: str, unknowns: Array) -> tuple[Array, Array]:
        """Where a point lies, shape (..., 3), and its derivatives by the unknowns, shape (..., 3, p)."""
        body, spot = self._home[point]
        values = {name: self._value(body, name, unknowns) for name in POSE}
        ct, st, cl, sl = (f(values[n]) for n in ("turn", "lean") for f in (np.cos, np.sin))
        px, py, pz = spot
        ahead, up = cl * px + sl * pz, cl * pz - sl * px
        here = np.stack(
            [values["x"] + ct * ahead - st * py, values["y"] + st * ahead + ct * py, values["z"] + up], axis=-1
        )
        slopes = np.zeros((*here.shape, len(self.unknowns)))
        for axis, name in enumerate(POSE[:3]):
            self._put(slopes, body, name, axis, 1.0)
        self._put(slopes, body, "turn", 0, -st * ahead - ct * py)
        self._put(slopes, body, "turn", 1, ct * ahead - st * py)
        self._put(slopes, body, "lean", 0, ct * up)
        self._put(slopes, body, "lean", 1, st * up)
        self._put(slopes, body, "lean", 2, -ahead)
        return here, slopes

    def predict(self, readings: Sequence[Reading], unknowns: Array) -> tuple[Array, Array]:
        """What the readings would be, shape (..., n), and their derivatives, shape (..., n, p)."""
        spots = {p: self.place(p, unknowns) for p in dict.fromkeys(p for r in readings for p in r.points)}
        found = [self._one(reading, spots, unknowns) for reading in readings]
        return np.stack([v for v, _ in found], axis=-1), np.stack([d for _, d in found], axis=-2)

    def differences(self, readings: Sequence[Reading], observed: Array, predicted: Array) -> Array:
        """Observed less predicted; angles the short way round."""
        off = observed - predicted
        turns = np.array([r.what == "angle" for r in readings])
        return np.where(turns, np.arctan2(np.sin(off), np.cos(off)), off)

    def _value(self, body: Body, name: Unknown, unknowns: Array) -> Array:
        column = self._column.get((body.name, name))
        if column is not None:
            return unknowns[..., column]
        return np.full(unknowns.shape[:-1], body.pose[name])

    def _put(self, slopes: Array, body: Body, name: Unknown, axis: int, value: Array | float) -> None:
        column = self._column.get((body.name, name))
        if column is not None:
            slopes[..., axis, column] = value

    def _one(self, reading: Reading, spots: dict[str, tuple[Array, Array]], unknowns: Array) -> tuple[Array, Array]:
        if reading.what == "lean":
            return self._lean(reading, unknowns)
        if reading.what == "angle":
            first, by_first = _direction(*(spots[p] for p in reading.start))
            second, by_second = _direction(*(spots[p] for p in reading.end))
            turned = second - first
            return np.arctan2(np.sin(turned), np.cos(turned)), by_second - by_first
        end, by_end = spots[reading.end[0]]
        if reading.what == "height":
            if not reading.start:
                return end[..., 2], by_end[..., 2, :]
            start, by_start = spots[reading.start[0]]
            return end[..., 2] - start[..., 2], by_end[..., 2, :] - by_start[..., 2, :]
        if reading.what == "offset":
            return _offset(spots[reading.start[0]], spots[reading.start[1]], (end, by_end))
        start, by_start = spots[reading.start[0]]
        axes = 2 if reading.plumbed else 3
        way, by_way = (end - start)[..., :axes], (by_end - by_start)[..., :axes, :]
        length = np.maximum(np.sqrt(np.sum(way * way, axis=-1)), 1e-12)
        return length, np.einsum("...i,...ip->...p", way / length[..., None], by_way)

    def _lean(self, reading: Reading, unknowns: Array) -> tuple[Array, Array]:
        body, _ = self._home[reading.end[0]]
        slopes = np.zeros((*unknowns.shape[:-1], len(self.unknowns)))
        column = self._column.get((body.name, "lean"))
        if column is not None:
            slopes[..., column] = 1.0
        return self._value(body, "lean", unknowns), slopes


def _line(start: tuple[Array, Array], end: tuple[Array, Array]) -> tuple[Array, Array, Array, Array]:
    """Along and left of the line on the plan, its length, and how far its end moves to the left of its start."""
    way, by_way = (end[0] - start[0])[..., :2], (end[1] - start[1])[..., :2, :]
    length = np.maximum(np.hypot(way[..., 0], way[..., 1]), 1e-12)
    along = way / length[..., None]
    left = np.stack([-along[..., 1], along[..., 0]], axis=-1)
    return along, left, length, np.einsum("...i,...ip->...p", left, by_way)


def _direction(start: tuple[Array, Array], end: tuple[Array, Array]) -> tuple[Array, Array]:
    along, _, length, sway = _line(start, end)
    return np.arctan2(along[..., 1], along[..., 0]), sway / length[..., None]


def _offset(start: tuple[Array, Array], end: tuple[Array, Array], point: tuple[Array, Array]) -> tuple[Array, Array]:
    along, left, length, sway = _line(start, end)
    away, by_away = (point[0] - start[0])[..., :2], (point[1] - start[1])[..., :2, :]
    beside = np.sum(left * away, axis=-1)
    share = np.sum(along * away, axis=-1) / length
    return beside, np.einsum("...i,...ip->...p", left, by_away) - share[..., None] * sway

"""Bodies, their points, and the readings between points: what is measured, and how it changes with the unknowns.

Every quantity is computed for many sets of unknowns at once, so that a simulation costs little more than one solution.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property

import numpy as np
from attrs import Factory, field, frozen
from numpy.typing import NDArray

from standtrue.aim.points import Moves, Size, Spot
from standtrue.model.reason import Ref
from standtrue.model.setup import FLOOR_START, POINTS_OF_MEASURE, SetupReading

Array = NDArray[np.float64]

Unknown = str
"""One of POSE, or the name of a size."""

POSE: tuple[Unknown, ...] = ("x", "y", "z", "turn", "lean")


@frozen
class Tip:
    """How much the plane that leans count from rises the way a body faces, radians, and by each size; a lean that is
    read against gravity is smaller by this."""

    value: float = 0.0
    by: tuple[tuple[str, float], ...] = ()


@frozen
class Body:
    """Something rigid with named points: the car, a target, the floor with its marks.

    `points` are in the body's own frame, metres (x forward, y left, z up). `at` and `turn_rad` place it in the site
    frame, `lean_rad` turns it about its own y axis first (positive: its front, which looks along x, tips down).
    `free` are the unknowns to be found; `at`, `turn_rad`, `lean_rad` are then where the search for them begins.
    `ref` is what is meant by it; a target by default. Points move with `sizes` as `moves` says, point by point.
    `starts` are the points that heights of this body mean by a word such as `wheels`; `tip` is for its lean. Of the
    floor, `rises` says how much the plane that heights count from rises along x and along y: bobs hang aslant to it.
    """

    name: str
    points: tuple[tuple[str, Spot], ...]
    at: Spot = (0.0, 0.0, 0.0)
    turn_rad: float = 0.0
    lean_rad: float = 0.0
    free: tuple[Unknown, ...] = ()
    ref: Ref = field(default=Factory(lambda self: Ref("target", self.name), takes_self=True))
    sizes: tuple[Size, ...] = ()
    moves: tuple[tuple[str, Moves], ...] = ()
    starts: tuple[tuple[str, str], ...] = ()
    tip: Tip = field(default=Tip())
    rises: tuple[Tip, Tip] | None = None

    @property
    def pose(self) -> dict[Unknown, float]:
        """Where it stands, or the search for it begins: metres and radians, by unknown."""
        return dict(zip(POSE, (*self.at, self.turn_rad, self.lean_rad), strict=True))

    def begin(self, unknown: Unknown) -> float:
        """Where the search for an unknown begins: a size as it is stated."""
        return {**self.pose, **{size.name: size.value for size in self.sizes}}[unknown]


@frozen
class Reading(SetupReading):
    """One reading as the network takes it: metres or radians, and its standard uncertainty.

    - `distance` from one point to another; straight, or on the floor between the two points plumbed down (`plumbed`);
    - `offset` of a point from the line through two others, on the plan, positive to the left of the line;
    - `height` of a point above another, or above the floor (z = 0) where `start` is empty; of a target also from the
      floor right below it or from the wheels' ground, by the words of its body;
    - `angle` on the plan from the line through two points (`start`) to that through two others (`end`), positive
      counter-clockwise;
    - `lean` of the body that the point belongs to, against gravity;
    - `size`: a size as it is stated (`end` is its name), which nobody reads: what is known of it beforehand.

    Raises ValueError for the wrong number of points, or an uncertainty that is not positive.
    """

    def __attrs_post_init__(self) -> None:
        starts, ends = POINTS_OF_MEASURE[self.what]
        if len(self.start) not in starts or len(self.end) != ends:
            raise ValueError(f"{self.what}: wrong number of points")
        if not (self.u > 0.0 and math.isfinite(self.u) and math.isfinite(self.value)):
            raise ValueError(f"{self.what}: a reading is finite and its standard uncertainty positive")

    @property
    def points(self) -> tuple[str, ...]:
        return (*self.start, *self.end)

    @property
    def is_angle(self) -> bool:
        """Whether its value is in radians."""
        return self.what in ("angle", "lean")


@frozen(eq=False)
class _Layout:
    """Some points of a network: their bodies' rows (m,), where they lie in these, (m, 3), the columns of the sizes that
    move them, each (m, 3), and the columns of the poses, each with which of the points it moves.
    """

    rows: NDArray[np.int_]
    local: Array
    moving: list[tuple[int, Array]]
    posed: list[tuple[int, Unknown, NDArray[np.int_]]]


class Network:
    """Bodies whose unknowns are to be found together. Raises ValueError if two points or sizes have one name."""

    def __init__(self, bodies: Sequence[Body]) -> None:
        self.bodies = tuple(bodies)
        self.unknowns: tuple[tuple[str, Unknown], ...] = tuple((b.name, u) for b in bodies for u in b.free)
        self.start: Array = np.array([b.begin(u) for b in bodies for u in b.free], dtype=np.float64)
        self._column = {unknown: i for i, unknown in enumerate(self.unknowns)}
        self._row = {body.name: i for i, body in enumerate(self.bodies)}
        self._fixed = np.array([[b.pose[u] for u in POSE] for b in bodies], dtype=np.float64)
        self._home: dict[str, tuple[int, Spot]] = {}
        for row, body in enumerate(self.bodies):
            for name, spot in body.points:
                if name in self._home:
                    raise ValueError(f"two points are called {name}")
                self._home[name] = (row, spot)
        self._sizes = {size.name: (body.name, size) for body in self.bodies for size in body.sizes}
        if len(self._sizes) < sum(len(body.sizes) for body in self.bodies):
            raise ValueError("two sizes have one name")
        self._moves = {point: moves for body in self.bodies for point, moves in body.moves}
        self._layouts: dict[tuple[str, ...], _Layout] = {}
        self._starts = [dict(body.starts) for body in self.bodies]
        self._rises = next((body.rises for body in self.bodies if body.rises is not None), None)
        self.priors: tuple[Reading, ...] = tuple(
            Reading("size", (), (size.name,), size.value, size.u)
            for body, size in self._sizes.values()
            if (body, size.name) in self._column and math.isfinite(size.u)
        )

    @cached_property
    def given(self) -> Array:
        """The information that there is before anything is read, shape (p, p): what is known of the free sizes."""
        own = [(self._column[self._sizes[r.end[0]][0], r.end[0]], r.u) for r in self.priors]
        known = np.zeros(len(self.unknowns))
        for column, u in own:
            known[column] = 1.0 / u**2
        return np.diag(known)

    def column(self, body: str, unknown: Unknown) -> int:
        """Where an unknown stands in the vector of unknowns. Raises KeyError if it is not free."""
        return self._column[body, unknown]

    @property
    def points(self) -> tuple[str, ...]:
        """The names of all points."""
        return tuple(self._home)

    def missing(self, readings: Sequence[Reading]) -> tuple[str, ...]:
        """The points that readings name and no body has."""
        named = ((p, self._sizes if r.what == "size" else self._home) for r in readings for p in self._named(r))
        return tuple(dict.fromkeys(p for p, known in named if p not in known))

    def _named(self, reading: Reading) -> tuple[str, ...]:
        """The points of a reading; where a height starts by a word, the point that its target means by it."""
        if reading.what != "height" or reading.end[0] not in self._home:
            return reading.points
        starts = self._starts[self._home[reading.end[0]][0]]
        start = reading.start or ((FLOOR_START,) if FLOOR_START in starts else ())
        return (*(starts.get(point, point) for point in start), *reading.end)

    def pose(self, body: str, unknowns: Array) -> Array:
        """x, y, z, turn and lean of a body, shape (..., 5)."""
        return self._poses(unknowns)[..., self._row[body], :]

    def place(self, point: str, unknowns: Array) -> tuple[Array, Array]:
        """Where a point lies, shape (..., 3), and its derivatives by the unknowns, shape (..., 3, p)."""
        here, slopes = self._places([point], unknowns)
        return here[..., 0, :], slopes[..., 0, :, :]

    def predict(self, readings: Sequence[Reading], unknowns: Array) -> tuple[Array, Array]:
        """What the readings would be, shape (..., n), and their derivatives, shape (..., n, p)."""
        named = [self._named(r) if r.what != "size" else () for r in readings]
        names = list(dict.fromkeys(p for points in named for p in points))
        here, slopes = self._places(names, unknowns)
        below, below_slopes = self._plumbed(here, slopes, unknowns)
        number = {name: i for i, name in enumerate(names)}
        values = np.empty((*unknowns.shape[:-1], len(readings)))
        rows = np.zeros((*values.shape, len(self.unknowns)))
        groups: dict[tuple[str, bool, int], list[int]] = {}
        for i, reading in enumerate(readings):
            groups.setdefault((reading.what, reading.plumbed, len(named[i])), []).append(i)
        for (what, plumbed, _), group in groups.items():
            if what == "size":
                values[..., group], rows[..., group, :] = self._stated([readings[i].end[0] for i in group], unknowns)
                continue
            columns = np.array([[number[p] for p in named[i]] for i in group]).T
            spots, moves = (below, below_slopes) if plumbed or what in ("offset", "angle") else (here, slopes)
            points = [(spots[..., column, :], moves[..., column, :, :]) for column in columns]
            if what == "lean":
                values[..., group], rows[..., group, :] = self._leans([readings[i].end[0] for i in group], unknowns)
            else:
                values[..., group], rows[..., group, :] = _read(what, plumbed, points)
        return values, rows

    def differences(self, readings: Sequence[Reading], observed: Array, predicted: Array) -> Array:
        """Observed less predicted; angles the short way round."""
        off = observed - predicted
        turns = np.array([r.what == "angle" for r in readings])
        return np.where(turns, np.arctan2(np.sin(off), np.cos(off)), off)

    def _poses(self, unknowns: Array) -> Array:
        """The pose of every body, shape (..., bodies, 5)."""
        poses = np.broadcast_to(self._fixed, (*unknowns.shape[:-1], *self._fixed.shape)).copy()
        for (body, unknown), column in self._column.items():
            if unknown not in POSE:
                continue
            poses[..., self._row[body], POSE.index(unknown)] = unknowns[..., column]
        return poses

    def _places(self, names: Sequence[str], unknowns: Array) -> tuple[Array, Array]:
        """Where points lie, shape (..., m, 3), and the derivatives by the unknowns, shape (..., m, 3, p)."""
        layout = self._layout(tuple(names))
        rows = layout.rows
        local = self._moved(layout, unknowns)
        px, py, pz = np.moveaxis(local, -1, 0)
        x, y, z, turn, lean = np.moveaxis(self._poses(unknowns)[..., rows, :], -1, 0)
        ct, st, cl, sl = np.cos(turn), np.sin(turn), np.cos(lean), np.sin(lean)
        ahead, up = cl * px + sl * pz, cl * pz - sl * px
        here = np.stack([x + ct * ahead - st * py, y + st * ahead + ct * py, z + up], axis=-1)
        none, one = np.zeros_like(x), np.ones_like(x)
        by: dict[Unknown, tuple[Array, Array, Array]] = {
            "x": (one, none, none),
            "y": (none, one, none),
            "z": (none, none, one),
            "turn": (-st * ahead - ct * py, ct * ahead - st * py, none),
            "lean": (ct * up, st * up, -ahead),
        }
        slopes = np.zeros((*here.shape, len(self.unknowns)))
        for column, by_size in layout.moving:
            dx, dy, dz = by_size.T
            out, rise = cl * dx + sl * dz, cl * dz - sl * dx
            slopes[..., column] = np.stack([ct * out - st * dy, st * out + ct * dy, rise], axis=-1)
        for column, unknown, own in layout.posed:
            for axis, part in enumerate(by[unknown]):
                slopes[..., own, axis, column] = part[..., own]
        return here, slopes

    def _layout(self, names: tuple[str, ...]) -> _Layout:
        """What of these points no unknown changes: looked up once for all steps of a search."""
        if names not in self._layouts:
            rows = np.array([self._home[name][0] for name in names], dtype=np.int_)
            local = np.array([self._home[name][1] for name in names], dtype=np.float64).reshape(-1, 3)
            moving: dict[int, Array] = {}
            for i, name in enumerate(names):
                for size, way in self._moves.get(name, ()):
                    column = self._column.get((self._sizes[size][0], size))
                    if column is not None:
                        moving.setdefault(column, np.zeros((len(names), 3)))[i] += way
            of_poses = (
                (column, unknown, np.flatnonzero(rows == self._row[body]))
                for (body, unknown), column in self._column.items()
                if unknown in POSE
            )
            posed = [(column, unknown, own) for column, unknown, own in of_poses if own.size]
            self._layouts[names] = _Layout(rows, local, list(moving.items()), posed)
        return self._layouts[names]

    def _plumbed(self, here: Array, slopes: Array, unknowns: Array) -> tuple[Array, Array]:
        """The points, (..., m, 3), where bobs that hang from them fall, and the derivatives, (..., m, 3, p).

        A bob hangs along gravity: where the plane rises by so much a metre, it falls by so much of its length back.
        """
        if self._rises is None:
            return here, slopes
        here, slopes, high, by_high = here.copy(), slopes.copy(), here[..., 2], slopes[..., 2, :]
        for axis, rise in enumerate(self._rises):
            steep, shares = self._tipped(rise, unknowns)
            here[..., axis] -= high * steep[..., None]
            slopes[..., axis, :] -= by_high * steep[..., None, None] + high[..., None] * shares
        return here, slopes

    def _tipped(self, tip: Tip, unknowns: Array) -> tuple[Array, Array]:
        """A rise, shape (...), and its derivatives by the unknowns, shape (p,)."""
        value = np.full(unknowns.shape[:-1], tip.value)
        shares = np.zeros(len(self.unknowns))
        for size, share in tip.by:
            column = self._column.get((self._sizes[size][0], size))
            if column is not None:
                value = value + share * (unknowns[..., column] - self.start[column])
                shares[column] += share
        return value, shares

    def local(self, point: str, unknowns: Array) -> Array:
        """Where a point lies in its own body's frame, shape (..., 3)."""
        return self._moved(self._layout((point,)), unknowns)[..., 0, :]

    def _moved(self, layout: _Layout, unknowns: Array) -> Array:
        """Points in their bodies' frames, (..., m, 3), moved by the sizes that are not known."""
        local = np.broadcast_to(layout.local, (*unknowns.shape[:-1], *layout.local.shape))
        for column, by_size in layout.moving:
            local = local + (unknowns[..., column] - self.start[column])[..., None, None] * by_size
        return local

    def _stated(self, sizes: Sequence[str], unknowns: Array) -> tuple[Array, Array]:
        """Sizes as they are, shape (..., k), and their derivatives, shape (..., k, p)."""
        values = np.empty((*unknowns.shape[:-1], len(sizes)))
        slopes = np.zeros((*values.shape, len(self.unknowns)))
        for i, name in enumerate(sizes):
            body, size = self._sizes[name]
            column = self._column.get((body, name))
            values[..., i] = size.value if column is None else unknowns[..., column]
            if column is not None:
                slopes[..., i, column] = 1.0
        return values, slopes

    def _leans(self, points: Sequence[str], unknowns: Array) -> tuple[Array, Array]:
        rows = [self._home[point][0] for point in points]
        slopes = np.zeros((*unknowns.shape[:-1], len(points), len(self.unknowns)))
        for i, row in enumerate(rows):
            column = self._column.get((self.bodies[row].name, "lean"))
            if column is not None:
                slopes[..., i, column] = 1.0
        values = self._poses(unknowns)[..., rows, POSE.index("lean")]
        for i, row in enumerate(rows):
            tip, shares = self._tipped(self.bodies[row].tip, unknowns)
            values[..., i] -= tip
            slopes[..., i, :] -= shares
        return values, slopes


Placed = tuple[Array, Array]
"""Points (..., k, 3) and their derivatives (..., k, 3, p)."""


def _read(what: str, plumbed: bool, points: Sequence[Placed]) -> Placed:
    """Readings of one kind: values (..., k) and derivatives (..., k, p)."""
    if what == "angle":
        first, by_first = _direction(points[0], points[1])
        second, by_second = _direction(points[2], points[3])
        turned = second - first
        return np.arctan2(np.sin(turned), np.cos(turned)), by_second - by_first
    if what == "offset":
        return _offset(points[0], points[1], points[2])
    end, by_end = points[-1]
    if what == "height":
        if len(points) == 1:
            return end[..., 2], by_end[..., 2, :]
        start, by_start = points[0]
        return end[..., 2] - start[..., 2], by_end[..., 2, :] - by_start[..., 2, :]
    start, by_start = points[0]
    axes = 2 if plumbed else 3
    way, by_way = (end - start)[..., :axes], (by_end - by_start)[..., :axes, :]
    length = np.maximum(np.sqrt(np.sum(way * way, axis=-1)), 1e-12)
    return length, np.einsum("...i,...ip->...p", way / length[..., None], by_way)


def _line(start: Placed, end: Placed) -> tuple[Array, Array, Array, Array]:
    """Along and left of the line on the plan, its length, and how far its end moves to the left of its start."""
    way, by_way = (end[0] - start[0])[..., :2], (end[1] - start[1])[..., :2, :]
    length = np.maximum(np.hypot(way[..., 0], way[..., 1]), 1e-12)
    along = way / length[..., None]
    left = np.stack([-along[..., 1], along[..., 0]], axis=-1)
    return along, left, length, np.einsum("...i,...ip->...p", left, by_way)


def _direction(start: Placed, end: Placed) -> Placed:
    along, _, length, sway = _line(start, end)
    return np.arctan2(along[..., 1], along[..., 0]), sway / length[..., None]


def _offset(start: Placed, end: Placed, point: Placed) -> Placed:
    along, left, length, sway = _line(start, end)
    away, by_away = (point[0] - start[0])[..., :2], (point[1] - start[1])[..., :2, :]
    beside = np.sum(left * away, axis=-1)
    share = np.sum(along * away, axis=-1) / length
    return beside, np.einsum("...i,...ip->...p", left, by_away) - share[..., None] * sway

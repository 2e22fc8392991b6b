"""The packed world: a car in convex pieces, everything solid in convex pieces, and which must keep how far apart.

Plain arrays, so that polygons from anywhere can be fed in directly.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np
from attrs import frozen

from standtrue.drive.kernels.world import CELL_M, CHUNK_M, Ints, World, near_lists
from standtrue.model.reason import Ref
from standtrue.plane.kernels import Array, circles_about
from standtrue.plane.shapes import Convex

Pose = tuple[float, float, float]
"""x, y in metres and the heading in radians."""


@frozen(eq=False)
class Solid:
    """Convex pieces that are one thing, which, and the gap that each part of the car must keep from it.

    `gaps` goes by part name; a part not named is free to overlap it. A piece of two points is a line.
    """

    ref: Ref
    pieces: tuple[Convex, ...]
    gaps: dict[str, float]


@frozen(eq=False)
class Part:
    """A part of the car in convex pieces, in the vehicle frame."""

    name: str
    pieces: tuple[Convex, ...]


@frozen(eq=False)
class Packed:
    """A world, and what its rows belong to."""

    world: World
    part_of: tuple[str, ...]
    solid_of: tuple[Ref, ...]
    bounds: tuple[float, float, float, float]


def pack(
    parts: Sequence[Part], solids: Sequence[Solid], bounds: tuple[float, float, float, float], center_x_m: float
) -> Packed:
    """Pack a car's parts and the solids round it. `bounds` (x0, y0, x1, y1) is where its origin may be.

    `center_x_m`: the point of the car's centerline, ahead of its origin, from which near things are told.
    """
    car = sorted(((part.name, _rolled(piece)) for part in parts for piece in part.pieces), key=lambda c: _key(c[1]))
    stuff = sorted(((solid, _rolled(piece)) for solid in solids for piece in solid.pieces), key=lambda c: _key(c[1]))
    rows = [
        (i, j, solid.gaps[name])
        for i, (name, _) in enumerate(car)
        for j, (solid, _) in enumerate(stuff)
        if name in solid.gaps
    ]
    car_points, car_at = _flat([piece for _, piece in car])
    points, at = _flat([piece for _, piece in stuff])
    pairs = np.array([(i, j) for i, j, _ in rows], dtype=np.int64).reshape(-1, 2)
    gaps = np.array([gap for _, _, gap in rows], dtype=np.float64)
    world = _world(car_points, car_at, points, at, pairs, gaps, bounds, center_x_m)
    return Packed(world, tuple(n for n, _ in car), tuple(s.ref for s, _ in stuff), bounds)


def _world(
    car: Array,
    car_at: Ints,
    points: Array,
    at: Ints,
    pairs: Ints,
    gaps: Array,
    bounds: tuple[float, float, float, float],
    center_x_m: float,
) -> World:
    circles, _ = circles_about(car, car_at)
    boxes = np.array([(*p.min(axis=0), *p.max(axis=0)) for p in _split(points, at)], dtype=np.float64).reshape(-1, 4)
    origin = np.array([bounds[0] - 1.0, bounds[1] - 1.0])
    shape = np.array([math.ceil((bounds[2 + k] - bounds[k] + 2.0) / CELL_M) for k in (0, 1)], dtype=np.int64)
    reach = np.hypot(circles[:, 0] - center_x_m, circles[:, 1]) + circles[:, 2]
    # A chunk's middle pose is looked up: from there no point travels more than half a chunk.
    limits = gaps + reach[pairs[:, 0]] + CELL_M / math.sqrt(2.0) + CHUNK_M / 2
    near, near_at = near_lists(points, at, boxes, pairs, limits, origin, shape)
    center = np.array([center_x_m, 0.0])
    normals, car_normals = _normals(points, at), _normals(car, car_at)
    return World(
        car, car_at, car_normals, circles, points, at, normals, boxes, pairs, gaps, near, near_at, origin, shape, center
    )


@frozen
class Turned:
    """A change of frame that costs no accuracy: shifted by `by_m`, then mirrored (y to -y), then turned by quarters."""

    by_m: tuple[float, float]
    flipped: bool
    quarters: int

    def points(self, points: Array) -> Array:
        """Points of shape (n, 2) in the new frame, to a billionth of a meter."""
        moved = np.round(points - self.by_m, 9)
        if self.flipped:
            moved = moved * (1.0, -1.0)
        for _ in range(self.quarters):
            moved = np.stack([-moved[:, 1], moved[:, 0]], axis=1)
        return np.asarray(moved + 0.0, dtype=np.float64)

    def heading(self, heading_rad: float) -> float:
        """A heading in the new frame, above -pi and up to pi, to a hundred-billionth."""
        turned = (-heading_rad if self.flipped else heading_rad) + self.quarters * math.pi / 2
        return _round_heading(turned)

    def heading_back(self, heading_rad: float) -> float:
        """A heading of the new frame in the old one."""
        turned = heading_rad - self.quarters * math.pi / 2
        return math.remainder(-turned if self.flipped else turned, math.tau)


def _round_heading(heading_rad: float) -> float:
    h = round(math.remainder(heading_rad, math.tau), 11)
    return round(math.pi, 11) if h <= -round(math.pi, 11) else h + 0.0


def moved(packed: Packed, turned: Turned) -> Packed:
    """The same world in another frame. The car is mirrored with it.

    Its arrays are those that packing the moved car and things would give, convex pieces being the same.
    """
    w = packed.world
    cars = [_rolled(p[::-1] * (1.0, -1.0) if turned.flipped else p) for p in _split(w.car, w.car_at)]
    stuffs = [turned.points(p) for p in _split(w.solid, w.solid_at)]
    stuffs = [_rolled(p[::-1] if turned.flipped else p) for p in stuffs]
    car_order = sorted(range(len(cars)), key=lambda i: _key(cars[i]))
    order = sorted(range(len(stuffs)), key=lambda i: _key(stuffs[i]))
    gap = {(int(i), int(j)): float(g) for (i, j), g in zip(w.pairs, w.gaps, strict=True)}
    rows = [(a, b, gap[i, j]) for a, i in enumerate(car_order) for b, j in enumerate(order) if (i, j) in gap]
    corners = turned.points(np.array(packed.bounds).reshape(2, 2))
    low, high = corners.min(axis=0), corners.max(axis=0)
    bounds = (float(low[0]), float(low[1]), float(high[0]), float(high[1]))
    car_points, car_at = _flat([cars[i] for i in car_order])
    points, at = _flat([stuffs[j] for j in order])
    pairs = np.array([(i, j) for i, j, _ in rows], dtype=np.int64).reshape(-1, 2)
    gaps = np.array([g for _, _, g in rows], dtype=np.float64)
    world = _world(car_points, car_at, points, at, pairs, gaps, bounds, float(w.center[0]))
    parts, things = tuple(packed.part_of[i] for i in car_order), tuple(packed.solid_of[j] for j in order)
    return Packed(world, parts, things, bounds)


def _split(points: Array, at: Ints) -> list[Convex]:
    return [points[first:last] for first, last in itertools.pairwise(at)]


def _rolled(piece: Convex) -> Convex:
    """The piece from its lexicographically least point on, without minus zeros: one piece has one form."""
    piece = np.asarray(piece, dtype=np.float64) + 0.0
    return np.roll(piece, -int(np.lexsort((piece[:, 1], piece[:, 0]))[0]), axis=0)


def _key(piece: Convex) -> tuple[float, ...]:
    return tuple(piece.ravel().tolist())


def _flat(pieces: Sequence[Convex]) -> tuple[Array, Ints]:
    at = np.concatenate([[0], np.cumsum([len(p) for p in pieces])]).astype(np.int64)
    points = np.concatenate(pieces) if pieces else np.empty((0, 2))
    return np.ascontiguousarray(points, dtype=np.float64), at


def _normals(points: Array, at: Ints) -> Array:
    """Outward unit normals; a line's two edges give both of its sides."""
    found = np.zeros_like(points)
    for first, last in itertools.pairwise(at):
        edges = np.roll(points[first:last], -1, axis=0) - points[first:last]
        long = np.hypot(edges[:, 0], edges[:, 1])
        found[first:last] = np.stack([edges[:, 1], -edges[:, 0]], axis=1) / np.where(long > 0.0, long, 1.0)[:, None]
    return found

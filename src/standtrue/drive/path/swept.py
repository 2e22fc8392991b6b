"""The floor that a car sweeps along a path: body and mirrors, and the strip under each wheel."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from attrs import frozen
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standtrue.drive.kernels.motion import advance
from standtrue.model.basics import Outline, Place, Point
from standtrue.model.vehicle import Vehicle
from standtrue.plane.kernels import Array

STEP_M = 0.1
STEP_RAD = math.radians(2.0)

CLOSE_M = 5e-3
"""How closely poses are looked at to find where a path comes nearest to something."""

LEAP = 16
"""Every so many of these poses are looked at first."""

SIMPLE_M = 2e-3
"""How much a swept outline is simplified."""


@frozen(eq=False)
class Swept:
    """What a car passes over, in the site frame: `body` and mirrors, and each wheel's strip by the wheel's name."""

    body: BaseGeometry
    wheels: tuple[tuple[str, BaseGeometry], ...]


def swept_area(vehicle: Vehicle, poses: Sequence[Place]) -> Swept:
    """What `vehicle` sweeps over `poses`, each joined to the next by its convex hull: close poses, as an answer has."""
    along = np.array([(p.x_m, p.y_m, p.heading_rad) for p in poses], dtype=np.float64).reshape(-1, 3)
    wheels = tuple((name, _swept([outline], along)) for name, outline in vehicle.wheel_patches)
    return Swept(swept_by(vehicle, along), wheels)


def swept_by(vehicle: Vehicle, poses: Array) -> BaseGeometry:
    """The union of the body and mirrors over poses of shape (n, 3), each joined to the next by its convex hull."""
    return _swept([vehicle.body, *(outline for _, outline in vehicle.mirrors)], poses)


def _swept(outlines: Sequence[Outline], poses: Array) -> BaseGeometry:
    strips: list[BaseGeometry] = []
    for outline in outlines:
        placed = put_along(np.array(outline), poses)
        if len(placed) == 1:
            strips.extend(shapely.polygons(placed))
            continue
        joined = np.concatenate([placed[:-1], placed[1:]], axis=1)
        strips.extend(shapely.convex_hull(shapely.multipoints(joined)))
    return shapely.union_all(strips).simplify(SIMPLE_M)


def put_along(outline: Array, poses: Array) -> Array:
    """The outline at every pose: shape (poses, points, 2)."""
    c, s = np.cos(poses[:, 2])[:, None], np.sin(poses[:, 2])[:, None]
    xs = poses[:, :1] + c * outline[:, 0] - s * outline[:, 1]
    ys = poses[:, 1:2] + s * outline[:, 0] + c * outline[:, 1]
    return np.stack([xs, ys], axis=-1)


def poses_on(start: Array, path: Array, step_m: float = STEP_M) -> tuple[Array, tuple[int, ...]]:
    """Poses along a path, every `step_m` and 2 degrees at most, and at every change of curvature.

    With them, for each row of the path, which pose it starts at.
    """
    poses = [np.asarray(start, dtype=np.float64)]
    begun = []
    for u, v, w, travel in path:
        begun.append(len(poses) - 1)
        x, y, h = poses[-1]
        steps = max(1, math.ceil(travel / step_m), math.ceil(abs(w) * travel / STEP_RAD))
        poses.extend(np.array(advance(x, y, h, u, v, w, travel * k / steps)) for k in range(1, steps + 1))
    return np.array(poses), tuple(begun)


def nearest_line(piece: Array, solid: Array, poses: Array) -> tuple[Point, Point]:
    """The shortest line from a piece of the car (vehicle frame), over all poses, to a solid's convex piece.

    Measured at every `LEAP`th pose, and at those in between at which the piece could have come nearer since.
    """
    placed = put_along(piece, poses)
    thing = shapely.convex_hull(shapely.multipoints(solid))
    leaps = np.arange(0, len(placed), LEAP)
    apart = np.full(len(placed), np.inf)
    apart[leaps] = shapely.distance(_hulls(placed[leaps]), thing)
    last = np.repeat(leaps, LEAP)[: len(placed)]
    gone = np.hypot(*np.moveaxis(placed - placed[last], -1, 0)).max(axis=1)
    near = (apart[last] - gone <= apart.min()) & (gone > 0.0)
    apart[near] = shapely.distance(_hulls(placed[near]), thing)
    nearest = _hulls(placed[[int(np.argmin(apart))]])[0]
    (x0, y0), (x1, y1) = shapely.get_coordinates(shapely.shortest_line(nearest, thing))
    return (float(x0), float(y0)), (float(x1), float(y1))


def _hulls(placed: Array) -> NDArray[np.object_]:
    """The convex hull of each row of points."""
    hulls: NDArray[np.object_] = shapely.convex_hull(shapely.multipoints(placed))
    return hulls

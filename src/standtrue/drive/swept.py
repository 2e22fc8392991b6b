"""The floor that a car's body sweeps along a path, for pictures and for telling which doors it passes."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from standtrue.drive.motion import advance
from standtrue.model.vehicle import Vehicle
from standtrue.plane.kernels import Array

STEP_M = 0.1
STEP_RAD = math.radians(2.0)


def poses_on(start: Array, path: Array) -> Array:
    """Poses along a path, close enough to draw: every 10 cm and 2 degrees, and at every change of curvature."""
    poses = [np.asarray(start, dtype=np.float64)]
    for u, v, w, travel in path:
        x, y, h = poses[-1]
        steps = max(1, math.ceil(travel / STEP_M), math.ceil(abs(w) * travel / STEP_RAD))
        poses.extend(np.array(advance(x, y, h, u, v, w, travel * k / steps)) for k in range(1, steps + 1))
    return np.array(poses)


def swept_by(vehicle: Vehicle, poses: Array) -> BaseGeometry:
    """The union of the body and mirrors at all poses, each joined to the next by its convex hull."""
    outlines = [np.array(vehicle.body), *(np.array(o) for _, o in vehicle.mirrors)]
    strips = []
    for outline in outlines:
        c, s = np.cos(poses[:, 2])[:, None], np.sin(poses[:, 2])[:, None]
        placed = np.stack(
            [
                poses[:, :1] + c * outline[:, 0] - s * outline[:, 1],
                poses[:, 1:2] + s * outline[:, 0] + c * outline[:, 1],
            ],
            axis=-1,
        )
        if len(placed) == 1:
            strips.extend(shapely.polygons(placed))
            continue
        joined = np.concatenate([placed[:-1], placed[1:]], axis=1)
        strips.extend(shapely.convex_hull(shapely.multipoints(joined)))
    return shapely.union_all(strips).simplify(2e-3)

"""A plain car, bays and ends for the tests of `drive`, and a replay of paths by general geometry.

The replay knows nothing of the planner: it puts the outlines down at every millimeter and measures with shapely.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standtrue.drive.kernels.joins import Ask
from standtrue.drive.question.answer import End
from standtrue.drive.world.packed import Packed, Part, Solid, pack
from standtrue.model.basics import Outline, Place
from standtrue.model.reason import Ref
from standtrue.model.site import Datum, Site
from standtrue.model.vehicle import Vehicle
from standtrue.plane.shapes import convex_pieces, pieces_outside, polygon

Array = NDArray[np.float64]
Pose = tuple[float, float, float]

LENGTH_M, WIDTH_M, BASE_M, RADIUS_M, GAP_M = 4.7, 1.85, 2.75, 5.0, 0.05
FRONT_M = 0.975
MIDDLE_M = (BASE_M + FRONT_M) - LENGTH_M / 2
TRACK_M = 1.55
CAR = Vehicle(
    "car",
    LENGTH_M,
    WIDTH_M,
    WIDTH_M,
    1.5,
    BASE_M,
    FRONT_M,
    TRACK_M,
    TRACK_M,
    0.2,
    0.65,
    0.15,
    turning_circle_m=2 * math.hypot(RADIUS_M + TRACK_M / 2, BASE_M),
)
"""The car of `drive.room`: 4.7 x 1.85 m, wheelbase 2.75 m, least radius 5.0 m; no mirrors."""

WIDE_M = 4.88
"""How wide the room of `drive.room` is."""

ASK = Ask(RADIUS_M, 1.0, 4.0, 0.2, MIDDLE_M, math.hypot(LENGTH_M, WIDTH_M) / 2)


def box(x0: float, y0: float, x1: float, y1: float) -> Outline:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def turned(outline: Sequence[tuple[float, float]], pose: Pose) -> Outline:
    x, y, h = pose
    c, s = math.cos(h), math.sin(h)
    return tuple((x + c * px - s * py, y + s * px + c * py) for px, py in outline)


def bay(long_m: float, wide_m: float = WIDE_M) -> Site:
    return Site("bay", box(0.0, 0.0, long_m, wide_m), Datum((0.0, 0.0)))


def at(x_m: float, y_m: float, heading_deg: float = 0.0) -> End:
    return End(Place(x_m, y_m, math.radians(heading_deg)))


def centered(x_m: float, y_m: float) -> End:
    """The car's middle at a point, heading along +x."""
    return at(x_m - MIDDLE_M, y_m)


def packed_room(long_m: float, wide_m: float = WIDE_M, gap_m: float = GAP_M) -> Packed:
    """The body alone in a room, at the low level."""
    wall = Solid(Ref("thing", "wall"), pieces_outside(polygon(box(0.0, 0.0, long_m, wide_m))), {"body": gap_m})
    body = Part("body", convex_pieces(polygon(CAR.body)))
    return pack([body], [wall], (0.0, 0.0, long_m, wide_m), MIDDLE_M)


def step_through(start: Sequence[float], rows: Iterable[Sequence[float]], step_m: float = 1e-3) -> Array:
    """Poses at every `step_m` of travel, by the closed form of motion on a circle, written anew."""
    x, y, h = start
    poses = [(x, y, h)]
    for u, v, w, travel in rows:
        at_m = np.append(np.arange(step_m, travel, step_m) if step_m < travel else [], travel)
        if abs(w) < 1e-12:
            xs, ys = u * at_m, v * at_m
        else:
            # About the center (-v/w, u/w), as seen from the car.
            xs = -v / w + (v * np.cos(w * at_m) + u * np.sin(w * at_m)) / w
            ys = u / w + (v * np.sin(w * at_m) - u * np.cos(w * at_m)) / w
        c, s = math.cos(h), math.sin(h)
        poses.extend(zip(x + c * xs - s * ys, y + s * xs + c * ys, h + w * at_m, strict=True))
        x, y, h = (float(value) for value in poses[-1])
    return np.array(poses, dtype=np.float64)


def placed(outline: Sequence[tuple[float, float]], poses: Array) -> NDArray[np.object_]:
    """The outline at every pose, as polygons."""
    ring = np.array(outline)
    c, s = np.cos(poses[:, 2])[:, None], np.sin(poses[:, 2])[:, None]
    xs = poses[:, :1] + c * ring[:, 0] - s * ring[:, 1]
    ys = poses[:, 1:2] + s * ring[:, 0] + c * ring[:, 1]
    return np.asarray(shapely.polygons(np.stack([xs, ys], axis=-1)))


def least_distance(outline: Sequence[tuple[float, float]], poses: Array, thing: BaseGeometry) -> float:
    """The least distance of an outline from a shape over all poses; 0 where they overlap, or one holds the other."""
    return float(shapely.distance(placed(outline, poses), thing).min())


def outside_of(outline: Outline) -> BaseGeometry:
    room = shapely.Polygon(outline)
    return room.buffer(50.0).difference(room)

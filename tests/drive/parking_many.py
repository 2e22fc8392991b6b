"""Many parking cases of our own invention: slots with a centimeter to spare, aisles, mazes, floors of 40 m, clutter.

Nothing here is taken from a published set. Each case is (car, least radius, obstacles, start, goal).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import partial
from itertools import pairwise

import numpy as np
import shapely
from attrs import frozen
from drive_makers import Pose, box, turned

from standtrue.model.basics import Outline

UP = math.pi / 2
CAR = box(-0.93, -0.975, 3.77, 0.975)
"""4.7 x 1.95 m, wheelbase 2.8 m."""
HALF, REAR, FRONT = 0.975, 0.93, 3.77


@frozen
class Parking:
    obstacles: Sequence[Outline]
    start: Pose
    goal: Pose
    radius_m: float = 4.5
    car: Outline = CAR


def walls(x0: float, y0: float, x1: float, y1: float) -> list[Outline]:
    return [
        box(x0 - 1, y0 - 1, x1 + 1, y0),
        box(x0 - 1, y1, x1 + 1, y1 + 1),
        box(x0 - 1, y0, x0, y1),
        box(x1, y0, x1 + 1, y1),
    ]


def parallel(spare: float, street: float, radius: float, depth: float = 2.2) -> Parking:
    """A slot along the street, `spare` m longer than the car; the car ends 1 cm from the kerb."""
    long = REAR + FRONT + spare
    rear, front = -REAR - spare / 2, FRONT + spare / 2
    things = [
        box(rear - 12, -depth, rear, 0.0),
        box(front, -depth, front + 12, 0.0),
        box(-13, -depth - 1, front + 12, -depth),
        box(-13, street, front + 12, street + 1),
    ]
    assert long > 4.7
    return Parking(things, (-9.0, street / 2, 0.0), (0.0, -depth + HALF + 0.01, 0.0), radius)


def square_in(half: float, aisle: float, radius: float, nose_in: bool, deep: float = 6.0) -> Parking:
    """A slot square to the aisle, 2 `half` m wide."""
    things = [
        box(-15, -deep, -half, 0),
        box(half, -deep, 15, 0),
        box(-16, -deep - 1, 16, -deep),
        box(-16, aisle, 16, aisle + 1),
    ]
    y = -deep + REAR + 0.05 if not nose_in else -deep + FRONT + 0.05
    return Parking(things, (-9.0, aisle / 2, 0.0), (0.0, y, UP if not nose_in else -UP), radius)


def slanted(half: float, aisle: float, tilt_deg: float, radius: float) -> Parking:
    """A slot slanted to the aisle between two cars `half` - 0.975 m off on each side."""
    tilt = math.radians(tilt_deg)
    apart = (half + HALF) / math.sin(tilt)
    cars = [turned(CAR, (side * apart, 0.0, tilt)) for side in (-1, 1)]
    top = FRONT * math.sin(tilt) + HALF * math.cos(tilt)
    things = [*cars, box(-16, -3.5, 16, -2.2), box(-16, top + aisle, 16, top + aisle + 1)]
    return Parking(things, (-10.0, top + aisle / 2, 0.0), (0.0, 0.0, tilt), radius)


def lane(wide: float, radius: float, turn: float) -> Parking:
    """A lane round a bend of `turn` rad whose inner wall has the radius `inner`."""
    inner = radius - HALF - 0.3
    outer = inner + wide
    n = 24
    angles = np.linspace(-UP, -UP + turn, n)
    ring: list[Outline] = []
    for a, b in pairwise(angles):
        ring.append(_wedge(0.3 * inner, inner, a, b))
        ring.append(_wedge(outer, outer + 0.6, a, b))
    middle = inner + HALF + 0.02
    first = (-7.0, -middle)
    end = -UP + turn
    straight = [box(-12, -outer - 0.6, 0.0, -outer), box(-12, -inner, 0.0, -0.3 * inner)]
    out = (math.cos(end), math.sin(end))
    along = (-out[1], out[0])
    last = (middle * out[0] + 3.0 * along[0], middle * out[1] + 3.0 * along[1])
    return Parking([*straight, *ring], (first[0], first[1], 0.0), (last[0], last[1], end + UP), radius)


def _wedge(r0: float, r1: float, a: float, b: float) -> Outline:
    return tuple((r * math.cos(t), r * math.sin(t)) for r, t in ((r0, a), (r1, a), (r1, b), (r0, b)))


def clutter(seed: int, count: int, size: float, radius: float) -> Parking:
    """A floor of 40 x 40 m with `count` convex things strewn about, from corner to corner."""
    rng = np.random.default_rng(seed)
    start = (float(rng.uniform(3, 5)), float(rng.uniform(3, 5)), float(rng.uniform(-3, 3)))
    goal = (float(rng.uniform(34, 36)), float(rng.uniform(34, 36)), float(rng.uniform(-3, 3)))
    things = walls(-2, -2, 42, 42)
    ends = [shapely.Polygon(turned(CAR, pose)) for pose in (start, goal)]
    while len(things) < count + 4:
        angles = np.sort(rng.uniform(0, math.tau, rng.integers(3, 8)))
        reach, (x, y) = rng.uniform(0.3, size), rng.uniform(0, 40, 2)
        points = np.stack([x + reach * np.cos(angles), y + reach * np.sin(angles)], 1)
        hull = shapely.convex_hull(shapely.multipoints(points))
        if hull.geom_type == "Polygon" and hull.area > 0.05 and all(hull.distance(end) > 0.3 for end in ends):
            things.append(tuple((float(px), float(py)) for px, py in shapely.get_coordinates(hull)[:-1]))
    return Parking(things, start, goal, radius)


def maze(radius: float, open_m: float) -> Parking:
    """Walls across a floor of 40 x 30 m, open at alternate ends."""
    things = walls(0, 0, 40, 30)
    for k, x in enumerate((8.0, 16.0, 24.0, 32.0)):
        things.append(box(x, open_m, x + 0.3, 30) if k % 2 else box(x, 0, x + 0.3, 30 - open_m))
    return Parking(things, (4.0, 4.0, UP), (36.0, 25.0, UP), radius)


def crumbs(outline: Outline, size: float) -> list[Outline]:
    """A box given as many small squares."""
    (x0, y0), _, (x1, y1), _ = outline
    nx, ny = max(1, round((x1 - x0) / size)), max(1, round((y1 - y0) / size))
    dx, dy = (x1 - x0) / nx, (y1 - y0) / ny
    return [box(x0 + i * dx, y0 + j * dy, x0 + (i + 1) * dx, y0 + (j + 1) * dy) for i in range(nx) for j in range(ny)]


def crumbled(case: Parking, size: float) -> Parking:
    """The case with every box given as small squares."""
    things: list[Outline] = []
    for outline in case.obstacles:
        (x0, y0, x1, y1) = shapely.Polygon(outline).bounds
        # Only the edge of a large block matters.
        shell = shapely.box(x0, y0, x1, y1)
        near = shapely.box(-14, -8, 14, 8)
        kept = [o for o in crumbs(box(x0, y0, x1, y1), size) if shapely.Polygon(o).intersects(near)]
        rim = shell.exterior.buffer(1.5 * size)
        things.extend(o for o in kept if shapely.Polygon(o).intersects(rim))
    return Parking(things, case.start, case.goal, case.radius_m, case.car)


def between(poses: Sequence[Pose], radius: float, start: Pose, goal: Pose, *more: Outline) -> Parking:
    """Parked cars at poses."""
    return Parking([*(turned(CAR, p) for p in poses), *more], start, goal, radius)


def comb(radius: float) -> Parking:
    """Bays cut out of one non-convex block, 1 cm to spare on each side; from bay to bay across the aisle."""
    wide = 2 * (HALF + 0.01)
    pitch = wide + 0.6
    lower: list[tuple[float, float]] = [(-10.0, -7.0), (12.0, -7.0), (12.0, 0.0)]
    upper: list[tuple[float, float]] = [(-10.0, 13.5), (-10.0, 6.5)]
    for k in range(4):
        x = 8.0 - k * pitch
        lower += [(x, 0.0), (x, -5.6), (x - wide, -5.6), (x - wide, 0.0)]
    lower.append((-10.0, 0.0))
    for k in range(4):
        x = -6.0 + k * pitch
        upper += [(x, 6.5), (x, 12.1), (x + wide, 12.1), (x + wide, 6.5)]
    upper += [(12.0, 6.5), (12.0, 13.5)]
    x0, x1 = 8.0 - wide / 2, -6.0 + pitch + wide / 2
    return Parking([tuple(lower), tuple(upper)], (x0, -4.5, UP), (x1, 7.6, UP), radius)


def gates(offset: float, apart: float, spare: float, radius: float) -> Parking:
    """Two gates, the second shifted sideways."""
    half = HALF + spare
    things = walls(0, 0, 30, 12)
    for x, y in ((10.0, 6.0), (10.0 + apart, 6.0 + offset)):
        things += [box(x, 0, x + 0.3, y - half), box(x, y + half, x + 0.3, 12)]
    return Parking(things, (2.5, 6.0, 0.5), (24.0, 5.0, -1.0), radius)


def corridor(spare: float, radius: float) -> Parking:
    """A corridor 12 m long, `spare` wider than the car on each side, into a yard just deep enough to turn in."""
    half = HALF + spare
    things = [
        box(0, half, 12, 6),
        box(0, -6, 12, -half),
        *walls(-11, -6, 24, 6),
    ]
    return Parking(things, (-6.5, 2.0, 1.0), (18.0, 0.0, math.pi), radius)


def dead_end(wide: float, radius: float) -> Parking:
    """Into a dead-end aisle, and into a slot at its end."""
    things = [
        box(0, wide, 16, wide + 3),
        box(0, -8, 12.0, 0.0),
        box(12.0 + 2.3, -8, 17.0, 0.0),
        box(16, 0, 17, wide + 3),
        box(12.0, -7.0, 14.3, -6.0),
        *walls(-10, -8, 17, wide + 3),
    ]
    return Parking(things, (-6.0, wide / 2, 0.0), (13.15, -5.0, UP), radius)


def hemmed(front: float, rear: float, side: float, radius: float) -> Parking:
    """Parked between two cars and a wall 1 cm off; out to the other side of the street, facing back."""
    cars = [(FRONT + front + REAR, 0.0, 0.0), (-REAR - rear - FRONT, 0.0, 0.0)]
    kerb = box(-12, -HALF - side - 1, 16, -HALF - side)
    return between(cars, radius, (0.0, 0.0, 0.0), (2.0, 7.0, math.pi), kerb, box(-12, 9.0, 16, 10))


def tee(wide: float, radius: float) -> Parking:
    """Turned round where two aisles meet."""
    things = [
        box(-20, -12, -wide / 2, -wide / 2),
        box(wide / 2, -12, 20, -wide / 2),
        *walls(-20, -12, 20, wide / 2),
    ]
    return Parking(things, (-12.0, 0.0, 0.0), (-12.0, 0.0, math.pi), radius)


def rows(radius: float, aisle: float) -> Parking:
    """Rows of parked cars on a floor of 40 m; two bays are free, one column is the way through."""
    things = walls(0, 0, 40, 40)
    pitch, deep = 2.3, 5.0
    ys, y = [], 0.2
    while y + deep < 40:
        ys.append(y)
        y += deep + (aisle if len(ys) % 2 else 0.1)
    for r, low in enumerate(ys):
        for column in range(16):
            free = (r, column) in ((0, 3), (3, 13)) or column == (8 if (r + 1) // 2 % 2 else 7)
            if not free:
                things.append(turned(CAR, (1.4 + pitch * column, low + REAR, UP)))
    start = (1.4 + pitch * 3, ys[0] + REAR, UP)
    goal = (1.4 + pitch * 13, ys[3] + REAR, UP)
    return Parking(things, start, goal, radius)


def moved(case: Parking, frame: Pose) -> Parking:
    """The case turned and shifted."""

    def at(pose: Pose) -> Pose:
        ((x, y),) = turned([pose[:2]], frame)
        return (x, y, pose[2] + frame[2])

    things = [tuple(reversed(turned(o, frame))) for o in case.obstacles]
    return Parking(things, at(case.start), at(case.goal), case.radius_m, case.car)


MANY: dict[str, Callable[[], Parking]] = {
    **{
        f"parallel, {spare} m spare, street {street} m, radius {radius} m": partial(parallel, spare, street, radius)
        for spare, street, radius in (
            (1.2, 3.4, 4.5), (0.8, 4.0, 4.5), (0.6, 5.0, 4.5), (0.5, 5.0, 4.5), (0.6, 4.0, 5.5), (0.5, 4.0, 3.0),
        )
    },
    **{
        f"square, aisle {aisle} m, radius {radius} m, {'nose' if nose else 'tail'} in": partial(
            square_in, half, aisle, radius, nose
        )
        for half, aisle, radius, nose in (
            (0.985, 6.0, 4.5, False), (0.985, 5.5, 4.5, False), (0.985, 7.0, 5.5, False), (0.985, 7.0, 4.5, True),
            (1.1, 5.2, 4.5, True), (1.2, 4.6, 3.0, False), (0.985, 5.0, 3.0, False),
        )
    },
    **{
        f"slanted by {tilt:.0f} degrees": partial(slanted, half, aisle, tilt, 4.5)
        for half, aisle, tilt in ((0.985, 4.5, 60.0), (0.985, 4.0, 45.0), (1.0, 3.5, 30.0))
    },
    **{
        f"lane {wide} m wide, radius {radius} m": partial(lane, wide, radius, turn)
        for wide, radius, turn in ((3.2, 4.5, UP), (3.4, 5.5, math.pi), (3.0, 4.5, 0.75 * math.pi))
    },
    **{
        f"clutter of {count}, radius {radius} m": partial(clutter, seed, count, size, radius)
        for seed, count, size, radius in (
            (1, 60, 1.5, 4.5), (2, 100, 1.2, 4.5), (3, 140, 1.0, 5.0), (4, 200, 0.7, 4.5), (6, 90, 1.6, 3.0),
            (7, 120, 1.2, 5.5),
        )
    },
    **{
        f"maze, openings {opened} m, radius {radius} m": partial(maze, radius, opened)
        for radius, opened in ((4.5, 5.0), (5.5, 4.5), (4.5, 3.5))
    },
    "slot of crumbs": lambda: crumbled(square_in(0.985, 6.0, 4.5, False), 0.4),
    "parallel slot of crumbs": lambda: crumbled(parallel(0.9, 4.5, 4.5), 0.4),
    "comb, radius 4.5 m": partial(comb, 4.5),
    "comb, radius 5.5 m": partial(comb, 5.5),
    **{
        f"gates {offset} m off, {1e3 * spare:.0f} mm": partial(gates, offset, apart, spare, radius)
        for offset, apart, spare, radius in (
            (1.0, 8.0, 0.05, 4.5), (1.5, 7.0, 0.1, 4.5), (0.5, 6.0, 0.02, 5.0), (2.0, 8.0, 0.01, 4.5),
        )
    },
    "corridor, 10 mm": partial(corridor, 0.01, 4.5),
    "corridor, 50 mm": partial(corridor, 0.05, 5.5),
    **{
        f"dead end {wide} m wide": partial(dead_end, wide, radius)
        for wide, radius in ((4.5, 4.5), (4.3, 4.5), (4.2, 3.5))
    },
    **{
        f"hemmed in by {front} m and {rear} m, radius {radius} m": partial(hemmed, front, rear, 0.01, radius)
        for front, rear, radius in ((0.5, 0.5, 4.5), (0.3, 0.3, 4.5), (0.3, 0.3, 5.0), (0.05, 0.5, 4.5))
    },
    **{f"turned round in a T of {wide} m": partial(tee, wide, 4.5) for wide in (4.4, 3.6)},
    **{
        f"rows, aisles {aisle} m, radius {radius} m": partial(rows, radius, aisle)
        for radius, aisle in ((4.5, 6.0), (5.5, 6.5), (4.5, 5.5))
    },
    "turned and shifted slot": lambda: moved(square_in(0.985, 6.0, 4.5, False), (31.0, -17.0, 0.83)),
    "turned and shifted gates": lambda: moved(gates(1.0, 8.0, 0.01, 4.5), (-20.0, 44.0, 2.31)),
    "turned and shifted parallel slot": lambda: moved(parallel(0.6, 5.0, 4.5), (5.0, 9.0, -1.1)),
}  # fmt: skip

"""Lifts that carry the body: which arm may hold which lift point, and where the car can stand then.

Most ways of dealing arms out to lift points are ruled out by the distances between the points alone.
For the others, the arms tell roughly where the car stands and which way it looks; that is all bounds, nothing exact:
the conditions decide.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import combinations, permutations

import numpy as np
import shapely
from attrs import frozen

from standtrue.model.basics import Outline, Point
from standtrue.model.ground import shifted
from standtrue.model.lift import Arm, PlacedLift
from standtrue.model.reason import Ref
from standtrue.model.vehicle import Vehicle
from standtrue.place.margin.pairs import Pair
from standtrue.place.question.claims import point_claim
from standtrue.plane.shapes import Convex, outside, polygon, sector_outline

Arc = tuple[float, float]
"""Headings: center and half-width, radians."""

SLACK_M, SLACK_RAD = 1e-6, 1e-9
FAR_M = 100.0
SAGITTA_M = 1e-3
"""How far the polygons that stand for a sector's arcs go beyond them."""


@frozen(eq=False)
class Hold:
    """One arm for each lift point: the conditions, and bounds of the car's origin and heading that follow from them.

    `dealt` numbers, for each lift point, the one of `reaches` that holds it.
    """

    conditions: tuple[Pair, ...]
    origins: tuple[float, float, float, float]
    headings: Arc | None
    dealt: tuple[int, ...]
    reaches: tuple[Reach, ...]


@frozen(eq=False)
class Reach:
    """What one arm reaches, in the site frame: its shape, its hull's corners, and everything out of its reach."""

    ref: Ref
    shape: shapely.Geometry
    corners: Convex
    beyond: shapely.Geometry
    pieces: tuple[Convex, ...]


@frozen
class Steps:
    """Steps between points that two arms reach: lengths, and directions from `low_rad` to `high_rad` off the middle."""

    least_m: float
    most_m: float
    middle_rad: float
    low_rad: float
    high_rad: float


def holds(placed: PlacedLift, vehicle: Vehicle) -> tuple[Hold, ...]:
    """Every way to deal the arms out to the car's lift points that some stance might allow."""
    return _holds(placed, vehicle.lift_points)


@lru_cache(maxsize=1024)
def _holds(placed: PlacedLift, points: tuple[Point, ...]) -> tuple[Hold, ...]:
    return tuple(_each_hold(placed, points))


def _each_hold(placed: PlacedLift, points: tuple[Point, ...]) -> Iterator[Hold]:
    reaches, steps = _reaches(placed)
    claims = [point_claim(Ref("lift point", number=i), p) for i, p in enumerate(points, start=1)]
    one_way = (placed.heading_rad, math.pi / 2) if placed.lift.facing == "one" else None
    arcs = {
        (i, a, j, b): _arc(steps[a, b], points[i], points[j])
        for i, j in combinations(range(len(claims)), 2)
        for a, b in permutations(range(len(reaches)), 2)
    }
    for dealt in permutations(range(len(reaches)), len(claims)):
        headings = one_way
        for i, j in combinations(range(len(claims)), 2):
            headings = _both(headings, arcs[i, dealt[i], j, dealt[j]])
        chosen = [reaches[a] for a in dealt]
        origins = _origins(chosen, points)
        if (headings is None or headings[1] >= 0.0) and origins[0] <= origins[2] and origins[1] <= origins[3]:
            conditions = tuple(
                Pair(c, r.ref, "arm", r.beyond, r.pieces, 0.0, own=True, condition=True)
                for c, r in zip(claims, chosen, strict=True)
            )
            yield Hold(conditions, origins, headings, dealt, reaches)


@lru_cache(maxsize=64)
def _reaches(placed: PlacedLift) -> tuple[tuple[Reach, ...], dict[tuple[int, int], Steps]]:
    """What each arm of a lift reaches, and the steps from each to each other: the same for every car."""
    reaches = tuple(_reach(placed, arm, number) for number, arm in enumerate(placed.lift.arms, start=1))
    return reaches, {(a, b): _steps(reaches[a], reaches[b]) for a, b in permutations(range(len(reaches)), 2)}


def _reach(placed: PlacedLift, arm: Arm, number: int) -> Reach:
    least, most = arm.reach_m
    start, end = arm.swing_rad
    span = end - start if end >= start else end - start + math.tau

    def in_site(outline: Outline) -> Outline:
        return shifted(tuple((arm.pivot[0] + x, arm.pivot[1] + y) for x, y in outline), placed)

    shape = polygon(in_site(sector_outline(least, most, start, span)))
    pieces = tuple(np.array(in_site(piece), dtype=np.float64) for piece in _beyond(least, most, start, span))
    return Reach(
        Ref("arm", of=placed.name, number=number),
        shape,
        shapely.get_coordinates(shape.convex_hull),
        outside(shape),
        pieces,
    )


def _beyond(least: float, most: float, start: float, span: float) -> Iterator[Outline]:
    """Convex pieces of all that lies out of a ring sector, as far as FAR_M, about its center.

    They overlap: where pieces only touched each other, a point could lie on the line between them and in none.
    """
    count = math.ceil(span / (2 * math.acos(most / (most + SAGITTA_M))))
    for i in range(count):
        yield _half_plane(start + (i + 0.5) * span / count, most)
    if span < math.pi:
        yield _half_plane(start - math.pi / 2, 0.0)
        yield _half_plane(start + span + math.pi / 2, 0.0)
    elif span < math.tau:
        end, middle = start + span, start + (span + math.tau) / 2
        yield ((0.0, 0.0), _polar(FAR_M, end), _polar(FAR_M, middle), _polar(FAR_M, start))
    if least > 0.0:
        corners = max(3, math.ceil(math.pi / math.acos(max(1.0 - SAGITTA_M / least, 0.0))))
        yield tuple(_polar(least, math.tau * i / corners) for i in range(corners))


def _half_plane(facing: float, away: float) -> Outline:
    """All that lies farther than `away` from the origin in one direction."""
    c, s = math.cos(facing), math.sin(facing)
    corners = ((away, -FAR_M), (FAR_M, -FAR_M), (FAR_M, FAR_M), (away, FAR_M))
    return tuple((c * x - s * y, s * x + c * y) for x, y in corners)


def _polar(radius: float, angle: float) -> Point:
    return radius * math.cos(angle), radius * math.sin(angle)


def _steps(a: Reach, b: Reach) -> Steps:
    """The steps from any point in reach of one arm to any point in reach of another."""
    steps = (b.corners[:, None] - a.corners[None, :]).reshape(-1, 2)
    middle = math.atan2(*(b.corners.mean(axis=0) - a.corners.mean(axis=0))[::-1])
    off = (np.arctan2(steps[:, 1], steps[:, 0]) - middle + math.pi) % math.tau - math.pi
    most = float(np.hypot(*steps.T).max())
    return Steps(float(a.shape.distance(b.shape)), most, middle, float(off.min()), float(off.max()))


def _arc(steps: Steps, p: Point, q: Point) -> Arc | None:
    """The headings at which a car may have point `p` in reach of one arm and `q` in that of another.

    None for all of them, a half-width below 0 for none.
    """
    apart = math.dist(p, q)
    if not steps.least_m - SLACK_M <= apart <= steps.most_m + SLACK_M:
        return (0.0, -1.0)
    # Only steps within half a turn leave out a step of nothing, and with it the ways between them the other way round.
    if apart == 0.0 or steps.high_rad - steps.low_rad > math.pi - SLACK_RAD:
        return None
    between = math.atan2(q[1] - p[1], q[0] - p[0])
    turned = steps.middle_rad - between + (steps.low_rad + steps.high_rad) / 2
    return turned, (steps.high_rad - steps.low_rad) / 2 + SLACK_RAD


def _both(one: Arc | None, other: Arc | None) -> Arc | None:
    """The headings in both arcs, none of which is wider than half a turn."""
    if one is None or other is None or one[1] < 0.0:
        return other if one is None else one
    if other[1] < 0.0:
        return other
    away = math.remainder(other[0] - one[0], math.tau)
    low, high = max(-one[1], away - other[1]), min(one[1], away + other[1])
    return one[0] + (low + high) / 2, (high - low) / 2


def _origins(reaches: Sequence[Reach], points: Sequence[Point]) -> tuple[float, float, float, float]:
    """Bounds of the car's origin, which is as far from each lift point as on the car."""
    (left, low, right, high), far = np.array([r.shape.bounds for r in reaches]).T, np.hypot(*np.array(points).T)
    x0, y0 = float((left - far).max()) - SLACK_M, float((low - far).max()) - SLACK_M
    return x0, y0, float((right + far).min()) + SLACK_M, float((high + far).min()) + SLACK_M

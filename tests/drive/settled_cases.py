"""Trenches across a floor and floors strewn with things: some can be passed, some cannot. All are to be settled.

Whether there is a way is known by how a case is made.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely
from attrs import evolve, frozen
from drive_makers import CAR, at, bay, turned

from standtrue.drive.question.answer import End
from standtrue.model.basics import Outline
from standtrue.model.lift import Obstacle
from standtrue.model.site import Cover, Site, Void

TRENCHES, CLUTTERS = 30, 30

THINGS, LANE_M, TURNING_M = 300, 5.2, 6.5


@frozen(eq=False)
class Settled:
    """A move; whether there is a way."""

    site: Site
    start: End
    goal: End
    passable: bool


def _strip(one: tuple[float, float], two: tuple[float, float], wide_m: float) -> Outline:
    """A strip from point to point."""
    line = shapely.LineString([one, two]).buffer(wide_m / 2, cap_style="flat")
    ring = shapely.get_coordinates(shapely.orient_polygons(line).exterior)[:-1]
    return tuple((float(x), float(y)) for x, y in ring)


def trench(number: int) -> Settled:
    """A trench from wall to wall, straight or slanted, every third with a plate over it that a car fits on; or one that
    cuts off the corner of the goal.
    """
    rng = np.random.default_rng(1000 + number)
    long, wide = float(rng.uniform(16.0, 40.0)), float(rng.uniform(8.0, 25.0))
    middle, lean, across = long / 2, float(rng.uniform(-1.5, 1.5)), float(rng.uniform(0.15, 1.2))
    site, kind = bay(long, wide), number % 3
    low = float(rng.uniform(1.5, wide - 1.5))
    start, goal = at(1.5, low), at(long - 5.5, wide - 1.5) if number % 2 else at(long - 3.0, wide - 1.5, 180.0)
    ends = ((middle - lean, 0.0), (middle + lean, wide)) if kind else ((middle, wide), (long, 2.0))
    cut = clipped(_strip(*stretched(*ends), across), site)
    if kind != 1:
        return Settled(evolve(site, voids=(Void("trench", cut),)), start, goal, False)
    share = float(rng.uniform(0.4, 0.6))
    x, y = (ends[0][k] + share * (ends[1][k] - ends[0][k]) for k in (0, 1))
    plate = clipped(turned(((-2.0, -2.0), (2.0, -2.0), (2.0, 2.0), (-2.0, 2.0)), (x, y, 0.0)), site)
    pit = Void("trench", cut, (Cover("plate", plate),), closed=("plate",))
    return Settled(evolve(site, voids=(pit,)), start, goal, True)


def stretched(one: tuple[float, float], two: tuple[float, float]) -> tuple[tuple[float, float], tuple[float, float]]:
    """A line somewhat longer at both ends."""
    dx, dy = two[0] - one[0], two[1] - one[1]
    return (one[0] - 0.3 * dx, one[1] - 0.3 * dy), (two[0] + 0.3 * dx, two[1] + 0.3 * dy)


def clipped(outline: Outline, site: Site) -> Outline:
    """What of an outline lies in the site."""
    part = shapely.Polygon(outline).intersection(shapely.Polygon(site.outline))
    return tuple((float(x), float(y)) for x, y in shapely.get_coordinates(shapely.orient_polygons(part).exterior)[:-1])


def clutter(number: int) -> Settled:
    """300 things strewn over a floor; in two of three cases a ring of them stands about the goal, 1.5 m apart: the car
    is wider. In the third a lane is left open, and room to turn about the goal.
    """
    rng = np.random.default_rng(2000 + number)
    long, wide = float(rng.uniform(36.0, 60.0)), float(rng.uniform(30.0, 40.0))
    start, goal = at(3.0, 3.0, 20.0), at(long - 10.0, wide - 9.0, float(rng.uniform(0.0, 360.0)))
    things = list(_ring(goal, number)) if number % 3 else []
    kept = [shapely.Polygon(turned(CAR.body, _pose(end))).buffer(1.5) for end in (start, goal)]
    if not number % 3:
        kept.append(shapely.LineString([_pose(start)[:2], _pose(goal)[:2]]).buffer(LANE_M / 2))
        kept.append(shapely.Point(_pose(goal)[:2]).buffer(TURNING_M))
    while len(things) < THINGS:
        x, y = float(rng.uniform(0.5, long - 0.5)), float(rng.uniform(0.5, wide - 0.5))
        thing = _polygon(x, y, float(rng.uniform(0.15, 0.5)), rng)
        if all(not shapely.Polygon(thing).intersects(one) for one in kept):
            things.append(thing)
    named = tuple(Obstacle(f"thing {n}", outline, 0.0, 2.0) for n, outline in enumerate(things, 1))
    return Settled(evolve(bay(long, wide), obstacles=named), start, goal, number % 3 == 0)


def _pose(end: End) -> tuple[float, float, float]:
    assert end.place is not None
    return end.place.x_m, end.place.y_m, end.place.heading_rad


def _ring(goal: End, number: int) -> Iterator[Outline]:
    """Posts round an end."""
    x, y, h = _pose(goal)
    x, y = x + 1.375 * math.cos(h), y + 1.375 * math.sin(h)
    reach = 5.0 + 0.15 * (number % 5)
    count = math.ceil(math.tau * reach / 1.7)
    for k in range(count):
        angle = math.tau * k / count
        yield turned(
            ((-0.1, -0.1), (0.1, -0.1), (0.1, 0.1), (-0.1, 0.1)),
            (x + reach * math.cos(angle), y + reach * math.sin(angle), angle),
        )


def _polygon(x: float, y: float, reach: float, rng: np.random.Generator) -> Outline:
    """A regular thing of three to six corners, turned anyhow."""
    count, turn = int(rng.integers(3, 7)), float(rng.uniform(0.0, math.tau))
    angles = [turn + math.tau * k / count for k in range(count)]
    return tuple((x + reach * math.cos(a), y + reach * math.sin(a)) for a in angles)


def cases() -> Iterator[tuple[str, Settled]]:
    """All of them with names."""
    yield from ((f"trench {n}", trench(n)) for n in range(TRENCHES))
    yield from ((f"clutter {n}", clutter(n)) for n in range(CLUTTERS))

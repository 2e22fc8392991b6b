"""Seeded shops in whole millimeters: rooms with notches, piers and walls in two parts, large enough or not quite.

All shops, cars and cards are invented.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from attrs import frozen

from standtrue.model.basics import Outline
from standtrue.model.lift import Obstacle
from standtrue.model.procedure import Procedure, Source, Zone
from standtrue.model.site import Cover, Datum, Equipment, Gaps, Site, Void
from standtrue.model.vehicle import Vehicle

Random = np.random.Generator
Box = tuple[int, int, int, int]

CORNERS = 14
"""The most corners of a room."""


@frozen(eq=False)
class Shop:
    """One question: a site, a car and at most one card, on the floor."""

    seed: int
    site: Site
    vehicle: Vehicle
    cards: tuple[Procedure, ...]


def metres(points: Sequence[tuple[float, float]]) -> Outline:
    return tuple((x / 1000, y / 1000) for x, y in points)


def box(x0: int, y0: int, x1: int, y1: int) -> Outline:
    return metres(((x0, y0), (x1, y0), (x1, y1), (x0, y1)))


def car(rng: Random) -> tuple[Vehicle, int, int]:
    """A car, and its length and its width over its mirrors, millimeters."""
    length, width = int(rng.integers(3800, 5200)), int(rng.integers(1700, 2000))
    mirrors = width + int(rng.choice([0, 200]))
    base = round(0.58 * length)
    front, track = round(0.45 * (length - base)), width - 260
    sizes = (length, width, mirrors, 1500, base, front, track, track, 200, 650, 150)
    a, b, c, d, e, f, g, h, i, j, k = (s / 1000 for s in sizes)
    return Vehicle("car", a, b, c, d, e, f, g, h, i, j, k), length, max(width, mirrors)


def card(rng: Random, deep: int) -> Procedure:
    """A zone ahead of the car, so deep, and perhaps one beside it."""
    wide = int(rng.integers(600, 1900)) // 2
    zones = [Zone("ahead", "stand" if rng.random() < 0.4 else "clear", "front", box(0, -wide, deep, wide), 0.0, 1.8)]
    if rng.random() < 0.3:
        far = int(rng.integers(300, 900))
        zones.append(Zone("beside", "walk", "left", box(500, 1, 1500, far), 0.0, 1.8))
    return Procedure("card", "front radar", "static", Source("invented"), zones=tuple(zones))


def bites(rng: Random, x: int, y: int) -> Iterator[Box]:
    """Notches in the corners and piers on the walls of a room x by y."""
    for _ in range(int(rng.integers(0, 3))):
        w, h = int(rng.integers(150, 900)), int(rng.integers(150, 900))
        left, low = rng.random() < 0.5, rng.random() < 0.5
        yield (0 if left else x - w, 0 if low else y - h, w if left else x, h if low else y)
    for _ in range(int(rng.integers(0, 3))):
        w, h, at = int(rng.integers(150, 500)), int(rng.integers(50, 400)), float(rng.uniform(0.1, 0.8))
        side = int(rng.integers(4))
        if side % 2 == 0:
            a = int(at * (x - w))
            yield (a, 0, a + w, h) if side == 0 else (a, y - h, a + w, y)
        else:
            a = int(at * (y - w))
            yield (0, a, h, a + w) if side == 1 else (x - h, a, x, a + w)


def outline(rng: Random, x: int, y: int) -> Outline:
    """A room with bites out of it, some of its walls written in two parts, one end up to 1 mm off the line."""
    room = shapely.box(0, 0, x, y)
    for bite in bites(rng, x, y):
        less = room.difference(shapely.box(*bite))
        if less.geom_type == "Polygon" and not less.interiors and len(less.exterior.coords) <= CORNERS + 1:
            room = less
    ring = [(round(a), round(b)) for a, b in shapely.get_coordinates(shapely.orient_polygons(room).exterior)[:-1]]
    told: list[tuple[float, float]] = []
    for (ax, ay), (bx, by) in zip(ring, [*ring[1:], ring[0]], strict=True):
        told.append((ax, ay))
        if max(abs(bx - ax), abs(by - ay)) > 600 and rng.random() < 0.3:
            part, off = float(rng.uniform(0.25, 0.75)), int(rng.integers(-1, 2))
            middle = (round(ax + part * (bx - ax)), round(ay + part * (by - ay)))
            told.append((middle[0] + off, middle[1]) if ax == bx else (middle[0], middle[1] + off))
    return metres(told)


def things(rng: Random, x: int, y: int) -> Iterator[Obstacle]:
    for number in range(int(rng.integers(0, 5))):
        w, h = int(rng.integers(150, 900)), int(rng.integers(150, 700))
        a, b = int(rng.integers(0, max(1, x - w))), int(rng.integers(0, max(1, y - h)))
        if rng.random() < 0.7:
            b = 0 if rng.random() < 0.5 else max(0, y - h)
        yield Obstacle(f"thing {number}", box(a, b, a + w, b + h), 0.0, 1.6, movable=bool(rng.random() < 0.5))


def pit(rng: Random, x: int, y: int) -> Void:
    """A pit along the room, with none, one or two covers, whole or a hair off."""
    wide, long = int(rng.integers(600, 1200)), int(rng.integers(2000, max(2001, x - 400)))
    a, b = int(rng.integers(0, max(1, x - long))), int(rng.integers(0, max(1, y - wide)))
    halves = (a, a + long // 2, a + long)
    covers = tuple(Cover(f"cover {i}", box(halves[i], b, halves[i + 1], b + wide)) for i in range(2))
    kept = covers[: int(rng.integers(0, 3))]
    closed = tuple(c.name for c in kept if rng.random() < 0.5)
    return Void("pit", box(a, b, a + long, b + wide), kept, closed)


def make(seed: int) -> Shop:
    """The shop of one seed: about a third are as wide or as long as the car asks, to the millimeter."""
    rng = np.random.default_rng([14, seed])
    vehicle, length, width = car(rng)
    deep = int(rng.integers(500, 3000)) if rng.random() < 0.6 else 0
    cards = (card(rng, deep),) if deep else ()
    gaps = Gaps(exit_m=float(rng.choice([0.0, 0.6])))
    more = 400 if rng.random() < 0.5 else 2500
    x, y = length + deep + int(rng.integers(20, more)), width + int(rng.integers(60, more + 300))
    exact = rng.random()
    if exact < 0.2:
        y = width + 100
        gaps = Gaps(exit_m=0.0)
    elif exact < 0.35:
        x = length + (deep + 50 if deep else 100)
    room = box(0, 0, x, y) if exact < 0.2 and rng.random() < 0.5 else outline(rng, x, y)
    obstacles = tuple(things(rng, x, y))
    voids = (pit(rng, x, y),) if rng.random() < 0.3 else ()
    equipment: tuple[Equipment, ...] = ()
    if rng.random() < 0.3:
        a, b = int(rng.integers(0, x - 400)), int(rng.integers(0, y - 400))
        equipment = (Equipment("stand", "target frame", height_m=1.2, store=box(a, b, a + 400, b + 400), wheeled=True),)
    site = Site("room", room, Datum((0.0, 0.0)), gaps, obstacles=obstacles, voids=voids, equipment=equipment)
    return Shop(seed, site, vehicle, cards)

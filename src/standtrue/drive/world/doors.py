"""Doors on the way: the floor outside them, how wide a car they let through, and where a car stands before them.

A door is passed by the whole car. So a car at a door is wholly outside it, square to it and in the middle; and a door
that is narrower than the widest part that meets its opening lets neither mirrors nor wheels over its line.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from attrs import evolve, frozen
from shapely.geometry.base import BaseGeometry

from standtrue.model.basics import Outline, Place
from standtrue.model.site import Door, Site
from standtrue.model.vehicle import MIRROR_BAND_M, Vehicle
from standtrue.plane.shapes import polygon

APRON_M = 8.0
"""How deep the floor outside a door is taken to be where the site does not say; deeper for a longer car."""

CLEAR_M = 0.01
"""How much more than the body's gap a car outside a door keeps from its line."""

ROUND_M = 14.0
"""So far round a shop a car finds all the room that it can use."""

EASY_M = 0.3
"""How much wider than a car needs a door is made to see whether its width is what bars the way."""

SLACK_M = 1e-6
"""What is so little too narrow is wide enough: rounding."""


@frozen
class Apron:
    """Floor outside a door that nobody entered: how deep, metres; `beyond` where it only prolongs an entered apron."""

    door: str
    deep_m: float
    beyond: bool = False


@frozen
class Narrow:
    """A part of the car that is too wide for a door, and by how much on each side, metres."""

    part: str
    lacking_m: float


def outward(door: Door, inside: BaseGeometry) -> tuple[float, float]:
    """The unit direction out of the shop, square to a door."""
    (x0, y0), (x1, y1) = door.start, door.end
    long = wide_m(door)
    nx, ny = (y1 - y0) / long, (x0 - x1) / long
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    return (-nx, -ny) if inside.contains(shapely.Point(x + 0.01 * nx, y + 0.01 * ny)) else (nx, ny)


def wide_m(door: Door) -> float:
    """How wide a door is, metres."""
    return math.dist(door.start, door.end)


def places_at(site: Site, vehicle: Vehicle, door: Door) -> tuple[Place, Place]:
    """Where a car stands outside a door: heading in first, then heading out."""
    ox, oy = outward(door, polygon(site.outline))
    x, y = (door.start[0] + door.end[0]) / 2, (door.start[1] + door.end[1]) / 2
    xs = [px for outline in _outlines(vehicle) for px, _ in outline]
    out, off = math.atan2(oy, ox), site.gaps.body_m + CLEAR_M
    front, rear = max(xs) + off, off - min(xs)
    return (
        Place(x + front * ox, y + front * oy, math.remainder(out + math.pi, math.tau)),
        Place(x + rear * ox, y + rear * oy, out),
    )


def too_narrow(site: Site, vehicle: Vehicle, door: Door) -> Narrow | None:
    """What is too wide for a door with its gaps; None where the whole car is let through.

    No convex outline gets through an opening narrower than its own least width (Strang 1982, The width of a chair);
    mirrors are not put through one after the other.
    """
    room = wide_m(door) - 2 * site.gaps.body_m
    body = _least_width_m(vehicle.body)
    if body > room + SLACK_M:
        return Narrow("body", (body - room) / 2)
    mirrors = [y for _, outline in vehicle.mirrors for _, y in outline]
    if mirrors and MIRROR_BAND_M[0] < door.height_m and max(mirrors) - min(mirrors) > room + SLACK_M:
        return Narrow("mirrors", (max(mirrors) - min(mirrors) - room) / 2)
    return None


def _least_width_m(outline: Outline) -> float:
    """How wide an outline is in the direction in which it is the least wide: square to one of its hull's sides."""
    corners = shapely.get_coordinates(shapely.MultiPoint(outline).convex_hull)
    sides = corners[1:] - corners[:-1]
    across = corners @ np.array([-sides[:, 1], sides[:, 0]]) / np.hypot(*sides.T)
    return float(np.ptp(across, axis=0).min())


def with_wider_doors(site: Site, vehicle: Vehicle) -> Site:
    """The site with every door that is too narrow wider than the car needs."""
    return evolve(site, doors=tuple(_wider(d, too_narrow(site, vehicle, d)) for d in site.doors))


def _wider(door: Door, narrow: Narrow | None) -> Door:
    if narrow is None:
        return door
    (x0, y0), (x1, y1) = door.start, door.end
    share = (narrow.lacking_m + EASY_M) / wide_m(door)
    dx, dy = share * (x1 - x0), share * (y1 - y0)
    return evolve(door, start=(x0 - dx, y0 - dy), end=(x1 + dx, y1 + dy))


def with_aprons(site: Site, vehicle: Vehicle, ends: Sequence[str] = ()) -> tuple[Site, tuple[Apron, ...]]:
    """The site with floor outside each door, and what of that floor is assumed.

    Where no apron is entered, it is as wide as the door and `APRON_M` deep. Where one is entered, a car at one of the
    `ends` comes straight over what is missing of it.
    """
    inside = polygon(site.outline)
    told = [_with_apron(site, vehicle, d, inside, d.name in ends) for d in site.doors]
    return evolve(site, doors=tuple(d for d, _ in told)), tuple(a for _, a in told if a is not None)


def _with_apron(
    site: Site, vehicle: Vehicle, door: Door, inside: BaseGeometry, at_end: bool
) -> tuple[Door, Apron | None]:
    gap = site.gaps.body_m
    xs, ys = zip(*(p for outline in _outlines(vehicle) for p in outline), strict=True)
    deep = max(xs) - min(xs) + 2 * (gap + CLEAR_M)
    if door.apron is None:
        deep = max(APRON_M, deep)
        strip = _strip(door, inside, wide_m(door), deep)
        return evolve(door, apron=strip, apron_assumed=True), Apron(door.name, deep)
    entered = polygon(door.apron)
    needed = polygon(_strip(door, inside, max(ys) - min(ys) + 2 * (gap + SLACK_M), deep))
    if not at_end or too_narrow(site, vehicle, door) or entered.buffer(SLACK_M).covers(needed):
        return door, None
    whole = shapely.union(entered.buffer(SLACK_M, join_style="mitre"), needed)
    if whole.geom_type != "Polygon" or whole.interiors:
        return door, None
    return evolve(door, apron=_ring(whole), apron_assumed=True), Apron(door.name, deep, beyond=True)


def with_floor_all_round(site: Site, assumed: Sequence[Apron]) -> Site:
    """The site with floor all round it outside the doors whose apron is `assumed`: more than there can be.

    What does not get through here gets through over no floor whatever outside those doors.
    """
    x0, y0, x1, y1 = polygon(site.outline).bounds
    for door in site.doors:
        a0, b0, a1, b1 = polygon(door.apron).bounds if door.apron is not None else (x0, y0, x1, y1)
        x0, y0, x1, y1 = min(x0, a0), min(y0, b0), max(x1, a1), max(y1, b1)
    whole = _ring(shapely.box(x0 - ROUND_M, y0 - ROUND_M, x1 + ROUND_M, y1 + ROUND_M))
    names = {a.door for a in assumed}
    return evolve(site, doors=tuple(evolve(d, apron=whole) if d.name in names else d for d in site.doors))


def _strip(door: Door, inside: BaseGeometry, wide: float, deep: float) -> Outline:
    """Floor outside a door, in the middle of it, from its line outward."""
    (x0, y0), (x1, y1) = door.start, door.end
    ox, oy = outward(door, inside)
    share = wide / wide_m(door) / 2
    x, y, dx, dy = (x0 + x1) / 2, (y0 + y1) / 2, share * (x1 - x0), share * (y1 - y0)
    near = [(x - dx, y - dy), (x + dx, y + dy)]
    return _ring(shapely.Polygon([*near, *((px + deep * ox, py + deep * oy) for px, py in reversed(near))]))


def _ring(shape: BaseGeometry) -> Outline:
    points = shapely.get_coordinates(shapely.orient_polygons(shape).exterior)[:-1]
    return tuple((float(x), float(y)) for x, y in points)


def _outlines(vehicle: Vehicle) -> Iterator[Outline]:
    """Everything of the car seen from above."""
    yield vehicle.body
    yield from (outline for _, outline in (*vehicle.mirrors, *vehicle.wheel_patches))

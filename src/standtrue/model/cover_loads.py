"""Closed covers and the wheels on them: what a cover carries at once, against what a car puts on it.

A wheel bears half of its axle's load, or more on the heavier side of the car: that is taken as `HEAVY_SIDE`, and
either side may be it. A wheel whose patch reaches over a cover's edge is on it with all that it bears.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator
from functools import lru_cache
from itertools import combinations, product

from attrs import frozen

from standtrue.model.basics import Outline
from standtrue.model.ground import Unfloor
from standtrue.model.reason import Mass, Reason, Ref, because
from standtrue.model.site import Cover, Site
from standtrue.model.vehicle import WHEEL_PATCH_LENGTH_M, WHEELS, Vehicle
from standtrue.plane.shapes import convex_pieces, polygon

HEAVY_SIDE = 0.55
"""What the heavier side of a car bears of an axle's load. Common practice, no source."""

ALIKE_KG = 1e-6
"""Rounding: so little more than a cover carries is no more."""


@frozen
class ClosedCover:
    """A cover that is closed, and what it is called."""

    ref: Ref
    cover: Cover


def closed_covers(site: Site) -> tuple[ClosedCover, ...]:
    """The covers on which wheels may come."""
    return tuple(
        ClosedCover(Ref("cover", cover.name, of=void.name), cover)
        for void in site.voids
        for cover in void.covers
        if cover.name in void.closed
    )


def greatest_kg(vehicle: Vehicle, wheels: Collection[str]) -> float | None:
    """The most that these wheels together may put on what they stand on; None where mass or share is not known."""
    mass, share = vehicle.mass_kg, vehicle.front_axle_share
    if mass is None or share is None:
        return None
    axles = {"front": share * mass, "rear": (1.0 - share) * mass}
    parts = [wheel.split() for wheel in wheels]
    borne = (
        sum(axles[end] * (HEAVY_SIDE if side == heavier else 1.0 - HEAVY_SIDE) for _, end, side in parts)
        for heavier in ("left", "right")
    )
    return max(borne)


def overloading(vehicle: Vehicle, cover: Cover) -> tuple[frozenset[str], ...]:
    """The least sets of wheels that put more on a cover than it carries, as far as all that is known."""
    found: list[frozenset[str]] = []
    for count in range(1, len(WHEELS) + 1):
        for wheels in map(frozenset, combinations(WHEELS, count)):
            most = greatest_kg(vehicle, wheels)
            if most is None or cover.load_kg is None or any(less <= wheels for less in found):
                continue
            if most > cover.load_kg + ALIKE_KG and _reach(vehicle, cover, wheels):
                found.append(wheels)
    return tuple(found)


def _reach(vehicle: Vehicle, cover: Cover, wheels: Collection[str]) -> bool:
    """Whether wheels are so near one another that a cover could be under all of them."""
    across = max(math.dist(a, b) for a, b in combinations(cover.outline, 2))
    patch = math.hypot(WHEEL_PATCH_LENGTH_M, vehicle.tire_width_m)
    apart = (math.dist(vehicle.wheel_center(a), vehicle.wheel_center(b)) for a, b in combinations(wheels, 2))
    return all(far - patch <= across for far in apart)


def unknown(vehicle: Vehicle, at: ClosedCover) -> Reason | None:
    """Why it cannot be told whether a cover carries the wheels that come onto it; None where it can."""
    if at.cover.load_kg is None:
        return because("cover-load-unknown", cover=at.ref)
    if vehicle.mass_kg is None:
        return because("cover-mass-unknown", cover=at.ref, vehicle=Ref("vehicle", vehicle.name))
    if vehicle.front_axle_share is None and vehicle.mass_kg > at.cover.load_kg:
        return because("cover-share-unknown", cover=at.ref, vehicle=Ref("vehicle", vehicle.name))
    return None


def overload(vehicle: Vehicle, at: ClosedCover, wheels: Collection[str]) -> Reason | None:
    """By what these wheels on a cover are too much for it; None where they are not, or it cannot be told."""
    most, load = greatest_kg(vehicle, wheels), at.cover.load_kg
    if most is None or load is None or most <= load + ALIKE_KG:
        return None
    return because("cover-overloaded", cover=at.ref, load=Mass(load), most=Mass(most))


def weak_floors(site: Site, vehicle: Vehicle) -> tuple[tuple[Unfloor, ...], ...]:
    """Every least choice of wheels to keep off each closed cover, so that none carries too much. One of them must hold.

    A single choice, of nothing, where no cover can be overloaded.
    """
    choices = [
        tuple(_weak(at.ref, at.cover.outline, tuple(sorted(wheels))) for wheels in _kept_off(vehicle, at.cover))
        for at in closed_covers(site)
    ]
    return tuple(product(*(choice for choice in choices if choice)))


def _kept_off(vehicle: Vehicle, cover: Cover) -> Iterator[frozenset[str]]:
    """The least sets of wheels without which no set that overloads a cover is whole."""
    heavy, found = overloading(vehicle, cover), list[frozenset[str]]()
    for count in range(1, len(WHEELS) + 1) if heavy else ():
        for wheels in map(frozenset, combinations(WHEELS, count)):
            if all(wheels & one for one in heavy) and not any(less <= wheels for less in found):
                found.append(wheels)
                yield wheels


@lru_cache(maxsize=256)
def _weak(ref: Ref, outline: Outline, wheels: tuple[str, ...]) -> Unfloor:
    """A cover as floor that some wheels must keep off."""
    shape = polygon(outline)
    pieces = convex_pieces(shape)
    return Unfloor(ref, "weak cover", shape, pieces, shape, pieces, tuple(map(Ref, wheels)))

"""What the wheels come onto along a way: closed covers, and low things that they roll over."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from attrs import frozen
from shapely.geometry.base import BaseGeometry

from standtrue.drive.path.found import Found
from standtrue.drive.path.swept import CLOSE_M, poses_on, put_along
from standtrue.drive.question.answer import Obstruction
from standtrue.model.cover_loads import ClosedCover, closed_covers, greatest_kg, overload, overloading, unknown
from standtrue.model.ground import Ground, Thing
from standtrue.model.reason import Length, Mass, Reason, because
from standtrue.model.site import Site
from standtrue.model.vehicle import Vehicle
from standtrue.plane.kernels import Array
from standtrue.plane.shapes import difference, polygon, union

EDGE_M = 1e-5
"""A wheel that reaches no farther over an edge is beside it: rounding."""


@frozen(eq=False)
class Underfoot:
    """What a way leads over: what is `overloaded` there, and what must be `told` of it."""

    overloaded: tuple[Obstruction, ...]
    told: tuple[Reason, ...]


def underfoot(vehicle: Vehicle, ground: Ground, found: Found) -> Underfoot:
    """What the wheels come onto along a way that was found."""
    wheels = _Wheels(vehicle, np.array(found.start), found.path)
    overloaded, told = list[Obstruction](), list[Reason]()
    decks = union(polygon(outline) for _, outlines in ground.decks for outline in outlines)
    for at in closed_covers(ground.site):
        sets = wheels.together_on(difference(polygon(at.cover.outline), decks))
        doubt = unknown(vehicle, at)
        if sets and doubt is not None:
            told.append(doubt)
        too_much = [why for one in sets if (why := overload(vehicle, at, one)) is not None]
        overloaded.extend(Obstruction(at.ref, None, why) for why in too_much[:1])
    low = {t.ref: t.top_m for t in _low(ground) if wheels.together_on(t.shape)}
    if low:
        most, limit = Length(max(low.values())), Length(ground.site.roll_over_m)
        told.append(because("way-rolls-over", things=tuple(low), most=most, limit=limit))
    return Underfoot(tuple(overloaded), tuple(told))


def retold(site: Site, vehicle: Vehicle, one: Obstruction) -> Obstruction:
    """A cover that wheels must keep off is in the way by what it carries, not by its width."""
    at = next((c for c in closed_covers(site) if c.ref == one.thing), None)
    why = None if at is None else _least_overload(vehicle, at)
    return one if why is None else Obstruction(one.thing, None, why)


def _least_overload(vehicle: Vehicle, at: ClosedCover) -> Reason | None:
    """The least that is too much for a cover."""
    most = [kg for wheels in overloading(vehicle, at.cover) if (kg := greatest_kg(vehicle, wheels)) is not None]
    if not most or at.cover.load_kg is None:
        return None
    return because("cover-overloaded", cover=at.ref, load=Mass(at.cover.load_kg), most=Mass(min(most)))


def _low(ground: Ground) -> Iterator[Thing]:
    """The things on the floor that wheels roll over."""
    for thing in ground.things:
        if (
            thing.kind != "deck"
            and not thing.bars_all
            and thing.bottom_m <= 0.0 < thing.top_m <= ground.site.roll_over_m
        ):
            yield thing


class _Wheels:
    """The wheel patches of a car all along a way."""

    def __init__(self, vehicle: Vehicle, start: Array, path: Array) -> None:
        poses, _ = poses_on(start, path, CLOSE_M)
        self._names = [name for name, _ in vehicle.wheel_patches]
        self._patches = np.stack([put_along(np.array(outline), poses) for _, outline in vehicle.wheel_patches], axis=1)
        self._low, self._high = self._patches.min(axis=2), self._patches.max(axis=2)

    def together_on(self, shape: BaseGeometry) -> frozenset[frozenset[str]]:
        """Every set of wheels that is on a shape at once, somewhere along the way."""
        inner = shape.buffer(-EDGE_M)
        if inner.is_empty:
            return frozenset()
        near = np.all(self._high >= inner.bounds[:2], axis=2) & np.all(self._low <= inner.bounds[2:], axis=2)
        on = np.zeros_like(near)
        on[near] = shapely.intersects(shapely.polygons(self._patches[near]), inner)
        rows = np.unique(on, axis=0)
        sets = (frozenset(name for name, there in zip(self._names, row, strict=True) if there) for row in rows)
        return frozenset(one for one in sets if one)

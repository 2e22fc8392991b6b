"""A car and a ground, as parts and solids for the planner: what must keep how far from what while it rolls."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from standtrue.drive.world.doors import too_narrow
from standtrue.drive.world.packed import Packed, Part, Solid, pack
from standtrue.model.ground import Ground, Thing, Unfloor
from standtrue.model.reason import Ref
from standtrue.model.vehicle import MIRROR_BAND_M, Vehicle
from standtrue.plane.shapes import Convex, convex_pieces, difference, polygon, union

BAND_M = 1e-9
ON_EDGE_M = 1e-6


def parts_of(vehicle: Vehicle) -> tuple[Part, ...]:
    """Body, mirrors and wheel patches, in convex pieces."""
    shapes = [("body", vehicle.body)]
    shapes += [(f"mirror {side}", outline) for side, outline in vehicle.mirrors]
    shapes += list(vehicle.wheel_patches)
    return tuple(Part(name, convex_pieces(polygon(outline))) for name, outline in shapes)


def bands_of(vehicle: Vehicle, rise_m: float) -> dict[str, tuple[float, float]]:
    """The heights that each part may take up on ground that rises to `rise_m`, metres."""
    bottom, top = MIRROR_BAND_M
    bands = {"body": (vehicle.ground_clearance_m, vehicle.height_m + rise_m)}
    bands |= {f"mirror {side}": (bottom, top + rise_m) for side, _ in vehicle.mirrors}
    bands |= {wheel: (0.0, vehicle.tire_diameter_m + rise_m) for wheel, _ in vehicle.wheel_patches}
    return bands


def packed_for(
    vehicle: Vehicle, ground: Ground, own: Sequence[str], *, weak: Sequence[Unfloor] = (), framed: bool = True
) -> Packed:
    """Everything that a rolling car must mind on this ground. `own` names the lifts that it stands on at either end.

    `weak` are covers that some wheels must keep off. Unless `framed`, what is too wide for a door is not kept from its
    line.
    """
    raised = [name for name in own if ground.setting(name).height_m > 0.0 and dict(ground.decks)[name]]
    rise = max((ground.setting(name).height_m for name in raised), default=0.0)
    solids = list(_solids(vehicle, ground, raised, bands_of(vehicle, rise)))
    decks = union(polygon(outline) for _, outlines in ground.decks for outline in outlines)
    for cover in weak:
        pieces = convex_pieces(difference(cover.shape, decks))
        solids.append(Solid(cover.ref, pieces, {wheel.kind: 0.0 for wheel in cover.over}))
    if framed:
        solids.extend(_frames(vehicle, ground))
    middle = (vehicle.front_x_m + vehicle.rear_x_m) / 2
    return pack(parts_of(vehicle), solids, ground.reach, middle)


def _solids(
    vehicle: Vehicle, ground: Ground, raised: Sequence[str], bands: dict[str, tuple[float, float]]
) -> Iterator[Solid]:
    gaps = ground.site.gaps
    wheels = [wheel for wheel, _ in vehicle.wheel_patches]
    for thing in ground.things:
        if thing.lift in raised and thing.kind == "deck":
            continue
        # Wheels roll over what is low, but for decks: those have edges.
        low = 0.0 if thing.kind == "deck" else ground.site.roll_over_m
        own = {part: (max(low, band[0]), band[1]) if part in wheels else band for part, band in bands.items()}
        met = {part: 0.0 if part in wheels else gaps.body_m for part, band in own.items() if _meets(thing, band)}
        if met:
            yield Solid(thing.ref, thing.pieces, met)
    # On a raised deck the wheels are above whatever pit lies under it.
    driven = union(polygon(o) for name, outlines in ground.decks if name in raised for o in outlines)
    for area in ground.unfloor:
        if area.kind == "void":
            pieces = convex_pieces(difference(area.wheel_shape, driven)) if raised else area.wheel_pieces
            if pieces:
                yield Solid(area.ref, pieces, dict.fromkeys(wheels, gaps.wheel_m))
        elif area.kind == "ramp" and area.ref.of not in raised:
            yield Solid(area.ref, area.pieces, dict.fromkeys(wheels, 0.0))
    for name in raised:
        decks = union(polygon(o) for o in dict(ground.decks)[name])
        slopes = [u.shape for u in ground.unfloor if u.kind == "ramp" and u.ref.of == name]
        yield from _edges(name, decks, slopes, wheels, gaps.wheel_m)


def _frames(vehicle: Vehicle, ground: Ground) -> Iterator[Solid]:
    """The lines of open doors that are too narrow for the whole car: neither mirrors nor wheels come over them."""
    parts = [*(f"mirror {side}" for side, _ in vehicle.mirrors), *(wheel for wheel, _ in vehicle.wheel_patches)]
    for door in ground.site.doors:
        if door.name in ground.doors_open and too_narrow(ground.site, vehicle, door) is not None:
            line = np.array([door.start, door.end])
            yield Solid(Ref("door frame", of=door.name), (line,), dict.fromkeys(parts, 0.0))


def _meets(thing: Thing, band: tuple[float, float]) -> bool:
    return thing.bars_all or min(band[1], thing.top_m) - max(band[0], thing.bottom_m) > BAND_M


def _edges(
    lift: str, decks: BaseGeometry, ramps: Sequence[BaseGeometry], wheels: Sequence[str], gap_m: float
) -> Iterator[Solid]:
    """The edges of raised decks and of their ramps that no wheel may cross: all but the ramps' outer ends.

    A wheel patch clear of all of them is wholly on the floor, wholly on decks and ramps, or crossing an outer end.
    """
    slopes = [part for ramp in ramps for part in shapely.get_parts(ramp)]
    ends = [_outer_end(ramp, decks) for ramp in slopes]
    near = union(slopes).buffer(ON_EDGE_M) if slopes else shapely.Polygon()
    rim = shapely.difference(decks.boundary, near)
    yield Solid(Ref("deck edge", of=lift), _lines(rim), dict.fromkeys(wheels, gap_m))
    if slopes:
        spared = shapely.union_all([e.buffer(ON_EDGE_M, cap_style="flat") for e in ends])
        sides = shapely.difference(union(slopes).boundary, shapely.union_all([decks.buffer(ON_EDGE_M), spared]))
        yield Solid(Ref("ramp edge", of=lift), _lines(sides), dict.fromkeys(wheels, 0.0))


def _outer_end(ramp: BaseGeometry, decks: BaseGeometry) -> BaseGeometry:
    """The edge of a ramp that is farthest from the decks."""
    edges = [shapely.LineString(pair) for pair in pairwise(shapely.get_coordinates(ramp.exterior))]
    return max(edges, key=lambda e: (round(decks.distance(e), 6), decks.distance(e.centroid)))


def _lines(shape: BaseGeometry) -> tuple[Convex, ...]:
    return tuple(
        np.array([one, two])
        for line in shapely.get_parts(shape)
        for one, two in pairwise(shapely.get_coordinates(line))
        if math.dist(one, two) > ON_EDGE_M
    )

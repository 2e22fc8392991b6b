"""What a tape, a string, a bob's line or a line of light cannot pass: everything solid of a set-up, as upright prisms.

Of the room: walls with their closed doors, columns and other obstacles, lifts and raised decks, equipment (a site in
one state, `model.ground`). Of the car: its body from the ground clearance up, without the wheel arches, its mirrors,
and its four tires: a contact patch 0.2 m long at the floor, and the round of the tire above. Of the targets: their
equipment from the floor to its height, and their faces.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import Literal

import numpy as np
import shapely
from attrs import frozen
from numpy.typing import NDArray

from standtrue.aim.layout import TargetPlace, vehicle_frame
from standtrue.model.anchors import Frame, in_frame
from standtrue.model.basics import Outline, Place
from standtrue.model.ground import Ground
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Ref
from standtrue.model.site import Equipment, equipment_of
from standtrue.model.vehicle import MIRROR_BAND_M, WHEEL_PATCH_LENGTH_M, WHEELS, Vehicle
from standtrue.plane.shapes import Convex, convex_pieces, difference, polygon, union

Array = NDArray[np.float64]
Part = Literal["room", "car", "tire", "target"]
Span = tuple[Array, Array]
"""From which share of each line's length to which: from > to means nowhere."""

GRAZE_M = 1e-3
"""What a line enters by less than this, it only touches."""

SPARE_M = 0.010
"""How far a tape or a bob's line keeps from what its own point stands on: its tire, its target's frame."""

ARCH_M = 0.060
"""How much larger than the tire a wheel's arch is, all round and inboard. Common practice, no source."""

SLABS = 12
"""Of so many prisms the round of a tire is made; each contains its part of the tire."""

FACE_M = 0.020
"""How thick a target's face is taken to be."""


@frozen(eq=False)
class Solid:
    """An upright solid: convex pieces in the site frame between two heights above the shop floor, metres.

    `of` is what it belongs to where that matters: the wheel of a tire, the target of a frame or a face.
    """

    ref: Ref
    part: Part
    pieces: tuple[Convex, ...]
    bottom_m: float
    top_m: float
    of: str = ""


def room_solids(ground: Ground) -> tuple[Solid, ...]:
    """Everything on the ground in its state; a ramp is no floor that a tape lies on."""
    things = [Solid(t.ref, "room", _thick(t.pieces), t.bottom_m, t.top_m) for t in ground.things]
    heights = dict(ground.settings)
    ramps = [
        Solid(u.ref, "room", u.pieces, 0.0, max(heights[u.ref.of].height_m, 2 * GRAZE_M))
        for u in ground.unfloor
        if u.kind == "ramp"
    ]
    return (*things, *ramps)


def body_solids(vehicle: Vehicle, place: Place, height_m: float) -> tuple[Solid, ...]:
    """The car's body above its arches, and between them; its mirrors."""
    at = vehicle_frame(place)
    whole = polygon(vehicle.body)
    arch_top = vehicle.tire_diameter_m + ARCH_M
    low, high = vehicle.ground_clearance_m, vehicle.height_m
    between = difference(whole, union([polygon(_arch(vehicle, w)) for w in WHEELS]))
    bands = [(between, low, min(arch_top, high)), (whole, max(arch_top, low), high)]
    body = [
        Solid(Ref("body"), "car", _turned(convex_pieces(shape), at), bottom + height_m, top + height_m)
        for shape, bottom, top in bands
        if top > bottom
    ]
    bottom, top = MIRROR_BAND_M
    mirrors = [
        Solid(Ref(f"mirror {side}"), "car", _turned(_piece(outline), at), bottom + height_m, top + height_m)
        for side, outline in vehicle.mirrors
    ]
    return (*body, *mirrors)


def tire_solids(
    vehicle: Vehicle, place: Place, height_m: float, wheel: str, outboard_m: float = math.inf
) -> tuple[Solid, ...]:
    """One tire, patch and round; of what lies farther outboard of its middle than `outboard_m` nothing."""
    at = vehicle_frame(place)
    x, y = vehicle.wheel_center(wheel)
    half, radius = vehicle.tire_width_m / 2, vehicle.tire_diameter_m / 2
    out = math.copysign(1.0, y)
    far = min(half, outboard_m)
    if far <= -half:
        return ()
    y0, y1 = sorted((y - out * half, y + out * far))
    edges = [radius * (1.0 - math.cos(math.pi * i / SLABS)) for i in range(SLABS + 1)]
    solids = []
    for bottom, top in pairwise(edges):
        # The longest chord of the slab: at its height nearest to the center's.
        nearest = min(max(radius, bottom), top) - radius
        reach = math.sqrt(max(radius**2 - nearest**2, 0.0))
        reach = max(reach, WHEEL_PATCH_LENGTH_M / 2) if bottom == 0.0 else reach
        outline: Outline = ((x - reach, y0), (x + reach, y0), (x + reach, y1), (x - reach, y1))
        pieces = _turned(_piece(outline), at)
        solids.append(Solid(Ref(wheel), "tire", pieces, height_m + bottom, height_m + top, wheel))
    return tuple(solids)


def target_solids(
    card: Procedure, places: Sequence[TargetPlace], equipment: Sequence[Equipment], own: str = "", gives_m: float = 0.0
) -> tuple[Solid, ...]:
    """Every target's equipment and face. Of `own`, whose face a bob hangs before, only what lies behind that face, by
    `gives_m` more."""
    used = {t.name: equipment_of(t.equipment, equipment) for t in card.targets}
    return tuple(s for p in places for s in _target(p, used[p.target], p.name == own, SPARE_M + gives_m))


def _target(place: TargetPlace, used: Equipment | None, own: bool, behind_m: float) -> Iterator[Solid]:
    (x, y, z), half = place.center, 0.0 if place.size_m is None else place.size_m[1] / 2
    at: Frame = ((x, y), place.facing_rad)
    if used is not None and used.footprint is not None:
        base = polygon(used.footprint)
        if own:
            x0, y0, _, y1 = base.bounds
            behind = shapely.box(min(x0, -behind_m) - 1.0, y0 - 1.0, -behind_m, y1 + 1.0)
            base = shapely.intersection(base, behind)
        top = used.height_m if used.height_m is not None else z + half
        ref = Ref("target equipment", used.name, of=place.name)
        if not base.is_empty:
            yield Solid(ref, "target", _turned(convex_pieces(base), at), 0.0, top, place.name)
    if own or place.size_m is None or z - half < 0.0:
        return
    wide = place.size_m[0] / 2
    face: Outline = ((-FACE_M, -wide), (0.0, -wide), (0.0, wide), (-FACE_M, wide))
    yield Solid(Ref("target", place.name), "target", _turned(_piece(face), at), z - half, z + half, place.name)


def meets(starts: Array, ends: Array, solid: Solid) -> NDArray[np.bool_]:
    """Which of the straight lines, shape (n, 3) each, enter a solid by more than a graze: shape (n,)."""
    low, high = solid.bottom_m + GRAZE_M, solid.top_m - GRAZE_M
    found = np.zeros(len(starts), dtype=np.bool_)
    if low >= high:
        return found
    by_height = _within(starts[:, 2] - low, ends[:, 2] - low)
    if math.isfinite(high):
        by_height = _both(by_height, _within(high - starts[:, 2], high - ends[:, 2]))
    for piece in solid.pieces:
        found |= _nonempty(_crossing(starts, ends, piece, by_height))
    return found


def crosses(starts: Array, ends: Array, pieces: Sequence[Convex]) -> NDArray[np.bool_]:
    """Which of the lines cross one of the pieces on the plan by more than a graze, shape (n,)."""
    found = np.zeros(len(starts), dtype=np.bool_)
    for piece in pieces:
        found |= _nonempty(_crossing(starts, ends, piece))
    return found


def _crossing(starts: Array, ends: Array, piece: Convex, within: Span | None = None) -> Span:
    """Where each line lies in a convex piece by more than a graze."""
    span = within if within is not None else (np.zeros(len(starts)), np.ones(len(starts)))
    for (x0, y0), (x1, y1) in zip(piece, np.roll(piece, -1, axis=0), strict=True):
        long = math.hypot(x1 - x0, y1 - y0)
        nx, ny = (y0 - y1) / long, (x1 - x0) / long
        one = nx * (starts[:, 0] - x0) + ny * (starts[:, 1] - y0) - GRAZE_M
        two = nx * (ends[:, 0] - x0) + ny * (ends[:, 1] - y0) - GRAZE_M
        span = _both(span, _within(one, two))
    return span


def _nonempty(span: Span) -> NDArray[np.bool_]:
    return np.asarray(span[0] < span[1])


def _within(one: Array, two: Array) -> Span:
    """From which share to which a quantity that goes straight from `one` to `two` is above 0."""
    change = two - one
    safe = np.where(change == 0.0, 1.0, change)
    at = -one / safe
    first = np.where(change > 0.0, np.maximum(at, 0.0), 0.0)
    last = np.where(change < 0.0, np.minimum(at, 1.0), 1.0)
    never = (change == 0.0) & (one <= 0.0)
    return np.where(never, 1.0, first), np.where(never, 0.0, last)


def _both(one: Span, two: Span) -> Span:
    return np.maximum(one[0], two[0]), np.minimum(one[1], two[1])


def _arch(vehicle: Vehicle, wheel: str) -> Outline:
    """The room of a wheel in the body, open outboard, in the vehicle frame."""
    x, y = vehicle.wheel_center(wheel)
    out = math.copysign(1.0, y)
    reach = vehicle.tire_diameter_m / 2 + ARCH_M
    y0, y1 = sorted((y - out * (vehicle.tire_width_m / 2 + ARCH_M), out * (vehicle.width_m + 1.0)))
    return ((x - reach, y0), (x + reach, y0), (x + reach, y1), (x - reach, y1))


def _piece(outline: Outline) -> tuple[Convex, ...]:
    return convex_pieces(polygon(outline))


def _turned(pieces: Iterable[Convex], at: Frame) -> tuple[Convex, ...]:
    """Pieces given in a frame, in the site frame."""
    return tuple(
        np.ascontiguousarray(in_frame(at, tuple((float(x), float(y)) for x, y in piece)), dtype=np.float64)
        for piece in pieces
    )


def _thick(pieces: Sequence[Convex]) -> tuple[Convex, ...]:
    """Pieces with some thickness: the wall beside an open door and what is above it are lines on the plan."""
    lines = (shapely.LineString(p).buffer(2 * GRAZE_M, cap_style="flat") if len(p) == 2 else None for p in pieces)
    return tuple(
        q for p, line in zip(pieces, lines, strict=True) for q in ((p,) if line is None else convex_pieces(line))
    )

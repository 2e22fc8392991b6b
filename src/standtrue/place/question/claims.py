"""What one stance claims of the floor and the space above it: the car's own parts, and a card's zones.

A claim is a plan shape in the vehicle frame with a height band above the shop floor.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from math import cos, sin
from typing import Literal

import numpy as np
from attrs import evolve, frozen

from standtrue.model.anchors import Frame, anchor_frame, in_frame
from standtrue.model.basics import Fault, Layer, Outline, Point, Side
from standtrue.model.procedure import Procedure, Variant
from standtrue.model.reason import Ref, because
from standtrue.model.site import Equipment, Gaps, equipment_of
from standtrue.model.vehicle import MIRROR_BAND_M, WHEELS, Vehicle
from standtrue.plane.shapes import Convex, convex_pieces, polygon

Role = Literal["body", "mirror", "wheel", "person", "exit", "zone", "equipment", "point"]

WHEELS_OF = {axle: frozenset(Ref(f"wheel {axle} {side}") for side in ("left", "right")) for axle in ("front", "rear")}
"""The wheels of each axle."""

KEPT = 512
"""The claims of so many cars and cards are kept."""

PERSON_TOP_M = 2.0
EXIT_TOP_M = 1.8
EXIT_FROM_M, EXIT_TO_M = 1.5, 0.4
"""The exit strip runs from wheelbase - 1.5 m to wheelbase - 0.4 m along the car."""


@frozen(eq=False)
class Claim:
    """One plan shape in the vehicle frame, between two heights above the shop floor, metres.

    `own_parts_spared`: the carrying lift's decks (`"decks"`) or all its parts (`"all"`) are nothing to it.
    """

    ref: Ref
    role: Role
    needs: Layer
    outline: Outline
    pieces: tuple[Convex, ...]
    bottom_m: float
    top_m: float
    side: Side | None = None
    own_parts_spared: Literal["none", "decks", "all"] = "none"


def claim(
    ref: Ref,
    role: Role,
    needs: Layer,
    outline: Outline,
    bottom_m: float,
    top_m: float,
    side: Side | None = None,
    spared: Literal["none", "decks", "all"] = "none",
) -> Claim:
    return Claim(ref, role, needs, outline, pieces_of(outline), bottom_m, top_m, side, spared)


def zone_ref(card: Procedure, name: str) -> Ref:
    """A zone of a card, by its name."""
    return Ref("zone", name, of=card.key)


def named_over(card: Procedure, over: Sequence[str]) -> tuple[Ref, ...]:
    """What a card's `floor_level.over` names: wheels of the car, or its own zones."""
    return tuple(Ref(name) if name in WHEELS else zone_ref(card, name) for name in over)


@lru_cache(maxsize=4096)
def pieces_of(outline: Outline) -> tuple[Convex, ...]:
    """The convex pieces of an outline; not to be written to."""
    return convex_pieces(polygon(outline))


@lru_cache(maxsize=KEPT)
def car_claims(
    vehicle: Vehicle, gaps: Gaps, height_m: float, raised: bool, driven_height_m: float
) -> tuple[Claim, ...]:
    """Body, mirrors, wheels, the exit strips, and room for a person around a raised car: the same if asked again.

    `height_m` is the ground that the wheels stand on, `driven_height_m` that ground in the state
    the car was driven into. The person's and the exit strip's widths are in the pairs' gaps and
    in the outline respectively.
    """
    return tuple(_of_car(vehicle, gaps, height_m, raised, driven_height_m))


def _of_car(vehicle: Vehicle, gaps: Gaps, height_m: float, raised: bool, driven_height_m: float) -> Iterator[Claim]:
    low, high = vehicle.ground_clearance_m + height_m, vehicle.height_m + height_m
    yield claim(Ref("body"), "body", "clear", vehicle.body, low, high, spared="decks")
    for side, outline in vehicle.mirrors:
        bottom, top = MIRROR_BAND_M
        yield claim(
            Ref(f"mirror {side}"), "mirror", "clear", outline, bottom + height_m, top + height_m, spared="decks"
        )
    for wheel, outline in vehicle.wheel_patches:
        yield claim(Ref(wheel), "wheel", "stand", outline, height_m, height_m + vehicle.tire_diameter_m, spared="decks")
    if raised and gaps.person_m > 0.0:
        yield claim(Ref("person"), "person", "walk", vehicle.body, 0.0, PERSON_TOP_M, spared="all")
    if gaps.exit_m > 0.0:
        x0, x1 = vehicle.wheelbase_m - EXIT_FROM_M, vehicle.wheelbase_m - EXIT_TO_M
        near, far = vehicle.width_m / 2, vehicle.width_m / 2 + gaps.exit_m
        left: Outline = ((x0, near), (x1, near), (x1, far), (x0, far))
        right: Outline = tuple((x, -y) for x, y in reversed(left))
        sides: tuple[tuple[Side, Outline], ...] = (("left", left), ("right", right))
        for side, strip in sides:
            top = EXIT_TOP_M + driven_height_m
            yield claim(Ref(f"exit {side}"), "exit", "walk", strip, 0.0, top, side=side, spared="decks")


@lru_cache(maxsize=KEPT)
def card_claims(
    card: Procedure, vehicle: Vehicle, equipment: tuple[Equipment, ...], height_m: float
) -> tuple[Claim, ...]:
    """The card's zones, and the room on the floor that its targets' equipment takes, in the vehicle frame.

    The same if asked again. Raises KeyError where `missing_anchors` names a fault.
    """
    return tuple(_of_card(card, vehicle, equipment, height_m))


def _of_card(card: Procedure, vehicle: Vehicle, equipment: Sequence[Equipment], height_m: float) -> Iterator[Claim]:
    for anchor, turned, one in form_claims(card, equipment, height_m):
        frame = anchor_frame(anchor, turned, card, vehicle)
        if frame is None:
            raise KeyError(f"{vehicle.name} has no {card.sensor} with a position")
        yield evolve(one, outline=in_frame(frame, one.outline), pieces=tuple(_moved(frame, p) for p in one.pieces))


def form_claims(card: Procedure, equipment: Sequence[Equipment], height_m: float) -> Iterator[tuple[str, bool, Claim]]:
    """The card's own claims, each in the frame of an anchor, with the anchor and whether it turns with the sensor."""
    yield from _zone_claims(card, height_m)
    yield from _target_claims(card, equipment, height_m)


def _zone_claims(card: Procedure, height_m: float) -> Iterator[tuple[str, bool, Claim]]:
    """The card's zones. `stand` and `walk` run from the floor; the others rise with the deck unless `from_floor`."""
    for zone in card.zones:
        if zone.needs in ("stand", "walk"):
            bottom, top = 0.0, height_m + zone.top_m
        else:
            rise = 0.0 if zone.from_floor else height_m
            bottom, top = zone.bottom_m + rise, zone.top_m + rise
        yield zone.anchor, zone.turned, claim(zone_ref(card, zone.name), "zone", zone.needs, zone.outline, bottom, top)


def _target_claims(
    card: Procedure, equipment: Sequence[Equipment], height_m: float
) -> Iterator[tuple[str, bool, Claim]]:
    """The room on the floor that each target's equipment takes, at each of its positions.

    Equipment of unknown height ends with the target: at its upper edge, or its center where its size is unknown.
    """
    for target in card.targets:
        used = equipment_of(target.equipment, equipment)
        if used is None or used.footprint is None:
            continue
        stands = dict.fromkeys([(target.at, target.facing_rad)])
        for position in target.positions:
            stands[position.at, target.facing_rad if position.facing_rad is None else position.facing_rad] = None
        for number, (at, facing) in enumerate(stands, start=1):
            outline = in_frame(((at[0], at[1]), facing), used.footprint)
            kind = "target equipment" if len(stands) == 1 else "target equipment at a position"
            ref = Ref(kind, used.name, of=target.name, number=0 if len(stands) == 1 else number)
            edge = at[2] + (0.0 if target.from_floor else height_m) + (target.size_m[1] / 2 if target.size_m else 0.0)
            top = used.height_m if used.height_m is not None else edge
            yield target.anchor, target.turned, claim(ref, "equipment", "stand", outline, 0.0, top)


def point_claim(ref: Ref, point: Point) -> Claim:
    """A point of the car that some condition is about."""
    return Claim(ref, "point", "clear", (point,), (np.array([point], dtype=np.float64),), 0.0, 0.0)


def _moved(frame: Frame, piece: Convex) -> Convex:
    (x0, y0), turn = frame
    c, s = cos(turn), sin(turn)
    return np.ascontiguousarray(piece @ np.array([[c, s], [-s, c]]) + (x0, y0))


def missing_anchors(card: Procedure, vehicle: Vehicle) -> tuple[Fault, ...]:
    """What the car's document must say before this card can be placed."""
    forms: tuple[Procedure | Variant, ...] = (card, *card.variants)
    anchored = {(z.anchor, z.turned) for form in forms for z in form.zones}
    anchored |= {(t.anchor, t.turned) for form in forms for t in form.targets}
    if all(anchor_frame(a, t, card, vehicle) is not None for a, t in anchored):
        return ()
    sensor = Ref("sensor", card.sensor, state=card.side or "")
    what = because("sensor-position-missing", card=Ref("card", card.key), sensor=sensor)
    remedy = because("add-sensor-position", kind=card.sensor, vehicle=Ref("vehicle", vehicle.name))
    return (Fault("sensor-position-missing", what, "", f"vehicle {vehicle.name}: sensors", "", remedy),)

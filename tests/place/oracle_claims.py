"""What a car and its cards ask of the space around them, in the slow second reading of the reference."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from attrs import frozen
from oracle_ground import MEET_M, Array, Stance, moved

from standtrue.model.basics import Layer, Point, SupportClass
from standtrue.model.procedure import Procedure
from standtrue.model.site import Equipment, Site
from standtrue.model.vehicle import Vehicle

EXIT_TOP_M, PERSON_TOP_M = 1.8, 2.0


@frozen(eq=False)
class Claim:
    """A part of space that the stance asks for, in the vehicle frame."""

    name: str
    outline: Array
    bottom_m: float
    top_m: float
    needs: Layer
    gap_m: float
    side: str | None = None
    role: str = "zone"


def car_claims(vehicle: Vehicle, site: Site, height: float, support: SupportClass, driven: float) -> list[Claim]:
    """What the car itself asks for, standing `height` above the floor."""
    gaps, body = site.gaps, np.array(vehicle.body)
    bottom, top = vehicle.ground_clearance_m + height, vehicle.height_m + height
    claims = [Claim("body", body, bottom, top, "clear", gaps.body_m, role="body")]
    for side, box in vehicle.mirrors:
        claims.append(
            Claim(f"mirror {side}", np.array(box), 0.9 + height, 1.3 + height, "clear", gaps.body_m, role="body")
        )
    for name, patch in vehicle.wheel_patches:
        claims.append(
            Claim(name, np.array(patch), height, height + vehicle.tire_diameter_m, "stand", gaps.wheel_m, role="wheel")
        )
    if support == "lift up":
        claims.append(Claim("person", body, 0.0, PERSON_TOP_M, "clear", gaps.person_m, role="person"))
    if gaps.exit_m > 0.0:
        x0, x1, y = vehicle.wheelbase_m - 1.5, vehicle.wheelbase_m - 0.4, vehicle.width_m / 2
        left = np.array([(x0, y), (x1, y), (x1, y + gaps.exit_m), (x0, y + gaps.exit_m)])
        for side, strip in (("left", left), ("right", (left * [1.0, -1.0])[::-1])):
            claims.append(Claim(f"exit {side}", strip, 0.0, driven + EXIT_TOP_M, "walk", 0.0, side, "exit"))
    return claims


def anchor_of(anchor: str, turned: bool, vehicle: Vehicle, card: Procedure) -> Stance:
    """The anchor's frame in the vehicle frame."""
    half = vehicle.width_m / 2
    spots: dict[str, Point] = {
        "rear axle": (0.0, 0.0),
        "front axle": (vehicle.wheelbase_m, 0.0),
        "front": (vehicle.front_x_m, 0.0),
        "rear": (vehicle.rear_x_m, 0.0),
        "left": (0.0, half),
        "right": (0.0, -half),
    }
    if anchor in spots:
        return (*spots[anchor], 0.0)
    if anchor == "sensor":
        sensor = next(s for s in vehicle.sensors if s.kind == card.sensor and s.side == card.side)
        assert sensor.at is not None
        return (sensor.at[0], sensor.at[1], sensor.facing_rad if turned else 0.0)
    return (*vehicle.wheel_center(anchor), 0.0)


def card_claims(card: Procedure, vehicle: Vehicle, site: Site, height: float) -> list[Claim]:
    """The zones of a card: heights over the floor, outlines in the vehicle frame."""
    claims = []
    for zone in card.zones:
        rise = 0.0 if zone.from_floor else height
        bottom, top = zone.bottom_m + rise, zone.top_m + rise
        if zone.needs in ("stand", "walk"):
            bottom, top = 0.0, height + zone.top_m
        outline = moved(np.array(zone.outline), anchor_of(zone.anchor, zone.turned, vehicle, card))
        claims.append(Claim(zone.name, outline, bottom, top, zone.needs, site.gaps.zone_m))
    claims = [c for c in claims if c.needs != "plain"]
    for name, frame, at, facing, kit, rise, size in targets_of(card, vehicle, site, height):
        if kit is not None and kit.footprint is not None:
            body = moved(moved(np.array(kit.footprint), (at[0], at[1], facing)), frame)
            top = at[2] + rise + size / 2 if kit.height_m is None else kit.height_m
            claims.append(Claim(name, body, 0.0, top, "stand", site.gaps.zone_m))
    return claims


Spot = tuple[str, Stance, tuple[float, float, float], float, Equipment | None, float, float]


def targets_of(card: Procedure, vehicle: Vehicle, site: Site, height: float) -> Iterator[Spot]:
    """Every target, or each of its positions: name, anchor's frame, at, facing, equipment, its rise, its own height."""
    for target in card.targets:
        frame = anchor_of(target.anchor, target.turned, vehicle, card)
        kit = equipment_named(target.equipment, site)
        spots = [(p.at, target.facing_rad if p.facing_rad is None else p.facing_rad) for p in target.positions]
        rise, size = 0.0 if target.from_floor else height, target.size_m[1] if target.size_m else 0.0
        for at, facing in spots or [(target.at, target.facing_rad)]:
            yield target.name, frame, at, facing, kit, rise, size


def equipment_named(name: str | None, site: Site) -> Equipment | None:
    """By its name, or else by its kind."""
    by_name = [e for e in site.equipment if name is not None and e.name == name]
    return next(iter(by_name + [e for e in site.equipment if name is not None and e.kind == name]), None)


def used_by(card: Procedure, site: Site) -> frozenset[str]:
    """The names of the equipment that a card takes from its store."""
    asked = [equipment_named(n, site) for n in (*card.equipment, *(t.equipment for t in card.targets))]
    return frozenset(e.name for e in asked if e is not None)


def within_reach(card: Procedure, vehicle: Vehicle, site: Site, height: float) -> bool:
    """Whether every target's center lies within its equipment's reach."""
    spots = [(s[4].reach_m, s[2][2] + s[5]) for s in targets_of(card, vehicle, site, height) if s[4] is not None]
    return all(r is None or r[0] - MEET_M <= center <= r[1] + MEET_M for r, center in spots)

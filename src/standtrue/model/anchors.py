"""Anchors: the points of a car that zones and targets are measured from, and the turned frames at them."""

from __future__ import annotations

from math import cos, sin

from standtrue.model.basics import Outline, Point
from standtrue.model.procedure import Procedure, Zone
from standtrue.model.vehicle import Sensor, Vehicle

Frame = tuple[Point, float]
"""Origin and turn of a frame in another one: metres, and radians counter-clockwise."""


def card_sensor(card: Procedure, vehicle: Vehicle) -> Sensor | None:
    """The car's sensor that a card is for, or None where the car does not list it."""
    return sensor_of(card.sensor, card.side, vehicle)


def sensor_of(kind: str, side: str | None, vehicle: Vehicle) -> Sensor | None:
    """The car's sensor of a kind and side (None: whichever comes first)."""
    return next((s for s in vehicle.sensors if s.kind == kind and side in (None, s.side)), None)


def anchor_frame(anchor: str, turned: bool, card: Procedure, vehicle: Vehicle) -> Frame | None:
    """An anchor's frame in the vehicle frame; None if the car lacks what it names."""
    return frame_at(anchor, turned, card.sensor, card.side, vehicle)


def frame_at(anchor: str, turned: bool, sensor: str, side: str | None, vehicle: Vehicle) -> Frame | None:
    """As `anchor_frame`, for a sensor of a kind and side (None: whichever comes first)."""
    points: dict[str, Point] = {
        "rear axle": (0.0, 0.0),
        "front axle": (vehicle.wheelbase_m, 0.0),
        "front": (vehicle.front_x_m, 0.0),
        "rear": (vehicle.rear_x_m, 0.0),
        "left": (0.0, vehicle.width_m / 2),
        "right": (0.0, -vehicle.width_m / 2),
    }
    if anchor in points:
        return points[anchor], 0.0
    if anchor.startswith("wheel "):
        return vehicle.wheel_center(anchor), 0.0
    fitted = sensor_of(sensor, side, vehicle)
    if fitted is None or fitted.at is None:
        return None
    return (fitted.at[0], fitted.at[1]), fitted.facing_rad if turned else 0.0


def in_frame(frame: Frame, outline: Outline) -> Outline:
    """Points given in a frame, in the frame that it is placed in."""
    (x0, y0), turn = frame
    c, s = cos(turn), sin(turn)
    return tuple((x0 + c * x - s * y, y0 + s * x + c * y) for x, y in outline)


def zone_outline(zone: Zone, card: Procedure, vehicle: Vehicle) -> Outline:
    """A zone's outline in the vehicle frame. Raises KeyError if the car lacks its anchor."""
    frame = anchor_frame(zone.anchor, zone.turned, card, vehicle)
    if frame is None:
        raise KeyError(f"{vehicle.name} has no {card.sensor} with a position")
    return in_frame(frame, zone.outline)

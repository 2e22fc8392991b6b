"""A card drawn about a car, nose up: its zones and its targets, without any floor."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from attrs import frozen

from standtrue.draw.shapes import Role, Shape, area
from standtrue.model.anchors import anchor_frame, in_frame
from standtrue.model.basics import Layer, Outline, Place
from standtrue.model.procedure import Procedure, Target
from standtrue.model.site import Datum
from standtrue.model.vehicle import Vehicle
from standtrue.show.pictures.drive_shapes import car_shapes
from standtrue.show.pictures.editor import ZONES
from standtrue.show.pictures.place import in_order
from standtrue.show.pictures.plate import Label, Plate, Scene, marks_of, path_of, plate_of, window_of
from standtrue.show.words.reader import Reader

UP = Datum((0.0, 0.0), -math.pi / 2)
"""The car's own frame, with its nose up on the page."""

ROUND_M = 0.6
BOARD_M = 1.0
"""How wide a target of unknown size is drawn."""


@frozen
class CardPlate:
    """The drawing; each zone's path by its class, over it."""

    plate: Plate
    marks: str


def card_plate(card: Procedure, vehicle: Vehicle, told: str, reader: Reader) -> CardPlate:
    """A card about a car. What hangs on a sensor that the car's document does not place is left out."""
    at = Place(0.0, 0.0, 0.0)
    body = [s for s in in_order(car_shapes(vehicle, at, "", reader)) if s.role != "axle"]
    zones = list(_zones(card, vehicle))
    boards = [face for target in card.targets if (face := _face(target, card, vehicle))]
    points = [*vehicle.body, *(p for _, outline, _ in zones for p in outline), *(p for face in boards for p in face)]
    labels = tuple(Label(name, _middle(outline), areas=((outline, ()),)) for name, outline, _ in zones)
    scene = Scene(UP, window_of(points, UP, ROUND_M), tuple(body), labels, told=told)
    marks = "".join(f'<path class="{kind}" d="{path_of((outline,), scene)}"/>' for _, outline, kind in zones)
    board = Shape("target", "", areas=tuple(area(_thick(face))[0] for face in boards))
    return CardPlate(plate_of(scene), marks + marks_of((board,), scene))


def _zones(card: Procedure, vehicle: Vehicle) -> Iterator[tuple[str, Outline, str]]:
    for zone in card.zones:
        frame = anchor_frame(zone.anchor, zone.turned, card, vehicle)
        if frame is not None:
            yield zone.name, in_frame(frame, zone.outline), ZONES[_ROLES[zone.needs]]


_ROLES: Mapping[Layer, Role] = {
    "stand": "zone stand",
    "walk": "zone walk",
    "clear": "zone clear",
    "metal-free": "zone metal-free",
    "plain": "zone plain",
}


def _face(target: Target, card: Procedure, vehicle: Vehicle) -> Outline:
    """The two ends of a target's face; () where its anchor is not known."""
    frame = anchor_frame(target.anchor, target.turned, card, vehicle)
    if frame is None:
        return ()
    half = (target.size_m[0] if target.size_m else BOARD_M) / 2
    x, y = target.at[0], target.at[1]
    c, s = math.cos(target.facing_rad), math.sin(target.facing_rad)
    return in_frame(frame, ((x + half * s, y - half * c), (x - half * s, y + half * c)))


def _thick(face: Outline) -> Outline:
    (ax, ay), (bx, by) = face
    long = max(math.dist(face[0], face[1]), 1e-9)
    nx, ny = 0.06 * (by - ay) / long, -0.06 * (bx - ax) / long
    return ((ax - nx, ay - ny), (bx - nx, by - ny), (bx + nx, by + ny), (ax + nx, ay + ny))


def _middle(outline: Outline) -> tuple[float, float]:
    return (sum(x for x, _ in outline) / len(outline), sum(y for _, y in outline) / len(outline))

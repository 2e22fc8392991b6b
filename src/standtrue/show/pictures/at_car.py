"""The pictures of a step at the car, nose up: the leg to drive, where targets go, what is read, what must move."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from attrs import evolve

from standtrue.aim.layout import TargetPlace
from standtrue.aim.planning import Planned
from standtrue.draw.near import Near, nose_up
from standtrue.draw.shapes import Role, Shape
from standtrue.model.basics import Place, Point
from standtrue.model.ground import Grounds
from standtrue.model.site import Site
from standtrue.model.vehicle import Vehicle
from standtrue.show.pictures.car import at_place
from standtrue.show.pictures.drive_shapes import car_shapes, ghost
from standtrue.show.pictures.floor import floor_shapes
from standtrue.show.pictures.near import AtTheCar, near_view
from standtrue.show.pictures.place import in_order
from standtrue.show.pictures.plate import Label, Plate, Scene, arrow, plate_of, window_of
from standtrue.show.words.reader import Reader
from standtrue.work.aim.aiming import MeasuredAnswer
from standtrue.work.aim.laying import TargetsAnswer
from standtrue.work.car.steps import CarStep, Leg

LEAST_PX = {"set": 320.0, "read": 175.0, "whole": 300.0, "drive": 240.0}
"""How wide each picture is shown at the least: on a phone, or as one of two columns."""

SHIFT_M = 0.8
"""How long the arrow is drawn that says where to shift something: its figure is told."""

_FAINT: frozenset[Role] = frozenset(
    {"wall", "obstacle", "movable", "post", "lift part", "door", "stored", "overhead", "bay", "mark", "datum"}
)
_LEFT_OUT: frozenset[Role] = frozenset({"centerline", "string", "zone clear", "zone walk", "zone metal-free"})


def set_plate(layout: TargetsAnswer, reader: Reader, told: str) -> Plate:
    """Where the targets go: the car's end, the place of each target, what stands near."""
    near = _near(layout, (), reader)
    places = [target.place for target in layout.targets]
    shapes = tuple(s for s in near.shapes if s.role not in _LEFT_OUT)
    return plate_of(_scene(near, shapes, _about_targets(layout.scene.vehicle, layout.scene.place, places), told, "set"))


def read_plate(layout: TargetsAnswer, readings: Sequence[Planned], reader: Reader, told: str) -> Plate:
    """A group of readings as lines with their numbers."""
    near = _near(layout, readings, reader)
    ends = [p for tape in near.tapes for p in (tape.start, tape.end)]
    seen = [*at_place(layout.scene.vehicle.body, layout.scene.place), *ends, *_chalks(layout)]
    shapes = tuple(s for s in near.shapes if s.role not in (*_LEFT_OUT, "zone stand", "mark", "datum"))
    scene = _scene(near, shapes, seen, told, "read")
    return plate_of(evolve(scene, tapes=near.tapes, labels=scene.labels[: len(layout.targets)]))


def measured_plate(answer: MeasuredAnswer, shift_rad: float | None, target: str, reader: Reader, told: str) -> Plate:
    """The car and its targets as measured, with an arrow for what is to be shifted."""
    places = answer.setup.corrected
    near = near_view(AtTheCar(answer.stance.answer, places, (), ()), reader, told)
    shapes = [s for s in near.shapes if s.role not in (*_LEFT_OUT, "zone stand")]
    own = next((p for p in places if p.name == target), None)
    if own is not None and shift_rad is not None:
        shapes.append(arrow(own.center[:2], shift_rad, SHIFT_M))
    at = answer.stance.answer.place
    assert at is not None
    seen = _about_targets(answer.setup.scene.vehicle, at, places)
    return plate_of(_scene(near, tuple(shapes), seen, told, "set"))


def leg_plate(site: Site, vehicle: Vehicle, step: CarStep, leg: int, reader: Reader, told: str) -> Plate:
    """A leg to drive, nose up as the car stands when it begins; what follows is fainter, the end an outline."""
    legs = step.legs
    here = legs[leg].way[0]
    datum = nose_up(here)
    later = [_way(one) for one in legs[leg + 1 :]]
    end = legs[-1].way[-1]
    shapes = [
        *(s for s in floor_shapes(Grounds(site).at_rest(), reader) if s.role not in ("mark", "datum")),
        ghost(vehicle, end, "", ""),
        *later,
        _way(legs[leg]),
        *car_shapes(vehicle, here, "", reader),
    ]
    shown = [s for s in shapes if s.role not in ("axle", "centerline")]
    things = sorted(filter(_is_named, shown), key=lambda s: s.role != "void")
    named = [Label(s.label, (0.0, 0.0), s.role == "void", s.areas) for s in things]
    numbers = [Label(str(i + 1), _xy(one.way[-1]), True) for i, one in enumerate(legs) if i >= leg][:3]
    body = at_place(vehicle.body, here)
    seen = [*body, *(p for place in legs[leg].way for p in at_place(vehicle.body, place))]
    window = window_of(seen, datum, 0.6, 0.6)
    scene = Scene(datum, window, in_order(shown), (*numbers, *named), (), told, LEAST_PX["drive"], frozenset(_FAINT))
    return plate_of(scene)


def _is_named(shape: Shape) -> bool:
    return bool(shape.label and shape.areas) and shape.role in ("void", "movable", "obstacle", "raised deck")


def _way(leg: Leg) -> Shape:
    role: Role = "reverse" if leg.gear == "reverse" else "forward"
    line = tuple(_xy(place) for place in leg.way)
    return Shape(role, "", lines=(line, *_head(leg.way)))


def _head(way: Sequence[Place]) -> Iterator[tuple[Point, ...]]:
    """The head of an arrow at the end of a leg."""
    if len(way) < 2:
        return
    (x0, y0), (x1, y1) = _xy(way[-2]), _xy(way[-1])
    turn = math.atan2(y1 - y0, x1 - x0)
    ends = [(x1 - 0.3 * math.cos(turn + t), y1 - 0.3 * math.sin(turn + t)) for t in (0.45, -0.45)]
    yield (ends[0], (x1, y1), ends[1])


def _xy(place: Place) -> Point:
    return place.x_m, place.y_m


def _near(layout: TargetsAnswer, readings: Sequence[Planned], reader: Reader) -> Near:
    places = tuple(target.place for target in layout.targets)
    return near_view(AtTheCar(layout.stance, places, tuple(readings), ()), reader, "")


def _chalks(layout: TargetsAnswer) -> Iterator[Point]:
    for target in layout.targets:
        yield from target.place.chalk


def _about_targets(vehicle: Vehicle, at: Place, places: Sequence[TargetPlace]) -> list[Point]:
    """The end of the car that looks at the targets, and the targets: not the whole car, so that both are large."""
    centers = [p.center[:2] for p in places]
    ends = [p for place in places for p in place.chalk]
    if not centers:
        return list(at_place(vehicle.body, at))
    ahead = sum(_ahead(at, p) for p in centers) > 0.0
    from_x, to_x = (
        (0.45 * vehicle.front_x_m, vehicle.front_x_m) if ahead else (vehicle.rear_x_m, 0.3 * vehicle.front_x_m)
    )
    half = vehicle.width_m / 2
    return [*at_place(((from_x, -half), (to_x, half), (from_x, half), (to_x, -half)), at), *ends]


def _ahead(at: Place, point: Point) -> float:
    c, s = math.cos(at.heading_rad), math.sin(at.heading_rad)
    return c * (point[0] - at.x_m) + s * (point[1] - at.y_m)


def _scene(near: Near, shapes: tuple[Shape, ...], seen: Sequence[Point], told: str, what: str) -> Scene:
    window = window_of(seen, near.datum, 0.55, 0.62 if what == "read" else 1.15)
    labels = tuple(Label(name.text, name.at, name.bold, name.areas) for name in near.names if name.bold or name.areas)
    return Scene(near.datum, window, shapes, labels, (), told, LEAST_PX[what], _FAINT)

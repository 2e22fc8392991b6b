"""The floor as it is being drawn: every thing a group of its own that can be taken hold of, and the answer over it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from typing import Any

from attrs import evolve, frozen

from standtrue.draw.shapes import Role, Shape, area
from standtrue.model.basics import Outline, Place, Point
from standtrue.model.ground import Grounds
from standtrue.model.reason import Length
from standtrue.model.shift import outline_of
from standtrue.model.site import Datum, Door, Site
from standtrue.model.vehicle import Vehicle
from standtrue.place.question.answer import FIT_M, Answer, Slice
from standtrue.show.pictures.car import stance_shapes
from standtrue.show.pictures.drive_shapes import car_shapes
from standtrue.show.pictures.floor import floor_shapes, way_in
from standtrue.show.pictures.place import in_order
from standtrue.show.pictures.plate import (
    PER_M,
    Label,
    Plate,
    PlateName,
    Scene,
    at_of,
    marks_of,
    path_of,
    plate_of,
    window_of,
)
from standtrue.show.words.reader import Reader

ROUND_M = 1.0
"""What is shown around the room, so that a door's triangle and a wall that is dragged outward stay in view."""

FOOT_M = 0.3048

LISTS = ("patches", "voids", "bays", "lifts", "equipment", "obstacles", "doors", "marks")
"""The order of drawing, from the floor up."""

NAMED = ("lifts", "voids", "bays", "doors", "obstacles")
"""Whose names are placed first."""

ZONES: Mapping[Role, str] = {
    "zone plain": "z-plain",
    "zone clear": "z-clear",
    "zone metal-free": "z-metal",
    "zone walk": "z-walk",
    "zone stand": "z-stand",
    "equipment": "thing",
    "target": "target",
}
"""What of a card is drawn about the car, by its class in the pages' styles."""

BELOW_M = 0.5
"""How far below a pit its name begins."""

WALL_M = 0.15
"""How thick a wall is drawn where a door breaks it."""


@frozen
class EditorThing:
    """A thing that can be held: its list and name, what it looks like, and its handle on the drawing."""

    where: str
    name: str
    marks: str
    hit: str


@frozen
class EditorPlate:
    """The drawing: `ground` are room and walls, `corners` those of the room in the order in which they are written,
    `bar` a scale bar by its length in percent of the width and what it says."""

    width: float
    height: float
    ground: str
    things: tuple[EditorThing, ...]
    names: tuple[PlateName, ...]
    corners: tuple[tuple[int, float, float], ...]
    bar: tuple[float, str]
    scene: Scene

    @property
    def ratio(self) -> float:
        return self.width / self.height


@frozen
class FitMarks:
    """The answer on the drawing: the car's pose (its middle of the rear axle, degrees clockwise), what the card asks
    for around it by class and path, where the axle may be, and the two ends of what is nearest or stops it."""

    car: tuple[float, float, float] | None
    zones: tuple[tuple[str, str], ...]
    region: str
    ends: tuple[tuple[float, float], ...]


@lru_cache(maxsize=8)
def editor_plate(site: Site, written: Outline, reader: Reader) -> EditorPlate:
    """The floor at rest. `written` are the room's corners as its document has them."""
    window = window_of(site.outline, site.datum, ROUND_M)
    things = [(where, thing) for where in LISTS for thing in getattr(site, where) if outline_of(thing)]
    order = sorted(things, key=lambda one: NAMED.index(one[0]) if one[0] in NAMED else len(NAMED))
    labels = tuple(_label(where, thing) for where, thing in order if where in NAMED)
    bare = _bare(site)
    shapes = tuple(floor_shapes(Grounds(bare).at_rest(), reader))
    scene = Scene(site.datum, window, shapes, labels)
    plate = plate_of(scene)
    corners = tuple((i, *at_of(p, scene)) for i, p in enumerate(written))
    held = tuple(_thing(where, thing, site, scene, reader) for where, thing in things)
    return EditorPlate(plate.width, plate.height, plate.marks, held, plate.names, corners, _bar(plate, reader), scene)


def _bar(plate: Plate, reader: Reader) -> tuple[float, str]:
    """About a quarter of the drawing, in a round length."""
    unit, steps = (FOOT_M, (2, 5, 10, 20, 50, 100)) if reader.units == "us" else (1.0, (1, 2, 5, 10, 20, 50))
    wide = plate.width / PER_M
    step = min(steps, key=lambda one: abs(one * unit - wide / 4))
    return 100 * step * unit / wide, reader.write(Length(step * unit))


def car_marks(vehicle: Vehicle, datum: Datum, reader: Reader) -> str:
    """The car about its own origin, nose to the right of the drawing."""
    scene = Scene(datum, (0.0, 0.0, 0.0, 0.0), ())
    x, y = at_of(datum.at, scene)
    at = Place(datum.at[0], datum.at[1], datum.direction_rad)
    shapes = [s for s in in_order(car_shapes(vehicle, at, "", reader)) if s.role != "axle"]
    return f'<g transform="translate({-x:g} {-y:g})">{marks_of(shapes, scene)}</g>'


def fit_marks(answer: Answer, slices: Sequence[Slice], scene: Scene, reader: Reader) -> FitMarks:
    """The answer, as it lies in the drawing of the floor."""
    stands = answer.stands
    place = stands.shown
    car, zones = None, tuple[tuple[str, str], ...]()
    if place is not None:
        zones = tuple(_zones(stands, place, scene, reader))
        x, y = at_of((place.x_m, place.y_m), scene)
        turn = -math.degrees(place.heading_rad - scene.datum.direction_rad)
        car = (round(x, 1), round(y, 1), round(turn, 3))
    rings: list[Outline] = [ring for one in slices for outer, holes in one.polygons for ring in (outer, *holes)]
    near = next((t for t in stands.touches if answer.fits.value == "yes" or t.margin_m < FIT_M), None)
    ends = () if near is None else tuple(_rounded(at_of(p, scene)) for p in (near.of_at, near.at))
    return FitMarks(car, zones, path_of(rings, scene), ends)


def _zones(answer: Answer, place: Place, scene: Scene, reader: Reader) -> Iterator[tuple[str, str]]:
    """What the card asks for about the car, as the page draws it."""
    for shape in stance_shapes(answer, place, reader):
        if (name := ZONES.get(shape.role)) is not None:
            rings = [ring for outer, holes in shape.areas for ring in (outer, *holes)]
            yield name, path_of(rings, scene)


def _rounded(at: Point) -> Point:
    return (round(at[0], 1), round(at[1], 1))


def _bare(site: Site) -> Site:
    """The room alone."""
    empty: dict[str, Any] = dict.fromkeys(LISTS, ())
    return evolve(site, **empty)


def _thing(where: str, thing: Any, site: Site, scene: Scene, reader: Reader) -> EditorThing:
    shapes = tuple(_alone(where, thing, _bare(site), reader))
    spots = [p for shape in shapes for p in shape.spots]
    areas = [outer for shape in shapes for outer, _ in shape.areas]
    hit = path_of([*areas, *(_spot(p) for p in spots)], scene)
    return EditorThing(where, thing.name, marks_of(shapes, scene), hit)


@lru_cache(maxsize=2048)
def _alone(where: str, thing: Any, bare: Site, reader: Reader) -> tuple[Shape, ...]:
    """What a thing looks like, without the room around it."""
    changed: dict[str, Any] = {where: (thing,)}
    site = evolve(bare, **changed)
    room = set(floor_shapes(Grounds(bare).at_rest(), reader))
    shapes = [s for s in floor_shapes(Grounds(site).at_rest(), reader) if s not in room and s.role != "wall"]
    if isinstance(thing, Door):
        leaf = (s for s in shapes if s.role != "overhead")
        return (Shape("door", "", area(_opening(thing))), *leaf, way_in(thing, site, reader))
    return tuple(in_order(shapes))


def _opening(door: Door) -> Outline:
    """The wall that a door breaks."""
    (ax, ay), (bx, by) = door.start, door.end
    long = max(math.hypot(bx - ax, by - ay), 1e-9)
    nx, ny = WALL_M * (by - ay) / long, -WALL_M * (bx - ax) / long
    return ((ax - nx, ay - ny), (bx - nx, by - ny), (bx + nx, by + ny), (ax + nx, ay + ny))


def _spot(at: Point) -> Outline:
    x, y = at
    return ((x - 0.2, y - 0.2), (x + 0.2, y - 0.2), (x + 0.2, y + 0.2), (x - 0.2, y + 0.2))


def _label(where: str, thing: Any) -> Label:
    """In the middle of the thing; of a pit below it, so that it stays as it is drawn."""
    points = outline_of(thing)
    x, y = sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)
    if where == "voids":
        return Label(thing.name, (x, min(y for _, y in points) - BELOW_M))
    return Label(thing.name, (x, y), areas=((points, ()),) if len(points) > 2 else ())

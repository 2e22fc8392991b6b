"""The shapes of a ground: walls, doors, bays, pits, lifts and everything else on the floor."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import cos, hypot, sin

import shapely
from shapely.geometry.base import BaseGeometry

from standtrue.draw.shapes import Area, Role, Shape, area, areas_of
from standtrue.model.basics import Outline, Point
from standtrue.model.ground import Ground, LiftSetting, Thing
from standtrue.model.lift import PlacedLift
from standtrue.model.reason import Ref
from standtrue.model.site import Door, Site, Void
from standtrue.plane.shapes import polygon, union
from standtrue.show.words import labels_floor, labels_whole
from standtrue.show.words.reader import ENGLISH, Reader

WALL_M = 0.15
"""How thick walls are drawn; how thick they are is not known."""

WAY_IN_M = 0.45
"""How deep the triangle is that points in at a door."""

CUT_M = 1.2
"""What reaches to the ceiling and is no wider than this is a column: cut by the plan, and drawn as solid as a wall."""

HEAD_M = 1.9
"""What of a lift hangs higher than this is overhead."""


def floor_shapes(ground: Ground, reader: Reader = ENGLISH) -> Iterator[Shape]:
    """Everything that stands on, or is missing from, the floor in this state."""
    site = ground.site
    yield _walls(site, reader)
    for door in site.doors:
        opened = door.name in ground.doors_open
        yield _door(door, opened, reader)
        if opened and door.apron is not None:
            yield Shape("bay", labels_floor.outside(door, reader), area(door.apron))
    for bay in site.bays:
        yield Shape("bay", labels_floor.bay(bay.name, reader), area(bay.outline), label=bay.name)
    for mark in site.marks:
        yield Shape("mark", labels_floor.mark(mark.name, reader), spots=(mark.at,), label=mark.name)
    meaning, label = labels_floor.datum(reader)
    yield Shape("datum", meaning, spots=(site.datum.at,), label=label)
    for void in site.voids:
        yield from _covers(void, reader)
    for patch in site.patches:
        meaning, label = labels_floor.patch(patch, reader)
        yield Shape("patch", meaning, area(patch.outline), label=label)
    yield from _unfloor(ground, reader)
    for placed in site.lifts:
        yield from _lift(placed, ground, reader)
    for thing in ground.things:
        if thing.kind != "wall" and not isinstance(thing.shape, shapely.LineString):
            yield _thing(thing, site.clear_height_m, reader)


def _walls(site: Site, reader: Reader) -> Shape:
    inside = shapely.Polygon(site.outline)
    band = inside.buffer(WALL_M, join_style="mitre", mitre_limit=3.0).difference(inside)
    for door in site.doors:
        band = band.difference(_opening(door))
    return Shape("wall", labels_floor.walls(reader), areas_of(band))


def _opening(door: Door) -> shapely.Polygon:
    return shapely.LineString([door.start, door.end]).buffer(WALL_M * 1.2, cap_style="flat")


def _door(door: Door, opened: bool, reader: Reader) -> Shape:
    line = shapely.LineString([door.start, door.end])
    sides = (line.offset_curve(0.3 * WALL_M), line.offset_curve(-0.3 * WALL_M))
    lines = tuple(_points(s) for s in (*sides, line) if not s.is_empty)
    jambs = tuple(_points(shapely.LineString([sides[0].coords[i], sides[1].coords[i]])) for i in (0, -1))
    meaning, label = labels_floor.door(door, opened, reader)
    return Shape("door", meaning, lines=jambs if opened else (*lines, *jambs), label=label)


def way_in(door: Door, site: Site, reader: Reader) -> Shape:
    """A triangle outside a door that points in."""
    (ax, ay), (bx, by) = door.start, door.end
    long = max(hypot(bx - ax, by - ay), 1e-9)
    nx, ny = (by - ay) / long, (ax - bx) / long
    x, y = (ax + bx) / 2, (ay + by) / 2
    if shapely.Polygon(site.outline).covers(shapely.Point(x + WALL_M * nx, y + WALL_M * ny)):
        nx, ny = -nx, -ny
    tip, base, half = 2.5 * WALL_M, 2.5 * WALL_M + WAY_IN_M, 0.6 * WAY_IN_M
    foot = (x + base * nx, y + base * ny)
    corners = ((foot[0] - half * ny, foot[1] + half * nx), (foot[0] + half * ny, foot[1] - half * nx))
    return Shape("way in", labels_whole.way_in(door.name, reader), area(((x + tip * nx, y + tip * ny), *corners)))


def _points(line: shapely.Geometry) -> Outline:
    return tuple((float(x), float(y)) for x, y in shapely.get_coordinates(line))


def _covers(void: Void, reader: Reader) -> Iterator[Shape]:
    for cover in void.covers:
        closed = cover.name in void.closed
        meaning, label = labels_floor.cover(cover.name, void.name, closed, reader)
        yield Shape("closed cover" if closed else "open cover", meaning, area(cover.outline), label=label)


def _unfloor(ground: Ground, reader: Reader) -> Iterator[Shape]:
    """Pits, slots and uneven floor; parts of one name are one shape. Patches and ramps are drawn as such."""
    groups: dict[tuple[Role, Ref], list[Area]] = {}
    for unfloor in ground.unfloor:
        if unfloor.kind in ("void", "uneven"):
            role: Role = "void" if unfloor.wheel_pieces else "slot"
            if unfloor.kind == "uneven":
                role = "unsurveyed" if unfloor.ref.kind == "unsurveyed" else "uneven"
            within = unfloor.kind == "uneven"
            shape = shapely.intersection(unfloor.shape, _within(ground)) if within else unfloor.shape
            groups.setdefault((role, unfloor.ref), []).extend(areas_of(shape))
    for (role, name), areas in groups.items():
        if role == "void":
            meaning = label = labels_floor.pit(name, reader)
        elif role == "slot":
            meaning, label = labels_floor.slot(name, reader), ""
        elif role == "unsurveyed":
            meaning, label = labels_floor.unsurveyed(reader), ""
        else:
            meaning, label = labels_floor.uneven(name, reader), reader.write(name)
        yield Shape(role, meaning, tuple(areas), label=label)


def _within(ground: Ground) -> BaseGeometry:
    """The floor and the aprons of open doors: what a survey says or leaves out beyond is not drawn."""
    site = ground.site
    aprons = [d.apron for d in site.doors if d.name in ground.doors_open and d.apron is not None]
    return union(map(polygon, (site.outline, *aprons)))


def _lift(placed: PlacedLift, ground: Ground, reader: Reader) -> Iterator[Shape]:
    setting = ground.setting(placed.name)
    state = placed.lift.state(setting.state)
    decks = dict(ground.decks)[placed.name]
    lift = placed.name
    for fill in state.fills:
        yield Shape("closed cover", labels_floor.lift_fill(lift, reader), area(_in_site(fill, placed)))
    for ramp in state.ramps:
        yield Shape("ramp", labels_floor.lift_ramp(lift, reader), area(_in_site(ramp, placed)))
    if decks and placed.lift.carries == "wheels":
        yield _decks(lift, setting, decks, reader)
    else:
        meaning = labels_floor.lift_in_state(lift, state.name, reader)
        yield Shape("mark", meaning, spots=(placed.at,), label=lift)
    for plate in placed.lift.plates:
        meaning = labels_floor.lift_plate(lift, plate.axle == "front", reader)
        yield Shape("radius plate", meaning, area(_in_site(plate.outline, placed)))


def _decks(lift: str, setting: LiftSetting, decks: Sequence[Outline], reader: Reader) -> Shape:
    """The decks that carry wheels, in this state at this height."""
    meaning, label = labels_floor.decks(lift, setting, reader)
    return Shape(
        "raised deck" if setting.height_m > 0.0 else "flush deck", meaning, tuple((d, ()) for d in decks), label=label
    )


def _in_site(outline: Outline, placed: PlacedLift) -> Outline:
    c, s = cos(placed.heading_rad), sin(placed.heading_rad)
    x0, y0 = placed.at
    return tuple(_turned(x0, y0, c, s, p) for p in outline)


def _turned(x0: float, y0: float, c: float, s: float, p: Point) -> Point:
    return (x0 + c * p[0] - s * p[1], y0 + s * p[0] + c * p[1])


def _thing(thing: Thing, clear_m: float | None, reader: Reader) -> Shape:
    """An obstacle, hole, post or lift part. Raised decks are already drawn as their lift's."""
    roles: dict[str, Role] = {
        "hole": "hole",
        "post": "post",
        "deck": "raised deck",
        "lift part": "lift part",
        "equipment": "stored",
    }
    role: Role = "movable" if thing.movable and thing.kind == "obstacle" else roles.get(thing.kind, "obstacle")
    if thing.bottom_m > (0.0 if thing.kind in ("obstacle", "door") else HEAD_M):
        role = "overhead"
    elif role == "obstacle" and clear_m is not None and thing.top_m >= clear_m and _slim(thing.shape):
        role = "post"
    meaning, label = labels_floor.thing(thing, reader)
    if thing.kind == "deck":
        return Shape(role, meaning)
    return Shape(role, meaning, areas_of(thing.shape), label=label)


def _slim(shape: BaseGeometry) -> bool:
    x0, y0, x1, y1 = shape.bounds
    return bool(max(x1 - x0, y1 - y0) <= CUT_M)

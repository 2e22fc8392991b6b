"""The shapes of a ground: walls, doors, bays, pits, lifts and everything else on the floor."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, inf, sin

import shapely

from standtrue.draw.shapes import Area, Role, Shape, area, areas_of
from standtrue.model.basics import Outline, Point
from standtrue.model.ground import Ground, Thing
from standtrue.model.lift import PlacedLift
from standtrue.model.reader_units import System, format_length
from standtrue.model.site import Door, Site, Void
from standtrue.show.words.reader import ENGLISH

WALL_M = 0.15
"""How thick walls are drawn; how thick they are is not known."""


def floor_shapes(ground: Ground, units: System = "metric") -> Iterator[Shape]:
    """Everything that stands on, or is missing from, the floor in this state."""
    site = ground.site
    yield _walls(site)
    for door in site.doors:
        opened = door.name in ground.doors_open
        yield _door(door, opened, units)
        if opened and door.apron is not None:
            yield Shape("bay", f"floor outside {door.name}", area(door.apron), label=f"outside {door.name}")
    for bay in site.bays:
        name = bay.name if "bay" in bay.name.casefold() else f"bay {bay.name}"
        yield Shape("bay", name, area(bay.outline), label=name)
    for mark in site.marks:
        yield Shape("mark", f"mark {mark.name}", spots=(mark.at,), label=mark.name)
    yield Shape("datum", "the datum, from which every measure is taken", spots=(site.datum.at,), label="datum")
    for void in site.voids:
        yield from _covers(void)
    for patch in site.patches:
        meaning = f"{patch.name}: {ENGLISH.text(patch.why)}, nothing may stand on it"
        yield Shape("patch", meaning, area(patch.outline), label=f"{patch.name}: {ENGLISH.text(patch.why)}")
    yield from _unfloor(ground)
    for placed in site.lifts:
        yield from _lift(placed, ground, units)
    for thing in ground.things:
        if thing.kind != "wall" and not isinstance(thing.shape, shapely.LineString):
            yield _thing(thing, units)


def _walls(site: Site) -> Shape:
    inside = shapely.Polygon(site.outline)
    band = inside.buffer(WALL_M, join_style="mitre", mitre_limit=3.0).difference(inside)
    for door in site.doors:
        band = band.difference(_opening(door))
    return Shape("wall", "wall: the floor ends at its inner face", areas_of(band))


def _opening(door: Door) -> shapely.Polygon:
    return shapely.LineString([door.start, door.end]).buffer(WALL_M * 1.2, cap_style="flat")


def _door(door: Door, opened: bool, units: System) -> Shape:
    line = shapely.LineString([door.start, door.end])
    sides = (line.offset_curve(0.3 * WALL_M), line.offset_curve(-0.3 * WALL_M))
    lines = tuple(_points(s) for s in (*sides, line) if not s.is_empty)
    jambs = tuple(_points(shapely.LineString([sides[0].coords[i], sides[1].coords[i]])) for i in (0, -1))
    state = "open" if opened else "shut"
    meaning = f"door {door.name}, {format_length(door.height_m, units)} high, {state}"
    label = f"{door.name}: must stand open" if opened else door.name
    return Shape("door", meaning, lines=jambs if opened else (*lines, *jambs), label=label)


def _points(line: shapely.Geometry) -> Outline:
    return tuple((float(x), float(y)) for x, y in shapely.get_coordinates(line))


def _covers(void: Void) -> Iterator[Shape]:
    for cover in void.covers:
        closed = cover.name in void.closed
        role: Role = "closed cover" if closed else "open cover"
        meaning = f"cover {cover.name} of {void.name}: {'closed, it is floor' if closed else 'open'}"
        yield Shape(role, meaning, area(cover.outline), label=f"{cover.name}, {'closed' if closed else 'open'}")


def _unfloor(ground: Ground) -> Iterator[Shape]:
    """Pits, slots and uneven floor; parts of one name are one shape. Patches and ramps are drawn as such."""
    groups: dict[tuple[Role, str], list[Area]] = {}
    for unfloor in ground.unfloor:
        if unfloor.kind in ("void", "uneven"):
            role: Role = "uneven" if unfloor.kind == "uneven" else "void" if unfloor.wheel_pieces else "slot"
            groups.setdefault((role, unfloor.name), []).extend(areas_of(unfloor.shape))
    for (role, name), areas in groups.items():
        words = {"void": "open pit", "slot": "slot too narrow for a wheel, nothing may stand on it"}
        meaning = f"{name}: {words.get(role, 'uneven floor, nothing may stand on it')}"
        label = {"void": f"{name}: open pit", "slot": ""}.get(role, name)
        yield Shape(role, meaning, tuple(areas), label=label)


def _lift(placed: PlacedLift, ground: Ground, units: System) -> Iterator[Shape]:
    setting = ground.setting(placed.name)
    state = placed.lift.state(setting.state)
    decks = dict(ground.decks)[placed.name]
    raised = setting.height_m > 0.0
    height = f"at {format_length(setting.height_m, units)}" if raised else "at floor level"
    for fill in state.fills:
        yield Shape("closed cover", f"{placed.name}: closed at floor level", area(_in_site(fill, placed)))
    for ramp in state.ramps:
        yield Shape("ramp", f"{placed.name}: ramp", area(_in_site(ramp, placed)))
    if decks and placed.lift.carries == "wheels":
        role: Role = "raised deck" if raised else "flush deck"
        meaning = f"lift {placed.name} in state {state.name}: decks {height}"
        yield Shape(role, meaning, tuple((d, ()) for d in decks), label=f"{placed.name}: decks {height}")
    elif not decks or placed.lift.carries == "body":
        yield Shape("mark", f"lift {placed.name} in state {state.name}", spots=(placed.at,), label=placed.name)
    for plate in placed.lift.plates:
        meaning = f"{placed.name}: {'radius' if plate.axle == 'front' else 'slip'} plate"
        yield Shape("radius plate", meaning, area(_in_site(plate.outline, placed)))


def _in_site(outline: Outline, placed: PlacedLift) -> Outline:
    c, s = cos(placed.heading_rad), sin(placed.heading_rad)
    x0, y0 = placed.at
    return tuple(_turned(x0, y0, c, s, p) for p in outline)


def _turned(x0: float, y0: float, c: float, s: float, p: Point) -> Point:
    return (x0 + c * p[0] - s * p[1], y0 + s * p[0] + c * p[1])


def _thing(thing: Thing, units: System) -> Shape:
    """An obstacle, hole, post or lift part. Raised decks are already drawn as their lift's."""
    roles: dict[str, Role] = {
        "hole": "hole",
        "post": "post",
        "deck": "raised deck",
        "lift part": "lift part",
        "equipment": "stored",
    }
    role: Role = "movable" if thing.movable and thing.kind == "obstacle" else roles.get(thing.kind, "obstacle")
    if thing.kind in ("obstacle", "door") and thing.bottom_m > 0.0:
        role = "overhead"
    words = [thing.name]
    if thing.top_m < inf:
        top = format_length(thing.top_m, units)
        words.append(
            f"from {format_length(thing.bottom_m, units)} up to {top}" if thing.bottom_m > 0 else f"{top} high"
        )
    words.append("metal" if thing.metal else "no metal")
    if thing.movable:
        words.append("can be moved")
    label = "" if thing.kind == "deck" else thing.name
    if thing.bottom_m > 0.0 and label:
        label = f"{label}, from {format_length(thing.bottom_m, units)} up"
    return Shape(role, ", ".join(words), areas_of(thing.shape) if thing.kind != "deck" else (), label=label)

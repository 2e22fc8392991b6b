"""The shapes of a ground: walls, doors, bays, pits, lifts and everything else on the floor."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import cos, inf, sin

import shapely

from standtrue.draw.shapes import Area, Role, Shape, area, areas_of
from standtrue.model.basics import Outline, Point
from standtrue.model.ground import Ground, LiftSetting, Thing
from standtrue.model.lift import PlacedLift
from standtrue.model.reason import Length, Ref
from standtrue.model.site import Door, Site, Void
from standtrue.show.words.reader import ENGLISH, Reader

WALL_M = 0.15
"""How thick walls are drawn; how thick they are is not known."""


def floor_shapes(ground: Ground, reader: Reader = ENGLISH) -> Iterator[Shape]:
    """Everything that stands on, or is missing from, the floor in this state."""
    site = ground.site
    yield _walls(site, reader)
    for door in site.doors:
        opened = door.name in ground.doors_open
        yield _door(door, opened, reader)
        if opened and door.apron is not None:
            meaning = reader.say("floor outside {door}", door=door.name)
            yield Shape("bay", meaning, area(door.apron), label=reader.say("outside {door}", door=door.name))
    for bay in site.bays:
        yield Shape("bay", reader.say("bay: {bay}", bay=bay.name), area(bay.outline), label=bay.name)
    for mark in site.marks:
        yield Shape("mark", reader.say("mark {mark}", mark=mark.name), spots=(mark.at,), label=mark.name)
    meaning = reader.say("the datum, from which every measure is taken")
    yield Shape("datum", meaning, spots=(site.datum.at,), label=reader.say("datum"))
    for void in site.voids:
        yield from _covers(void, reader)
    for patch in site.patches:
        meaning = reader.say("{patch}: {why}, nothing may stand on it", patch=patch.name, why=patch.why)
        label = reader.say("{patch}: {why}", patch=patch.name, why=patch.why)
        yield Shape("patch", meaning, area(patch.outline), label=label)
    yield from _unfloor(ground, reader)
    for placed in site.lifts:
        yield from _lift(placed, ground, reader)
    for thing in ground.things:
        if thing.kind != "wall" and not isinstance(thing.shape, shapely.LineString):
            yield _thing(thing, reader)


def _walls(site: Site, reader: Reader) -> Shape:
    inside = shapely.Polygon(site.outline)
    band = inside.buffer(WALL_M, join_style="mitre", mitre_limit=3.0).difference(inside)
    for door in site.doors:
        band = band.difference(_opening(door))
    return Shape("wall", reader.say("wall: the floor ends at its inner face"), areas_of(band))


def _opening(door: Door) -> shapely.Polygon:
    return shapely.LineString([door.start, door.end]).buffer(WALL_M * 1.2, cap_style="flat")


def _door(door: Door, opened: bool, reader: Reader) -> Shape:
    line = shapely.LineString([door.start, door.end])
    sides = (line.offset_curve(0.3 * WALL_M), line.offset_curve(-0.3 * WALL_M))
    lines = tuple(_points(s) for s in (*sides, line) if not s.is_empty)
    jambs = tuple(_points(shapely.LineString([sides[0].coords[i], sides[1].coords[i]])) for i in (0, -1))
    height = Length(door.height_m)
    if opened:
        meaning = reader.say("door {door}, {height} high, open", door=door.name, height=height)
        return Shape("door", meaning, lines=jambs, label=reader.say("{door}: must stand open", door=door.name))
    meaning = reader.say("door {door}, {height} high, shut", door=door.name, height=height)
    return Shape("door", meaning, lines=(*lines, *jambs), label=door.name)


def _points(line: shapely.Geometry) -> Outline:
    return tuple((float(x), float(y)) for x, y in shapely.get_coordinates(line))


def _covers(void: Void, reader: Reader) -> Iterator[Shape]:
    for cover in void.covers:
        if cover.name in void.closed:
            meaning = reader.say("cover {cover} of {pit}: closed, it is floor", cover=cover.name, pit=void.name)
            label = reader.say("{cover}, closed", cover=cover.name)
            yield Shape("closed cover", meaning, area(cover.outline), label=label)
        else:
            meaning = reader.say("cover {cover} of {pit}: open", cover=cover.name, pit=void.name)
            label = reader.say("{cover}, open", cover=cover.name)
            yield Shape("open cover", meaning, area(cover.outline), label=label)


def _unfloor(ground: Ground, reader: Reader) -> Iterator[Shape]:
    """Pits, slots and uneven floor; parts of one name are one shape. Patches and ramps are drawn as such."""
    groups: dict[tuple[Role, Ref], list[Area]] = {}
    for unfloor in ground.unfloor:
        if unfloor.kind in ("void", "uneven"):
            role: Role = "uneven" if unfloor.kind == "uneven" else "void" if unfloor.wheel_pieces else "slot"
            groups.setdefault((role, unfloor.ref), []).extend(areas_of(unfloor.shape))
    for (role, name), areas in groups.items():
        if role == "void":
            meaning = label = reader.say("{pit}: open pit", pit=name)
        elif role == "slot":
            meaning, label = reader.say("{pit}: slot too narrow for a wheel, nothing may stand on it", pit=name), ""
        else:
            meaning = reader.say("{floor}: uneven floor, nothing may stand on it", floor=name)
            label = reader.write(name)
        yield Shape(role, meaning, tuple(areas), label=label)


def _lift(placed: PlacedLift, ground: Ground, reader: Reader) -> Iterator[Shape]:
    setting = ground.setting(placed.name)
    state = placed.lift.state(setting.state)
    decks = dict(ground.decks)[placed.name]
    lift = placed.name
    for fill in state.fills:
        meaning = reader.say("{lift}: closed at floor level", lift=lift)
        yield Shape("closed cover", meaning, area(_in_site(fill, placed)))
    for ramp in state.ramps:
        yield Shape("ramp", reader.say("{lift}: ramp", lift=lift), area(_in_site(ramp, placed)))
    if decks and placed.lift.carries == "wheels":
        yield _decks(lift, setting, decks, reader)
    else:
        meaning = reader.say("lift {lift} in state {state}", lift=lift, state=state.name)
        yield Shape("mark", meaning, spots=(placed.at,), label=lift)
    for plate in placed.lift.plates:
        front = plate.axle == "front"
        meaning = (
            reader.say("{lift}: radius plate", lift=lift) if front else reader.say("{lift}: slip plate", lift=lift)
        )
        yield Shape("radius plate", meaning, area(_in_site(plate.outline, placed)))


def _decks(lift: str, setting: LiftSetting, decks: Sequence[Outline], reader: Reader) -> Shape:
    """The decks that carry wheels, in this state at this height."""
    raised = setting.height_m > 0.0
    height, state = Length(setting.height_m), setting.state
    if raised:
        meaning = reader.say("lift {lift} in state {state}: decks at {height}", lift=lift, state=state, height=height)
        label = reader.say("{lift}: decks at {height}", lift=lift, height=height)
    else:
        meaning = reader.say("lift {lift} in state {state}: decks at floor level", lift=lift, state=state)
        label = reader.say("{lift}: decks at floor level", lift=lift)
    return Shape("raised deck" if raised else "flush deck", meaning, tuple((d, ()) for d in decks), label=label)


def _in_site(outline: Outline, placed: PlacedLift) -> Outline:
    c, s = cos(placed.heading_rad), sin(placed.heading_rad)
    x0, y0 = placed.at
    return tuple(_turned(x0, y0, c, s, p) for p in outline)


def _turned(x0: float, y0: float, c: float, s: float, p: Point) -> Point:
    return (x0 + c * p[0] - s * p[1], y0 + s * p[0] + c * p[1])


def _thing(thing: Thing, reader: Reader) -> Shape:
    """An obstacle, hole, post or lift part. Raised decks are already drawn as their lift's."""
    roles: dict[str, Role] = {
        "hole": "hole",
        "post": "post",
        "deck": "raised deck",
        "lift part": "lift part",
        "equipment": "stored",
    }
    role: Role = "movable" if thing.movable and thing.kind == "obstacle" else roles.get(thing.kind, "obstacle")
    overhead = thing.bottom_m > 0.0
    if thing.kind in ("obstacle", "door") and overhead:
        role = "overhead"
    name = reader.write(thing.ref)
    if thing.kind == "deck":
        return Shape(role, _thing_words(thing, name, reader))
    label = reader.say("{thing}, from {bottom} up", thing=name, bottom=Length(thing.bottom_m)) if overhead else name
    return Shape(role, _thing_words(thing, name, reader), areas_of(thing.shape), label=label)


def _thing_words(thing: Thing, name: str, reader: Reader) -> str:
    """What it is, how high it stands, whether it is metal, and whether it can be moved."""
    words = [name]
    bottom, top = Length(thing.bottom_m), Length(thing.top_m)
    if thing.top_m < inf and thing.bottom_m > 0:
        words.append(reader.say("from {bottom} up to {top}", bottom=bottom, top=top))
    elif thing.top_m < inf:
        words.append(reader.say("{top} high", top=top))
    words.append(reader.say("metal") if thing.metal else reader.say("no metal"))
    if thing.movable:
        words.append(reader.say("can be moved"))
    return ", ".join(words)

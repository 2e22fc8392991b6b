"""A thing of a site taken hold of, and the site once it was moved and turned."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

from attrs import evolve, frozen

from standtrue.model.basics import Outline, Point
from standtrue.model.lift import Obstacle, PlacedLift
from standtrue.model.site import Bay, Cover, Door, Equipment, Mark, Patch, Site, Void


@frozen
class Shift:
    """Turned about a point, counter-clockwise, and then moved; metres, in the site frame."""

    by: Point = (0.0, 0.0)
    turn_rad: float = 0.0
    about: Point = (0.0, 0.0)

    def of(self, point: Point) -> Point:
        """Where a point comes to lie."""
        if not self.turn_rad:
            return (point[0] + self.by[0], point[1] + self.by[1])
        c, s = math.cos(self.turn_rad), math.sin(self.turn_rad)
        x, y = point[0] - self.about[0], point[1] - self.about[1]
        return (self.about[0] + c * x - s * y + self.by[0], self.about[1] + s * x + c * y + self.by[1])

    def outline(self, points: Outline) -> Outline:
        """Where an outline comes to lie."""
        return tuple(map(self.of, points))


def outline_of(thing: Any) -> Outline:
    """The outline of a thing of a site, about which it is held; () of one that stands nowhere."""
    if isinstance(thing, PlacedLift | Mark):
        return (thing.at,)
    if isinstance(thing, Door):
        return (thing.start, thing.end)
    if isinstance(thing, Equipment):
        return thing.store or ()
    found: Outline = thing.outline
    return found


def handle_of(thing: Any) -> Point:
    """The point by which a thing is placed: a lift's own, of all others the middle of their bounds.

    Raises ValueError for one that stands nowhere.
    """
    points = outline_of(thing)
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)


def find_thing(site: Site, where: str, name: str) -> Any:
    """A thing by its list and name. Raises KeyError."""
    for thing in getattr(site, where):
        if thing.name == name:
            return thing
    raise KeyError(name)


def allowed(site: Site, where: str, name: str, by: Point, turn_rad: float) -> Shift:
    """How a thing moves when it is asked to move so: about its handle; a door only along its wall, from corner to
    corner. Raises KeyError for what is not there, ValueError for what stands nowhere."""
    thing = find_thing(site, where, name)
    if isinstance(thing, Door):
        return Shift(_along_wall(thing, site, by))
    return Shift(by, turn_rad, handle_of(thing))


def _along_wall(door: Door, site: Site, by: Point) -> Point:
    a, b = min(walls(site), key=lambda wall: sum(off_wall(end, *wall) for end in (door.start, door.end)))
    long = math.dist(a, b)
    ux, uy = (b[0] - a[0]) / long, (b[1] - a[1]) / long
    ends = sorted((p[0] - a[0]) * ux + (p[1] - a[1]) * uy for p in (door.start, door.end))
    along = min(max(by[0] * ux + by[1] * uy, min(0.0, -ends[0])), max(0.0, long - ends[1]))
    return (along * ux, along * uy)


def walls(site: Site) -> list[tuple[Point, Point]]:
    """The room's walls, in which a door may be, by their ends."""
    return list(zip(site.outline, (*site.outline[1:], site.outline[0]), strict=True))


def off_wall(point: Point, a: Point, b: Point) -> float:
    """How far a point is from a wall."""
    x, y = b[0] - a[0], b[1] - a[1]
    share = ((point[0] - a[0]) * x + (point[1] - a[1]) * y) / max(x * x + y * y, 1e-12)
    share = min(1.0, max(0.0, share))
    return math.dist(point, (a[0] + share * x, a[1] + share * y))


def moved_site(site: Site, where: str, name: str, shift: Shift) -> Site:
    """The site with one thing moved; all else is as it was, the same values. Raises KeyError."""
    held = find_thing(site, where, name)
    things = tuple(_MOVES[where](thing, shift) if thing is held else thing for thing in getattr(site, where))
    changed: dict[str, Any] = {where: things}
    return evolve(site, **changed)


def _lift(lift: PlacedLift, shift: Shift) -> PlacedLift:
    heading = (lift.heading_rad + shift.turn_rad) % (2 * math.pi)
    return evolve(lift, at=shift.of(lift.at), heading_rad=heading)


def _outlined(thing: Obstacle | Bay | Patch | Cover, shift: Shift) -> Any:
    return evolve(thing, outline=shift.outline(thing.outline))


def _door(door: Door, shift: Shift) -> Door:
    return evolve(
        door,
        start=shift.of(door.start),
        end=shift.of(door.end),
        apron=None if door.apron is None else shift.outline(door.apron),
        track=None if door.track is None else _outlined(door.track, shift),
    )


def _void(void: Void, shift: Shift) -> Void:
    covers = tuple(_outlined(cover, shift) for cover in void.covers)
    return evolve(void, outline=shift.outline(void.outline), covers=covers)


def _equipment(one: Equipment, shift: Shift) -> Equipment:
    return evolve(one, store=None if one.store is None else shift.outline(one.store))


def _mark(mark: Mark, shift: Shift) -> Mark:
    return evolve(mark, at=shift.of(mark.at))


_MOVES: Mapping[str, Callable[[Any, Shift], Any]] = {
    "lifts": _lift,
    "obstacles": _outlined,
    "doors": _door,
    "bays": _outlined,
    "voids": _void,
    "patches": _outlined,
    "marks": _mark,
    "equipment": _equipment,
}

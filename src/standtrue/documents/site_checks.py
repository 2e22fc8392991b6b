"""What must hold between the fields of a site: single names, doors on the outline, things on the floor."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

import shapely

from standtrue.documents.faults import choice_remedy
from standtrue.documents.instruments import check_site_instruments
from standtrue.documents.lift import PlacedLiftForm, check_placed, placed_lift
from standtrue.documents.parts import Kind, Path, References, Tell, check_heights, check_obstacles, names_once, tables
from standtrue.documents.shapes import Shape, placed
from standtrue.documents.site import DoorForm, EquipmentForm, SiteForm, VoidForm
from standtrue.model.basics import Outline, Point
from standtrue.model.lift import Lift
from standtrue.model.reason import Length, because

MOST_OUTSIDE = 3
"""So many things outside, and most of all: then they are not looked at one by one."""

DOOR_REACH_M = 0.005
"""How far the ends of a door may lie off the outline."""


def check_site(form: SiteForm, tell: Tell) -> None:
    """A site, all but the lifts that it names by type."""
    for key in ("marks", "doors", "bays", "patches", "equipment", "people"):
        names_once(getattr(form, key), (key,), tell)
    names_once(form.lifts, ("lifts",), tell)
    names_once(form.voids, ("voids",), tell)
    check_obstacles(form.obstacles, ("obstacles",), tell)
    check_site_instruments(form.instruments, form.readings, tell)
    for i, door in enumerate(form.doors):
        if door.track is not None:
            check_heights(door.track.bottom, door.track.top, ("doors", i, "track"), tell)
    for i, bay in enumerate(form.bays):
        _closed_edges(bay.shape, bay.closed_edges, ("bays", i, "closed_edges"), tell)
    for i, void in enumerate(form.voids):
        _covers(void, ("voids", i), tell)
    for i, item in enumerate(form.equipment):
        _stored(item, ("equipment", i), tell)
    for i, offer in enumerate(form.sent_out):
        if not offer.procedures and not offer.work:
            what, remedy = because("sent-out-names-nothing"), because("name-cards-or-work")
            tell(("sent_out", i, "procedures"), "missing-field", what, remedy)
    for i, lift in enumerate(form.lifts):
        check_placed(lift, ("lifts", i), tell)


def _closed_edges(shape: Shape, edges: Sequence[int], path: Path, tell: Tell) -> None:
    count = len(shape.points)
    for j, edge in enumerate(edges):
        if count and edge >= count:
            what, remedy = because("no-such-edge", count=count), because("write-edge-number", most=count - 1)
            tell((*path, j), "value-impossible", what, remedy)
        elif edge >= 0 and edge in edges[:j]:
            tell((*path, j), "name-repeated", because("edge-listed-already"), because("list-once"))


def _covers(void: VoidForm, path: Path, tell: Tell) -> None:
    names_once(void.covers, (*path, "covers"), tell)
    names = [cover.name for cover in void.covers]
    for j, name in enumerate(void.closed):
        if name and name not in names and "" not in names:
            remedy = choice_remedy(name, names) if names else because("list-cover-first")
            tell((*path, "closed", j), "unknown-reference", because("no-cover-of-that-name"), remedy)
    for j, cover in enumerate(void.covers):
        if void.shape.points and cover.shape.points and not _meet([cover.shape.points], [void.shape.points]):
            what, remedy = because("cover-beside-void"), because("give-outline-in-site-frame")
            tell((*path, "covers", j, cover.way), "value-impossible", what, remedy)


def _stored(item: EquipmentForm, path: Path, tell: Tell) -> None:
    if isinstance(item.store, tuple) and not isinstance(item.store, Shape) and item.footprint is None:
        what, remedy = because("stored-without-footprint"), because("give-footprint")
        tell((*path, "footprint"), "missing-field", what, remedy)


def check_places(form: SiteForm, tell: Tell) -> None:
    """Doors on the outline, things on the floor (with the aprons of the doors). Needs true units."""
    outline = form.shape.points
    if not outline:
        return
    for i, door in enumerate(form.doors):
        _door_on_outline(door, outline, ("doors", i), tell)
    floor = floor_of(form)
    _things_outside(form, floor, tell)
    for i, lift in enumerate(form.lifts):
        if lift.type is None and lift.states:
            check_lift_place(lift, {}, floor, ("lifts", i), tell)


def _things_outside(form: SiteForm, floor: list[Outline], tell: Tell) -> None:
    """Things that lie wholly outside the floor; where most of them do, it is the floor's outline that is wrong."""
    outside: list[tuple[Path, str]] = []
    count = 0
    for key in ("bays", "obstacles", "voids", "patches"):
        for i, item in enumerate(getattr(form, key)):
            count += 1
            if item.shape.points and not _meet([item.shape.points], floor):
                outside.append(((key, i, item.way), item.name))
    if len(outside) >= MOST_OUTSIDE and 2 * len(outside) > count:
        what = because("most-things-outside-floor", names=tuple(name for _, name in outside[:6]))
        tell((form.way,), "outside-floor", what, because("look-at-outline-and-units"))
        return
    for path, _ in outside:
        what, remedy = because("thing-outside-floor"), because("give-outline-in-site-frame")
        tell(path, "outside-floor", what, remedy)


def floor_of(form: SiteForm) -> list[Outline]:
    """The outlines in which things can stand: the site's, and its doors' aprons."""
    return [form.shape.points, *(door.apron.points for door in form.doors if door.apron and door.apron.points)]


def check_lift_place(
    form: PlacedLiftForm, lifts: Mapping[str, Lift], floor: list[Outline], path: Path, tell: Tell
) -> None:
    """A lift must touch the floor with some part of it, or with the point where it is placed."""
    stands = placed_lift(form, lifts)
    if not all(math.isfinite(v) for v in (*stands.at, stands.heading_rad)):
        return
    lift = stands.lift
    parts = [p.outline for p in lift.posts if p.outline]
    for state in lift.states:
        parts.extend(o for o in (*state.decks, *state.voids, *state.fills, *state.ramps) if o)
    moved = [placed(part, *stands.at, stands.heading_rad) for part in parts]
    point = shapely.Point(stands.at)
    if not any(shapely.Polygon(o).intersects(point) for o in floor if o) and not (moved and _meet(moved, floor)):
        what, remedy = because("lift-outside-floor"), because("give-place-in-site-frame")
        tell((*path, "at"), "outside-floor", what, remedy)


def _meet(these: Sequence[Outline], those: Sequence[Outline]) -> bool:
    others = [shapely.Polygon(points) for points in those if points]
    return any(shapely.Polygon(points).intersects(other) for points in these for other in others)


def _door_on_outline(door: DoorForm, outline: Outline, path: Path, tell: Tell) -> None:
    if not all(math.isfinite(v) for v in (*door.start, *door.end)):
        return
    if math.dist(door.start, door.end) < DOOR_REACH_M:
        tell((*path, "to"), "value-impossible", because("door-without-width"), because("give-two-points"))
        return
    ring = shapely.LinearRing(outline)
    off = [key for key, at in (("from", door.start), ("to", door.end)) if _off(ring, at)]
    for key in off:
        remedy = because("give-point-on-wall", within=Length(DOOR_REACH_M))
        tell((*path, key), "not-on-outline", because("point-off-outline"), remedy)
    if not off and any(_off(ring, _between(door.start, door.end, part / 8)) for part in range(1, 8)):
        what, remedy = because("door-leaves-outline"), because("give-ends-on-one-wall")
        tell((*path, "to"), "not-on-outline", what, remedy)


def _off(ring: shapely.LinearRing, at: Point) -> bool:
    return bool(ring.distance(shapely.Point(at)) > DOOR_REACH_M)


def _between(start: Point, end: Point, part: float) -> Point:
    return (start[0] + part * (end[0] - start[0]), start[1] + part * (end[1] - start[1]))


def _references(content: dict[str, Any]) -> References:
    return ((("lifts", i, "type"), "lift", lift.get("type")) for i, lift in tables(content.get("lifts")))


KIND = Kind("site", SiteForm, check_site, check_places, _references)

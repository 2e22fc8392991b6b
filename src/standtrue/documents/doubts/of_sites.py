"""What cannot be meant of a site. The ranges are those of a shop: common practice, no source."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

import shapely
from attrs import frozen

from standtrue.documents.doubts.ground import ground_of, outside
from standtrue.documents.doubts.known import Known, Size, tell_sizes
from standtrue.documents.doubts.of_lifts import doubt_fields
from standtrue.documents.lift import PlacedLiftForm, placed_lift
from standtrue.documents.parts import Path, Tell
from standtrue.documents.shapes import Shape, placed
from standtrue.documents.site import EquipmentForm, SiteForm
from standtrue.model.basics import Range
from standtrue.model.lift import PlacedLift
from standtrue.model.reason import Length, Ref, Speed, Term, because

ROOM_LONG_M: Range = (5.0, 75.0)
ROOM_WIDE_M: Range = (2.8, 75.0)
CEILING_M: Range = (2.1, 16.0)
DOOR_WIDE_M: Range = (1.9, 15.0)
DOOR_HIGH_M: Range = (1.9, 8.0)
FASTEST_M_S = 5.0
LARGEST_GAP_M = 2.0
COVER_REST_M = 0.3
"""How far a cover may rest on the floor beside its pit."""

DOORS_APART_M = 0.05
"""Two doors with more than this of one wall in common are one door, or one of them is measured wrong."""

TAPED_WITHIN_M = 0.02
"""How far a length taped across a room may be from what its corners say: walls are not quite straight."""

DECK_OVER: Range = (0.02, 0.98)
"""The part of a deck that lies over a void: a flush lift's deck lies wholly in its own recess, others beside it."""

SAME = 0.9
"""Two things with so much of their outlines in common are one thing, typed twice."""


@frozen(eq=False)
class Standing:
    """Something that stands on the floor: where it is typed, what it is, and its outline."""

    path: Path
    ref: Ref | Term
    shape: shapely.Geometry


def doubt_site(form: SiteForm, known: Known, tell: Tell) -> None:
    """A site: a room of the size of rooms, and everything in it."""
    if tell_sizes(room_of(form), tell, False):
        return
    tell_sizes(_sizes(form), tell, False)
    _ceiling(form, tell)
    _taped(form, tell)
    ground = ground_of(form)
    lifts = list(_lifts(form, known, tell))
    things = [*_things(form), *_stored(form)]
    for one in [*_datum(form), *things, *(part for parts in lifts for part in parts)]:
        _through_wall(one, ground, tell)
    voids = [Standing(("voids", i), Ref("void", v.name), _area(v.shape)) for i, v in enumerate(form.voids)]
    for parts in lifts:
        _over_void(parts, voids, tell)
    _covers(form, tell)
    _same_places(form, things, lifts, tell)
    if form.people and not form.hours and not any(person.hours for person in form.people):
        tell(("people",), "nobody-has-hours", because("nobody-has-hours"), because("write-hours"))


def room_of(form: SiteForm) -> Iterator[Size]:
    """How long and wide the room is."""
    box = shapely.minimum_rotated_rectangle(_area(form.shape))
    (a, b), (c, d), (e, f) = shapely.get_coordinates(box)[:3]
    short, long = sorted((math.dist((a, b), (c, d)), math.dist((c, d), (e, f))))
    yield Size((form.way,), "length of the room", Length(long), *ROOM_LONG_M)
    if ROOM_LONG_M[0] <= long <= ROOM_LONG_M[1]:
        yield Size((form.way,), "width of the room", Length(short), *ROOM_WIDE_M)


def _sizes(form: SiteForm) -> Iterator[Size]:
    if form.clear_height is not None:
        yield Size(("clear_height",), "clear height", Length(form.clear_height), *CEILING_M)
    for i, door in enumerate(form.doors):
        yield Size(("doors", i, "to"), "width of the door", Length(math.dist(door.start, door.end)), *DOOR_WIDE_M)
        yield Size(("doors", i, "height"), "height of the door", Length(door.height), *DOOR_HIGH_M)
    yield Size(("pace", "drive"), "pace of a car in the shop", Speed(form.pace.drive[1]), 0.0, FASTEST_M_S)
    for name in ("body", "wheel", "zone", "person", "bridge", "exit", "room"):
        yield Size(("gaps", name), "gap", Length(getattr(form.gaps, name)), 0.0, LARGEST_GAP_M)


def _area(shape: Shape) -> shapely.Geometry:
    return shapely.Polygon(shape.points)


# What stands where


def _things(form: SiteForm) -> Iterator[Standing]:
    for i, mark in enumerate(form.marks):
        yield Standing(("marks", i, "at"), Ref("mark", mark.name), shapely.Point(mark.at))
    for key, kind in (("bays", "bay"), ("obstacles", "obstacle"), ("voids", "void"), ("patches", "patch")):
        for i, item in enumerate(getattr(form, key)):
            yield Standing((key, i, item.way), Ref(kind, item.name), _area(item.shape))


def _datum(form: SiteForm) -> Iterator[Standing]:
    if form.datum is not None:
        yield Standing(("datum", "at"), Term("datum"), shapely.Point(form.datum.at))


def _stored(form: SiteForm) -> Iterator[Standing]:
    for i, item in enumerate(form.equipment):
        shape = _store_of(item)
        if shape is not None:
            yield Standing(("equipment", i, "store"), Ref("equipment", item.name), shape)


def _store_of(item: EquipmentForm) -> shapely.Geometry | None:
    if item.store is None or isinstance(item.store, Shape):
        return None if item.store is None else _area(item.store)
    return None if item.footprint is None else shapely.Polygon(placed(item.footprint.points, *item.store))


def _lifts(form: SiteForm, known: Known, tell: Tell) -> Iterator[list[Standing]]:
    """The decks and posts of each lift; none of a lift whose own sizes are doubted."""
    for i, lift in enumerate(form.lifts):
        own = lift.type is None
        odd = own and doubt_fields(lift, ("lifts", i), tell, bare=False)
        if odd or (not own and (lift.type not in known.lifts or lift.type in known.odd_lifts)):
            continue
        yield list(_parts(placed_lift(lift, known.lifts), lift, i))


def _parts(stands: PlacedLift, form: PlacedLiftForm, index: int) -> Iterator[Standing]:
    rest = stands.lift.states[:1]
    outlines = [*(post.outline for post in stands.lift.posts), *(deck for state in rest for deck in state.decks)]
    for outline in filter(None, outlines):
        shape = shapely.Polygon(placed(outline, *stands.at, stands.heading_rad))
        yield Standing(("lifts", index, "at"), Ref("lift", form.name), shape)


# What is told


def _ceiling(form: SiteForm, tell: Tell) -> None:
    """Nothing in the room is higher than its ceiling."""
    ceiling = form.clear_height
    if ceiling is None or ceiling < CEILING_M[0]:
        return
    heights: list[tuple[Path, Ref, float]] = [
        (("doors", i, "height"), Ref("door", door.name), door.height) for i, door in enumerate(form.doors)
    ]
    heights += [(("obstacles", i, "top"), Ref("obstacle", one.name), one.top) for i, one in enumerate(form.obstacles)]
    for path, ref, height in heights:
        if height > ceiling + 1e-6:
            what = because("height-above-ceiling", thing=ref, height=Length(height), ceiling=Length(ceiling))
            tell(path, "height-above-ceiling", what, because("look-at-both-heights"))


def _taped(form: SiteForm, tell: Tell) -> None:
    """What was taped across the room is as long as the corners say: else the room is no rectangle, or one is wrong."""
    for i, taped in enumerate(form.taped):
        apart = math.dist(taped.start, taped.end)
        if abs(apart - taped.length) > TAPED_WITHIN_M:
            what = because("taped-otherwise", apart=Length(apart), off=Length(abs(apart - taped.length)))
            tell(("taped", i, "length"), "taped-otherwise", what, because("measure-corners-again"))


def _through_wall(one: Standing, ground: shapely.Geometry, tell: Tell) -> None:
    by = outside(one.shape, ground)
    if by:
        what = because("stands-in-wall", thing=one.ref, by=Length(by))
        tell(one.path, "stands-in-wall", what, because("look-at-place-and-units"))


def _over_void(parts: list[Standing], voids: Iterable[Standing], tell: Tell) -> None:
    for void in voids:
        shares = [shapely.intersection(part.shape, void.shape).area / part.shape.area for part in parts]
        if any(DECK_OVER[0] < share < DECK_OVER[1] for share in shares):
            what = because("stands-over-void", thing=parts[0].ref, void=void.ref)
            tell(parts[0].path, "stands-over-void", what, because("look-at-both-places"))


def _covers(form: SiteForm, tell: Tell) -> None:
    for i, void in enumerate(form.voids):
        rim = shapely.buffer(_area(void.shape), COVER_REST_M)
        for j, cover in enumerate(void.covers):
            if shapely.difference(_area(cover.shape), rim).area > 1e-4:
                what = because("cover-beyond-void", cover=Ref("cover", cover.name, void.name))
                tell(
                    ("voids", i, "covers", j, cover.way),
                    "cover-beyond-void",
                    what,
                    because("give-outline-in-site-frame"),
                )


def _same_places(form: SiteForm, things: Iterable[Standing], lifts: list[list[Standing]], tell: Tell) -> None:
    """Two things at one place: typed twice, or copied and not moved."""
    doors = [
        Standing(("doors", i, "to"), Ref("door", d.name), shapely.LineString([d.start, d.end]))
        for i, d in enumerate(form.doors)
    ]
    for n, door in enumerate(doors):
        for other in doors[:n]:
            if shapely.intersection(door.shape, other.shape).length > DOORS_APART_M:
                _tell_same(door, other, tell)
    for n, parts in enumerate(lifts):
        for earlier in lifts[:n]:
            if any(_share(a, b) > 1 - SAME for a in parts for b in earlier):
                _tell_same(parts[0], earlier[0], tell)
    solid = [one for one in things if one.path[0] == "obstacles"]
    bands = [(item.bottom, item.top) for item in form.obstacles]
    for n, one in enumerate(solid):
        for m, before in enumerate(solid[:n]):
            meet = min(bands[n][1], bands[m][1]) > max(bands[n][0], bands[m][0])
            if meet and _share(one, before) > SAME:
                _tell_same(one, before, tell)
        deck = next((p for parts in lifts for p in parts if _share(p, one) > 1 - SAME), None)
        if deck is not None and bands[n][0] < 0.5 and not form.obstacles[n].movable:
            _tell_same(one, deck, tell)


def _share(one: Standing, other: Standing) -> float:
    """The part of the smaller of two areas that both have in common."""
    smaller = min(one.shape.area, other.shape.area)
    return float(shapely.intersection(one.shape, other.shape).area / smaller) if smaller > 0 else 0.0


def _tell_same(one: Standing, other: Standing, tell: Tell) -> None:
    what = because("same-place", thing=one.ref, other=other.ref)
    tell(one.path, "same-place", what, because("look-at-both-places"))

"""The near view of a car at its card: its targets, the points on both, and numbered tapes between them, nose up."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely
from attrs import evolve, frozen

from standtrue.aim.layout import CHALK_M, DATUM, TargetPlace, marks_of
from standtrue.draw.near import Dimension, Name, Near, Tag, Tape, nose_up
from standtrue.draw.shapes import Role, Shape
from standtrue.model.basics import Place, Point
from standtrue.model.reason import Length, Ref
from standtrue.model.site import from_datum
from standtrue.place.question.answer import Answer
from standtrue.show.pictures.car import at_place, stance_shapes
from standtrue.show.pictures.floor import floor_shapes
from standtrue.show.pictures.place import in_order
from standtrue.show.words import near as words
from standtrue.show.words.drawing import LEGEND, ruler_of
from standtrue.show.words.reader import Reader
from standtrue.work.sheet.chalk import Chalk
from standtrue.work.sheet.content import PlannedReading

MOST_NAMES = 12
"""A near view names no more than this."""

NEAR_M = 2.5
"""What stands farther than this from the car, its targets and what lies between has no name."""

_LEAST_TAPE_M = 0.1
"""A reading shorter than this is not drawn as a tape: its number would hide it."""

_UNDRAWN: frozenset[Role] = frozenset(
    (
        "region", "touch", "in the way", "axle", "reference", "exit", "target", "target path", "mark", "datum",
        "centerline",
    )
)  # fmt: skip
_NAMED: tuple[Role, ...] = (
    "void", "obstacle", "movable", "post", "raised deck", "hole", "patch", "uneven",
)  # fmt: skip
"""What is named where it stands near enough."""


@frozen(eq=False)
class AtTheCar:
    """What is shown: the car at its stance, its targets, its readings, the chalked line."""

    answer: Answer
    places: tuple[TargetPlace, ...]
    readings: tuple[PlannedReading, ...]
    chalk: Chalk | None

    @property
    def place(self) -> Place:
        assert self.answer.place is not None
        return self.answer.place


def near_view(at: AtTheCar, reader: Reader, title: str, *, extra: Sequence[Shape] = (), few: bool = False) -> Near:
    """The near view for a reader. `extra` are further shapes, such as what to shift; `few`: no names, no key plan."""
    site, key = at.answer.ground.site, at.answer.ground.site.datum
    shapes = [
        *(s for s in floor_shapes(at.answer.ground, reader) if s.role not in _UNDRAWN),
        *(s for s in stance_shapes(at.answer, at.place, reader) if s.role not in _UNDRAWN),
        *_target_shapes(at.places, reader),
        *_chalk_shapes(at.chalk, reader),
        *extra,
    ]
    tapes = tuple(_tapes(at.readings))
    body = at_place(at.answer.vehicle.body, at.place)
    essential = [*body, *(p for t in at.places for p in t.chalk), *(p for t in tapes for p in (t.start, t.end))]
    essential += [p for s in extra for line in s.lines for p in line]
    near = Near(
        datum=nose_up(at.place),
        shapes=_wheels_last(in_order([evolve(s, label="") for s in shapes])),
        essential=tuple(essential),
        tapes=tapes,
        tags=tuple(_tags(at, reader)),
        names=() if few else tuple(_names(at, shapes, reader))[:MOST_NAMES],
        dimensions=tuple(_dimensions(at, reader)),
        room=site.outline,
        car=body,
        key=key,
        ruler=ruler_of(reader),
        scale=words.bar_scale(reader),
        title=title,
        told="",
        key_words="" if few else words.key_words(reader),
    )
    return evolve(near, told=_told(near, at, reader))


def _wheels_last(shapes: Sequence[Shape]) -> tuple[Shape, ...]:
    """Wheels over the car's outline: points are found at them."""
    body = max((i for i, s in enumerate(shapes) if s.role == "body"), default=0)
    wheels = [s for s in shapes if s.role == "wheel"]
    return (*(s for s in shapes[: body + 1] if s.role != "wheel"), *wheels, *shapes[body + 1 :])


def _tapes(readings: Sequence[PlannedReading]) -> Iterator[Tape]:
    """The readings that run over the floor; an offset from the foot on its line."""
    for number, planned in enumerate(readings, start=1):
        spots = [(x, y) for x, y, _ in planned.spots]
        reading = planned.reading
        if reading.what == "distance":
            start, end = spots
        elif reading.what == "offset" and abs(planned.planned) >= _LEAST_TAPE_M:
            start, end = _foot(*spots), spots[2]
        else:
            continue
        yield Tape(str(number), start, end, bool(planned.target))


def _foot(one: Point, two: Point, at: Point) -> Point:
    """The point of a line that lies beside another point."""
    dx, dy = two[0] - one[0], two[1] - one[1]
    share = ((at[0] - one[0]) * dx + (at[1] - one[1]) * dy) / (dx * dx + dy * dy)
    return one[0] + share * dx, one[1] + share * dy


def _target_shapes(places: Sequence[TargetPlace], reader: Reader) -> Iterator[Shape]:
    """Each target as its face, and a tick the way its printed side looks; the path of one that is moved."""
    for place in places:
        pose = Place(place.center[0], place.center[1], place.facing_rad)
        lines = (place.chalk, *(at_place(line, pose) for line in _TICK))
        meaning = reader.write(Ref("target", place.name))
        yield Shape("target", meaning, lines=(lines[0],))
        yield Shape("heading", meaning, lines=lines[1:])
        if place.swept:
            yield Shape("target path", meaning, lines=(place.swept,))


_TICK = (((0.0, 0.0), (0.35, 0.0)), ((0.24, 0.06), (0.35, 0.0), (0.24, -0.06)))


def _chalk_shapes(chalk: Chalk | None, reader: Reader) -> Iterator[Shape]:
    if chalk is not None:
        yield Shape("centerline", words.thrust_name(chalk.line, reader), lines=(chalk.ends,))
        yield Shape("string", reader.say(LEGEND["string"]), lines=chalk.strings)


def _tags(at: AtTheCar, reader: Reader) -> Iterator[Tag]:
    """The car's points beside them, outboard; L and R at each target's ends, as one looks at its printed side."""
    names = kinds_and_corners(at)
    for point, spot in _named_spots(at.readings).items():
        if words.corner_of(point) is not None:
            outboard = _turned((0.0, 1.0 if point.endswith("left") else -1.0), at.place.heading_rad)
            yield Tag(words.car_point(point, len(names[0]), reader), spot, outboard)
    for place in at.places:
        for end, letter in zip(place.chalk, words.SIDES, strict=True):
            out = (end[0] - place.center[0], end[1] - place.center[1])
            yield Tag(reader.say(letter), end, out)


def kinds_and_corners(at: AtTheCar) -> tuple[dict[str, float], tuple[str, ...]]:
    """Which kinds of points on the car the readings use, how far outside the tire's middle, and at which corners."""
    kinds: dict[str, float] = {}
    corners: set[str] = set()
    for point, spot in _named_spots(at.readings).items():
        found = words.corner_of(point)
        if found is not None:
            kind, corner = found
            across = abs(from_datum(spot, nose_up(at.place))[0])
            kinds.setdefault(kind, across - abs(at.answer.vehicle.wheel_center(f"wheel {corner}")[1]))
            corners.add(corner)
    return kinds, tuple(c for c in words.CORNERS if c in corners)


def _named_spots(readings: Sequence[PlannedReading]) -> dict[str, Point]:
    return {
        name: (spot[0], spot[1])
        for planned in readings
        for name, spot in zip((*planned.reading.start, *planned.reading.end), planned.spots, strict=True)
    }


def _names(at: AtTheCar, shapes: Sequence[Shape], reader: Reader) -> Iterator[Name]:
    """The names, the most needed first: targets, marks that tapes hang on, the line, then what stands near."""
    for place in at.places:
        yield Name(reader.write(Ref("target", place.name)), place.center[:2], bold=True)
    used = _named_spots(at.readings)
    for mark in marks_of(at.answer.ground.site):
        if mark.name in used:
            yield Name(reader.term(DATUM) if mark.name == DATUM else mark.name, mark.at, bold=True)
    if at.chalk is not None:
        (x0, y0), (x1, y1) = at.chalk.ends
        share = 0.02 if _ahead(at) else 0.98
        yield Name(words.thrust_name(at.chalk.line, reader), (x0 + share * (x1 - x0), y0 + share * (y1 - y0)))
    yield from _names_near(at, shapes)


def _ahead(at: AtTheCar) -> bool:
    return any(from_datum(p.center[:2], nose_up(at.place))[1] > 0.0 for p in at.places)


def _names_near(at: AtTheCar, shapes: Sequence[Shape]) -> Iterator[Name]:
    """What stands near the car and its targets, by what it is and how near; zones last."""
    ours = shapely.union_all(
        [shapely.Polygon(at_place(at.answer.vehicle.body, at.place)), *(shapely.LineString(p.chalk) for p in at.places)]
    )
    reach = shapely.convex_hull(ours)
    found: list[tuple[int, float, Name]] = []
    for shape in shapes:
        if shape.role not in _NAMED or not shape.label or not shape.areas:
            continue
        thing = shapely.union_all([shapely.Polygon(o, h) for o, h in shape.areas])
        away = float(thing.distance(ours))
        if thing.distance(reach) <= NEAR_M:
            pit = shape.role == "void"
            found.append((0 if pit else 1, away, Name(shape.label, _middle(thing), pit, shape.areas)))
    yield from (name for _, _, name in sorted(found, key=lambda f: f[:2]))
    zones = [s for s in shapes if s.role.startswith("zone")]
    for shape in sorted(zones, key=lambda s: -len(s.label))[:3]:
        yield Name(shape.label, shape.areas[0][0][0])


def _middle(thing: shapely.Geometry) -> Point:
    x, y = thing.representative_point().coords[0]
    return float(x), float(y)


def _dimensions(at: AtTheCar, reader: Reader) -> Iterator[Dimension]:
    """From the end of the car to the farthest target ahead and behind; from the line to a target beside it."""
    car, frame = at.answer.vehicle, nose_up(at.place)
    alongs = [(from_datum(p.center[:2], frame), p) for p in at.places]
    if not alongs:
        return
    by_along = sorted(alongs, key=lambda a: a[0][1])
    for ((_, along), place), end, way in ((by_along[-1], car.front_x_m, 1.0), (by_along[0], car.rear_x_m, -1.0)):
        if (along - end) * way > 0.3:
            (start,) = at_place(((end, 0.0),), at.place)
            right = max((c for c in place.chalk), key=lambda c: from_datum(c, frame)[0])
            yield Dimension(start, right, reader.write(Length(abs(along - end))))
    for (across, along), place in alongs[:2]:
        if abs(across) > 0.25 and (along > car.front_x_m or along < car.rear_x_m):
            (start,) = at_place(((along, 0.0),), at.place)
            yield Dimension(start, place.center[:2], reader.write(Length(abs(across))), along=False)


def _turned(way: Point, turn_rad: float) -> Point:
    c, s = math.cos(turn_rad), math.sin(turn_rad)
    return c * way[0] - s * way[1], s * way[0] + c * way[1]


def _told(near: Near, at: AtTheCar, reader: Reader) -> str:
    """All of it in words."""
    targets = [p.name for p in at.places]
    kinds = len(kinds_and_corners(at)[0])
    said = [words.drawn_how(reader), *(n.text for n in near.names)]
    for number, planned in enumerate(at.readings, start=1):
        what = words.reading_words(planned.reading, targets, kinds, reader)
        said.append(f"{number}: {what}, {words.planned_figure(planned.reading, planned.planned, reader)}")
    return ". ".join(s.rstrip(".") for s in said) + "."


def untold_size(places: Sequence[TargetPlace]) -> Length | None:
    """How far a chalk line's ends lie from its middle, where a card tells no size of its target."""
    return Length(CHALK_M / 2) if any(p.size_m is None for p in places) else None

"""The near view of a car at its card: its targets, the points on both, and numbered tapes between them, nose up."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely
from attrs import evolve, frozen

from standtrue.aim.chalk import ChalkLine
from standtrue.aim.layout import CHALK_M, DATUM, TargetPlace, marks_of
from standtrue.aim.planning import Planned
from standtrue.draw.near import Dimension, Name, Near, Tag, Tape, nose_up
from standtrue.draw.shapes import Role, Shape
from standtrue.model.basics import Outline, Place, Point
from standtrue.model.reason import Length, Ref
from standtrue.model.setup import STRINGS
from standtrue.model.site import from_datum
from standtrue.place.question.answer import Answer
from standtrue.show.pictures.car import at_place, stance_shapes
from standtrue.show.pictures.floor import floor_shapes
from standtrue.show.pictures.place import in_order
from standtrue.show.words import near as words
from standtrue.show.words.drawing import LEGEND, ruler_of
from standtrue.show.words.reader import Reader

MOST_NAMES = 12
"""A near view names no more than this."""

NEAR_M = 2.5
"""What stands farther than this from the car, its targets and what lies between has no name."""

PAST_M = 0.5
"""How far a line is chalked past its last mark."""

FAR_M = 1.5
"""A mark farther than this from the car and its targets does not make the drawing smaller: its tapes run off it."""

_LEAST_TAPE_M = 0.1
"""A reading shorter than this is not drawn as a tape: its number would hide it."""

_UNDRAWN: frozenset[Role] = frozenset(
    (
        "region", "touch", "in the way", "axle", "reference", "exit", "target", "target path", "mark", "datum",
        "centerline", "heading",
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
    readings: tuple[Planned, ...]
    chalk: tuple[ChalkLine, ...]

    @property
    def place(self) -> Place:
        assert self.answer.place is not None
        return self.answer.place


def near_view(
    at: AtTheCar,
    reader: Reader,
    title: str,
    *,
    extra: Sequence[Shape] = (),
    few: bool = False,
    bystanders: bool = True,
) -> Near:
    """The near view for a reader. `extra` are further shapes, such as what to shift; `few`: no names, no key plan.

    Without `bystanders` only what tapes and lines hang on is named, and open pits: the plan is then drawn larger.
    """
    site, key = at.answer.ground.site, at.answer.ground.site.datum
    shapes = [
        *(s for s in floor_shapes(at.answer.ground, reader) if s.role not in _UNDRAWN),
        *(s for s in stance_shapes(at.answer, at.place, reader) if s.role not in _UNDRAWN),
        *_target_shapes(at.places, reader),
        *_chalk_shapes(at, reader),
        *extra,
    ]
    tapes = tuple(_tapes(at.readings))
    body = at_place(at.answer.vehicle.body, at.place)
    essential = (*_essential(at, body, tapes), *(p for s in extra for line in s.lines for p in line))
    near = Near(
        datum=nose_up(at.place),
        shapes=_wheels_last(in_order([evolve(s, label="") for s in shapes])),
        essential=essential,
        tapes=tapes,
        tags=tuple(_tags(at, reader)),
        names=() if few else tuple(_names(at, shapes, reader, bystanders))[:MOST_NAMES],
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


def _essential(at: AtTheCar, body: Outline, tapes: Sequence[Tape]) -> Iterator[Point]:
    """What must be seen: the car, its targets, the ends of tapes that lie near them, the chalked lines."""
    ours = [*body, *(p for t in at.places for p in t.chalk)]
    near_by = shapely.convex_hull(shapely.MultiPoint(ours)).buffer(FAR_M)
    yield from ours
    yield from (p for t in tapes for p in (t.start, t.end) if near_by.covers(shapely.Point(p)))
    yield from (p for line in at.chalk for p in _longer(line.marks[0].at, line.marks[-1].at, PAST_M))


def _wheels_last(shapes: Sequence[Shape]) -> tuple[Shape, ...]:
    """Wheels over the car's outline: points are found at them."""
    body = max((i for i, s in enumerate(shapes) if s.role == "body"), default=0)
    wheels = [s for s in shapes if s.role == "wheel"]
    return (*(s for s in shapes[: body + 1] if s.role != "wheel"), *wheels, *shapes[body + 1 :])


def _tapes(readings: Sequence[Planned]) -> Iterator[Tape]:
    """The readings that run over the floor, from end to end of what is read."""
    for planned in readings:
        view = planned.candidate.view
        if planned.reading.what in ("distance", "offset") and view is not None:
            start, end = view.start[:2], view.end[:2]
            if math.dist(start, end) >= _LEAST_TAPE_M:
                yield Tape(str(planned.number), start, end, bool(planned.part))


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


def _chalk_shapes(at: AtTheCar, reader: Reader) -> Iterator[Shape]:
    """The lines to snap, from the car's end past the last mark; and the strings beside them, from wheel to wheel on."""
    for line in at.chalk:
        marks = [mark.at for mark in line.marks]
        yield Shape("centerline", words.thrust_name(line.name, reader), lines=(_longer(marks[0], marks[-1], PAST_M),))
        for string in STRINGS:
            beside = [(m.at, s.offset_m) for m in line.marks for s in m.strings if s.line == string]
            near, far = (_foot(spot, line, offset, string) for spot, offset in (beside[0], beside[-1]))
            along = (_longer(far, near, at.answer.vehicle.length_m),)
            yield Shape("string", reader.say(LEGEND["string"]), lines=along)


def _longer(start: Point, end: Point, by_m: float) -> tuple[Point, Point]:
    """A line made longer past its end."""
    long = math.dist(start, end)
    share = (long + by_m) / long
    return start, (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))


def _foot(at: Point, line: ChalkLine, offset_m: float, string: str) -> Point:
    """Where a string runs beside a mark: squarely to the line, to the string's own side of the car."""
    one, two = (mark.at for mark in (line.marks[0], line.marks[-1]))
    way = math.atan2(two[1] - one[1], two[0] - one[0]) + (0.0 if line.ahead else math.pi)
    side = math.copysign(offset_m, 1.0 if string == STRINGS[0] else -1.0)
    return at[0] - side * math.sin(way), at[1] + side * math.cos(way)


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


def _named_spots(readings: Sequence[Planned]) -> dict[str, Point]:
    """The points that tapes begin and end at, by name."""
    found: dict[str, Point] = {}
    for planned in readings:
        view, reading = planned.candidate.view, planned.reading
        if view is not None and reading.what == "distance":
            found[reading.start[0]], found[reading.end[0]] = view.start[:2], view.end[:2]
        elif view is not None and reading.what == "offset":
            found[reading.end[0]] = view.end[:2]
    return found


def _far_ends(readings: Sequence[Planned]) -> Iterator[tuple[str, Point]]:
    """Where the tapes from each point run to."""
    for planned in readings:
        view, reading = planned.candidate.view, planned.reading
        if view is not None and reading.what == "distance":
            yield reading.start[0], view.end[:2]
            yield reading.end[0], view.start[:2]


def _names(at: AtTheCar, shapes: Sequence[Shape], reader: Reader, bystanders: bool) -> Iterator[Name]:
    """The names, the most needed first: targets, marks that tapes hang on, the line, then what stands near."""
    for place in at.places:
        yield Name(reader.write(Ref("target", place.name)), place.center[:2], bold=True)
    used = _named_spots(at.readings)
    for mark in marks_of(at.answer.ground.site):
        if mark.name in used:
            via = next(end for name, end in _far_ends(at.readings) if name == mark.name)
            yield Name(reader.term(DATUM) if mark.name == DATUM else mark.name, mark.at, bold=True, via=via)
    for line in at.chalk:
        far = line.marks[-1].at
        yield Name(words.thrust_name(line.name, reader), _longer(line.marks[0].at, far, 0.8 * PAST_M)[1])
    yield from _names_near(at, [s for s in shapes if bystanders or s.role == "void"])


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
    for planned in at.readings:
        what = words.reading_words(planned.reading, targets, kinds, reader)
        said.append(f"{planned.number}: {what}, {words.planned_figure(planned.reading, planned.value, reader)}")
    return ". ".join(s.rstrip(".") for s in said) + "."


def untold_size(places: Sequence[TargetPlace]) -> Length | None:
    """How far a chalk line's ends lie from its middle, where a card tells no size of its target."""
    return Length(CHALK_M / 2) if any(p.size_m is None for p in places) else None

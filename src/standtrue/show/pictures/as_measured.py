"""The car and its targets as they stood when they were measured, from what was kept alone: nose up, no floor."""

from __future__ import annotations

import math
from collections.abc import Iterator

from standtrue.draw.near import Dimension, Near, Tag, nose_up
from standtrue.draw.shapes import Shape, area
from standtrue.model.basics import Outline, Place, Point
from standtrue.model.reason import Length, Ref
from standtrue.model.site import from_datum
from standtrue.show.answers.measured import MeasuredAnswer
from standtrue.show.answers.parts import StanceShape
from standtrue.show.answers.set_up import CarDrawnShape
from standtrue.show.answers.stands import StoodShape
from standtrue.show.pictures.car import at_place
from standtrue.show.pictures.car_body import glass_of, nose_of
from standtrue.show.words import near as words
from standtrue.show.words.drawing import ruler_of
from standtrue.show.words.reader import Reader

PAST_M = 0.4
"""How far the line of travel is drawn past the farthest target, and past the car's rear end."""

_LEAST_M = 0.3
"""A target nearer than this to the car's end, along the car, gets no dimension."""


def as_measured(answer: MeasuredAnswer, title: str, reader: Reader) -> Near | None:
    """The picture; None where what was kept does not hold where car and targets stood."""
    stood = [target.stood for target in answer.targets if target.stood is not None]
    if answer.set_up is None or answer.stance.place is None or not stood or len(stood) < len(answer.targets):
        return None
    place, drawn = _place(answer.stance.place), answer.set_up.car
    body = at_place(drawn.outline, place)
    shapes = (*_car(drawn, place), _line(answer, stood, drawn, place), *(s for one in stood for s in _target(one)))
    return Near(
        datum=nose_up(place),
        shapes=shapes,
        essential=tuple(p for s in shapes if s.role in ("body", "target") for p in _points(s)),
        tapes=(),
        tags=tuple(_tags(stood, place, reader)),
        names=(),
        dimensions=tuple(_dimensions(stood, drawn, place, reader)),
        room=body,
        car=body,
        key=nose_up(place),
        ruler=ruler_of(reader),
        scale=words.bar_scale(reader),
        title=title,
        told=". ".join((words.drawn_how(reader).rstrip("."), *_told(stood, drawn, place, reader))),
        key_words="",
    )


def _place(told: StanceShape) -> Place:
    return Place(told.x_m, told.y_m, math.radians(told.heading_deg))


def _car(drawn: CarDrawnShape, place: Place) -> Iterator[Shape]:
    front, length, width = _sizes(drawn)
    yield Shape("body", "", area(at_place(drawn.outline, place)))
    for x, y in drawn.wheels:
        long, wide = (size / 2 for size in drawn.tire_m)
        box = ((x - long, y - wide), (x + long, y - wide), (x + long, y + wide), (x - long, y + wide))
        yield Shape("wheel", "", area(at_place(box, place)))
    yield Shape("glass", "", lines=tuple(at_place(line, place) for line in glass_of(front, length, width)))
    yield Shape("front", "", area(at_place(nose_of(front, length, width), place)))


def _sizes(drawn: CarDrawnShape) -> tuple[float, float, float]:
    """The front end ahead of the rear axle, how long and how wide it is drawn, metres."""
    xs, ys = zip(*drawn.outline, strict=True)
    return max(xs), max(xs) - min(xs), max(ys) - min(ys)


def _line(answer: MeasuredAnswer, stood: list[StoodShape], drawn: CarDrawnShape, place: Place) -> Shape:
    """The line of travel, as it was measured if it was: through the rear axle's middle, past car and targets."""
    way = place.heading_rad if answer.car is None else math.radians(answer.car.thrust_heading_deg)
    front, length, _ = _sizes(drawn)
    alongs = [_off(one, place)[1] for one in stood]
    ahead, behind = max(front, *alongs) + PAST_M, min(front - length, *alongs) - PAST_M
    line = at_place(((behind, 0.0), (ahead, 0.0)), Place(place.x_m, place.y_m, way))
    return Shape("centerline", "", lines=(line,))


def _target(one: StoodShape) -> Iterator[Shape]:
    yield Shape("target", one.target, lines=(_face(one),))


def _face(one: StoodShape) -> Outline:
    """The ends of its face on the floor."""
    half = one.width_m / 2
    return at_place(((0.0, half), (0.0, -half)), Place(one.x_m, one.y_m, math.radians(one.facing_deg)))


def _off(one: StoodShape, place: Place) -> Point:
    """How far to the right and ahead of the rear axle a target stood."""
    return from_datum((one.x_m, one.y_m), nose_up(place))


def _tags(stood: list[StoodShape], place: Place, reader: Reader) -> Iterator[Tag]:
    """The name of each target, at the end of its face that lies farther to the left, on the side away from the car."""
    frame = nose_up(place)
    for one in stood:
        left = min(_face(one), key=lambda end: from_datum(end, frame)[0])
        away = (one.x_m - place.x_m, one.y_m - place.y_m)
        yield Tag(reader.write(Ref("target", one.target)), left, away)


def _dimensions(stood: list[StoodShape], drawn: CarDrawnShape, place: Place, reader: Reader) -> Iterator[Dimension]:
    """From the car's end to the farthest target ahead and behind, along the car."""
    front, length, _ = _sizes(drawn)
    by_along = sorted(stood, key=lambda one: _off(one, place)[1])
    for one, end, way in ((by_along[-1], front, 1.0), (by_along[0], front - length, -1.0)):
        far = (_off(one, place)[1] - end) * way
        if far > _LEAST_M:
            (start,) = at_place(((end, 0.0),), place)
            to = max(_face(one), key=lambda end: from_datum(end, nose_up(place))[0])
            yield Dimension(start, to, reader.write(Length(far)))


def _told(stood: list[StoodShape], drawn: CarDrawnShape, place: Place, reader: Reader) -> Iterator[str]:
    """The picture in words: where each target stood."""
    front, length, _ = _sizes(drawn)
    for one in stood:
        along = _off(one, place)[1]
        yield words.stood_words(one.target, along - front, front - length - along, reader)


def _points(shape: Shape) -> Iterator[Point]:
    yield from (p for outer, _ in shape.areas for p in outer)
    yield from (p for line in shape.lines for p in line)

"""The shapes of a move: the way, what the car sweeps, where it turns back, and where it comes nearest to something."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely

from standtrue.draw.shapes import Role, Shape, area, areas_of
from standtrue.drive.path.swept import swept_area
from standtrue.drive.question.answer import Answer, Gear
from standtrue.model.basics import Outline, Place
from standtrue.model.ground import Ground
from standtrue.model.reason import Ref
from standtrue.model.vehicle import Vehicle
from standtrue.show.pictures.car import at_place, axle_shapes, car_marks, thing_areas
from standtrue.show.pictures.car_body import drawn_body
from standtrue.show.words import labels_drive, labels_whole
from standtrue.show.words.drive import nearest_words, steer_tag, turn_tag
from standtrue.show.words.reader import ENGLISH, Reader

ARROW_M, ARROW_SHARE, SLIM = 0.3, 0.18, 0.42
"""The head of an arrow on the way: its length at most, and of the stretch; its half width for its length."""
ARROW_EVERY_M = 3.0

SHOWN_MARKS = 12
"""Where there are more marks on the way than this, those of steering are left out: the legs tell them."""

_ROLES: dict[Gear, Role] = {"forward": "forward", "reverse": "reverse", "slide": "slide", "turn": "slide"}


def move_shapes(answer: Answer, vehicle: Vehicle, reader: Reader = ENGLISH) -> Iterator[Shape]:
    """A move that was found: swept area, way, turns and nearest point; without the car at its goal."""
    if not answer.poses:
        return
    swept = swept_area(vehicle, answer.poses)
    yield Shape("swept", labels_drive.swept(reader), areas_of(swept.body))
    yield ghost(vehicle, answer.poses[0], *labels_drive.start_car(reader))
    yield from way_shapes(answer, reader)
    if answer.nearest is not None and answer.nearest.between is not None:
        near, line = answer.nearest, answer.nearest.between
        label = labels_whole.nearest_thing(near.thing, near.separation_m, reader)
        yield Shape("nearest", nearest_words(near, reader), lines=(line,), spots=(line[1],), label=label)


def way_shapes(answer: Answer, reader: Reader = ENGLISH) -> Iterator[Shape]:
    """The way of the rear axle's center, stretch by stretch of one gear, and the numbered changes of direction
    and of steering.
    """
    for gear, places in _stretches(answer):
        line = tuple((p.x_m, p.y_m) for p in places)
        heads = tuple(one for head in _arrows(line) for one in area(head))
        yield Shape(_ROLES[gear], labels_drive.stretch(gear, reader), heads, lines=(line,))
    for number, place in enumerate(answer.cusps, start=1):
        words = labels_drive.turn_spot(turn_tag(number), reader)
        yield Shape("turn", words, spots=((place.x_m, place.y_m),), tag=turn_tag(number))
    for tag, place in steers_shown(answer):
        yield Shape("steer", labels_drive.steer_spot(tag, reader), spots=((place.x_m, place.y_m),), tag=tag)


def steers_shown(answer: Answer) -> Iterator[tuple[str, Place]]:
    """The marks where the wheel is turned while the car goes on: all of them, or none where they would be too many."""
    if len(answer.steers) + len(answer.cusps) <= SHOWN_MARKS:
        yield from ((steer_tag(number), place) for number, (_, place) in enumerate(answer.steers, start=1))


def _stretches(answer: Answer) -> Iterator[tuple[Gear, Sequence[Place]]]:
    """Poses of one gear after another, legs of the same gear joined."""
    ends = (*answer.leg_at[1:], len(answer.poses) - 1)
    first = 0
    for i, leg in enumerate(answer.legs):
        if i + 1 == len(answer.legs) or answer.legs[i + 1].gear != leg.gear:
            yield leg.gear, answer.poses[first : ends[i] + 1]
            first = ends[i]


def _arrows(line: Outline) -> Iterator[Outline]:
    """Arrowheads along a line, one for a short one, the way it is driven."""
    whole = shapely.LineString(line)
    head = min(ARROW_M, ARROW_SHARE * whole.length)
    if head <= 0.0:
        return
    count = max(1, round(whole.length / ARROW_EVERY_M))
    for k in range(count):
        along = whole.length * (k + 0.5) / count
        tail, tip = (shapely.get_coordinates(whole.interpolate(along + d))[0] for d in (-0.5 * head, 0.5 * head))
        place = Place(float(tip[0]), float(tip[1]), math.atan2(tip[1] - tail[1], tip[0] - tail[0]))
        yield at_place(((-head, SLIM * head), (0.0, 0.0), (-head, -SLIM * head)), place)


def ghost(vehicle: Vehicle, place: Place, meaning: str, label: str) -> Shape:
    """The outline of a car that only passes here, its front marked by a nose."""
    front, half = vehicle.front_x_m, vehicle.width_m / 2
    nose = ((front - 0.35 * half, half * 0.7), (front - 0.05, 0.0), (front - 0.35 * half, -half * 0.7))
    return Shape("ghost", meaning, area(at_place(vehicle.body, place)), lines=(at_place(nose, place),), label=label)


def car_shapes(vehicle: Vehicle, place: Place, meaning: str, reader: Reader = ENGLISH) -> Iterator[Shape]:
    """The car where a move ends; `meaning` says what it does there."""
    yield Shape("body", meaning, area(at_place(drawn_body(vehicle), place)))
    for name, outline in vehicle.wheel_patches:
        yield Shape("wheel", reader.write(Ref(name)), area(at_place(outline, place)))
    for side, outline in vehicle.mirrors:
        yield Shape("mirror", reader.write(Ref(f"mirror {side}")), area(at_place(outline, place)))
    yield from car_marks(vehicle, place, reader)
    yield from axle_shapes(vehicle, place, reader)


def barrier_shapes(answer: Answer, ground: Ground, reader: Reader = ENGLISH) -> Iterator[Shape]:
    """What is named as being in the way, but for walls: those are seen as it is."""
    for one in {o.thing: o for o in reversed(answer.obstructions)}.values():
        areas = thing_areas(one.thing, ground)
        if areas:
            yield Shape("barrier", reader.reason(one.why), areas, label=reader.write(one.thing))

"""The plan of a stance with its targets as they are laid out: from the thrust line, in the order of the answer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice

from attrs import evolve, frozen

from standtrue.aim.layout import TargetPlace
from standtrue.draw.shapes import Drawing, Measure, Shape, area
from standtrue.model.basics import Place
from standtrue.model.fits import Fits
from standtrue.model.reason import Ref
from standtrue.model.site import from_datum
from standtrue.place.question.answer import Answer
from standtrue.show.pictures.car import at_place, measures, stance_shapes
from standtrue.show.pictures.floor import floor_shapes
from standtrue.show.pictures.place import in_order
from standtrue.show.words import labels, labels_aim
from standtrue.show.words.place import carried
from standtrue.show.words.reader import Reader

SHORT_M = 0.5
"""How wide a target is drawn whose size is not known."""


def tags(places: Sequence[TargetPlace]) -> tuple[str, ...]:
    """What each target is called on the plan: T1, T2, …"""
    return tuple(f"T{number}" for number in range(1, len(places) + 1))


def targets_drawing(answer: Answer, places: Sequence[TargetPlace], reader: Reader, title: str) -> Drawing:
    """The floor, the car at the answer's place, its zones, and the targets where they are laid out."""
    assert answer.place is not None
    ground, datum = answer.ground, answer.ground.site.datum
    shapes = [*floor_shapes(ground, reader)]
    shapes.extend(s for s in stance_shapes(answer, answer.place, reader) if s.role not in ("target", "target path"))
    shapes.extend(target_shapes(places, reader))
    axles = islice(measures(answer, answer.place, reader), 2)
    return Drawing(
        title=title,
        facts=(
            labels.site_fact(ground.site.name, reader),
            labels.car_fact(answer.vehicle.name, reader),
            labels.stands_fact(carried(answer, reader), reader),
        ),
        verdict="",
        datum=datum,
        shapes=in_order(shapes),
        measures=(*axles, *target_measures(answer, places)),
        measures_heading=labels.lay_out_heading(reader),
        caption="" if answer.fits is Fits.YES else labels_aim.misfit(reader),
    )


def target_shapes(places: Sequence[TargetPlace], reader: Reader) -> Iterator[Shape]:
    """Each target as its face and a tick the way its printed side looks; the path of one that is moved."""
    for tag, place in zip(tags(places), places, strict=True):
        pose = Place(place.center[0], place.center[1], place.facing_rad)
        half = (place.size_m[0] if place.size_m else SHORT_M) / 2
        lines = (((0.0, -half), (0.0, half)), ((0.0, 0.0), (0.35, 0.0)), ((0.24, 0.06), (0.35, 0.0), (0.24, -0.06)))
        target = Ref("target", place.name)
        words = labels.target(target, reader)
        drawn = tuple(at_place(line, pose) for line in lines)
        yield Shape("target", words, lines=drawn, spots=(place.center[:2],), tag=tag)
        if place.swept:
            path = labels.target_path(target, reader)
            yield Shape("target path", path, lines=(place.swept,))


def target_measures(answer: Answer, places: Sequence[TargetPlace]) -> Iterator[Measure]:
    """Every target's center from the datum."""
    datum = answer.ground.site.datum
    for tag, place in zip(tags(places), places, strict=True):
        right, up = from_datum(place.center[:2], datum)
        yield Measure(tag, place.name, right, up, place.center[2], place.facing_rad - datum.direction_rad)


EXAGGERATED = 50
"""How many times as long as the true shift an arrow is drawn: millimeters would not be seen on a plan."""

_SHORTEST_M, _LONGEST_M = 0.5, 1.5
"""Arrows are drawn at least and at most this long."""


@frozen(eq=False)
class Shift:
    """What to shift at a target, as an arrow from its center: its direction in the site frame and how far, metres."""

    place: TargetPlace
    direction_rad: float
    length_m: float
    words: str


def measured_drawing(
    answer: Answer,
    planned: Place,
    places: Sequence[TargetPlace],
    shifts: Sequence[Shift],
    reader: Reader,
    title: str,
) -> Drawing:
    """The car where it stands, as planned dashed, the targets' places for it, and arrows for what to shift."""
    plan = targets_drawing(answer, places, reader, title)
    shapes = list(plan.shapes)
    if answer.place != planned:
        body = at_place(answer.vehicle.body, planned)
        shapes.append(Shape("planned", labels_aim.planned_car(reader), area(body), label=""))
    shapes.extend(arrow_shape(shift, reader) for shift in shifts)
    return evolve(
        plan,
        shapes=in_order(shapes),
        measures_heading=labels_aim.corrected_heading(reader),
    )


def arrow_shape(shift: Shift, reader: Reader) -> Shape:
    """An arrow that begins at the target's center; a ring alone where only its height, turn or lean is off."""
    x, y = shift.place.center[:2]
    said = labels_aim.shift(shift.place.name, shift.words, reader)
    if shift.length_m <= 0.0:
        return Shape("correction", said, spots=((x, y),), label=said)
    long = min(max(EXAGGERATED * shift.length_m, _SHORTEST_M), _LONGEST_M)
    pose = Place(x, y, shift.direction_rad)
    shaft = at_place(((0.0, 0.0), (long, 0.0)), pose)
    head = at_place(((long - 0.12, 0.06), (long, 0.0), (long - 0.12, -0.06)), pose)
    return Shape("correction", said, lines=(shaft, head), label=said)

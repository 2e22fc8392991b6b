"""The picture of a move: from its answer to shapes with meaning. Pure: the same answer, the same bytes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from attrs import evolve

from standtrue.draw.shapes import Drawing, Measure, Shape
from standtrue.model.basics import Place
from standtrue.model.site import from_datum
from standtrue.show.pictures.car import at_place
from standtrue.show.pictures.drive_shapes import barrier_shapes, car_shapes, ghost, move_shapes
from standtrue.show.pictures.floor import floor_shapes
from standtrue.show.pictures.place import in_order, paragraphs, turned_note
from standtrue.show.words.drive import legs_words, move_verdict, numbered, turn_tag
from standtrue.show.words.place import standing
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.work.drive.drives import Driven


def with_move(drawing: Drawing, move: Driven, reader: Reader = ENGLISH) -> Drawing:
    """The drawing of a stance with the way that leads there on it, its turns measured, its legs told."""
    name = move.start.name
    heading = reader.say("The way there from {start}", start=name) if name else reader.say("The way there")
    told = paragraphs([(heading, [move_verdict(move.way, reader), *numbered(legs_words(move.way, reader))])])
    return evolve(
        drawing,
        shapes=in_order([*drawing.shapes, *move_shapes(move.way, move.vehicle, reader)]),
        measures=(*drawing.measures, *_turns(move, reader)),
        paragraphs=(*told, *drawing.paragraphs),
    )


def move_drawing(
    move: Driven,
    reader: Reader = ENGLISH,
    *,
    title: str = "",
    notes: Sequence[str] = (),
    cautions: Sequence[str] = (),
    demonstration: bool = False,
) -> Drawing:
    """The shapes, measures and words of a move, for any back end."""
    way, ground = move.way, move.ground
    doors = ((reader.say("Open"), reader.all_of(way.doors_open)),) if way.doors_open else ()
    said = [
        (reader.say("In the way"), [reader.reason(one.why) for one in way.obstructions]),
        (reader.say("One after another"), numbered(legs_words(way, reader))),
        (reader.say("Notes"), [*reader.reasons(way.warnings), *notes, *turned_note(ground, reader)]),
    ]
    site, car = move.site.name, move.vehicle.name
    return Drawing(
        title=title or reader.say("How {car} gets there – {site}", car=car, site=site),
        facts=((reader.say("Site"), site), (reader.say("Car"), car), *_ends(move, reader), *doors),
        verdict=move_verdict(way, reader),
        datum=ground.site.datum,
        shapes=in_order([*floor_shapes(ground, reader), *_shapes(move, reader)]),
        measures=tuple(_measures(move, reader)) if way.found else (),
        measures_heading=reader.say("Where the car ends (A, B), and the rear axle's center where it turns back"),
        caption="" if way.found else reader.say("NO WAY FOUND"),
        paragraphs=paragraphs(said),
        cautions=tuple(cautions),
        demonstration=demonstration,
    )


def _ends(move: Driven, reader: Reader) -> Iterator[tuple[str, str]]:
    datum = move.ground.site.datum
    words = (reader.say("From"), reader.say("To"))
    for word, place, end in zip(words, move.ends, (move.start, move.goal), strict=True):
        stands = standing(place, datum, reader)
        yield word, f"{end.name}: {stands}" if end.name else stands


def _shapes(move: Driven, reader: Reader) -> Iterator[Shape]:
    start, goal = move.ends
    if not move.way.found:
        yield ghost(move.vehicle, start, reader.say("the car where it starts"), reader.say("start"))
        yield from barrier_shapes(move.way, move.ground, reader)
    yield from move_shapes(move.way, move.vehicle, reader)
    yield from car_shapes(move.vehicle, goal, reader.say("the car where it should end"), reader)


def _measures(move: Driven, reader: Reader) -> Iterator[Measure]:
    goal = move.ends[1]
    yield _measure("A", reader.say("rear axle center at the end"), move, 0.0, goal, faces=True)
    ahead = move.vehicle.wheelbase_m
    yield _measure("B", reader.say("front axle center at the end"), move, ahead, goal, faces=False)
    yield from _turns(move, reader)


def _turns(move: Driven, reader: Reader) -> Iterator[Measure]:
    for number, place in enumerate(move.way.cusps, start=1):
        said = reader.say("change of direction {number}", number=number)
        yield _measure(turn_tag(number), said, move, 0.0, place, faces=True)


def _measure(tag: str, name: str, move: Driven, ahead_m: float, place: Place, faces: bool) -> Measure:
    datum = move.ground.site.datum
    right, up = from_datum(at_place(((ahead_m, 0.0),), place)[0], datum)
    return Measure(tag, name, right, up, faces_rad=place.heading_rad - datum.direction_rad if faces else None)

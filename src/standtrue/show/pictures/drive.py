"""The picture of a move: from its answer to shapes with meaning. Pure: the same answer, the same bytes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from attrs import evolve

from standtrue.draw.shapes import Drawing, Measure, Shape, TitleBlock
from standtrue.model.basics import Place
from standtrue.model.site import from_datum
from standtrue.show.pictures.car import at_place
from standtrue.show.pictures.drawn import svg_of
from standtrue.show.pictures.drive_shapes import barrier_shapes, car_shapes, ghost, move_shapes, steers_shown
from standtrue.show.pictures.floor import floor_shapes
from standtrue.show.pictures.nearby import about, window_about
from standtrue.show.pictures.place import in_order, on_sheet, paper_of, paragraphs, turned_note, whole_shapes
from standtrue.show.words import labels, labels_drive, labels_whole
from standtrue.show.words.drive import legs_words, move_verdict, numbered, turn_tag
from standtrue.show.words.place import standing
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.work.drive.drives import Driven


def with_move(drawing: Drawing, move: Driven, reader: Reader = ENGLISH) -> Drawing:
    """The drawing of a stance with the way that leads there on it, its turns measured, its legs told."""
    heading = labels_drive.way_heading(move.start.name, reader)
    said = [move_verdict(move.way, reader), *numbered(legs_words(move.way, reader)), *reader.reasons(move.way.warnings)]
    told = paragraphs([(heading, said)])
    return evolve(
        drawing,
        shapes=in_order([*drawing.shapes, *move_shapes(move.way, move.vehicle, reader)]),
        measures=(*drawing.measures, *_turns(move, reader)),
        paragraphs=(*told, *drawing.paragraphs),
    )


def drive_svg(move: Driven, reader: Reader) -> str:
    """A move as an SVG that is a page of the reader's paper."""
    return svg_of(on_sheet(move_drawing(move, reader), move.basis, reader, moves=True), reader)


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
    shapes, near = _near_by(move, reader)
    found = way.found
    said = [
        (labels_drive.barriers_heading(reader), [reader.reason(one.why) for one in way.obstructions]),
        (labels_drive.legs_heading(reader), numbered(legs_words(way, reader))),
        (labels.notes_heading(reader), [*near, *reader.reasons(way.warnings), *notes, *turned_note(ground, reader)]),
    ]
    site, car = move.site.name, move.vehicle.name
    return Drawing(
        title=title or labels_drive.move_title(car, site, reader),
        facts=(
            labels.site_fact(site, reader),
            labels.car_fact(car, reader),
            *_ends(move, reader),
            *labels_drive.open_doors(way.doors_open, reader),
        ),
        verdict=move_verdict(way, reader),
        datum=ground.site.datum,
        shapes=shapes,
        measures=tuple(_measures(move, reader)) if found else (),
        caption="" if found else labels_drive.no_way(reader),
        paragraphs=paragraphs(said),
        cautions=tuple(cautions),
        demonstration=demonstration,
        notes=near,
        block=TitleBlock(labels_whole.car_at(car, site, reader), labels_whole.way_question(reader)),
        paper=paper_of(move.site),
    )


def _near_by(move: Driven, reader: Reader) -> tuple[tuple[Shape, ...], tuple[str, ...]]:
    """The shapes of the floor and of the move, and a note where they are only those about the move."""
    datum, site, moved = move.ground.site.datum, move.site, list(_shapes(move, reader))
    shapes = whole_shapes([*floor_shapes(move.ground, reader), *moved], site, reader, car=labels_whole.to_here(reader))
    window = window_about(moved, shapes, datum)
    if window is None:
        return shapes, ()
    return about(shapes, window, datum), (labels_drive.drawn_near(window, reader),)


def _ends(move: Driven, reader: Reader) -> Iterator[tuple[str, str]]:
    datum = move.ground.site.datum
    for word, place, end in zip(labels_drive.end_words(reader), move.ends, (move.start, move.goal), strict=True):
        stands = standing(place, datum, reader)
        yield word, f"{end.name}: {stands}" if end.name else stands


def _shapes(move: Driven, reader: Reader) -> Iterator[Shape]:
    start, goal = move.ends
    if not move.way.found:
        yield ghost(move.vehicle, start, *labels_drive.start_car(reader))
        yield from barrier_shapes(move.way, move.ground, reader)
    yield from move_shapes(move.way, move.vehicle, reader)
    yield from car_shapes(move.vehicle, goal, labels_drive.wanted_car(reader), reader)


def _measures(move: Driven, reader: Reader) -> Iterator[Measure]:
    goal = move.ends[1]
    rear, front = labels_drive.end_axles(reader)
    yield _measure("A", rear, move, 0.0, goal, faces=True)
    yield _measure("B", front, move, move.vehicle.wheelbase_m, goal, faces=False)
    yield from _turns(move, reader)


def _turns(move: Driven, reader: Reader) -> Iterator[Measure]:
    for number, place in enumerate(move.way.cusps, start=1):
        yield _measure(turn_tag(number), labels_drive.turn_measure(number, reader), move, 0.0, place, faces=True)
    for tag, place in steers_shown(move.way):
        yield _measure(tag, labels_drive.steer_measure(reader), move, 0.0, place, faces=False)


def _measure(tag: str, name: str, move: Driven, ahead_m: float, place: Place, faces: bool) -> Measure:
    datum = move.ground.site.datum
    right, up = from_datum(at_place(((ahead_m, 0.0),), place)[0], datum)
    return Measure(tag, name, right, up, faces_rad=place.heading_rad - datum.direction_rad if faces else None)

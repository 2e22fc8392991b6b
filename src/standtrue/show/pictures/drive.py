"""The plan of a move: from its answer to shapes with meaning, and to SVG. Pure: the same answer, the same bytes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from attrs import evolve, frozen

from standtrue.draw.shapes import Drawing, Measure, Shape
from standtrue.drive.answer import Answer
from standtrue.model.basics import Place
from standtrue.model.ground import Ground
from standtrue.model.reader_units import System
from standtrue.model.vehicle import Vehicle
from standtrue.show.pictures.car import at_place
from standtrue.show.pictures.drive_shapes import barrier_shapes, car_shapes, ghost, move_shapes
from standtrue.show.pictures.floor import floor_shapes
from standtrue.show.pictures.place import in_order, paragraphs, turned_note
from standtrue.show.words.drive import legs_words, move_verdict, turn_tag
from standtrue.show.words.place import from_datum, standing


@frozen(eq=False)
class Move:
    """A move to be drawn: its answer, the car, the ground it moves on, and where it should start and end.

    `start` and `goal` are drawn where no way was found. Names are what a reader calls them: a door, a lift.
    """

    answer: Answer
    vehicle: Vehicle
    ground: Ground
    start: Place
    goal: Place
    start_name: str = ""
    goal_name: str = ""

    @property
    def ends(self) -> tuple[Place, Place]:
        return self.answer.start or self.start, self.answer.goal or self.goal


def with_move(plan: Drawing, move: Move, units: System = "metric") -> Drawing:
    """The plan of a stance with the way that leads there drawn on it, its turns measured, its legs told."""
    answer = move.answer
    legs = [f"{n}. {words}" for n, words in enumerate(legs_words(answer, units), start=1)]
    named = f" from {move.start_name}" if move.start_name else ""
    told = paragraphs([(f"The way there{named}", [move_verdict(answer, units), *legs])])
    return evolve(
        plan,
        shapes=in_order([*plan.shapes, *move_shapes(answer, move.vehicle, units)]),
        measures=(*plan.measures, *(_turns(move))),
        paragraphs=(*told, *plan.paragraphs),
    )


def move_plan(
    move: Move,
    *,
    units: System = "metric",
    title: str = "",
    notes: Sequence[str] = (),
    cautions: Sequence[str] = (),
    demonstration: bool = False,
) -> Drawing:
    """The shapes, measures and words of a move, for any back end."""
    answer, ground = move.answer, move.ground
    doors = ", ".join(answer.doors_open)
    opened = (("Open", doors),) if doors else ()
    said = [
        ("In the way", [lack.why for lack in answer.lacks]),
        ("One after another", [f"{n}. {words}" for n, words in enumerate(legs_words(answer, units), start=1)]),
        ("Notes", [*answer.warnings, *notes, *turned_note(ground)]),
    ]
    return Drawing(
        title=title or f"How {move.vehicle.name} gets to its stance",
        facts=(("Site", ground.site.name), ("Car", move.vehicle.name), *_ends(move, units), *opened),
        verdict=move_verdict(answer, units),
        datum=ground.site.datum,
        shapes=in_order([*floor_shapes(ground, units), *_shapes(move, units)]),
        measures=tuple(_measures(move)) if answer.found else (),
        measures_heading="Where the car ends (A, B), and the rear axle's center where it turns back",
        caption="" if answer.found else "NO WAY FOUND",
        paragraphs=paragraphs(said),
        cautions=tuple(cautions),
        demonstration=demonstration,
    )


def _ends(move: Move, units: System) -> Iterator[tuple[str, str]]:
    datum = move.ground.site.datum
    names = (move.start_name, move.goal_name)
    for word, place, name in zip(("From", "To"), move.ends, names, strict=True):
        stands = standing(place, datum, units)
        yield word, f"{name}: {stands}" if name else stands


def _shapes(move: Move, units: System) -> Iterator[Shape]:
    start, goal = move.ends
    if not move.answer.found:
        yield ghost(move.vehicle, start, "the car where it starts", "start")
        yield from barrier_shapes(move.answer, move.ground)
    yield from move_shapes(move.answer, move.vehicle, units)
    yield from car_shapes(move.vehicle, goal, "the car where it should end")


def _measures(move: Move) -> Iterator[Measure]:
    goal = move.ends[1]
    ahead = move.vehicle.wheelbase_m
    for tag, name, x in (("A", "rear axle center at the end", 0.0), ("B", "front axle center at the end", ahead)):
        yield _measure(tag, name, move, x, goal, faces=tag == "A")
    yield from _turns(move)


def _turns(move: Move) -> Iterator[Measure]:
    for number, place in enumerate(move.answer.cusps, start=1):
        yield _measure(turn_tag(number), f"change of direction {number}", move, 0.0, place, faces=True)


def _measure(tag: str, name: str, move: Move, ahead_m: float, place: Place, faces: bool) -> Measure:
    datum = move.ground.site.datum
    right, up = from_datum(at_place(((ahead_m, 0.0),), place)[0], datum)
    return Measure(tag, name, right, up, faces_rad=place.heading_rad - datum.direction_rad if faces else None)

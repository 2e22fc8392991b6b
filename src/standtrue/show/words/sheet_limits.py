"""The limits below the fold of a card's page: what a hand can judge by the readings, and what only the program can."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from attrs import frozen

from standtrue.aim.layout import ACROSS, CHALK_M, TargetPlace
from standtrue.aim.planning import Planned
from standtrue.model.reason import Angle, Length, Ref
from standtrue.show.words import near
from standtrue.show.words.quantities import tape_step_m
from standtrue.show.words.reader import Reader
from standtrue.work.sheet.content import CardPart

Row = tuple[str, ...]

LEAST_RAD = math.radians(0.05)
"""What is nearer than this to straight is said to be straight."""

ALIKE = 0.05
"""Two tapes that mirror each other read alike but for so much: the thrust line runs a little to one side."""


def limit_words(limit_m: float, reader: Reader) -> str:
    """A limit as a tape in hand shows it: rounded down, and never to nothing."""
    step = tape_step_m(reader.units)
    if limit_m < step * (1.0 - 1e-6):
        return reader.say("less than {step}", step=Length(step))
    return reader.write(Length(limit_m), "down")


def limit_rows(part: CardPart, reader: Reader) -> Iterator[Row]:
    """How far off each target may be: in which direction, by which readings, how much."""
    for layout in part.targets:
        place, tolerance = layout.place, layout.place.tolerance
        own_readings = [(r.number, r) for r in part.readings if r.part == place.name]
        name = "" if len(part.targets) == 1 else reader.say("{target}: ", target=Ref("target", place.name))
        hand = _Hand(place, own_readings if _square(part, place) else (), own_readings, reader)
        for word, limit, how in (
            ("along", tolerance.along_m, hand.along),
            ("across", tolerance.across_m, hand.across),
            ("height", tolerance.height_m, hand.height),
        ):
            if limit is not None:
                yield name + reader.term(word), how, limit_words(limit, reader)
        wide, high = place.size_m if place.size_m is not None else (CHALK_M, None)
        if tolerance.turn_rad is not None:
            yield name + reader.term("turn"), hand.turn, _over(tolerance.turn_rad, wide, reader)
        if tolerance.lean_rad is not None:
            yield name + reader.term("lean"), hand.lean, _over(tolerance.lean_rad, high, reader)


def _square(part: CardPart, place: TargetPlace) -> bool:
    """Whether a target stands square to the chalked line: tapes from both sides of the car then mirror each other."""
    stance = part.answer.place
    assert stance is not None
    straight = stance.heading_rad + (part.thrust_rad if place.line == "thrust line" else 0.0)
    return place.anchor in ACROSS and abs(math.sin(place.facing_rad - straight)) < LEAST_RAD


@frozen
class _Hand:
    """Which readings of a target tell each direction by hand: `mirrored` those of one square to the line."""

    place: TargetPlace
    mirrored: Sequence[tuple[int, Planned]]
    own: Sequence[tuple[int, Planned]]
    reader: Reader

    @property
    def along(self) -> str:
        pair = self._pair()
        return (
            self._program
            if pair is None
            else self.reader.say("{one} and {two}, mean, off by", one=pair[0], two=pair[1])
        )

    @property
    def turn(self) -> str:
        pair = self._pair()
        return self._program if pair is None else self.reader.say("{one} and {two} differ by", one=pair[0], two=pair[1])

    @property
    def across(self) -> str:
        offsets = [(n, r) for n, r in self.mirrored if r.reading.what == "offset" and near.signed(r.reading)]
        return self._numbers([n for n, r in offsets if self._of_middle(r)])

    @property
    def height(self) -> str:
        heights = [(n, r) for n, r in self.own if r.reading.what == "height"]
        middle = [n for n, r in heights if self._of_middle(r)]
        ends = [n for n, r in heights if r.reading.end[0] in self.place.sides]
        return self._numbers(middle or (ends if len(ends) == 2 else []))

    @property
    def lean(self) -> str:
        return self._numbers([n for n, r in self.own if r.reading.what == "lean"])

    @property
    def _program(self) -> str:
        return self.reader.say("by the program")

    def _of_middle(self, planned: Planned) -> bool:
        return planned.reading.end == (self.place.name,)

    def _numbers(self, found: Sequence[int]) -> str:
        if not found:
            return self._program
        return self.reader.say_n("{numbers}", "{numbers}, their mean", len(found), numbers=tuple(found))

    def _pair(self) -> tuple[int, int] | None:
        """Two tapes that mirror each other, one from each side of the car to either end of the target."""
        taped = [(n, r) for n, r in self.mirrored if r.reading.what == "distance"]
        for i, (one, first) in enumerate(taped):
            for two, second in taped[i + 1 :]:
                if _mirrored(first, second):
                    return one, two
        return None


def _over(limit_rad: float, size_m: float | None, reader: Reader) -> str:
    """An angle, and what it comes to over a target's own size."""
    if size_m is None:
        return reader.write(Angle(limit_rad), "fine-down")
    far = limit_words(size_m * math.tan(limit_rad), reader)
    return reader.say("{angle:fine-down}, {far}", angle=Angle(limit_rad), far=far)


def _mirrored(one: Planned, two: Planned) -> bool:
    """Whether two tapes run from opposite sides of one axle to opposite ends (or both to the middle)."""
    if one.reading.end[0].split()[-1] == two.reading.end[0].split()[-1] and one.reading.end != (one.part,):
        return False
    ends = [near.corner_of(r.reading.start[0]) for r in (one, two)]
    if ends[0] is None or ends[1] is None or ends[0][0] != ends[1][0]:
        return False
    (axle_one, side_one), (axle_two, side_two) = (e[1].split() for e in ends if e is not None)
    return axle_one == axle_two and side_one != side_two and abs(one.value - two.value) < ALIKE * one.value


def when_out(part: CardPart, reader: Reader) -> str:
    """What to do where something is out."""
    own = [r.number for r in part.readings if r.part]
    again = f"{own[0]}–{own[-1]}" if own else "–"
    return reader.say(
        "Move the target, not the car: along, across, turn, height, lean. Read {again} again on a new sheet. Within "
        "{step} of a limit, or with any reading of the car off: type all of them into the program. It alone gives the "
        "verdict.",
        again=again, step=Length(tape_step_m(reader.units)),
    )  # fmt: skip

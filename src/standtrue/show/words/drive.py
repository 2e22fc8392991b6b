"""A move in words: the verdict, the legs to drive one after another, what is in the way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from standtrue.drive.path.found import Outcome
from standtrue.drive.question.answer import Answer, Leg, Nearest
from standtrue.model.reader_units import INCH_M
from standtrue.model.reason import Angle, Duration, Length, Ref
from standtrue.show.words.blocks import Block, Lines, Rows
from standtrue.show.words.catalog import N_
from standtrue.show.words.place import standing
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.work.drive.arrivals import Reached

_FOUND = {
    "drive": N_("The car can get there, driven: a way of {far}, {time}."),
    "push": N_("The car can get there, pushed: a way of {far}, {time}."),
    "skates": N_("The car can get there, on skates: a way of {far}, {time}."),
}
_NOT_FOUND = {
    "drive": N_("No way found, driven."),
    "push": N_("No way found, pushed."),
    "skates": N_("No way found, on skates."),
}

_TINY = {"forward": N_("Forward, less than {least}."), "reverse": N_("Reverse, less than {least}.")}
_STRAIGHT = {"forward": N_("Forward {far}, straight."), "reverse": N_("Reverse {far}, straight.")}
_NEARLY_STRAIGHT = {
    ("forward", "left"): N_("Forward {far}, almost straight: wheel a little to the left, {turn} in all."),
    ("forward", "right"): N_("Forward {far}, almost straight: wheel a little to the right, {turn} in all."),
    ("reverse", "left"): N_("Reverse {far}, almost straight: wheel a little to the left, {turn} in all."),
    ("reverse", "right"): N_("Reverse {far}, almost straight: wheel a little to the right, {turn} in all."),
}
_CURVED = {
    ("forward", "left"): N_("Forward {far}, wheel to the left: radius {radius}, through {turn}."),
    ("forward", "right"): N_("Forward {far}, wheel to the right: radius {radius}, through {turn}."),
    ("reverse", "left"): N_("Reverse {far}, wheel to the left: radius {radius}, through {turn}."),
    ("reverse", "right"): N_("Reverse {far}, wheel to the right: radius {radius}, through {turn}."),
}

_FULL_LOCK = {
    ("forward", "left"): N_("Forward {far}, full lock to the left, through {turn}."),
    ("forward", "right"): N_("Forward {far}, full lock to the right, through {turn}."),
    ("reverse", "left"): N_("Reverse {far}, full lock to the left, through {turn}."),
    ("reverse", "right"): N_("Reverse {far}, full lock to the right, through {turn}."),
}

LEAST_TURN = Angle(0.000873)
"""A twentieth of a degree: what turns less turns by 0.0 degrees for a reader, and is straight."""

TOLD_FROM = 1.1
"""How long any way is at least is told of a way that is longer by a tenth."""

NEARLY_STRAIGHT_M = 100.0
"""A wheel turned to a wider radius than this is all but straight; nobody could hold that radius."""


def move_verdict(answer: Answer, reader: Reader = ENGLISH) -> str:
    """A few sentences: how the car gets there, or how the search for a way ended."""
    if not answer.found:
        return f"{reader.say(_NOT_FOUND[answer.mode])} {searched_words(answer, reader)}"
    time = reader.span(*map(Duration, answer.seconds))
    told = [
        reader.say(_FOUND[answer.mode], far=Length(answer.length_m), time=time),
        turns_words(answer, reader),
    ]
    if answer.shunts and answer.length_m > TOLD_FROM * answer.length_at_least_m > 0.0:
        told.append(reader.say("Any way there takes at least {far:down}.", far=Length(answer.length_at_least_m)))
    if answer.nearest is not None:
        told.append(nearest_words(answer.nearest, reader))
    return " ".join(told)


def searched_words(answer: Answer, reader: Reader = ENGLISH) -> str:
    """How a search without a find ended, and what that is worth."""
    if answer.proven:
        return reader.say("It is proven that there is none.")
    if answer.none_as_assumed:
        doors = tuple(apron.door for apron in answer.aprons)
        return reader.say(
            "With the floor that is assumed outside {doors} there is none; what floor there is may allow one.",
            doors=doors,
        )
    cell = Length(answer.cell_m)
    if answer.outcome is Outcome.EXHAUSTED:
        return reader.say(
            "All that could be reached at a resolution of {cell} was tried; a finer search might still find a way.",
            cell=cell,
        )
    return reader.say(
        "The search gave up after {poses} poses, at last at a resolution of {cell}; there may be a way.",
        poses=f"{answer.nodes:,}",
        cell=cell,
    )


def turns_words(answer: Answer, reader: Reader = ENGLISH) -> str:
    """How often the direction changes, in words."""
    if answer.mode == "skates" or not answer.shunts:
        return reader.say("It goes without a change of direction.")
    if answer.shunts <= answer.shunts_at_least:
        return reader.say_n(
            "It takes {n} change of direction; it is proven that none with fewer does.",
            "It takes {n} changes of direction; it is proven that none with fewer does.",
            answer.shunts,
        )
    if answer.shunts_at_least:
        return reader.say(
            "It takes {n} changes of direction (fewer may do, but not fewer than {least}: proven).",
            n=answer.shunts,
            least=answer.shunts_at_least,
        )
    return reader.say_n(
        "It takes {n} change of direction (fewer may do).",
        "It takes {n} changes of direction (fewer may do).",
        answer.shunts,
    )


def nearest_words(nearest: Nearest, reader: Reader = ENGLISH) -> str:
    """What comes nearest to what, and the gap that it must keep."""
    part, thing, apart = Ref(nearest.part), nearest.thing, Length(nearest.separation_m)
    if nearest.gap_m <= 0.0:
        return reader.say("Least separation: {part} to {thing}, {apart:down}.", part=part, thing=thing, apart=apart)
    return reader.say(
        "Least separation: {part} to {thing}, {apart:down}; {gap:down} needed.",
        part=part,
        thing=thing,
        apart=apart,
        gap=Length(nearest.gap_m),
    )


def leg_words(leg: Leg, reader: Reader = ENGLISH) -> str:
    """A leg as one would tell a driver. What is too short or too slight to be read off is told as less than that."""
    far = Length(leg.length_m)
    if leg.gear == "slide":
        angle = Angle(leg.direction_rad)
        return reader.say("Slide {far} toward {angle} from straight ahead (counter-clockwise).", far=far, angle=angle)
    if leg.gear == "turn":
        return _turned(leg, reader)
    least = least_read(reader)
    if 2.0 * leg.length_m < least.metres:
        return reader.say(_TINY[leg.gear], least=least)
    turn = Angle(leg.length_m * abs(leg.curvature_per_m))
    if turn.radians < LEAST_TURN.radians:
        return reader.say(_STRAIGHT[leg.gear], far=far)
    side = "left" if leg.curvature_per_m > 0 else "right"
    if leg.full_lock:
        return reader.say(_FULL_LOCK[leg.gear, side], far=far, turn=turn)
    radius = Length(1 / abs(leg.curvature_per_m))
    if radius.metres > NEARLY_STRAIGHT_M:
        return reader.say(_NEARLY_STRAIGHT[leg.gear, side], far=far, turn=turn)
    return reader.say(_CURVED[leg.gear, side], far=far, radius=radius, turn=turn)


def _turned(leg: Leg, reader: Reader) -> str:
    """A turn of a car on skates."""
    turn = Angle(max(abs(leg.turn_rad), LEAST_TURN.radians))
    if leg.turn_rad > 0:
        return reader.say("Turn {turn} counter-clockwise about the car's center.", turn=turn)
    return reader.say("Turn {turn} clockwise about the car's center.", turn=turn)


def least_read(reader: Reader) -> Length:
    """The smallest length that a reader is told."""
    return Length(float(INCH_M / 16)) if reader.units == "us" else Length(0.001)


def turn_tag(number: int) -> str:
    """What a change of direction is called on the plan."""
    return f"C{number}"


def steer_tag(number: int) -> str:
    """What a place where the wheel is turned is called on the plan."""
    return f"S{number}"


def legs_words(answer: Answer, reader: Reader = ENGLISH) -> Iterator[str]:
    """Every leg in order, each change of direction and of steering with its number on the plan."""
    turn, before = 0, 0
    tags = {leg: steer_tag(number) for number, (leg, _) in enumerate(answer.steers, start=1)}
    for number, leg in enumerate(answer.legs):
        gear = {"forward": 1, "reverse": -1}.get(leg.gear, 0)
        said = leg_words(leg, reader)
        if gear * before < 0:
            turn += 1
            said = f"{reader.say('Change of direction {tag}.', tag=turn_tag(turn))} {said}"
        elif number in tags:
            said = f"{reader.say('Turn the wheel at {tag}.', tag=tags[number])} {said}"
        before = gear
        yield said


def numbered(lines: Iterator[str]) -> tuple[str, ...]:
    """Lines with their numbers, from 1."""
    return tuple(f"{number}. {line}" for number, line in enumerate(lines, start=1))


def move_blocks(answer: Answer, reader: Reader = ENGLISH) -> tuple[Block, ...]:
    """The whole answer for a terminal."""
    told = [move_verdict(answer, reader), *(reader.reason(one.why) for one in answer.obstructions)]
    if answer.doors_open:
        told.append(reader.say("Doors that must be open: {doors}.", doors=answer.doors_open))
    return Lines(tuple(told)), Lines(numbered(legs_words(answer, reader)))


def reached_words(reached: Reached, reader: Reader = ENGLISH) -> Iterator[str]:
    """Whether the car can be driven there, in sentences; another stance with its measures, where the best cannot."""
    if not reached.way.found:
        yield _from_door(reached, reader)
        yield from _why_not(reached, reader)
        return
    yield from _another(reached, reader)
    yield _from_door(reached, reader)
    yield from _besides(reached, reader)


def _why_not(reached: Reached, reader: Reader) -> Iterator[str]:
    """What was tried where no way was found, and what is in the way."""
    if reached.tried > 1:
        yield reader.say_n(
            "{n} other stance that fits was tried as well.",
            "{n} other stances that fit were tried as well.",
            reached.tried - 1,
        )
    yield from (reader.reason(one.why) for one in reached.way.obstructions)
    yield from reader.reasons(reached.way.warnings)


def _another(reached: Reached, reader: Reader) -> Iterator[str]:
    """The stance that was reached, where it is not the one chosen."""
    if not reached.best and reached.answer.place is not None:
        yield reader.say(
            "The stance chosen was not reached; another that fits can be: {where}, least margin {margin:down}.",
            where=standing(reached.answer.place, reached.answer.ground.site.datum, reader),
            margin=Length(reached.answer.margin_m or 0.0),
        )


def _besides(reached: Reached, reader: Reader) -> Iterator[str]:
    """What a way takes, and what it rests on."""
    if reached.taken:
        yield reader.say("First take from its store: {equipment}.", equipment=reached.taken)
    if len(reached.way.doors_open) > 1:
        yield reader.say("Open while the car moves: {doors}.", doors=reached.way.doors_open)
    yield from reader.reasons(reached.way.warnings)


def _from_door(reached: Reached, reader: Reader) -> str:
    return reader.say("From {door}: {verdict}", door=reached.door, verdict=move_verdict(reached.way, reader))


def reached_rows(reached: Sequence[tuple[str, Reached | None]], reader: Reader = ENGLISH) -> Iterator[Block]:
    """The same in short: a line for each stance; then, each once, what else is to be told."""
    told = [(name, one) for name, one in reached if one is not None]
    if not told:
        return
    yield Lines((), reader.say("Can it be driven there?"))
    columns = (
        reader.say("card"),
        reader.say("from"),
        reader.say("way"),
        reader.say("direction changes"),
        reader.say("comes nearest"),
    )
    yield Rows(columns, tuple((name, one.door, *_way_cells(one.way, reader)) for name, one in told))
    notes: dict[str, list[str]] = {}
    for name, one in told:
        for said in _apart(one, reader):
            notes.setdefault(said, []).append(name)
    yield Lines(tuple(said if len(of) > 1 else f"{of[0]}: {said}" for said, of in notes.items()))


def _way_cells(way: Answer, reader: Reader) -> tuple[str, str, str]:
    """How far and how long a way is, how often it changes direction, and what comes nearest."""
    if not way.found:
        return reader.say("no way found"), "", ""
    far = f"{reader.write(Length(way.length_m))}, {reader.span(*map(Duration, way.seconds))}"
    near = way.nearest
    if near is None:
        return far, str(way.shunts), ""
    apart = Length(near.separation_m)
    said = reader.say("{part} – {thing}, {apart:down}", part=Ref(near.part), thing=near.thing, apart=apart)
    return far, str(way.shunts), said


def _apart(reached: Reached, reader: Reader) -> Iterator[str]:
    """What a line of the short table does not hold."""
    if not reached.way.found:
        yield searched_words(reached.way, reader)
        yield from _why_not(reached, reader)
        return
    yield from _another(reached, reader)
    yield from _besides(reached, reader)


def reached_blocks(reached: Sequence[tuple[str, Reached | None]], reader: Reader = ENGLISH) -> Iterator[Block]:
    """For each stance of a name that fits, whether the car can be driven there."""
    heading = reader.say("Can it be driven there?")
    for name, one in reached:
        if one is not None:
            yield Lines((name,), heading, indent=1)
            yield Lines(tuple(reached_words(one, reader)), indent=5)
            heading = ""

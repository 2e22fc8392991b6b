"""What the pictures of a set-up say: its targets as planned and as measured."""

from __future__ import annotations

from standtrue.model.reason import Ref
from standtrue.show.words.reader import Reader


def planned_title(card: Ref, car: Ref, reader: Reader) -> str:
    """The title of a set-up to lay out."""
    return reader.say("To lay out: {card} for {car}", card=card, car=car)


def planned_question(targets: int, reader: Reader) -> str:
    """What a picture of a set-up to lay out answers."""
    return reader.say("Where do the targets go?") if targets > 1 else reader.say("Where does the target go?")


def measured_question(reader: Reader) -> str:
    """What a picture of a set-up as it stands answers."""
    return reader.say("What was measured, against which limit?")


def readings_heading(reader: Reader) -> str:
    """Over the numbered readings beside a near view."""
    return reader.say("Readings to take, and what each says if all is as planned")


def measured_title(card: Ref, car: Ref, reader: Reader) -> str:
    """The title of a set-up as it stands."""
    return reader.say("As measured: {card} for {car}", card=card, car=car)


def off_heading(reader: Reader) -> str:
    """Over the parts of a target's place beside a near view."""
    return reader.say("How far off it is")


def part_against(part: str, means: str, limit: str, said: str, reader: Reader) -> str:
    """A part of a target's place, its limit, and what is said of it."""
    return reader.say("{part}, {means}: {said}, limit {limit}", part=part, means=means, limit=limit, said=said)


def measured_verdict(line: str, stance: str, reader: Reader) -> str:
    """What may be done, and what is said of where the car stands: two whole sentences."""
    return reader.say("{line} {stance}", line=line, stance=stance)


def arrows_note(times: int, reader: Reader) -> str:
    """How much longer than the shift its arrow is."""
    return reader.say("arrows are drawn {times} times as long as the shift, within what can be seen", times=times)


def shift(target: str, steps: str, reader: Reader) -> str:
    """What to shift at a target."""
    return reader.say("{target}: {steps}", target=Ref("target", target), steps=steps)

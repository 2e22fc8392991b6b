"""What the pictures of a set-up say: its targets as planned and as measured."""

from __future__ import annotations

from standtrue.model.reason import Ref
from standtrue.show.words.reader import Reader


def planned_title(card: Ref, car: Ref, reader: Reader) -> str:
    """The title of a set-up to lay out."""
    return reader.say("To lay out: {card} for {car}", card=card, car=car)


def near_banner(reader: Reader) -> str:
    """Over a near view of invented data."""
    return reader.say("INVENTED DEMONSTRATION DATA: do not work on a real car by this drawing")


def readings_heading(reader: Reader) -> str:
    """Over the numbered readings beside a near view."""
    return reader.say("Readings to take, and what each says if all is as planned")


def cautions_heading(reader: Reader) -> str:
    return reader.say("Cautions")


def measured_title(card: Ref, car: Ref, reader: Reader) -> str:
    """The title of a set-up as it stands."""
    return reader.say("As measured: {card} for {car}", card=card, car=car)


def measured_verdict(line: str, stance: str, reader: Reader) -> str:
    """What may be done, and what is said of where the car stands: two whole sentences."""
    return reader.say("{line} {stance}", line=line, stance=stance)


def arrows_note(times: int, reader: Reader) -> str:
    """How much longer than the shift its arrow is."""
    return reader.say("arrows are drawn {times} times as long as the shift, within what can be seen", times=times)


def misfit(reader: Reader) -> str:
    """What stands large on the picture of a car that does not fit where it stands."""
    return reader.say("THE CAR DOES NOT FIT HERE")


def planned_car(reader: Reader) -> str:
    """The car where it was planned."""
    return reader.say("the car as planned")


def corrected_heading(reader: Reader) -> str:
    """Over the measures for a car that stands elsewhere than planned."""
    return reader.say("Where the targets go for the car as it stands, from the datum")


def shift(target: str, steps: str, reader: Reader) -> str:
    """What to shift at a target."""
    return reader.say("{target}: {steps}", target=Ref("target", target), steps=steps)

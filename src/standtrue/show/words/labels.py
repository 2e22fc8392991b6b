"""What the heads and paragraphs of several pictures are called."""

from __future__ import annotations

from standtrue.model.reason import Ref
from standtrue.show.words.reader import Reader

Fact = tuple[str, str]
"""What stands in the head of a picture: what it is about, and its name."""

MeaningAndLabel = tuple[str, str]
"""What a shape is, told in words, and what stands beside it on the plan."""


def site_fact(site: str, reader: Reader) -> Fact:
    """The site that is drawn."""
    return reader.say("Site"), site


def car_fact(car: str, reader: Reader) -> Fact:
    """The car that is drawn."""
    return reader.say("Car"), car


def card_fact(card: str, reader: Reader) -> Fact:
    """The card for which it stands."""
    return reader.say("For"), card


def stands_fact(carried: str, reader: Reader) -> Fact:
    """What carries the car."""
    return reader.say("Stands"), carried


def notes_heading(reader: Reader) -> str:
    """Over what is told beside the answer."""
    return reader.say("Notes")


def cautions_heading(reader: Reader) -> str:
    """Over the cautions."""
    return reader.say("Cautions")


def invented_drawing(reader: Reader) -> str:
    """What stands over a drawing of invented data."""
    return reader.say("INVENTED DEMONSTRATION DATA: do not work on a real car by this drawing")


def rear_axle(reader: Reader) -> str:
    """The first point of a car to lay out."""
    return reader.say("rear axle center")


def front_axle(reader: Reader) -> str:
    """The second point of a car to lay out."""
    return reader.say("front axle center")


def front_end(reader: Reader) -> str:
    """The triangle that points to the car's nose."""
    return reader.say("the car's front end")


def glass(reader: Reader) -> str:
    """The lines of the windshield and the rear window."""
    return reader.say("windshield and rear window")


def target(name: str | Ref, reader: Reader) -> str:
    """A target on the plan."""
    return reader.say("target {target}; the tick points the way its printed side looks", target=name)


def target_path(name: str | Ref, reader: Reader) -> str:
    """Where a target that is moved comes along."""
    return reader.say("path along which {target} is moved", target=name)


def in_the_way(thing: str | Ref, reader: Reader) -> str:
    """What is in the way."""
    return reader.say("in the way: {thing}", thing=thing)

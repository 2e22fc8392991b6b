"""What a whole view says: its question, its few names, and the cautions that matter to it, in short."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from standtrue.model.cautions import Caution
from standtrue.model.reason import Length, Ref
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader

_SHORT: Mapping[str, str] = {
    "overload": N_("Do not raise this car on this lift: it is too heavy for it."),
    "unknown-load": N_("Find out the car's mass and the lift's capacity before you raise it."),
    "raised-lift": N_("Nobody under the car until it rests on engaged locks."),
    "open-pit": N_("The pit is open: guard its edge."),
    "moving-car": N_("Clear people from the car's way and have someone guide the driver."),
    "pushed-car": N_("A pushed car may lack its brakes: one person at the brake, chocks at hand."),
    "open-door": N_("A door must stand open: watch for sun, rain, wind and traffic."),
    "unusable-card": N_("A card used here is a draft, questioned or superseded: do not calibrate by it."),
    "unverified-card": N_("A card used here was not verified by a second person."),
}
"""What of the cautions matters where things stand and go; all of them stand in the text."""

_OF_MOVES = frozenset({"moving-car", "pushed-car"})


def short_cautions(cautions: Iterable[Caution], reader: Reader, *, moves: bool) -> tuple[str, ...]:
    """The cautions that matter to a picture, in a few words each; those of moves where it shows one."""
    return tuple(
        reader.say(_SHORT[c.code]) for c in cautions if c.code in _SHORT and (moves or c.code not in _OF_MOVES)
    )


def where_question(reader: Reader) -> str:
    """What a picture of a stance answers."""
    return reader.say("Where does the car go?")


def way_question(reader: Reader) -> str:
    """What a picture of a move answers."""
    return reader.say("Which way does it go?")


def floor_question(reader: Reader) -> str:
    """What a picture of a floor answers."""
    return reader.say("What stands where?")


def order_question(reader: Reader) -> str:
    """What the pictures of a plan answer."""
    return reader.say("In which order?")


def heights_question(reader: Reader) -> str:
    """What a picture of a surveyed floor answers."""
    return reader.say("How level is the floor?")


def open_pit(reader: Reader) -> str:
    """The name of every open pit."""
    return reader.say("open pit")


def nearest_thing(thing: Ref, apart_m: float, reader: Reader) -> str:
    """What comes nearest, and how near."""
    return reader.say("{thing}, {apart:down}", thing=thing, apart=Length(apart_m))


def too_near(thing: Ref, apart_m: float, gap_m: float, reader: Reader) -> str:
    """What is in the way, though it does not touch."""
    return reader.say("{thing}, {apart:down}; {gap:up} needed", thing=thing, apart=Length(apart_m), gap=Length(gap_m))


def car_at(car: str, site: str, reader: Reader) -> str:
    """Which car is drawn in which site."""
    return reader.say("{car}, {site}", car=car, site=site)


def from_here(reader: Reader) -> str:
    """The car where a move starts."""
    return reader.say("from here")


def to_here(reader: Reader) -> str:
    """The car where a move ends."""
    return reader.say("to here")


def way_in(door: str, reader: Reader) -> str:
    """The triangle outside a door."""
    return reader.say("the way in at {door}", door=door)

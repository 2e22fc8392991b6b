"""What the page of a first start says."""

from __future__ import annotations

import string
from collections.abc import Mapping, Sequence

from attrs import frozen

from standtrue.model.fits import Fits
from standtrue.model.reason import Length, Ref
from standtrue.needs import sensor_ref
from standtrue.place.question.answer import Answer
from standtrue.show.words.catalog import N_
from standtrue.show.words.place import carried, what_stops_it
from standtrue.show.words.reader import Reader
from standtrue.show.words.remedies import remedies_words
from standtrue.show.words.sheet_record import capital
from standtrue.work.place.places import Places
from standtrue.work.start import First

BODIES: Mapping[str, str] = {
    "city car": N_("a city car"),
    "supermini": N_("a supermini"),
    "hatchback": N_("a hatchback"),
    "compact sedan": N_("a compact sedan"),
    "mid-size sedan": N_("a mid-size sedan"),
    "large sedan": N_("a large sedan"),
    "station wagon": N_("a station wagon"),
    "compact SUV": N_("a compact SUV"),
    "mid-size SUV": N_("a mid-size SUV"),
    "large SUV": N_("a large SUV"),
    "minivan": N_("a minivan"),
    "pickup": N_("a pickup"),
    "delivery van": N_("a delivery van"),
}
LIFTS: Mapping[str, str] = {
    "flush": N_("a flush two-deck lift"),
    "posts": N_("a two-post lift"),
    "none": N_("no lift"),
}
WALLS: Mapping[str, str] = {"short": N_("a short wall"), "long": N_("a long wall")}

ROOM = N_(
    "My room is {wide} wide, {long} long and {high} high inside, with a door {door} wide in the middle of {wall}. "
    "In it stands {lift}, its near end {gap} from the door."
)
WORK = N_("I work on cars like {body}, and first I would like to calibrate the {sensor}.")
"""The two sentences; each blank is a field."""

FIELDS: Mapping[str, str] = {
    "wide": N_("width of the room"),
    "long": N_("length of the room"),
    "high": N_("clear height"),
    "door": N_("width of the door"),
    "wall": N_("the wall with the door"),
    "lift": N_("the lift"),
    "gap": N_("from the door to the lift"),
    "body": N_("the kind of car"),
    "sensor": N_("the sensor"),
}


@frozen
class StartWords:
    """The fixed words of the page."""

    over: str
    question: str
    answer: str
    where: str
    go_on: str
    again: str
    show: str
    drawn: str
    caution: str
    demonstration: str
    not_drawn: str


def start_words(reader: Reader) -> StartWords:
    """They."""
    return StartWords(
        over=reader.say("No floor, no car, no order yet. About five minutes."),
        question=reader.say("What have you got?"),
        answer=reader.say(
            "Finish two sentences; the answer is written below as you go. Rough numbers will do, you can measure later."
        ),
        where=reader.say("Where can the car stand?"),
        go_on=reader.say("Go on with this floor"),
        again=reader.say("Start over"),
        show=reader.say("Show the answer"),
        drawn=reader.say("Your room as you have told it."),
        caution=reader.say(
            "Body and cards are typical, not a maker's: nothing is calibrated by them. Before you work on a car, enter "
            "what its maker's current service information says."
        ),
        demonstration=reader.say(
            "Look round the demonstration shop instead: end this, and run {command}.", command="./start"
        ),
        not_drawn=reader.say("Nothing is drawn: see below what is to be mended."),
    )


def sentence_parts(sentence: str, reader: Reader) -> Sequence[tuple[str, str]]:
    """A sentence in pieces: each the text before a blank, and the blank's name; "" for the end."""
    own = reader.catalog.one(sentence)
    return [(text, name or "") for text, name, _, _ in string.Formatter().parse(own)]


def choices(of: Mapping[str, str], reader: Reader) -> tuple[tuple[str, str], ...]:
    """What may be chosen: value and words."""
    return tuple((key, reader.say(words)) for key, words in of.items())


def sensor_choices(sensors: Sequence[str], reader: Reader) -> tuple[tuple[str, str], ...]:
    """The sensors, by their names."""
    return tuple((kind, reader.write(sensor_ref(kind, None))) for kind in sensors)


def field_label(field: str, reader: Reader) -> str:
    """What a blank asks for."""
    return reader.say(FIELDS[field])


def fit_line(answer: Answer, reader: Reader) -> str:
    """One card on one support: fits with how much to spare, or what stops it."""
    sensor = capital(reader.write(sensor_ref(answer.cards[0].sensor, answer.cards[0].side)))
    where = carried(answer.stands, reader)
    if answer.fits is Fits.YES and answer.stands.margin_m is not None:
        margin = Length(answer.stands.margin_m)
        return reader.say(
            "{sensor} fits {where}, with {margin:down} to spare.", sensor=sensor, where=where, margin=margin
        )
    if answer.fits is Fits.YES:
        return reader.say("{sensor} fits {where}.", sensor=sensor, where=where)
    if answer.fits is Fits.UNDECIDED:
        return reader.say("{sensor}: cannot tell whether it fits {where}.", sensor=sensor, where=where)
    because = what_stops_it(answer.stands, reader)
    return reader.say("{sensor} does not fit {where}: {because}.", sensor=sensor, where=where, because=because)


def helps(places: Places, answer: Answer, reader: Reader) -> list[str]:
    """What would make it fit."""
    return remedies_words(places.remedies_for(answer), answer, reader)[:2]


def rest_line(others: Places, reader: Reader) -> str:
    """How many of the other cards fit somewhere."""
    found = list(others.by_card.values())
    return reader.say("The other sensors: {n} of {all} cards fit somewhere", n=found.count(Fits.YES), all=len(found))


def picture_words(first: First, reader: Reader) -> str:
    """What the picture shows."""
    return reader.say(
        "The room {room} from above, with {car} where it can stand for its first card, or where it comes nearest.",
        room=first.room.name,
        car=Ref("vehicle", first.body.name),
    )


SHOP = N_("My shop")


def first_name(reader: Reader) -> str:
    """What a shop without a name is called."""
    return reader.say(SHOP)

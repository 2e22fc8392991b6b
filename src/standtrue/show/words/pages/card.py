"""What a card's page says: a maker's procedure as sentences with blanks."""

from __future__ import annotations

from collections.abc import Mapping

from attrs import frozen

from standtrue.model.reason import Term
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader

SOURCE = N_(
    "From {title}, edition {edition}, read on {read_on} by {transcribed_by}. A number without a unit means {units}."
)
SENSOR = N_("For the {kind}, side {side}, of {vehicles}: {method}. Meanwhile the car stands {supports}.")
TIME = N_(
    "It takes {set_up_0} to {set_up_1} minutes to set up, {run_0} to {run_1} to do and {put_away_0} to {put_away_1} "
    "to put away, with {people} people who know {skills}, with {equipment}, after {after}."
)
LIGHT = N_("At least {light} lux at the target. The floor level within {within}, under {over}.")
DRIVE = N_(
    "Drive {speed_0} to {speed_1}, for {minutes_0} to {minutes_1} minutes or {distance_0} to {distance_1}, on {road}, "
    "{weather}, with {people} people."
)
CONDITION = N_("{what}, from {low} to {high} {unit}.")
CAUSE = N_("{says}; the tool then shows {code}.")
ZONES: Mapping[str, str] = {
    "box": N_(
        "From {x0} to {x1} ahead of {anchor}, from {y0} to the right to {y1} to the left, between {bottom} and {top} "
        "high, must be {needs}."
    ),
    "circle": N_(
        "Within {r} of the point {x} ahead of {anchor} and {y} to the left, between {bottom} and {top} high, must be "
        "{needs}."
    ),
    "sector": N_(
        "Between {r0} and {r1} away from {anchor}, from {a0} to {a1} degrees to the left of straight ahead, between "
        "{bottom} and {top} high, must be {needs}."
    ),
    "outline": N_(
        "The field with the corners {corners} (ahead of {anchor}, to the left), between {bottom} and {top} high, must "
        "be {needs}."
    ),
}
"""A zone by the way its outline is given."""

PLACES: Mapping[str, tuple[str, ...]] = {
    "box": ("x0", "y0", "x1", "y1"),
    "circle": ("x", "y", "r"),
    "sector": ("r0", "r1", "a0", "a1"),
    "outline": (),
}
"""The blanks of each, in the order of the document."""

TARGET = N_(
    "Its middle is {at_0} ahead of {anchor}, {at_1} to the left and {at_2} high; it faces {facing} degrees, where 180 "
    "looks back at the car, from the {line}. It is {size_0} wide and {size_1} high and hangs on {equipment}. It may be "
    "off by {along} along, {across} across, {height} in height, {turn} degrees turned and {lean} degrees leaning."
)

NEEDS: Mapping[str, str] = {
    "stand": N_("solid, level and empty"),
    "walk": N_("walkable"),
    "clear": N_("empty"),
    "metal-free": N_("free of metal"),
    "plain": N_("plain"),
}

LABELS: Mapping[str, str] = {
    "title": N_("the source's title"),
    "edition": N_("its edition"),
    "read_on": N_("the day, such as 2026-03-02"),
    "transcribed_by": N_("who read it"),
    "units": N_("unit of a number alone"),
    "kind": N_("sensor"),
    "side": N_("side"),
    "vehicles": N_("cars, with commas"),
    "method": N_("how it is done"),
    "supports": N_("floor, lift down, lift up; with commas"),
    "people": N_("how many people"),
    "skills": N_("skills, with commas"),
    "equipment": N_("equipment"),
    "after": N_("what must come before, with commas"),
    "light": N_("least light"),
    "within": N_("how level"),
    "over": N_("wheels or zones, with commas"),
    "road": N_("kind of road"),
    "weather": N_("weather"),
    "what": N_("what is checked"),
    "unit": N_("unit"),
    "says": N_("why it may not finish"),
    "code": N_("its code, if it has one"),
    "low": N_("at least"),
    "high": N_("at most"),
    "anchor": N_("measured from"),
    "needs": N_("what it must be"),
    "bottom": N_("height of its underside"),
    "top": N_("height of its top"),
    "facing": N_("direction it faces"),
    "line": N_("line it is measured along"),
    "along": N_("off along"),
    "across": N_("off across"),
    "height": N_("off in height"),
    "turn": N_("turned"),
    "lean": N_("leaning"),
    "name": N_("name"),
}
"""What a blank asks for, for those who do not see its sentence; a blank that has none is told by its number."""

WAYS: Mapping[str, str] = {
    "box": N_("As a box"),
    "circle": N_("As a circle"),
    "sector": N_("As a sector"),
    "corner": N_("One corner more"),
}

ADD: Mapping[str, str] = {
    "zones": N_("Add a zone"),
    "targets": N_("Add a target"),
    "conditions": N_("Add a condition"),
    "causes": N_("Add a cause"),
}


@frozen
class CardWords:
    """The fixed words of the page."""

    question: str
    second: str
    write: str
    zones: str
    targets: str
    conditions: str
    causes: str
    drive: str
    remove: str
    undo: str
    redo: str
    keep: str
    unwanted: str
    faults: str
    more: str
    car: str
    show: str
    put: str
    reads: str
    reads_more: str
    begin: str
    compare: str
    covered: str
    columns: tuple[str, str, str]
    who: str
    history: str
    finished: str


def card_words(reader: Reader) -> CardWords:
    """They."""
    return CardWords(
        question=reader.say("What does the maker ask for?"),
        second=reader.say("Do you read the same?"),
        write=reader.say("Write it as the source says it"),
        zones=reader.say("Zones"),
        targets=reader.say("Targets"),
        conditions=reader.say("Conditions"),
        causes=reader.say("Why it may not finish"),
        drive=reader.say("The drive"),
        remove=reader.say("Take it out"),
        undo=reader.say("Undo"),
        redo=reader.say("Redo"),
        keep=reader.say("Keep this card"),
        unwanted=reader.say("Back to the card as it was kept"),
        faults=reader.say("Still to be filled or mended"),
        more=reader.say("Blanks that the source does not fill stay empty."),
        car=reader.say("Drawn about"),
        show=reader.say("Show"),
        put=reader.say("Put it there"),
        reads=reader.say("Does a second person read the same?"),
        reads_more=reader.say(
            "Whoever reads it a second time sees neither these sentences nor the drawing, only the source."
        ),
        begin=reader.say("Read it a second time"),
        compare=reader.say("Compare the two readings"),
        covered=reader.say(
            "Open the source, not the card, and write what it says. Nothing of the first reading is on this page. You "
            "need not finish today: what you write is kept."
        ),
        columns=(reader.say("field"), reader.say("first reading"), reader.say("second reading")),
        who=reader.say("your name"),
        history=reader.say("Its versions, and the card as a file"),
        finished=reader.say("It is finished: as the source says it"),
    )


def needs(word: str, reader: Reader) -> str:
    """What a zone must be."""
    return reader.say(NEEDS[word])


def label(field: str, reader: Reader) -> str:
    """What a blank asks for."""
    return reader.say(LABELS[field]) if field in LABELS else field


def way(name: str, reader: Reader) -> str:
    """A button that gives a zone's outline another way."""
    return reader.say(WAYS[name])


def add(where: str, reader: Reader) -> str:
    """A button that adds one."""
    return reader.say(ADD[where])


def standing(status: str, reader: Reader) -> str:
    """What the card counts as, in a word."""
    return reader.say("It counts as {status}.", status=Term(status))


def drawn(car: str, reader: Reader) -> str:
    """What the drawing shows."""
    return reader.say("{car} from above, nose up, with what of the card can be drawn already.", car=car)


def compared(count: int, reader: Reader) -> str:
    """What two readings came to."""
    if not count:
        return reader.say("The two readings are the same: the card is verified.")
    return reader.say_n("The two readings differ in {n} field.", "The two readings differ in {n} fields.", count)


def settle(reader: Reader) -> str:
    """What to do where they differ."""
    return reader.say("Look at the source together and mend the reading that is wrong, then compare again.")


def new_card_words(reader: Reader) -> tuple[str, str, str, str]:
    """Heading, the name's label, the title's label and the button that begin a card."""
    return (
        reader.say("Write a new card"),
        reader.say("what the card is called"),
        reader.say("the source's title"),
        reader.say("Begin"),
    )

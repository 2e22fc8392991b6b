"""What the page says on which a floor is drawn."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from attrs import frozen

from standtrue.model.fits import Fits
from standtrue.model.reason import Length, Ref
from standtrue.place.change.remedies import Remedies
from standtrue.place.question.answer import Answer
from standtrue.show.words.catalog import N_
from standtrue.show.words.place import carried, touch_words, what_stops_it
from standtrue.show.words.reader import Reader
from standtrue.show.words.remedies import remedies_words
from standtrue.show.words.sheet_record import capital

KINDS: Mapping[str, str] = {
    "lifts": N_("Lift"),
    "obstacles": N_("Thing"),
    "column": N_("Column"),
    "doors": N_("Door"),
    "bays": N_("Bay"),
    "voids": N_("Pit"),
    "patches": N_("Drain or slope"),
    "marks": N_("Mark"),
    "equipment": N_("Equipment"),
    "": N_("Room"),
}
"""What can be held, by its list; as the drawing's tools are called."""

NEW_NAMES: Mapping[str, str] = {
    "lifts": N_("new lift"),
    "obstacles": N_("new thing"),
    "column": N_("new column"),
    "doors": N_("new door"),
    "bays": N_("new bay"),
    "voids": N_("new pit"),
    "marks": N_("new mark"),
}
"""What a new thing is called until somebody names it."""

TOOLS = ("doors", "column", "voids", "lifts", "obstacles", "bays", "marks")
"""What can be added, in the order of the tools."""

FIELDS: Mapping[str, str] = {
    "name": N_("name"),
    "x": N_("along, from the datum"),
    "y": N_("across, from the datum"),
    "heading": N_("points toward, degrees"),
    "width": N_("width on the plan"),
    "depth": N_("depth on the plan"),
    "long": N_("width of the opening"),
    "top": N_("height of its top"),
    "bottom": N_("height of its underside"),
    "height": N_("height of the opening"),
}
"""What is told of a thing, by its field."""

AT_WALLS: Mapping[str, str] = {"x": N_("from the left wall"), "y": N_("from the lower wall")}
"""The same where the datum is the corner of the left and the lower wall."""

FLAGS: Mapping[str, str] = {
    "movable": N_("It can be rolled away"),
    "metal": N_("It is of metal"),
    "may_stand_open": N_("It may stand open during a calibration"),
}

DONE: Mapping[str, str] = {
    "move": N_("{who} moved {name:the}"),
    "put": N_("{who} moved {name:the}"),
    "size": N_("{who} changed the size of {name:the}"),
    "write": N_("{who} changed {name:the}"),
    "cover": N_("{who} changed a cover of {name:the}"),
    "add": N_("{who} added {name:the}"),
    "remove": N_("{who} took {name:the} away"),
    "corner": N_("{who} moved a corner of the room"),
    "split": N_("{who} added a corner to the room"),
    "join": N_("{who} took a corner out of the room"),
}
"""What was done last, by the edit."""

SUPPORTS: Mapping[str, str] = {
    "": N_("wherever it may stand"),
    "floor": N_("on the floor"),
    "lift down": N_("on a lift that is down"),
    "lift up": N_("on a raised lift"),
}


@frozen
class FloorWords:
    """The fixed words of the page."""

    plan: str
    tools: str
    undo: str
    redo: str
    add: str
    measure: str
    whole: str
    nearer: str
    farther: str
    hold: str
    turn_left: str
    turn_right: str
    remove: str
    split: str
    join: str
    keep: str
    unwanted: str
    put: str
    asked: str
    car: str
    card: str
    where: str
    help: str
    faults: str
    note: str
    keys: str
    gone: str
    first_point: str
    nothing: str
    stale: str
    of_type: str
    choose: str


def floor_words(reader: Reader) -> FloorWords:
    """They."""
    return FloorWords(
        plan=reader.say("The floor from above. Each thing on it can be held and moved."),
        tools=reader.say("Draw"),
        undo=reader.say("Undo"),
        redo=reader.say("Redo"),
        add=reader.say("Add"),
        measure=reader.say("Measure"),
        whole=reader.say("Whole floor"),
        nearer=reader.say("Nearer"),
        farther=reader.say("Farther"),
        hold=reader.say("Held"),
        turn_left=reader.say("Turn left by 15 degrees"),
        turn_right=reader.say("Turn right by 15 degrees"),
        remove=reader.say("Take it away"),
        split=reader.say("Add a corner behind it"),
        join=reader.say("Take this corner out"),
        keep=reader.say("Keep this floor"),
        unwanted=reader.say("Back to the floor as it was kept"),
        put=reader.say("Put it there"),
        asked=reader.say("Asked for"),
        car=reader.say("car"),
        card=reader.say("card"),
        where=reader.say("where"),
        help=reader.say("What would make it fit?"),
        faults=reader.say("To be mended before this floor can be kept"),
        note=reader.say("Any length that people write will do, with its unit or without."),
        keys=reader.say(
            "Arrow keys move what is held, with Shift farther at a time; Enter puts it down, Escape lets it go."
        ),
        gone=reader.say("No answer from the shop's machine: what you move is sent when it returns."),
        first_point=reader.say("Press two points of the floor."),
        nothing=reader.say("No car with a card to ask for yet."),
        stale=reader.say(
            "This floor was saved by another way since you began to draw. Both are there: yours here, the other among "
            "its versions. Going back takes the other; to keep yours, bring it in as a file."
        ),
        of_type=reader.say("of the type"),
        choose=reader.say("Show"),
    )


def question(where: str, name: str, reader: Reader) -> str:
    """The page's question: it names what is held."""
    if not where:
        return reader.say("What fits on this floor?")
    return reader.say("What fits if {name:the} moves?", name=Ref("thing", name))


def fit_verdict(answer: Answer, reader: Reader) -> str:
    """In a few words whether it fits, and by how much."""
    at = answer.stands
    if answer.fits is Fits.YES and at.margin_m is not None:
        return reader.say("Fits, {margin:down} to spare", margin=Length(at.margin_m))
    if answer.fits is Fits.YES:
        return reader.say("Fits")
    if answer.fits is Fits.UNDECIDED:
        return reader.say("Cannot tell")
    short = min((t.margin_m for t in at.touches), default=0.0)
    if short < 0.0:
        return reader.say("Does not fit, {short:up} short at the nearest miss", short=Length(-short))
    return reader.say("Does not fit")


def fit_why(answer: Answer, reader: Reader) -> str:
    """What sets it, or what stops it."""
    at = answer.stands
    where = carried(at, reader)
    if answer.fits is Fits.YES:
        if not at.touches:
            return reader.say("The car stands {where}.", where=where)
        return reader.say(
            "The car stands {where}. Least room: {near}. The middle of the rear axle may be anywhere in the hatched "
            "field, with the car as it points.",
            where=where,
            near=touch_words(at.touches[0], reader),
        )
    if answer.fits is Fits.UNDECIDED:
        return reader.say("No place was found, and it is not proven that there is none.")
    return reader.say("{where}: {because}.", where=capital(where), because=what_stops_it(at, reader))


def not_asked(reader: Reader) -> str:
    """What an answer while drawing leaves out."""
    return reader.say("Not looked at here: whether the car can be driven there, and how level the floor is.")


def fit_helps(found: Remedies | None, answer: Answer, reader: Reader) -> tuple[str, ...]:
    """What would make it fit, the cheapest first."""
    return () if found is None else tuple(remedies_words(found, answer, reader)[:3])


def done_line(what: str, who: str, name: str, reader: Reader) -> str:
    """What was done last, and by whom."""
    return reader.say(DONE[what], who=who or reader.say("Somebody"), name=Ref("thing", name))


def size_line(site: str, right: float, up: float, reader: Reader) -> str:
    """The floor's name and how large it is."""
    return reader.say("{site}, {right} by {up}", site=site, right=Length(right), up=Length(up))


def named(kind: str, name: str, reader: Reader) -> str:
    """A thing with what it is, as a list of all things tells it."""
    return reader.say("{kind}: {name}", kind=reader.say(KINDS[kind]), name=name)


def nothing_held(reader: Reader) -> str:
    """What is told as held where nothing is."""
    return reader.say("nothing")


def corner_name(number: int, reader: Reader) -> str:
    """A corner of the room."""
    return reader.say("corner {number} of the room", number=number + 1)


def measured(meters: float, reader: Reader) -> str:
    """A length that was measured on the drawing."""
    return reader.say("Between the two points: {length}", length=Length(meters))


_WAYS: Mapping[str, tuple[str, str, str, str]] = {
    "right": (
        N_("Toward the right it fits all the way, {reach}."),
        N_("Toward the right it fits for {fits:down}, then no longer."),
        N_("Toward the right it fits from {first:up} on."),
        N_("Toward the right it fits nowhere within {reach}."),
    ),
    "left": (
        N_("Toward the left it fits all the way, {reach}."),
        N_("Toward the left it fits for {fits:down}, then no longer."),
        N_("Toward the left it fits from {first:up} on."),
        N_("Toward the left it fits nowhere within {reach}."),
    ),
    "back": (
        N_("Toward the back it fits all the way, {reach}."),
        N_("Toward the back it fits for {fits:down}, then no longer."),
        N_("Toward the back it fits from {first:up} on."),
        N_("Toward the back it fits nowhere within {reach}."),
    ),
    "front": (
        N_("Toward the front it fits all the way, {reach}."),
        N_("Toward the front it fits for {fits:down}, then no longer."),
        N_("Toward the front it fits from {first:up} on."),
        N_("Toward the front it fits nowhere within {reach}."),
    ),
}
"""What is said of a line by its way: it fits all along, at first, from somewhere on, nowhere."""


def way_of(right: float, up: float) -> str:
    """The way of a move on the plan."""
    if abs(right) >= abs(up):
        return "right" if right >= 0.0 else "left"
    return "back" if up >= 0.0 else "front"


def along_line(found: Sequence[Fits], right: float, up: float, reader: Reader) -> str:
    """Where along a line it fits, from here on; `found` at as many places, evenly from here to its end."""
    fits = [one is Fits.YES for one in found]
    reach, all_along, at_first, later, nowhere = math.hypot(right, up), *_WAYS[way_of(right, up)]
    step = reach / (len(fits) - 1)
    if all(fits):
        return reader.say(all_along, reach=Length(reach))
    if fits[0]:
        return reader.say(at_first, fits=Length(step * (fits.index(False) - 1)))
    if True in fits:
        return reader.say(later, first=Length(step * fits.index(True)))
    return reader.say(nowhere, reach=Length(reach))


def asked_every(step: float, reader: Reader) -> str:
    """How closely along a line it was asked."""
    return reader.say("Asked every {step}; in between it was not looked at.", step=Length(step))

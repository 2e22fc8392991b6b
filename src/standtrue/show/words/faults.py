"""What each code of a fault means, and a fault as lines for a terminal."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from standtrue.model.basics import Fault
from standtrue.show.words.blocks import Lines
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader
from standtrue.show.words.texts import as_sentence

MEANINGS: Mapping[str, str] = {
    "unknown-field": N_("a field that this kind of document does not have"),
    "missing-field": N_("a field that this kind of document needs is not there"),
    "field-repeated": N_("the same field is given twice"),
    "fields-conflict": N_("two fields that exclude each other are both given"),
    "wrong-type": N_("a value of the wrong type: a date, a word or a list where a number is asked, and the like"),
    "not-finite": N_("a number that is not finite: nan or infinity"),
    "not-a-quantity": N_("a quoted quantity that cannot be read"),
    "units-missing": N_("the document holds lengths, but does not say in which unit"),
    "unknown-unit": N_("a unit that is not known here, or no unit in a quoted quantity"),
    "unknown-word": N_("a word where only certain words are allowed, and this is none of them"),
    "value-impossible": N_("a value that cannot be: a negative size, a top below its bottom, and the like"),
    "range-reversed": N_("a range whose least value is above its greatest"),
    "list-empty": N_("a list with nothing in it, or with fewer items than are needed"),
    "outline-crosses-itself": N_("an outline whose edges cross or touch one another"),
    "outline-no-area": N_("an outline that encloses nothing"),
    "outline-repeats-point": N_(
        "an outline with the same point twice in a row, or closed by repeating its first point"
    ),
    "not-on-outline": N_("a door whose end is not on the outline of the site"),
    "outside-floor": N_("a thing that lies wholly outside the floor"),
    "name-repeated": N_("a name that is used twice where it must be unique"),
    "unknown-reference": N_("the name of something that is not there"),
    "demonstration-mixed": N_("invented documents and real ones in one job"),
    "kind-unknown": N_("a document of a kind that is not known here"),
    "schema-unknown": N_("a document written for a version of the schema that is not known here"),
    "toml-syntax": N_("a file that is not TOML"),
    "json-syntax": N_("a file that is not JSON"),
    "not-utf8": N_("text that is not valid UTF-8"),
    "control-character": N_("text with a control character in it, such as a NUL byte"),
    "too-large": N_("a file or a number that is too large to be meant"),
    "too-deep": N_("tables or lists nested too deeply"),
    "unreadable": N_("a file or folder that could not be opened"),
}
"""Every code that a fault of a document can carry, and what it means."""

ASKED: Mapping[str, str] = {
    "name-missing": N_("there are several to choose from, and the question names none"),
    "unknown-name": N_("the question names something that is not there"),
    "no-such-door": N_("a door that the site does not have"),
    "no-such-mode": N_("a way of moving a car that is not known here"),
    "no-such-state": N_("a lift, or a state of it, that the site does not have"),
    "not-a-stance": N_("a stance that cannot be read"),
    "nothing-to-ask": N_("nothing is left that could be asked"),
    "sensor-position-missing": N_("a card measures from a sensor, and the car's document does not say where that is"),
    "side-missing": N_("a card for each side, and the set-up does not say which side"),
    "survey-too-small": N_("a survey with too few points for the question"),
    "unknown-format": N_("a file of a kind that is not written here"),
    "part-missing": N_("a part of the program that this answer needs is not installed"),
    "person-missing": N_("nobody says who does it, or who did it before"),
    "same-person": N_("a second reading by whoever made the first"),
    "card-not-ready": N_("a card of which no second reading can be taken"),
    "inside-shop": N_("a second reading in the shop folder, where it would be taken for a document"),
    "file-changed": N_("a file that changed while it was worked on, or that cannot be changed field by field"),
    "network-not-asked": N_("an option of the network, where the network is not served"),
    "name-taken": N_("a name or number that another has already"),
    "another-document": N_("a file that is another document than the one that it was to be"),
    "port-taken": N_("the port to serve at is taken by another program"),
    "unwritable": N_("a file or folder that could not be written"),
    "not-to-be-signed": N_("a job that cannot be signed off yet"),
    "nothing-to-keep": N_("neither a file nor a text to keep"),
    "file-unreadable": N_("a file to be kept that cannot be read"),
    "no-anchor": N_("a head of the record that cannot be read, or that this log never had"),
    "days-reversed": N_("a last day that comes before the first"),
    "key-taken": N_("a request with a key that another request had"),
    "store-full": N_("the disk on which a store is kept is full"),
    "store-read-only": N_("a store that may not be written"),
    "store-busy": N_("a store to which somebody else kept writing"),
    "store-damaged": N_("a store that is damaged, or a file that is no store"),
    "store-refused": N_("a store whose server refuses the name or the password"),
    "store-unreachable": N_("a store that is not there, or cannot be opened or reached"),
    "store-not-empty": N_("a store that holds something already"),
    "not-to-be-removed": N_("data that the shop's rule keeps"),
    "store-newer": N_("a store of a newer release of the program"),
}
"""The further codes that a question can get which cannot be asked of sound documents."""


DOUBTS: Mapping[str, str] = {
    "size-unusual": "a size far from what it is as a rule; of several, the units are most often wrong",
    "mass-in-pounds": "a bare mass, read as kilograms, that is too much for the thing: it may be in pounds",
    "stands-in-wall": "a thing that reaches outside the floor, or a point that lies there",
    "stands-over-void": "a lift that stands partly over an open pit",
    "cover-beyond-void": "a cover that reaches far beside its pit",
    "same-place": "two things at one place",
    "height-above-ceiling": "a door or an obstacle that reaches above the ceiling",
    "nobody-has-hours": "people are listed, and nobody has hours",
    "decks-too-narrow": "decks on which no car can stand with its wheels",
    "lock-out-of-reach": "a locking height that the decks do not reach",
    "sensor-off-car": "a sensor outside the car",
    "sensor-on-other-side": "a sensor that sits on the other side than it says",
    "sensor-without-side": "a sensor of a kind that sits left or right, without its side",
    "sensor-twice": "a sensor that is listed twice",
    "raised-without-decks": "a raised state, of a lift that carries wheels, without decks",
    "skill-unknown": "a skill that nobody has, and that is nearly one that somebody has",
    "taped-otherwise": "a length taped across the room that its corners contradict",
    "date-ahead": "a date that lies ahead, of something that has been done",
    "target-looks-away": "a target whose printed side looks away from the car",
    "event-unknown": "an event that no rule knows, and that is nearly one that is known",
    "order-says-nothing": "an order that says neither what was done nor what is to do",
    "vin-length": "a vehicle identification number of another length",
    "shares-not-whole": "shares that do not add up to one",
    "point-unknown": "a point that is nearly one of the car's",
    "reading-to-itself": "a reading from a point to itself",
    "card-not-verified": "a card that says that it is verified, and counts as transcribed",
    "file-not-read": "a file that looks like a document, and is not read for its ending",
    "kind-not-used": "a document of a kind that this version does not read",
}
"""Every code of what can be read and can hardly be meant: a warning, which keeps no document from being used."""


def faults_blocks(faults: Sequence[Fault], reader: Reader) -> tuple[Lines, ...]:
    """Each fault: where and what, under it what stands there and how to mend it; at the end how many there are."""
    number = Lines((reader.say_n("{n} fault", "{n} faults", len(faults)),))
    return (*(fault_lines(fault, reader) for fault in faults), number)


def fault_lines(fault: Fault, reader: Reader) -> Lines:
    """One fault, or one doubt: where and what, under it what stands there and how to mend it."""
    where = " ".join(part for part in (fault.file, fault.field) if part)
    if fault.line is not None:
        where = reader.say("{file} line {line} {field}", file=fault.file, line=fault.line, field=fault.field).rstrip()
    lines = []
    if fault.value:
        lines.append(reader.say("stands there: {value}", value=fault.value))
    if fault.remedy:
        lines.append(reader.say("to mend it:   {remedy}", remedy=reader.reason(fault.remedy)))
    what = reader.reason(fault.what)
    if where:
        return Lines(tuple(lines), reader.say("{where}: {what} [{code}]", where=where, what=what, code=fault.code), 4)
    return Lines(tuple(lines), reader.say("{what} [{code}]", what=as_sentence(what), code=fault.code), 4)


def fault_reference() -> str:
    """The table of fault codes as Markdown, for the reference pages."""
    return _table({**MEANINGS, **ASKED})


def doubt_reference() -> str:
    """The table of the codes of warnings as Markdown, for the reference pages."""
    return _table(DOUBTS)


def _table(meanings: Mapping[str, str]) -> str:
    rows = [f"| `{code}` | {meaning} |" for code, meaning in meanings.items()]
    return "\n".join(["| code | meaning |", "| --- | --- |", *rows]) + "\n"

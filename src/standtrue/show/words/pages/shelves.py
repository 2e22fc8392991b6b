"""What the pages of floor, cards and cars say, and the page of one document."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from attrs import frozen

from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader


@frozen
class Shelf:
    """The documents of a sheet: their kinds in order, its question, and what is said of none."""

    kinds: tuple[str, ...]
    question: str
    empty: str


SHELVES: Mapping[str, Shelf] = {
    "floor": Shelf(
        ("site", "lift", "survey"),
        N_("What is this floor?"),
        N_("No floor yet. Begin with two sentences, or bring a file."),
    ),
    "cards": Shelf(
        ("procedure", "rules"), N_("What does the maker ask for?"), N_("No card yet. Bring the file of one.")
    ),
    "cars": Shelf(("vehicle", "mix"), N_("Which cars come here?"), N_("No car yet. Bring the file of one.")),
    "room": Shelf(
        ("study",), N_("What can this room do?"), N_("No study yet: bring a file that says which work comes in a year.")
    ),
    "orders": Shelf(("job", "setup"), N_("Which orders are there?"), N_("No order yet.")),
}
"""The shelves by the sheet of the running head; cars and orders are reached from others."""

QUESTIONS: Mapping[str, str] = {
    "site": N_("What is this floor?"),
    "lift": N_("What is this lift?"),
    "survey": N_("How level is this floor?"),
    "procedure": N_("What does the maker ask for?"),
    "rules": N_("What calls for what?"),
    "vehicle": N_("What is this car?"),
    "mix": N_("Which cars come here?"),
    "study": N_("Which work comes in a year?"),
    "job": N_("What does this order say?"),
    "setup": N_("What was read at the car?"),
}

MORE: Mapping[str, tuple[str, ...]] = {"cards": ("cars",), "floor": ("cars",)}
"""To which other shelves a shelf leads."""


@frozen
class ShelfWords:
    """The fixed words of a shelf."""

    question: str
    empty: str
    columns: tuple[str, ...]
    bring: str
    bring_hint: str
    file: str
    more: tuple[tuple[str, str], ...]
    drawn: str
    draw: str


def shelf_words(sheet: str, reader: Reader) -> ShelfWords:
    """They, of a sheet."""
    own = SHELVES[sheet]
    return ShelfWords(
        question=reader.say(own.question),
        empty=reader.say(own.empty),
        columns=(reader.say("name"), reader.say("kind"), reader.say("what it says"), reader.say("version")),
        bring=reader.say("Bring it in"),
        bring_hint=reader.say("A document as .toml or .json. It is looked through before it is kept."),
        file=reader.say("File of a document"),
        more=tuple((one, reader.say(SHELVES[one].question)) for one in MORE.get(sheet, ())),
        drawn=reader.say("The floor at rest."),
        draw=reader.say("Draw on this floor"),
    )


def shelf_answer(counts: Sequence[tuple[str, int]], faulty: int, reader: Reader) -> str:
    """How many there are of each kind."""
    said = [reader.say("{kind}: {n}", kind=reader.term(kind), n=n) for kind, n in counts if n]
    line = reader.say("{counts}.", counts=", ".join(said)) if said else ""
    if faulty:
        line += " " + reader.say_n(
            "{n} of them cannot be used as it is.", "{n} of them cannot be used as they are.", faulty
        )
    return line.strip()


@frozen
class DocumentWords:
    """The fixed words of a document's page."""

    write: str
    draw: str
    answer: str
    says: str
    faults: str
    doubts: str
    replace: str
    replace_hint: str
    file: str
    keep: str
    save: str
    remove: str
    remove_hint: str
    history: str
    columns: tuple[str, ...]
    removed: str
    stale: str
    theirs: str
    yours: str
    place: str
    version: str
    saved: str
    invented: str


def document_words(reader: Reader) -> DocumentWords:
    """They."""
    return DocumentWords(
        write=reader.say("Write it as sentences"),
        answer=reader.say("What can this room do?"),
        draw=reader.say("Draw on this floor"),
        says=reader.say("What it says"),
        faults=reader.say("What is to be mended"),
        doubts=reader.say("What can hardly be meant"),
        replace=reader.say("Replace it by a file"),
        replace_hint=reader.say("It is looked through before it is kept; this version stays in the history."),
        file=reader.say("File of a document"),
        keep=reader.say("Take this file"),
        save=reader.say("Save it as a file"),
        remove=reader.say("Take it off the shelf"),
        remove_hint=reader.say("Its versions stay in the history."),
        history=reader.say("Its versions"),
        columns=(reader.say("version"), reader.say("saved"), reader.say("by"), reader.say("digest")),
        removed=reader.say("taken off the shelf"),
        stale=reader.say("Somebody changed it since you read it. Nothing was lost: here are both."),
        theirs=reader.say("As it is now"),
        yours=reader.say("As you sent it"),
        place=reader.say("Lies at"),
        version=reader.say("Version"),
        saved=reader.say("Saved"),
        invented=reader.say("Invented demonstration data."),
    )


def document_question(kind: str, reader: Reader) -> str:
    """What the page of a document asks."""
    return reader.say(QUESTIONS[kind]) if kind in QUESTIONS else reader.term(kind)


def version_link(number: int, reader: Reader) -> str:
    """A version by its number."""
    return reader.say("version {n}", n=number)

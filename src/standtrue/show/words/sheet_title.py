"""The title block of a sheet: what it is, what it rests on, until when it is true."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence

from standtrue.model.basics import DocumentMark
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader
from standtrue.show.words.sheet_notes import rests_on

Cell = tuple[str, str]

CELLS: Mapping[str, str] = {
    "sheet": N_("sheet"),
    "car": N_("car"),
    "card": N_("card"),
    "set-up": N_("set-up"),
    "question": N_("question"),
    "scale": N_("scale"),
    "rests on": N_("rests on"),
    "made by": N_("made by"),
    "digest": N_("digest"),
    "last entry": N_("last entry"),
    "not said": N_("not said"),
}


def title_cells(cells: Mapping[str, str], reader: Reader) -> list[list[str]]:
    """The cells by name; the page and the whole number of pages stand in one of their own."""
    told = ((name, said) for name, said in cells.items() if said)
    return [[reader.say("page"), "page"], *([reader.say(CELLS[name]), said] for name, said in told)]


def out_of_date(reader: Reader) -> str:
    """When a sheet is no longer true, and what it does not say."""
    return reader.say(
        "Out of date as soon as card, car, floor or set-up change. The vehicle maker's current service information "
        "and local codes govern. This sheet does not say that the vehicle is safe."
    )


def not_said(reader: Reader) -> str:
    """What no sheet says."""
    return reader.say("that the car is safe")


def picture_cells(sheet: str, question: str, documents: Sequence[DocumentMark], reader: Reader) -> tuple[Cell, ...]:
    """The title block of a picture; what its scale is, only its drawing knows."""
    said = {"sheet": sheet, "question": question, "scale": "", "rests on": rests_words(documents, reader)}
    return tuple((reader.say(CELLS[name]), one) for name, one in said.items())


def rests_words(documents: Sequence[DocumentMark], reader: Reader) -> str:
    """How many documents an answer rests on, and the first digits of one digest over them all."""
    return rests_on(len(documents), digest_of(documents)[:8], reader)


def digest_of(documents: Sequence[DocumentMark]) -> str:
    """One digest over those of all documents, in whatever order: 64 hexadecimal digits."""
    joined = "\n".join(sorted(f"{m.kind}\t{m.name}\t{m.digest}" for m in documents))
    return hashlib.sha256(joined.encode()).hexdigest()

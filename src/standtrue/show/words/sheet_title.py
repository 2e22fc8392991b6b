"""The title block of a sheet: what it is, what it rests on, until when it is true."""

from __future__ import annotations

from collections.abc import Mapping

from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader

CELLS: Mapping[str, str] = {
    "sheet": N_("sheet"),
    "car": N_("car"),
    "card": N_("card"),
    "set-up": N_("set-up"),
    "rests on": N_("rests on"),
    "made by": N_("made by"),
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

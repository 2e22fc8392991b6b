"""What an answer rests on, as a terminal shows it under the answer: demonstration data, notes and cautions."""

from __future__ import annotations

from collections.abc import Iterable

from attrs import evolve

from standtrue.model.basis import Basis
from standtrue.model.reason import Reason
from standtrue.show.words.blocks import Block, Lines, Told
from standtrue.show.words.reader import Reader

LACKING = frozenset(
    {
        "vehicle-estimated",
        "dimensions-estimated",
        "no-people-listed",
        "no-equipment-listed",
        "not-considered",
        "study-asks-no-level",
        "many-not-level",
    }
)
"""What an answer would rest on and does not: told right behind its first lines, never only counted."""


def basis_blocks(basis: Basis, reader: Reader) -> tuple[Lines, ...]:
    """What must be said of every answer: where its data are invented, what was assumed, what could hurt someone."""
    invented = (reader.say("Invented demonstration data."),) if basis.demonstration else ()
    notes = _notes(basis.notes, reader)
    cautions = [reader.say("Caution: {caution}", caution=c.reason) for c in basis.cautions]
    return tuple(Lines((line,)) for line in (*invented, *notes, *cautions))


def whole_blocks(
    told: Told, basis: Basis, reader: Reader, *, why: bool = False, option: str = "--why"
) -> tuple[Block, ...]:
    """An answer from its first line to its last."""
    return (*told.first, *rest_blocks(told, basis, reader, why=why, option=option))


def rest_blocks(told: Told, basis: Basis, reader: Reader, *, why: bool, option: str = "--why") -> tuple[Block, ...]:
    """What stands behind an answer's first lines; without `why` in short, and its notes only counted.

    `option` is what whoever wants to see them says.
    """
    if why:
        assumed = (Lines(tuple(reader.say("Assumed: {what}", what=what) for what in told.assumed)),)
        return (*(told.long or told.short), *(assumed if told.assumed else ()), *basis_blocks(basis, reader))
    every = (*basis.warnings, *basis.limits)
    lacking = tuple(Lines((note,)) for note in _notes((r for r in every if r.code in LACKING), reader))
    notes = len(reader.reasons(every)) - len(lacking) + len(told.assumed)
    untold = (Lines((untold_words(notes, reader, option),)),) if notes or told.long else ()
    return (*lacking, *told.short, *untold, *basis_blocks(evolve(basis, warnings=(), limits=()), reader))


def _notes(reasons: Iterable[Reason], reader: Reader) -> list[str]:
    return [reader.say("Note: {note}", note=note) for note in reader.reasons(reasons)]


def untold_words(notes: int, reader: Reader, option: str) -> str:
    """What was left out of a short answer, and how to see it."""
    if not notes:
        return reader.say("Reasons and figures: {option}.", option=option)
    return reader.say_n(
        "{n} note on what was assumed, reasons and figures: {option}.",
        "{n} notes on what was assumed, reasons and figures: {option}.",
        notes, option=option,
    )  # fmt: skip

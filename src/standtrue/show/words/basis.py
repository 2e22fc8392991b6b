"""What an answer rests on, as a terminal shows it under the answer: demonstration data, notes and cautions."""

from __future__ import annotations

from attrs import evolve

from standtrue.model.basis import Basis
from standtrue.show.words.blocks import Block, Lines, Told
from standtrue.show.words.reader import Reader


def basis_blocks(basis: Basis, reader: Reader) -> tuple[Lines, ...]:
    """What must be said of every answer: where its data are invented, what was assumed, what could hurt someone."""
    invented = (reader.say("Invented demonstration data."),) if basis.demonstration else ()
    notes = [reader.say("Note: {note}", note=n) for n in reader.reasons(basis.notes)]
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
    notes = len(reader.reasons((*basis.warnings, *basis.limits))) + len(told.assumed)
    untold = (Lines((untold_words(notes, reader, option),)),) if notes or told.long else ()
    return (*told.short, *untold, *basis_blocks(evolve(basis, warnings=(), limits=()), reader))


def untold_words(notes: int, reader: Reader, option: str) -> str:
    """What was left out of a short answer, and how to see it."""
    if not notes:
        return reader.say("Reasons and figures: {option}.", option=option)
    return reader.say_n(
        "{n} note on what was assumed, reasons and figures: {option}.",
        "{n} notes on what was assumed, reasons and figures: {option}.",
        notes, option=option,
    )  # fmt: skip

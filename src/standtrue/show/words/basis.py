"""What an answer rests on, as a terminal shows it under the answer: demonstration data, notes and cautions."""

from __future__ import annotations

from standtrue.model.basis import Basis
from standtrue.show.words.blocks import Lines
from standtrue.show.words.reader import Reader


def basis_blocks(basis: Basis, reader: Reader) -> tuple[Lines, ...]:
    """What must be said of every answer: where its data are invented, what was assumed, what could hurt someone."""
    invented = (reader.say("Invented demonstration data."),) if basis.demonstration else ()
    notes = [reader.say("Note: {note}", note=n) for n in reader.reasons(basis.notes)]
    cautions = [reader.say("Caution: {caution}", caution=c.reason) for c in basis.cautions]
    return tuple(Lines((line,)) for line in (*invented, *notes, *cautions))

"""What was read from a shop folder, as a terminal shows it."""

from __future__ import annotations

from standtrue.model.basis import Basis
from standtrue.show.words.blocks import Table
from standtrue.show.words.reader import Reader


def read_blocks(basis: Basis, reader: Reader) -> tuple[Table, ...]:
    """Every document with the head of its digest."""
    columns = (reader.say("kind"), reader.say("name"), reader.say("demonstration"), reader.say("digest"))
    rows = (
        (reader.term(m.kind), m.name, reader.say("yes") if m.demonstration else "", m.digest[:12]) for m in basis.marks
    )
    return (Table(reader.say("Documents"), columns, tuple(rows)),)

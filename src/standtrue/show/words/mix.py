"""What became of a table of cars, as the terminal's tables."""

from __future__ import annotations

from collections.abc import Iterator

from standtrue.show.words.blocks import Block, Lines, Table
from standtrue.show.words.reader import Reader
from standtrue.work.mix.table import MixTable

MOST_SHOWN = 40


def mix_blocks(table: MixTable, documents: int, folder: str, reader: Reader) -> Iterator[Block]:
    """How many rows count and documents were written; which rows were set aside, and what the columns mean."""
    yield Lines(tuple(_first_lines(table, documents, folder, reader)))
    if table.aside:
        yield Table(
            reader.say("Set aside: these rows do not count"),
            (reader.say("line of the file"), reader.say("car"), reader.say("why")),
            tuple((str(a.line), a.name, reader.reason(a.why)) for a in table.aside[:MOST_SHOWN]),
        )
        yield Lines(tuple(_more(len(table.aside) - MOST_SHOWN, reader)))
    yield Table(
        reader.say("What the columns mean"),
        (reader.say("column"), reader.say("means"), reader.say("unit")),
        (
            *((c.heading, c.field, c.unit or reader.say("as written")) for c in table.columns),
            *((heading, reader.say("not used"), "") for heading in table.ignored),
        ),
    )


def _more(more: int, reader: Reader) -> Iterator[str]:
    """How many more rows were set aside than are listed."""
    if more > 0:
        option = "--out FILE.csv"
        yield reader.say_n(
            "and {n} more row: {option} lists them all",
            "and {n} more rows: {option} lists them all",
            more,
            option=option,
        )


def _first_lines(table: MixTable, documents: int, folder: str, reader: Reader) -> Iterator[str]:
    yield reader.say("{counted} of {rows} rows count.", counted=table.counted, rows=table.rows)
    yield reader.say_n("{n} document is in {folder}.", "{n} documents are in {folder}.", documents, folder=folder)
    if table.known:
        yield reader.say_n("{n} car was known already.", "{n} cars were known already.", len(table.known))
    for note in table.notes:
        yield reader.say("Note: {note}", note=note)

"""What became of a table of cars, as data; and the rows set aside for a spreadsheet."""

from __future__ import annotations

from collections.abc import Iterable

from pydantic import Field

from standtrue.show.answers.parts import Coded, Shape, coded, coded_or_none
from standtrue.show.answers.tables import csv_text
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.work.mix.table import Aside, MixTable

COLUMNS = ("line", "name", "why")


class ColumnShape(Shape):
    field: str
    heading: str
    unit: str | None = Field(description="Of bare numbers; null where none was given.")


class AsideShape(Shape):
    line: int = Field(description="Its line in the file; the heading is line 1.")
    name: str
    why: str
    why_coded: Coded | None = None


class MixShape(Shape):
    mix: str
    files: list[str]
    rows: int
    counted: int
    known: list[str] = Field(description="Cars that the shop folder knew already.")
    columns: list[ColumnShape]
    ignored: list[str] = Field(description="Headings that were not used.")
    set_aside: list[AsideShape]
    warnings: list[str]
    warnings_coded: list[Coded] = Field(default=[])


def of_mix(table: MixTable, files: Iterable[str]) -> MixShape:
    """What a table gave, and the files that were written of it, as data."""
    return MixShape(
        mix=str(table.mix["name"]),
        files=list(files),
        rows=table.rows,
        counted=table.counted,
        known=list(table.known),
        columns=[ColumnShape(field=c.field, heading=c.heading, unit=c.unit or None) for c in table.columns],
        ignored=list(table.ignored),
        set_aside=[_aside(one) for one in table.aside],
        warnings=ENGLISH.reasons(table.notes),
        warnings_coded=coded(table.notes),
    )


def aside_csv(table: MixTable, reader: Reader = ENGLISH) -> str:
    """The rows that were set aside, with why in the reader's words, as CSV; columns as in COLUMNS."""
    return csv_text(COLUMNS, ((a.line, a.name, reader.reason(a.why)) for a in table.aside))


def _aside(aside: Aside) -> AsideShape:
    why = ENGLISH.reason(aside.why)
    return AsideShape(line=aside.line, name=aside.name, why=why, why_coded=coded_or_none(aside.why))

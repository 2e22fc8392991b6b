"""Rows as files for a spreadsheet: CSV, and Parquet where its package is installed."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from importlib.util import find_spec

from standtrue.model.basics import Fault
from standtrue.model.reason import because
from standtrue.work.ask import UnansweredError

EXTRA = "standtrue[parquet]"
"""What to install for Parquet."""


FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""How a cell begins that spreadsheets reckon out: no text of a table may run in whoever opens it."""

_NUMBER = re.compile(r"-[0-9]+(\.[0-9]+)?")


def csv_text(columns: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """Rows as CSV (RFC 4180) with a head line."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(columns)
    writer.writerows([_plain(cell) for cell in row] for row in rows)
    return text.getvalue()


def _plain(cell: object) -> object:
    """A text that a spreadsheet would take for a formula gets its own mark for text: an apostrophe ahead of it."""
    return f"'{cell}" if isinstance(cell, str) and cell[:1] in FORMULA and not _NUMBER.fullmatch(cell) else cell


def need_parquet(option: str) -> None:
    """Raises UnansweredError, with what to install, where Parquet cannot be written; `option` asks for it."""
    if find_spec("pyarrow") is None:
        remedy = because("install-or-csv", extra=EXTRA)
        raise UnansweredError([Fault("part-missing", because("parquet-not-installed"), "", option, "", remedy)])


def parquet_bytes(columns: Sequence[str], rows: Sequence[Sequence[str]]) -> bytes:
    """Rows as a Parquet file; the same bytes for the same rows. See `need_parquet`."""
    import pyarrow
    import pyarrow.parquet

    sink = pyarrow.BufferOutputStream()
    table = pyarrow.table({name: [row[i] for row in rows] for i, name in enumerate(columns)})
    pyarrow.parquet.write_table(table, sink)
    found: bytes = sink.getvalue().to_pybytes()
    return found

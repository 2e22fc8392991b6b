"""The documents of a mix table as files of a shop folder."""

from __future__ import annotations

import re
from pathlib import Path

from standtrue.documents import write_new
from standtrue.documents.writing import to_toml
from standtrue.model.basics import Fault
from standtrue.model.reason import because
from standtrue.work.ask import UnansweredError
from standtrue.work.mix.cells import decoded
from standtrue.work.mix.table import MixTable

LARGEST_BYTES = 50_000_000


def mix_files(table: MixTable) -> dict[str, str]:
    """The documents as TOML, by file name: one for each car that is new, and the mix."""
    files: dict[str, str] = {}
    for document in (*table.vehicles, table.mix):
        stem = f"{document['kind']}-{_slug(str(document['name']))}"
        number, name = 1, f"{stem}.toml"
        while name in files:
            number += 1
            name = f"{stem}-{number}.toml"
        files[name] = to_toml(document)
    return files


def write_mix(table: MixTable, folder: Path) -> tuple[Path, ...]:
    """Write the documents into a shop folder; returns the files written.

    Raises UnansweredError where they cannot be written; and writes nothing if one of the files is there already.
    """
    try:
        return write_new(folder, mix_files(table))
    except OSError as error:
        there = isinstance(error, FileExistsError)
        what = because("mix-files-there") if there else because("mix-unwritable", why=error.strerror or str(error))
        remedy = because("name-other-mix", option="--name")
        raise UnansweredError([Fault("unwritable", what, str(folder), "", "", remedy)]) from None


def read_table(file: Path) -> str:
    """The text of a table. Raises UnansweredError where it cannot be read, or is too large."""
    try:
        if file.stat().st_size > LARGEST_BYTES:
            remedy = because("give-at-most-bytes", bytes=LARGEST_BYTES)
            raise UnansweredError([Fault("too-large", because("table-too-large"), str(file), "", "", remedy)])
        return decoded(file.read_bytes())
    except UnicodeDecodeError:
        what, remedy = because("table-not-utf8"), because("save-as-csv-utf8")
        raise UnansweredError([Fault("not-utf8", what, str(file), "", "", remedy)]) from None
    except OSError as error:
        what = because("table-unreadable", why=error.strerror or str(error))
        raise UnansweredError([Fault("unreadable", what, str(file), "", "", because("name-readable-file"))]) from None


def _slug(name: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:60] or "car"

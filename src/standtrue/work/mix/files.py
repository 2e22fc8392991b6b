"""The documents of a mix table as files of a shop folder."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Mapping, Sequence
from pathlib import Path

from standtrue.documents import write_new
from standtrue.work.mix.table import MixTable


def mix_files(table: MixTable) -> dict[str, str]:
    """The documents as TOML, by file name: one for each car that is new, and the mix."""
    files: dict[str, str] = {}
    for document in (*table.vehicles, table.mix):
        stem = f"{document['kind']}-{_slug(str(document['name']))}"
        number, name = 1, f"{stem}.toml"
        while name in files:
            number += 1
            name = f"{stem}-{number}.toml"
        files[name] = toml(document)
    return files


def write_mix(table: MixTable, folder: Path) -> tuple[Path, ...]:
    """Write the documents into a shop folder; returns the files written.

    Raises FileExistsError, and writes nothing, if one of the files is there already.
    """
    return write_new(folder, mix_files(table))


def aside_csv(table: MixTable) -> str:
    """The rows that were set aside, with why, as CSV (RFC 4180)."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(("line", "name", "why"))
    writer.writerows((a.line, a.name, a.why) for a in table.aside)
    return text.getvalue()


def toml(document: Mapping[str, object]) -> str:
    """A flat document as TOML; lists of tables stand as arrays of tables."""
    plain = {k: v for k, v in document.items() if not isinstance(v, Sequence) or isinstance(v, str)}
    lines = [f"{key} = {_value(value)}" for key, value in plain.items()]
    for key, value in document.items():
        if key not in plain and isinstance(value, Sequence):
            for entry in value:
                lines += ["", f"[[{key}]]", *(f"{k} = {_value(v)}" for k, v in entry.items())]
    return "\n".join(lines) + "\n"


def _value(value: object) -> str:
    """JSON's strings, numbers and truth values are TOML's."""
    return json.dumps(value, ensure_ascii=False)


def _slug(name: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:60] or "car"

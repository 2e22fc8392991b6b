"""Changing fields of a document's file, so that comments and all other lines stay; JSON is written anew."""

from __future__ import annotations

import datetime
import json
from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

from standtrue.documents.writing import NotChangedError, add_table, remove_field, set_field

__all__ = [
    "ChangedMeanwhileError",
    "NotChangedError",
    "rewrite",
    "with_fields",
    "with_tables",
    "without",
    "without_or_same",
]

FieldPath = tuple[str | int, ...]


class ChangedMeanwhileError(OSError):
    """The file is no longer what was read from it; nothing was written."""


def with_fields(source: bytes, file: str, fields: Iterable[tuple[FieldPath, object]]) -> bytes:
    """A document's bytes with these fields set. Raises NotChangedError."""
    for path, value in fields:
        source = _set_json(source, path, value) if _is_json(file) else set_field(source, path, value)
    return source


def with_tables(
    source: bytes, file: str, name: str, tables: Iterable[Mapping[str, object]], *, more: bool = False
) -> bytes:
    """A document's bytes with the list of tables of this name replaced, or with `more`, these behind those that are
    there. Raises NotChangedError."""
    entries = list(tables)
    if _is_json(file):
        return _set_json(source, (name,), [*(_json(source).get(name, []) if more else ()), *entries])
    if not more:
        source = without_or_same(source, file, (name,))
    for entry in entries:
        source = add_table(source, name, entry)
    return source


def without(source: bytes, file: str, path: FieldPath) -> bytes:
    """A document's bytes without a field, or an item of a list. Raises NotChangedError where there is none."""
    if not _is_json(file):
        return remove_field(source, path)
    document = _json(source)
    _drop(document, path)
    return _json_bytes(document)


def without_or_same(source: bytes, file: str, path: FieldPath) -> bytes:
    """The same; the document as it is where there is no such field."""
    with suppress(NotChangedError):
        return without(source, file, path)
    return source


def rewrite(path: Path, was: bytes, now: bytes) -> None:
    """Write a file anew, whole or not at all. Raises ChangedMeanwhileError if it is not as it was, or OSError."""
    if path.read_bytes() != was:
        raise ChangedMeanwhileError(str(path))
    beside = path.with_name(f".{path.name}.part")
    try:
        beside.write_bytes(now)
        beside.replace(path)
    except OSError:
        beside.unlink(missing_ok=True)
        raise


def _is_json(file: str) -> bool:
    return file.lower().endswith(".json")


def _set_json(source: bytes, path: FieldPath, value: object) -> bytes:
    document = _json(source)
    _at(document, path)[path[-1]] = value
    return _json_bytes(document)


def _drop(document: Any, path: FieldPath) -> None:
    try:
        del _at(document, path)[path[-1]]
    except (KeyError, IndexError) as error:
        raise NotChangedError(f"{path}: {error}") from error


def _at(document: Any, path: FieldPath) -> Any:
    """The table or list that holds what a path leads to."""
    try:
        for part in path[:-1]:
            document = document[part]
    except (KeyError, IndexError, TypeError) as error:
        raise NotChangedError(f"{path}: {error}") from error
    if not isinstance(document, dict | list):
        raise NotChangedError(f"{path}: leads nowhere")
    return document


def _json(source: bytes) -> Any:
    try:
        return json.loads(source)
    except ValueError as error:
        raise NotChangedError(str(error)) from error


def _json_bytes(document: object) -> bytes:
    return (json.dumps(document, ensure_ascii=False, indent=1, default=datetime.date.isoformat) + "\n").encode()

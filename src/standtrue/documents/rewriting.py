"""Changing fields of a document's file, so that comments and all other lines stay; JSON is written anew."""

from __future__ import annotations

import datetime
import json
from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path

from standtrue.documents.loading import load_text
from standtrue.documents.writing import NotChangedError, add_table, remove_field, set_field, to_toml

__all__ = ["ChangedMeanwhileError", "NotChangedError", "rewrite", "rewritten", "with_fields", "with_tables"]

FieldPath = tuple[str | int, ...]


class ChangedMeanwhileError(OSError):
    """The file is no longer what was read from it; nothing was written."""


def with_fields(source: bytes, file: str, fields: Iterable[tuple[FieldPath, object]]) -> bytes:
    """A document's bytes with these fields set. Raises NotChangedError."""
    for path, value in fields:
        source = _set_json(source, path, value) if _is_json(file) else set_field(source, path, value)
    return source


def with_tables(source: bytes, file: str, name: str, tables: Iterable[Mapping[str, object]]) -> bytes:
    """A document's bytes with the list of tables of this name replaced. Raises NotChangedError."""
    entries = list(tables)
    if _is_json(file):
        return _set_json(source, (name,), entries)
    with suppress(NotChangedError):  # where there is no such list yet
        source = remove_field(source, (name,))
    for entry in entries:
        source = add_table(source, name, entry)
    return source


def rewritten(source: bytes, file: str, said: Mapping[str, object]) -> bytes:
    """A document's bytes saying this: of what is changed field by field, the lines and comments of all other fields
    stay; else it is written anew. `source` b"": there is none yet."""
    if _is_json(file):
        return (json.dumps(said, ensure_ascii=False, indent=1) + "\n").encode()
    with suppress(NotChangedError):
        before = load_text(source, file).content
        now = source
        for key in [*before, *(key for key in said if key not in before)]:
            if key not in said:
                now = remove_field(now, (key,))
            elif json.dumps(said[key]) != json.dumps(before.get(key), default=datetime.date.isoformat):
                now = _with_field(now, file, key, said[key])
        if before and load_text(now, file).content == load_text(to_toml(said).encode(), file).content:
            return now
    return to_toml(said).encode()


def _with_field(source: bytes, file: str, key: str, value: object) -> bytes:
    if isinstance(value, list) and value and all(isinstance(entry, Mapping) for entry in value):
        return with_tables(source, file, key, value)
    return set_field(source, (key,), value)


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
    try:
        document = json.loads(source)
        at = document
        for part in path[:-1]:
            at = at[part]
        at[path[-1]] = value
    except (ValueError, KeyError, IndexError, TypeError) as error:
        raise NotChangedError(f"{path}: {error}") from error
    return (json.dumps(document, ensure_ascii=False, indent=1, default=datetime.date.isoformat) + "\n").encode()

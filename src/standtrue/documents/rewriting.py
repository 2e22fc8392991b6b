"""Changing fields of a document's file, so that comments and all other lines stay; JSON is written anew.

A change is checked before it is handed back: what the new text says is what the old one said, and the change.
"""

from __future__ import annotations

import copy
import datetime
import json
import tomllib
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from standtrue.documents.loading import load_text
from standtrue.documents.writing import to_toml
from standtrue.whole_file import write_whole

FieldPath = tuple[str | int, ...]


class NotChangedError(ValueError):
    """The change cannot be made in this text: the path leads nowhere, or the text would say something else."""


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
    write_whole(path, now)


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


def set_field(source: bytes, path: FieldPath, value: object) -> bytes:
    """The text with the field at a path set to a value; the tables above it must be there. Raises NotChangedError."""

    def put(at: Any, key: str | int) -> None:
        at[key] = value

    return _changed(source, path, put)


def remove_field(source: bytes, path: FieldPath) -> bytes:
    """The text without the field, table or list item at a path. Raises NotChangedError."""

    def drop(at: Any, key: str | int) -> None:
        del at[key]

    return _changed(source, path, drop)


def add_table(source: bytes, name: str, table: Mapping[str, object]) -> bytes:
    """The text with one more table at the end of the list of this name, which is begun if need be."""
    text, before = _read(source)
    items = before.get(name, [])
    if not isinstance(items, list):
        raise NotChangedError(f"{name} is no list of tables")
    if isinstance(tomlkit.parse(text).get(name, tomlkit.aot()), tomlkit.items.AoT):
        new = f"{text.rstrip()}\n\n" + to_toml({name: [table]})
        if _says(new, {**before, name: [*items, table]}):
            return new.encode()
    return _changed(source, (name,), lambda at, key: at.__setitem__(key, [*items, table]))


def _changed(source: bytes, path: FieldPath, change: Callable[[Any, str | int], None]) -> bytes:
    text, before = _read(source)
    try:
        wanted, document = copy.deepcopy(before), tomlkit.parse(text)
        for whole in (wanted, document):
            at: Any = whole
            for part in path[:-1]:
                at = at[part]
            change(at, path[-1])
        new = tomlkit.dumps(document)
    except (KeyError, IndexError, TypeError, AttributeError, ValueError, TOMLKitError) as error:
        raise NotChangedError(f"{path}: {error}") from error
    if not _says(new, wanted):
        raise NotChangedError(f"{path}: the text would say something else")
    return new.encode()


def _read(source: bytes) -> tuple[str, dict[str, Any]]:
    try:
        text = source.decode("utf-8")
        return text, tomllib.loads(text.removeprefix("\ufeff"))
    except ValueError as error:
        raise NotChangedError(f"this is no TOML: {error}") from error


def _says(text: str, wanted: dict[str, Any]) -> bool:
    """Whether a text says this, to the type of each value."""
    try:
        return repr(_plain(tomllib.loads(text))) == repr(_plain(wanted))
    except ValueError:
        return False


def _plain(value: Any) -> Any:
    """A value whatever the order of its fields."""
    if isinstance(value, Mapping):
        return {key: _plain(value[key]) for key in sorted(value)}
    if isinstance(value, (list, tuple)):
        return [_plain(item) for item in value]
    return value

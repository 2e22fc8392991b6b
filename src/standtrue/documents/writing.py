"""Documents as TOML text: written anew, and changed field by field so that comments and all other lines stay.

A change is checked before it is handed back: what the new text says is what the old one said, and the change.
"""

from __future__ import annotations

import copy
import datetime
import json
import re
import tomllib
from collections.abc import Callable, Mapping
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

Path = tuple[str | int, ...]

_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")


class NotChangedError(ValueError):
    """The change cannot be made in this text: the path leads nowhere, or the text would say something else."""


def to_toml(document: Mapping[str, object]) -> str:
    """A document as TOML text: plain fields first, then tables, lists of tables as arrays of tables.

    Values are texts, numbers, truth values, dates, lists and tables. Raises TypeError for anything else. By hand, since
    a mix may hold many thousand cars: tomlkit, which keeps comments where there are any, takes twenty times as long.
    """
    return "\n".join(_lines(document, ())).strip() + "\n"


def _lines(table: Mapping[str, object], above: tuple[str, ...]) -> list[str]:
    lines = [f"{_key(key)} = {_value(value)}" for key, value in table.items() if not _apart(value)]
    for key, value in table.items():
        here = (*above, _key(key))
        if isinstance(value, Mapping):
            lines += ["", f"[{'.'.join(here)}]", *_lines(value, here)]
        elif isinstance(value, (list, tuple)) and _apart(value):
            for entry in value:
                lines += ["", f"[[{'.'.join(here)}]]", *_lines(entry, here)]
    return lines


def _apart(value: object) -> bool:
    """Whether a value stands under a heading of its own: a table, or a list of nothing but tables."""
    if isinstance(value, (list, tuple)):
        return bool(value) and all(isinstance(item, Mapping) for item in value)
    return isinstance(value, Mapping)


def _key(key: str) -> str:
    return key if _BARE_KEY.fullmatch(key) else _text(key)


def _text(text: str) -> str:
    """JSON's strings are TOML's, but for one control character that JSON leaves as it is."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _value(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, (int, float)):
        return repr(value)
    if isinstance(value, (datetime.date, datetime.time)):
        return value.isoformat()
    if isinstance(value, Mapping):
        inner = ", ".join(f"{_key(key)} = {_value(item)}" for key, item in value.items())
        return f"{{ {inner} }}" if inner else "{}"
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(_value(item) for item in value)}]"
    raise TypeError(f"a document holds no {type(value).__name__}")


# Changing a text


def set_field(source: bytes, path: Path, value: object) -> bytes:
    """The text with the field at a path set to a value; the tables above it must be there. Raises NotChangedError."""

    def put(at: Any, key: str | int) -> None:
        at[key] = value

    return _changed(source, path, put)


def remove_field(source: bytes, path: Path) -> bytes:
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


def _changed(source: bytes, path: Path, change: Callable[[Any, str | int], None]) -> bytes:
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

"""Documents as TOML text, written anew."""

from __future__ import annotations

import datetime
import json
import re
from collections.abc import Mapping

_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")


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

"""One way to write a JSON value as bytes, so that the same value always has the same digest.

UTF-8; no space between signs; the names of an object in the order of their code points, each once; texts with no
escape but those that JSON asks for; a whole number below 2**53 as digits alone, any other as the shortest decimal that
reads back as the same double (IEEE 754). What is not a number (NaN, infinite) is refused, as is half a surrogate pair.
"""

from __future__ import annotations

import json
import math

WHOLE_BELOW = 2**53
"""From here on not every whole number is a double: what reads JSON may take another."""


def canonical(value: object) -> bytes:
    """The bytes of a value of dicts, lists, tuples, texts, numbers, true, false, null.

    Raises ValueError for a number that is not finite, or whole and 2**53 or more; for text that is not Unicode; and
    TypeError for anything else that JSON has no form for.
    """
    told = json.dumps(_plain(value), ensure_ascii=False, allow_nan=False, separators=(",", ":"), sort_keys=True)
    return told.encode("utf-8")


def _plain(value: object) -> object:
    if isinstance(value, dict):
        for name in value:
            if not isinstance(name, str):
                raise TypeError(f"the name {name!r} is no text")
        return {name: _plain(part) for name, part in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(part) for part in value]
    if isinstance(value, float):
        if not math.isfinite(value):
            raise ValueError(f"{value} is no number")
        return int(value) if value.is_integer() and abs(value) < WHOLE_BELOW else value
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) >= WHOLE_BELOW:
        raise ValueError(f"{value} is no number that every reader of JSON takes as it is")
    if value is None or isinstance(value, str | int):
        return value
    raise TypeError(f"JSON has no form for {type(value).__name__}")

"""What an answer kept as data says, read back as values, so that it is told in any language years later.

An answer writes a reason as its code and plain values (`parts.Coded`); here these become a `Reason` again.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence

from standtrue.model.reason import (
    Angle,
    Duration,
    Length,
    Light,
    Mass,
    Number,
    Quantity,
    Reason,
    Ref,
    Share,
    Speed,
    Term,
    Text,
    Value,
)
from standtrue.show.answers.parts import OTHER_LANGUAGE, Coded, CodedValue
from standtrue.show.words.reader import Reader

Given = Value | Reason

_QUANTITIES: Mapping[str, Callable[[float], Quantity]] = {
    "_m_per_s": Speed,
    "_m": Length,
    "_deg": lambda degrees: Angle(math.radians(degrees)),
    "_min": lambda minutes: Duration(60.0 * minutes),
    "_kg": Mass,
    "_lux": Light,
    "_share": Share,
}
"""By the end of a value's name, the quantity that its number is."""


def uncoded(told: Coded) -> Reason:
    """The reason that an answer has written: the same sentence comes of it in every language."""
    others = {name + OTHER_LANGUAGE for name in told.values}
    return Reason(told.code, tuple(_read(name, told) for name in told.values if name not in others))


def told_again(coded: Iterable[Coded], english: Sequence[str], reader: Reader) -> list[str]:
    """Reasons in the reader's words and units; those that were kept, where a code has no words any more."""
    try:
        return reader.reasons(map(uncoded, coded))
    except (AssertionError, AttributeError, KeyError, TypeError, ValueError):
        return list(english)


def _read(name: str, told: Coded) -> tuple[str, Given | tuple[Given, ...]]:
    """One value by its name without its unit."""
    value, other = told.values[name], told.values.get(name + OTHER_LANGUAGE)
    if isinstance(value, str) and isinstance(other, str):
        return name, Text("" if value == other else value, other)
    parts = value if isinstance(value, list) else [value]
    end = next((end for end in _QUANTITIES if name.endswith(end)), "") if any(map(_is_figure, parts)) else ""
    read = tuple(_value(part, end, name in told.terms) for part in parts)
    return name.removesuffix(end), read if isinstance(value, list) else read[0]


def _is_figure(value: object) -> bool:
    return isinstance(value, float | int)


def _value(value: CodedValue, end: str, is_term: bool) -> Given:
    if isinstance(value, Coded):
        return Ref(**value.values) if value.code == "ref" else uncoded(value)  # type: ignore[arg-type]  # as `coded` wrote it
    if isinstance(value, str):
        return Term(value) if is_term else value
    if end and isinstance(value, float | int):
        return _QUANTITIES[end](float(value))
    if isinstance(value, float):
        return Number(value, len(repr(value).partition(".")[2]) if value % 1.0 else 0)
    assert value is None or isinstance(value, int)  # No reason has a list within a list.
    return value

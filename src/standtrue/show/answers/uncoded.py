"""Reasons as values again, of what an answer kept as code and values: to be told in any language, years later."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence

from standtrue.model.reason import (
    Angle,
    Duration,
    Length,
    Light,
    Mass,
    Number,
    Reason,
    Ref,
    Share,
    Speed,
    Term,
    Value,
)
from standtrue.show.answers.parts import Coded
from standtrue.show.words.reader import Reader

_UNITS: tuple[tuple[str, Callable[[float], Value]], ...] = (
    ("_m_per_s", Speed),
    ("_m", Length),
    ("_deg", lambda degrees: Angle(math.radians(degrees))),
    ("_min", lambda minutes: Duration(60.0 * minutes)),
    ("_kg", Mass),
    ("_lux", Light),
    ("_share", Share),
)
"""What a name's ending says of its number: as `parts` writes them; the longer of two that end alike first."""

DIGITS = 3


def uncoded(coded: Coded) -> Reason:
    """The reason that was kept. A number without a unit comes back with the digits that it has, a word as a term."""
    return Reason(coded.code, tuple(_named(name, value) for name, value in coded.values.items()))


def told_again(coded: Iterable[Coded], english: Sequence[str], reader: Reader) -> list[str]:
    """Reasons in the reader's words; those that were kept where a code or a value of it has no words any more."""
    try:
        return reader.reasons(map(uncoded, coded)) if reader.language != "en" or not english else list(english)
    except (AssertionError, AttributeError, KeyError, TypeError, ValueError):
        return list(english)


def _named(name: str, value: object) -> tuple[str, Value | Reason | tuple[Value | Reason, ...]]:
    for ending, made in _UNITS:
        if name.endswith(ending) and _measured(value):
            told = [made(float(str(part))) for part in (value if isinstance(value, list) else [value])]
            return name.removesuffix(ending), tuple(told) if isinstance(value, list) else told[0]
    return name, tuple(map(_plain, value)) if isinstance(value, list) else _plain(value)


def _measured(value: object) -> bool:
    parts = value if isinstance(value, list) else [value]
    return bool(parts) and all(isinstance(p, float | int) and not isinstance(p, bool) for p in parts)


def _plain(value: object) -> Value | Reason:
    if isinstance(value, Coded):
        return _ref(value) if value.code == "ref" else uncoded(value)
    if isinstance(value, str):
        return Term(value) if value else ""
    if isinstance(value, float):
        digits = len(f"{value:.{DIGITS}f}".rstrip("0").partition(".")[2])
        return Number(value, digits)
    assert value is None or isinstance(value, int)
    return value


def _ref(value: Coded) -> Ref:
    told = value.values
    texts = {name: str(told.get(name, "")) for name in ("kind", "name", "of", "state")}
    number = told.get("number", 0)
    return Ref(**texts, number=number if isinstance(number, int) else 0)

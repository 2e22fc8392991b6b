"""The leaves of every document: how one value is read, refused, and described in a JSON Schema.

A leaf reads into the program's units (metres, radians, kilograms, seconds) at once, with the document's
`units` taken from the validation context. On the second look at a faulty document (see `reading`) the
values already reported stand as `BROKEN`, and each leaf reads them as a value that no check can fault:
nan, an empty outline, an empty word.
"""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Callable, Iterable, Mapping
from typing import Any
from unicodedata import category

from attrs import define
from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, ValidationInfo
from pydantic_core import CoreSchema, core_schema

from standtrue.documents import quantities
from standtrue.documents.faults import RefusedError, choice_remedy, shorten, wrong_type
from standtrue.documents.quantities import Dimension, finite_number
from standtrue.model.reason import Reason, Term, Text, because
from standtrue.model.trade_words import american, word_key


class Broken:
    """A value that has been reported already; there is one, and its copies are itself."""

    def __deepcopy__(self, _memo: object) -> Broken:
        return self

    def __str__(self) -> str:
        return "…"


BROKEN = Broken()
"""Stands for a value that has been reported already."""

LONGEST_LENGTH_M = 10_000.0
LONGEST_DISTANCE_M = 1_000_000.0
LONGEST_TEXT = 10_000
LONGEST_NAME = 200

LANGUAGES = ("en", "es")
"""The languages in which a text for people can be given."""


@define
class Context:
    """What a leaf must know of its document, and what the document must know of its leaves."""

    units: str | None = None
    bare_lengths: bool = False
    quoted_lengths: bool = False

    @property
    def any_length(self) -> bool:
        return self.bare_lengths or self.quoted_lengths


Schema = dict[str, Any]


class Leaf:
    """How one kind of value is read: a function of the raw value and the context, and its JSON Schema."""

    def __init__(self, parse: Callable[[Any, Context], Any], schema: Schema, broken: object) -> None:
        self.parse = parse
        self.schema = schema
        self.broken = broken

    def read(self, value: object, context: Context) -> Any:
        return self.broken if value is BROKEN else self.parse(value, context)

    def __get_pydantic_core_schema__(self, _source: object, _handler: GetCoreSchemaHandler) -> CoreSchema:
        def read(value: object, info: ValidationInfo[Context]) -> Any:
            return self.broken if value is BROKEN else self.parse(value, info.context)

        return core_schema.with_info_plain_validator_function(read)

    def __get_pydantic_json_schema__(self, _core: CoreSchema, _handler: GetJsonSchemaHandler) -> Schema:
        return dict(self.schema)


# Quantities


def _length(value: object, context: Context) -> float:
    if isinstance(value, str):
        context.quoted_lengths = True
    else:
        context.bare_lengths = True
    return quantities.parse_length(value, context.units or "m")


_PARSERS: dict[Dimension, Callable[[object, Context], float]] = {
    "length": _length,
    "angle": lambda value, _: quantities.parse_angle(value),
    "mass": lambda value, _: quantities.parse_mass(value),
    "duration": lambda value, _: quantities.parse_duration(value),
    "speed": lambda value, _: quantities.parse_speed(value),
    "light": lambda value, _: quantities.parse_light(value),
}

_DESCRIBED: dict[Dimension, Schema] = {
    "length": {"description": "A length: a bare number is in the document's units."},
    "angle": {"description": "An angle: a bare number is degrees."},
    "mass": {"description": "A mass: a bare number is kilograms."},
    "duration": {"description": "A duration: a bare number is minutes."},
    "speed": {"description": "A speed: a bare number is meters a second."},
    "light": {"description": "A light: a bare number is lux."},
}


def quantity(
    dimension: Dimension, least: float = -math.inf, most: float = LONGEST_LENGTH_M, *, above: bool = False
) -> Leaf:
    """A leaf for one quantity between `least` and `most` (program units); `above`: above `least`, not equal to it."""
    parse_raw = _PARSERS[dimension]

    def parse(value: object, context: Context) -> float:
        number = parse_raw(value, context)
        _within(number, least, most, above, strict_most=dimension != "length" or context.units is not None)
        return number

    return Leaf(parse, {"type": ["number", "string"], **_DESCRIBED[dimension]}, math.nan)


def _within(number: float, least: float, most: float, above: bool, strict_most: bool = True) -> None:
    if number < least or (above and number == least):
        what = "value-too-low" if least else "value-not-above-zero" if above else "value-below-zero"
        raise RefusedError("value-impossible", because(what), because("write-measured-value"))
    if abs(number) > most and (strict_most or abs(number) > 1e9):
        raise RefusedError("value-impossible", because("value-too-large"), because("look-at-unit"))


def plain_number(least: float = -1e12, most: float = 1e12, *, above: bool = False) -> Leaf:
    """A leaf for a number without a unit."""

    def parse(value: object, _context: Context) -> float:
        number = float(finite_number(value))
        _within(number, least, most, above)
        return number

    return Leaf(parse, {"type": "number"}, math.nan)


def span(leaf: Leaf) -> Leaf:
    """A leaf for a value or `[low, high]`: read as a pair either way."""

    def parse(value: object, context: Context) -> tuple[float, float]:
        if not isinstance(value, list):
            number = leaf.parse(value, context)
            return (number, number)
        low, high = fixed(value, 2, "[low, high]", leaf, context)
        if low > high:
            raise RefusedError("range-reversed", because("first-above-second"), _form("[low, high]"))
        return (low, high)

    pair = {"type": "array", "items": leaf.schema, "minItems": 2, "maxItems": 2}
    return Leaf(parse, {"anyOf": [leaf.schema, pair]}, (math.nan, math.nan))


def row(leaf: Leaf, count: int, form: str) -> Leaf:
    """A leaf for a list of exactly `count` values, such as a point."""

    def parse(value: object, context: Context) -> tuple[float, ...]:
        return fixed(value, count, form, leaf, context)

    schema = {"type": "array", "items": leaf.schema, "minItems": count, "maxItems": count, "description": form}
    return Leaf(parse, schema, (math.nan,) * count)


def fixed(value: object, count: int, form: str, leaf: Leaf, context: Context) -> tuple[Any, ...]:
    """A list of exactly `count` values; `form` says how it is written. Raises `RefusedError`."""
    if not isinstance(value, list):
        raise wrong_type(value, form, _form(form))
    if len(value) != count:
        raise RefusedError("wrong-type", because("list-of-other-length", count=len(value), asked=form), _form(form))
    return tuple(leaf.parse(item, context) for item in value)


def _form(form: str) -> Reason:
    return because("write-form", form=form)


# Words and flags


UNSEEN = ("Cc", "Cf", "Zl", "Zp")
"""Unicode's categories of characters that nobody sees: controls, marks of writing direction and the like, new lines."""


def text(*, least: int = 0, most: int = LONGEST_TEXT, american_words: bool = False, name: bool = False) -> Leaf:
    """A leaf for text; `american_words` turns other spellings into the program's own; a `name` is all to be seen."""

    def parse(value: object, _context: Context) -> str:
        if not isinstance(value, str):
            raise wrong_type(value, Term("text"), because("write-in-quotes"))
        stripped = value.strip()
        if len(stripped) < least:
            raise RefusedError("value-impossible", because("text-empty"), because("write-what-is-meant"))
        if len(stripped) > most:
            raise RefusedError("too-large", because("text-too-long", most=most), because("write-shorter"))
        if name and not stripped.isprintable() and any(category(c) in UNSEEN for c in stripped):
            raise RefusedError("control-character", because("name-holds-unseen-character"), because("take-it-out"))
        return american(stripped) if american_words else stripped

    return Leaf(parse, {"type": "string", **({"minLength": least} if least else {})}, "")


def parse_name(value: object, context: Context) -> str:
    """A name: a word without what divides names. Raises `RefusedError`."""
    name: str = WORD.parse(value, context)
    if holds_divider(name):
        raise RefusedError("value-impossible", because("name-holds-divider"), because("write-another-sign"))
    return name


def holds_divider(name: str) -> bool:
    """Whether a name holds a sign that divides names: a lift from its state, a card from its variant or its edition."""
    return "/" in name or "@" in name


WORD = text(least=1, most=LONGEST_NAME, name=True)


def choice(words: Iterable[str], also: Mapping[str, str] | None = None, broken: str = "") -> Leaf:
    """A leaf for one of certain words, in any case and spelling; `also` maps further words onto them."""
    known = tuple(words)
    by_key = {word_key(word): word for word in known} | {word_key(k): v for k, v in (also or {}).items()}

    def parse(value: object, _context: Context) -> str:
        if not isinstance(value, str):
            raise wrong_type(value, Term("a word"), because("write-one-of", near=None, words=known))
        found = by_key.get(word_key(value[:LONGEST_NAME]))
        if found is None:
            raise RefusedError("unknown-word", because("word-unknown"), choice_remedy(value, known))
        return found

    return Leaf(parse, {"type": "string", "enum": list(known)}, broken)


def parse_flag(value: object, _context: Context) -> bool:
    """true or false. Raises `RefusedError`."""
    if not isinstance(value, bool):
        raise wrong_type(value, Term("true or false"), because("write-true-or-false"))
    return value


def whole(least: int, most: int) -> Leaf:
    """A leaf for a whole number."""

    def parse(value: object, _context: Context) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            raise wrong_type(value, Term("a whole number"), because("write-whole-number"))
        if not least <= value <= most:
            what = because("number-outside", least=least, most=most)
            raise RefusedError("value-impossible", what, because("write-again"))
        return value

    return Leaf(parse, {"type": "integer", "minimum": least, "maximum": most}, -1)


def words(leaf: Leaf, *, least: int = 0) -> Leaf:
    """A leaf for a list of words; a word alone is a list of one."""

    def parse(value: object, context: Context) -> tuple[str, ...]:
        if isinstance(value, str):
            return (leaf.parse(value, context),)
        if not isinstance(value, list):
            raise wrong_type(value, Term("a list of words"), because("write-as-in", examples=('["one", "two"]',)))
        if len(value) < least:
            raise RefusedError("list-empty", because("list-empty"), because("write-one-word-or-nothing"))
        return tuple(leaf.parse(item, context) for item in value)

    items = {"type": "array", "items": leaf.schema, **({"minItems": least} if least else {})}
    return Leaf(parse, {"anyOf": [leaf.schema, items]}, ())


_DAY = because("write-as-in", examples=("2026-03-02", '"2026-03-02T08:30"'))
_TIME = because("write-as-in", examples=('"08:30"',))


def parse_day(value: object, _context: Context) -> str:
    """A date, or a date and time: TOML's own, or text. Written out in full as ISO 8601. Raises `RefusedError`."""
    if isinstance(value, datetime.date):
        return value.isoformat()
    if not isinstance(value, str):
        raise wrong_type(value, Term("a date"), _DAY)
    for kind in (datetime.date, datetime.datetime):
        try:
            return kind.fromisoformat(value.strip()).isoformat()
        except ValueError:
            continue
    raise RefusedError("value-impossible", because("no-date"), _DAY)


def parse_clock(value: object, _context: Context) -> str:
    """A time of day as HH:MM. Raises `RefusedError`."""
    if isinstance(value, datetime.time):
        return value.strftime("%H:%M")
    if not isinstance(value, str):
        raise wrong_type(value, Term("a time of day"), _TIME)
    half = re.fullmatch(r"(0?[1-9]|1[0-2])(?::([0-5][0-9]))?\s*([ap])\.?\s?m\.?", value.strip().lower())
    if half:
        return f"{int(half[1]) % 12 + (12 if half[3] == 'p' else 0):02d}:{half[2] or '00'}"
    found = re.fullmatch(r"([01]?[0-9]|2[0-4]):([0-5][0-9])", value.strip())
    if not found or (found[1] == "24" and found[2] != "00"):
        raise RefusedError("value-impossible", because("no-time-of-day"), _TIME)
    return f"{int(found[1]):02d}:{found[2]}"


def parse_written(value: object, context: Context) -> str:
    """Text that people may also write as a bare number, such as an order number."""
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return str(finite_number(value))
    return WORDS.parse(value, context) if value != "" else ""


WORDS = text()


def parse_said(value: object, context: Context) -> Text:
    """A text for people: one string, or one for each language. Raises `RefusedError`.

    A string alone is read as US English, the language in which a document is written if it says nothing.
    """
    if not isinstance(value, dict):
        if not isinstance(value, str):
            raise wrong_type(value, Term("text"), because("write-text-or-languages"))
        return Text(en=WORDS.parse(value, context))
    unknown = [key for key in value if key not in LANGUAGES]
    if unknown:
        what = because("language-unknown", language=shorten(str(unknown[0]), 40))
        raise RefusedError("unknown-word", what, because("write-text-or-languages"))
    said = Text(**{key: WORDS.parse(item, context) for key, item in value.items()})
    if not said:
        raise RefusedError("value-impossible", because("text-empty"), because("write-what-is-meant"))
    return said


def parse_given(value: object, context: Context) -> Text:
    """A text for people that must say something. Raises `RefusedError`."""
    said = parse_said(value, context)
    if not said:
        raise RefusedError("value-impossible", because("text-empty"), because("write-what-is-meant"))
    return said

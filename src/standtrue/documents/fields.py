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
from typing import Annotated, Any

from attrs import define
from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, ValidationInfo
from pydantic_core import CoreSchema, core_schema

from standtrue.documents import quantities, shapes
from standtrue.documents.faults import RefusedError, choice_remedy
from standtrue.documents.quantities import Dimension, finite_number, type_name
from standtrue.documents.shapes import Shape
from standtrue.model.trade_words import american, word_key

BROKEN = object()
"""Stands for a value that has been reported already."""

LONGEST_LENGTH_M = 10_000.0
LONGEST_DISTANCE_M = 1_000_000.0
LONGEST_TEXT = 10_000
LONGEST_NAME = 200


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


def _wrong(value: object, asked: str, remedy: str) -> RefusedError:
    return RefusedError("wrong-type", f"{type_name(value)} stands where {asked} is asked", remedy)


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

_BARE = {
    "length": "a bare number is in the document's units",
    "angle": "a bare number is degrees",
    "mass": "a bare number is kilograms",
    "duration": "a bare number is minutes",
    "speed": "a bare number is metres a second",
    "light": "a bare number is lux",
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

    schema = {"type": ["number", "string"], "description": f"A {dimension}: {_BARE[dimension]}."}
    return Leaf(parse, schema, math.nan)


def _within(number: float, least: float, most: float, above: bool, strict_most: bool = True) -> None:
    if number < least or (above and number == least):
        what = (
            "must be above zero" if least == 0 and above else "must not be below zero" if least == 0 else "is too low"
        )
        raise RefusedError("value-impossible", f"the value {what}", "Write the measured value.")
    if abs(number) > most and (strict_most or abs(number) > 1e9):
        remedy = "Write the measured value, and look whether its unit is right."
        raise RefusedError("value-impossible", "the value is too large to be meant", remedy)


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
        low, high = _fixed(value, 2, "[low, high]", leaf, context)
        if low > high:
            raise RefusedError("range-reversed", "the first value is above the second", "Write [low, high].")
        return (low, high)

    pair = {"type": "array", "items": leaf.schema, "minItems": 2, "maxItems": 2}
    return Leaf(parse, {"anyOf": [leaf.schema, pair]}, (math.nan, math.nan))


def row(leaf: Leaf, count: int, form: str) -> Leaf:
    """A leaf for a list of exactly `count` values, such as a point."""

    def parse(value: object, context: Context) -> tuple[float, ...]:
        return _fixed(value, count, form, leaf, context)

    schema = {"type": "array", "items": leaf.schema, "minItems": count, "maxItems": count}
    return Leaf(parse, schema, (math.nan,) * count)


def _fixed(value: object, count: int, form: str, leaf: Leaf, context: Context) -> tuple[float, ...]:
    if not isinstance(value, list):
        raise _wrong(value, form, f"Write {form}.")
    if len(value) != count:
        raise RefusedError("wrong-type", f"a list of {len(value)} stands where {form} is asked", f"Write {form}.")
    return tuple(leaf.parse(item, context) for item in value)


# Words and flags


def text(*, least: int = 0, most: int = LONGEST_TEXT, american_words: bool = False) -> Leaf:
    """A leaf for text; `american_words` turns other spellings into the program's own."""

    def parse(value: object, _context: Context) -> str:
        if not isinstance(value, str):
            raise _wrong(value, "text", "Write it in quotes.")
        stripped = value.strip()
        if len(stripped) < least:
            raise RefusedError("value-impossible", "the text is empty", "Write what is meant.")
        if len(stripped) > most:
            raise RefusedError("too-large", f"the text has more than {most} characters", "Write it shorter.")
        return american(stripped) if american_words else stripped

    return Leaf(parse, {"type": "string", **({"minLength": least} if least else {})}, "")


def _name(value: object, context: Context) -> str:
    name: str = _WORD.parse(value, context)
    if "/" in name or "@" in name:
        raise RefusedError(
            "value-impossible", "a name must hold no / and no @", "Write another sign: these divide names."
        )
    return name


_WORD = text(least=1, most=LONGEST_NAME)


def choice(words: Iterable[str], also: Mapping[str, str] | None = None, broken: str = "") -> Leaf:
    """A leaf for one of certain words, in any case and spelling; `also` maps further words onto them."""
    known = tuple(words)
    by_key = {word_key(word): word for word in known} | {word_key(k): v for k, v in (also or {}).items()}

    def parse(value: object, _context: Context) -> str:
        if not isinstance(value, str):
            raise _wrong(value, "a word", f"Write one of: {', '.join(known)}.")
        found = by_key.get(word_key(value[:LONGEST_NAME]))
        if found is None:
            raise RefusedError("unknown-word", "this word is not known here", choice_remedy(value, known))
        return found

    return Leaf(parse, {"type": "string", "enum": list(known)}, broken)


def _flag(value: object, _context: Context) -> bool:
    if not isinstance(value, bool):
        raise _wrong(value, "true or false", "Write true or false, without quotes.")
    return value


def whole(least: int, most: int) -> Leaf:
    """A leaf for a whole number."""

    def parse(value: object, _context: Context) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            raise _wrong(value, "a whole number", "Write a whole number.")
        if not least <= value <= most:
            raise RefusedError("value-impossible", f"the number must lie between {least} and {most}", "Write it again.")
        return value

    return Leaf(parse, {"type": "integer", "minimum": least, "maximum": most}, -1)


def words(leaf: Leaf, *, least: int = 0) -> Leaf:
    """A leaf for a list of words; a word alone is a list of one."""

    def parse(value: object, context: Context) -> tuple[str, ...]:
        if isinstance(value, str):
            return (leaf.parse(value, context),)
        if not isinstance(value, list):
            raise _wrong(value, "a list of words", 'Write it as in ["one", "two"].')
        if len(value) < least:
            raise RefusedError(
                "list-empty", "the list is empty", "Write at least one word in it, or leave the field out."
            )
        return tuple(leaf.parse(item, context) for item in value)

    items = {"type": "array", "items": leaf.schema, **({"minItems": least} if least else {})}
    return Leaf(parse, {"anyOf": [leaf.schema, items]}, ())


def _day(value: object, _context: Context) -> str:
    """A date, or a date and time, in ISO 8601: TOML's own, or text."""
    if isinstance(value, (datetime.date, datetime.time)):
        return value.isoformat()
    if not isinstance(value, str):
        raise _wrong(value, "a date or time", 'Write it as in 2026-03-02 or "2026-03-02T08:30".')
    stripped = value.strip()
    for kind in (datetime.datetime, datetime.time):
        try:
            kind.fromisoformat(stripped)
        except ValueError:
            continue
        return stripped
    raise RefusedError(
        "value-impossible", "this is no date or time", 'Write it as in 2026-03-02 or "2026-03-02T08:30".'
    )


def _clock(value: object, _context: Context) -> str:
    """A time of day as HH:MM."""
    if isinstance(value, datetime.time):
        return value.strftime("%H:%M")
    if not isinstance(value, str):
        raise _wrong(value, "a time of day", 'Write it as in "08:30".')
    found = re.fullmatch(r"([01]?[0-9]|2[0-4]):([0-5][0-9])", value.strip())
    if not found or (found[1] == "24" and found[2] != "00"):
        raise RefusedError("value-impossible", "this is no time of day", 'Write it as in "08:30", with 24 hours.')
    return f"{int(found[1]):02d}:{found[2]}"


def _written(value: object, context: Context) -> str:
    """Text that people may also write as a bare number, such as an order number."""
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return str(finite_number(value))
    return _WORDS.parse(value, context) if value != "" else ""


_WORDS = text()

# Outlines

POINT = row(quantity("length"), 2, "[x, y]")
_LENGTH = quantity("length")


def _outline(value: object, context: Context) -> Shape:
    """A list of points, or a table with one of `outline`, `box` and `circle`."""
    if isinstance(value, dict):
        if len(value) != 1 or next(iter(value)) not in _SHAPES:
            raise RefusedError(
                "wrong-type", "the table gives no one shape", "Write { box = … }, { circle = … } or { outline = … }."
            )
        key, inner = next(iter(value.items()))
        shape: Shape = _SHAPES[key].parse(inner, context)
        return shape
    if not isinstance(value, list):
        raise _wrong(value, "an outline", "Write a list of points, as in [[0, 0], [4, 0], [4, 3]].")
    points = []
    for index, item in enumerate(value):
        try:
            points.append(POINT.parse(item, context))
        except RefusedError as refused:
            raise RefusedError(refused.code, f"point {index}: {refused.what}", refused.remedy) from None
    return shapes.polygon(tuple(points))


def _box(value: object, context: Context) -> Shape:
    x0, y0, x1, y1 = _fixed(value, 4, "[x0, y0, x1, y1]", _LENGTH, context)
    return shapes.box(x0, y0, x1, y1)


def _circle(value: object, context: Context) -> Shape:
    x, y, radius = _fixed(value, 3, "[x, y, radius]", _LENGTH, context)
    return shapes.circle(x, y, radius)


def _sector(value: object, context: Context) -> Shape:
    form = "[r0, r1, from, to]"
    if not isinstance(value, list) or len(value) != 4:
        raise _wrong(value, form, f"Write {form}: two radii and two angles.")
    inner, outer = (_LENGTH.parse(item, context) for item in value[:2])
    start, end = (ANGLE.parse(item, context) for item in value[2:])
    return shapes.sector(inner, outer, start, end)


NO_SHAPE = Shape(())
_QUANTITY_SCHEMA = {"type": ["number", "string"]}


def _numbers_schema(count: int) -> Schema:
    return {"type": "array", "items": _QUANTITY_SCHEMA, "minItems": count, "maxItems": count}


_POINTS_SCHEMA: Schema = {"type": "array", "items": _numbers_schema(2), "minItems": 3}
BOX = Leaf(_box, _numbers_schema(4) | {"description": "Two opposite corners: [x0, y0, x1, y1]."}, NO_SHAPE)
CIRCLE = Leaf(_circle, _numbers_schema(3) | {"description": "Center and radius: [x, y, r]."}, NO_SHAPE)
SECTOR = Leaf(_sector, _numbers_schema(4) | {"description": "Two radii and two angles: [r0, r1, from, to]."}, NO_SHAPE)
_OUTLINE_SCHEMA: Schema = {
    "anyOf": [
        _POINTS_SCHEMA,
        {
            "type": "object",
            "properties": {"box": _numbers_schema(4)},
            "required": ["box"],
            "additionalProperties": False,
        },
        {
            "type": "object",
            "properties": {"circle": _numbers_schema(3)},
            "required": ["circle"],
            "additionalProperties": False,
        },
        {
            "type": "object",
            "properties": {"outline": _POINTS_SCHEMA},
            "required": ["outline"],
            "additionalProperties": False,
        },
    ]
}
OUTLINE = Leaf(_outline, _OUTLINE_SCHEMA, NO_SHAPE)
_SHAPES: dict[str, Leaf] = {"outline": OUTLINE, "box": BOX, "circle": CIRCLE}


def _store(value: object, context: Context) -> Shape | tuple[float, float, float]:
    """Where equipment stands unused: an outline, or a place `[x, y]` or `[x, y, heading]` of its footprint."""
    if isinstance(value, list) and value and not isinstance(value[0], (list, dict)):
        if len(value) not in (2, 3):
            raise _wrong(value, "a place", "Write [x, y] or [x, y, heading], or an outline.")
        heading = ANGLE.parse(value[2], context) if len(value) == 3 else 0.0
        return (_LENGTH.parse(value[0], context), _LENGTH.parse(value[1], context), heading)
    shape: Shape = OUTLINE.parse(value, context)
    return shape


_FULL_TURN = 2 * math.pi + 1e-9
ANGLE = quantity("angle", -_FULL_TURN, _FULL_TURN)
_NAME = Leaf(_name, {"type": "string", "minLength": 1}, "")
_POSITIVE_LENGTH = quantity("length", 0.0, above=True)
_SIZE = quantity("length", 0.0)
_DURATION = quantity("duration", 0.0, 1e9)
_MONEY = plain_number(0.0, 1e9)
_POINT3 = row(_LENGTH, 3, "[x, y, z]")

Length = Annotated[float, _LENGTH]
PositiveLength = Annotated[float, _POSITIVE_LENGTH]
Size = Annotated[float, _SIZE]
LengthRange = Annotated[tuple[float, float], span(_LENGTH)]
SizeRange = Annotated[tuple[float, float], span(_SIZE)]
DistanceRange = Annotated[tuple[float, float], span(quantity("length", 0.0, LONGEST_DISTANCE_M))]
Angle = Annotated[float, ANGLE]
PositiveAngle = Annotated[float, quantity("angle", 0.0, _FULL_TURN)]
AngleRange = Annotated[tuple[float, float], span(ANGLE)]
AnglePair = Annotated[tuple[float, float], row(ANGLE, 2, "[from, to]")]
Mass = Annotated[float, quantity("mass", 0.0, 1e6, above=True)]
DurationRange = Annotated[tuple[float, float], span(_DURATION)]
SpeedRange = Annotated[tuple[float, float], span(quantity("speed", 0.0, 100.0, above=True))]
Lux = Annotated[float, quantity("light", 0.0, 200_000.0)]
Number = Annotated[float, plain_number()]
NotNegative = Annotated[float, plain_number(0.0)]
Fraction = Annotated[float, plain_number(0.0, 1.0, above=True)]
MoneyRange = Annotated[tuple[float, float], span(_MONEY)]
XY = Annotated[tuple[float, float], POINT]
XYZ = Annotated[tuple[float, float, float], _POINT3]
WidthHeight = Annotated[tuple[float, float], row(_POSITIVE_LENGTH, 2, "[width, height]")]
Name = Annotated[str, _NAME]
Word = Annotated[str, _WORD]
Text = Annotated[str, _WORDS]
TradeText = Annotated[str, text(american_words=True)]
Written = Annotated[str, Leaf(_written, {"type": ["string", "number"]}, "")]
Names = Annotated[tuple[str, ...], words(_WORD)]
Day = Annotated[str, Leaf(_day, {"type": "string", "description": "A date, or a date and time, in ISO 8601."}, "")]
Clock = Leaf(_clock, {"type": "string", "pattern": "^[0-9]{1,2}:[0-9]{2}$"}, "")
Flag = Annotated[bool, Leaf(_flag, {"type": "boolean"}, False)]
OutlineShape = Annotated[Shape, OUTLINE]
BoxShape = Annotated[Shape, BOX]
CircleShape = Annotated[Shape, CIRCLE]
SectorShape = Annotated[Shape, SECTOR]
Store = Annotated[
    Shape | tuple[float, float, float],
    Leaf(_store, {"anyOf": [*_OUTLINE_SCHEMA["anyOf"], {"type": "array", "items": _QUANTITY_SCHEMA}]}, NO_SHAPE),
]

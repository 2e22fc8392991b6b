"""What the forms of documents are made of: one annotated type for each kind of value."""

from __future__ import annotations

from typing import Annotated

from standtrue.documents.leaves import (
    LONGEST_DISTANCE_M,
    WORD,
    WORDS,
    Leaf,
    parse_clock,
    parse_day,
    parse_flag,
    parse_given,
    parse_name,
    parse_said,
    parse_written,
    plain_number,
    quantity,
    row,
    span,
    text,
    words,
)
from standtrue.documents.outlines import (
    ANGLE,
    BOX,
    CIRCLE,
    FULL_TURN,
    LENGTH,
    NO_SHAPE,
    OUTLINE,
    OUTLINE_SCHEMA,
    POINT,
    QUANTITY_SCHEMA,
    SECTOR,
    parse_store,
)
from standtrue.documents.shapes import Shape
from standtrue.model.reason import Text

_NAME = Leaf(parse_name, {"type": "string", "minLength": 1}, "")
_POSITIVE_LENGTH = quantity("length", 0.0, above=True)
_SIZE = quantity("length", 0.0)
_DURATION = quantity("duration", 0.0, 1e9)
_MONEY = plain_number(0.0, 1e9)
_POINT3 = row(LENGTH, 3, "[x, y, z]")

Length = Annotated[float, LENGTH]
PositiveLength = Annotated[float, _POSITIVE_LENGTH]
Size = Annotated[float, _SIZE]
LengthRange = Annotated[tuple[float, float], span(LENGTH)]
SizeRange = Annotated[tuple[float, float], span(_SIZE)]
DistanceRange = Annotated[tuple[float, float], span(quantity("length", 0.0, LONGEST_DISTANCE_M))]
Angle = Annotated[float, ANGLE]
PositiveAngle = Annotated[float, quantity("angle", 0.0, FULL_TURN)]
AngleRange = Annotated[tuple[float, float], span(ANGLE)]
AnglePair = Annotated[tuple[float, float], row(ANGLE, 2, "[from, to]")]
Mass = Annotated[float, quantity("mass", 0.0, 1e6, above=True)]
DurationRange = Annotated[tuple[float, float], span(_DURATION)]
SpeedRange = Annotated[tuple[float, float], span(quantity("speed", 0.0, 100.0, above=True))]
Lux = Annotated[float, quantity("light", 0.0, 200_000.0)]
NotNegative = Annotated[float, plain_number(0.0)]
Fraction = Annotated[float, plain_number(0.0, 1.0, above=True)]
MoneyRange = Annotated[tuple[float, float], span(_MONEY)]
XY = Annotated[tuple[float, float], POINT]
XYZ = Annotated[tuple[float, float, float], _POINT3]
WidthHeight = Annotated[tuple[float, float], row(_POSITIVE_LENGTH, 2, "[width, height]")]
Name = Annotated[str, _NAME]
Word = Annotated[str, WORD]
PlainText = Annotated[str, WORDS]
TradeText = Annotated[str, text(american_words=True)]
Written = Annotated[str, Leaf(parse_written, {"type": ["string", "number"]}, "")]
Names = Annotated[tuple[str, ...], words(WORD)]
Day = Annotated[str, Leaf(parse_day, {"type": "string", "description": "A date, or a date and time, in ISO 8601."}, "")]
Clock = Leaf(parse_clock, {"type": "string", "pattern": "^[0-9]{1,2}:[0-9]{2}$"}, "")
Flag = Annotated[bool, Leaf(parse_flag, {"type": "boolean"}, False)]
OutlineShape = Annotated[Shape, OUTLINE]
BoxShape = Annotated[Shape, BOX]
CircleShape = Annotated[Shape, CIRCLE]
SectorShape = Annotated[Shape, SECTOR]
Store = Annotated[
    Shape | tuple[float, float, float],
    Leaf(parse_store, {"anyOf": [*OUTLINE_SCHEMA["anyOf"], {"type": "array", "items": QUANTITY_SCHEMA}]}, NO_SHAPE),
]

_SAID_SCHEMA = {
    "description": "A text for people: one string, or one for each language.",
    "anyOf": [
        {"type": "string"},
        {
            "type": "object",
            "properties": {"en": {"type": "string"}, "es": {"type": "string"}},
            "minProperties": 1,
            "additionalProperties": False,
        },
    ],
}
Said = Annotated[Text, Leaf(parse_said, _SAID_SCHEMA, Text())]
"""A text for people, which may be empty."""
Given = Annotated[Text, Leaf(parse_given, _SAID_SCHEMA, Text())]
"""A text for people that must say something."""

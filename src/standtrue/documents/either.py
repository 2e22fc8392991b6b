"""Values that are a length or an angle, as what is read says."""

from __future__ import annotations

from typing import Annotated, cast

from attrs import frozen

from standtrue.documents.faults import RefusedError
from standtrue.documents.leaves import Context, Leaf
from standtrue.documents.parts import Path, Tell
from standtrue.documents.quantities import parse_angle, parse_length, typed_figure
from standtrue.model.reason import Term, because
from standtrue.model.setup import Figure
from standtrue.model.site import ANGLE_KINDS

Typed = int | float | str
"""What a value may be typed as, once it has been read."""


@frozen
class Either:
    """A value that is a length or an angle, as what is read will say: metres, radians; None where it cannot be one.

    `as_length` and `as_angle` are the same as typed.
    """

    length_m: float | None
    angle_rad: float | None
    as_length: Figure | None = None
    as_angle: Figure | None = None


def _either(value: object, context: Context) -> Either:
    length = angle = refused = None
    try:
        length = parse_length(value, context.units or "m")
    except RefusedError as error:
        refused = error
    try:
        angle = parse_angle(value)
    except RefusedError:
        if refused is not None:
            raise refused from None
    if length is not None:
        if isinstance(value, str):
            context.quoted_lengths = True
        elif angle is None:
            context.bare_lengths = True
    as_length = None if length is None else typed_figure(cast(Typed, value), "length", context.units or "m")
    as_angle = None if angle is None else typed_figure(cast(Typed, value), "angle", "deg")
    return Either(length, angle, as_length, as_angle)


BROKEN_EITHER = Either(float("nan"), float("nan"))
LengthOrAngle = Annotated[
    Either,
    Leaf(
        _either,
        {"type": ["number", "string"], "description": "A length or an angle, as `what` says."},
        BROKEN_EITHER,
    ),
]


def is_angle(what: str) -> bool:
    """Whether what is read is an angle, not a length."""
    return what in ANGLE_KINDS


def amount(value: Either, what: str) -> float | None:
    """The value as what is read says: metres or radians; None where it cannot be that."""
    return value.angle_rad if is_angle(what) else value.length_m


def check_value(value: Either, what: str, path: Path, tell: Tell, positive: bool = False) -> None:
    """A value is of the kind that is read; `positive`: an uncertainty, which is above 0."""
    found = amount(value, what)
    if found is None:
        kind, example = ("an angle", '"0.2 deg"') if is_angle(what) else ("a length", '"12 mm"')
        tell(
            path,
            "wrong-type",
            because("reading-is", what=what, kind=Term(kind)),
            because("write-as-in", examples=(example,)),
        )
    elif positive and found <= 0.0:
        tell(path, "value-impossible", because("u-not-above-zero"), because("write-how-well-read"))

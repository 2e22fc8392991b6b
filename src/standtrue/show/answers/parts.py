"""What the shapes of all answers share: both converters, the envelope, and reasons with their sentences.

An answer has one home: a file here with its shape, the function that makes it from what a use case answered, and its
rows for a table. Sentences in it are US English whatever the reader's settings; each list of sentences `x` has beside
it `x_coded`: the same reasons as code and values.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable
from functools import cache
from importlib.metadata import version
from typing import Any, Literal, Self, TypeAlias

from attrs import asdict, astuple
from pydantic import BaseModel, ConfigDict, Field

from standtrue.model.basics import Outline, Place
from standtrue.model.basis import Basis
from standtrue.model.fits import Fits
from standtrue.model.level import LevelTold
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
)
from standtrue.show.words.reader import ENGLISH

Json: TypeAlias = dict[str, Any]
LevelWord: TypeAlias = Literal["met", "not met", "cannot tell"]
OTHER_LANGUAGE = "_es"
"""The end of a value's name that is a document's text in Spanish, beside the one in US English."""

CodedValue: TypeAlias = "float | int | str | Coded | list[float | int | str | Coded] | None"


class Shape(BaseModel):
    """A part of an answer. Frozen; a field that it does not name is refused."""

    model_config = ConfigDict(
        extra="forbid", allow_inf_nan=False, strict=True, frozen=True, defer_build=True, populate_by_name=True
    )

    def to_json(self) -> Json:
        """The object that `--json` writes: lists, tables, texts and numbers only."""
        return self.model_dump(mode="json", by_alias=True)

    @classmethod
    def from_json(cls, given: Json) -> Self:
        """The shape that `to_json` gave. Raises pydantic's ValidationError, a ValueError, for anything else."""
        return cls.model_validate_json(json.dumps(given))


class DocumentUsed(Shape):
    kind: str
    name: str
    digest: str = Field(description="SHA-256 of the document's canonical JSON.")


class Coded(Shape):
    """A reason: its code, and the quantities and references that its sentence names."""

    code: str
    values: dict[str, CodedValue] = Field(
        description="Lengths end in `_m`, angles in `_deg`, durations in `_min`; a text in Spanish in `_es`."
    )
    terms: list[str] = Field(
        default=[], exclude_if=lambda terms: not terms, description="The values that are words of the trade."
    )


class AnswerShape(Shape):
    """What every answer carries."""

    program: str
    documents: list[DocumentUsed]
    demonstration: bool = Field(description="Whether invented demonstration data was used.")
    warnings: list[str]
    cautions: list[str]
    warnings_coded: list[Coded] = []
    cautions_coded: list[Coded] = []


class StanceShape(Shape):
    x_m: float
    y_m: float
    heading_deg: float


class TouchShape(Shape):
    zone: str
    thing: str
    separation_m: float = Field(description="Negative where they overlap; then only the sign is promised.")
    gap_m: float
    at: tuple[float, float] = Field(description="The thing's nearest point, metres in the site frame.")
    of_at: tuple[float, float] | None = Field(
        default=None, description="The zone's nearest point: the distance runs from there to `at`."
    )


class LeveledShape(Shape):
    """What is told beside whether a stance fits."""

    level: LevelWord | None = Field(
        default=None, description="Whether the floor is as level as the card asks; null where it asks for none."
    )
    level_because: list[str] = Field(default=[], description="By how much, or why it cannot be told.")
    level_because_coded: list[Coded] = Field(default=[])


def level_fields(told: LevelTold | None) -> Json:
    """The fields of a `LeveledShape`."""
    if told is None:
        return {}
    because, values = ENGLISH.reasons(told.because), coded(told.because)
    return {"level": told.level.value, "level_because": because, "level_because_coded": values}


def fits_told(fits: Fits) -> bool | Literal["undecided"]:
    """Whether something fits, as `place` answers write it."""
    return "undecided" if fits is Fits.UNDECIDED else fits is Fits.YES


@cache
def program() -> str:
    """This program and its version, as every answer names it."""
    return f"standtrue {version('standtrue')}"


def envelope(basis: Basis) -> Json:
    """The fields of `AnswerShape`, to be handed to an answer's shape: `PlaceAnswer(**envelope(basis), answers=...)`."""
    notes = basis.notes
    return {
        "program": program(),
        "documents": [DocumentUsed(kind=m.kind, name=m.name, digest=m.digest) for m in basis.marks],
        "demonstration": basis.demonstration,
        "warnings": ENGLISH.reasons(notes),
        "cautions": [ENGLISH.reason(c.reason) for c in basis.cautions],
        "warnings_coded": coded(notes),
        "cautions_coded": coded(c.reason for c in basis.cautions),
    }


def coded(reasons: Iterable[Reason]) -> list[Coded]:
    """Reasons as code and values, each once."""
    return [_coded(r) for r in dict.fromkeys(reasons)]


def coded_or_none(reason: Reason | None) -> Coded | None:
    """One reason as code and values; none for no reason."""
    return None if reason is None else _coded(reason)


def _coded(reason: Reason) -> Coded:
    values = dict(_value(name, value) for name, value in reason.values)
    spanish = {name + OTHER_LANGUAGE: v.es for name, v in reason.values if isinstance(v, Text) and v.es}
    terms = [name for name, v in reason.values if any(isinstance(part, Term) for part in _parts(v))]
    return Coded(code=reason.code, values=values | spanish, terms=terms)


def _parts(value: object) -> tuple[object, ...]:
    return value if isinstance(value, tuple) else (value,)


def _value(name: str, value: object) -> tuple[str, Any]:
    """A named value, its unit in the name."""
    if isinstance(value, tuple):
        told = [_value(name, part) for part in value]
        return (told[0][0] if told else name, [part for _, part in told])
    if isinstance(value, Reason):
        return name, _coded(value)
    if isinstance(value, Ref):
        fields: dict[str, CodedValue] = {key: part for key, part in asdict(value).items() if part}
        return name, Coded(code="ref", values=fields)
    if isinstance(value, Text):
        return name, value.en or value.es
    if isinstance(value, Term):
        return name, value.word
    if isinstance(value, Quantity):
        unit, factor = _UNITS[type(value)]
        return f"{name}{unit}", rounded(_amount(value) * factor)
    return name, value


_UNITS: dict[type[Quantity], tuple[str, float]] = {
    Length: ("_m", 1.0),
    Angle: ("_deg", 180.0 / math.pi),
    Duration: ("_min", 1.0 / 60.0),
    Mass: ("_kg", 1.0),
    Light: ("_lux", 1.0),
    Speed: ("_m_per_s", 1.0),
    Share: ("_share", 1.0),
    Number: ("", 1.0),
}


def _amount(quantity: Quantity) -> float:
    """The one number of a quantity, in the program's units: its first field."""
    return float(astuple(quantity)[0])


def rounded(value: float) -> float:
    """A number as answers write it: to a billionth, no minus zero."""
    return round(value, 9) + 0.0


def rounded_or_none(value: float | None) -> float | None:
    """The same; null where there is none, or it is not finite."""
    return None if value is None or not math.isfinite(value) else rounded(value)


def stance_told(place: Place) -> StanceShape:
    """A place in the site frame."""
    return StanceShape(x_m=rounded(place.x_m), y_m=rounded(place.y_m), heading_deg=rounded(place.heading_deg))


def ring(outline: Outline) -> list[tuple[float, float]]:
    """An outline's points, metres."""
    return [(rounded(x), rounded(y)) for x, y in outline]

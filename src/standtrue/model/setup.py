"""A set-up: one card at one stance, what it is measured with, and what was read."""

from __future__ import annotations

from typing import Literal

from attrs import frozen

from standtrue.model.basics import Place

Measure = Literal["distance", "offset", "height", "angle", "lean"]
MEASURES: tuple[Measure, ...] = ("distance", "offset", "height", "angle", "lean")

POINTS_OF_MEASURE: dict[Measure, tuple[tuple[int, ...], int]] = {
    "distance": ((1,), 1),
    "offset": ((2,), 1),
    "height": ((0, 1), 1),
    "angle": ((2,), 2),
    "lean": ((0,), 1),
}
"""How many points a reading starts from, and ends at."""

LINES: dict[str, tuple[str, str]] = {
    "centerline": ("rear axle", "front axle"),
    "thrust line": ("rear axle", "thrust line"),
}
"""Lines that a person may name instead of two points."""

ALIGNMENT_READINGS: tuple[str, ...] = (
    *(f"{what} {end} {side}" for what in ("toe", "camber") for end in ("front", "rear") for side in ("left", "right")),
    *(f"{what} {side}" for what in ("caster", "SAI") for side in ("left", "right")),
    "set-back front",
    "set-back rear",
    "total toe front",
    "total toe rear",
    "thrust angle",
)
"""What is read at the wheels. Totals and the thrust angle may be read instead of the toes that make them."""


def points_of(name: str) -> tuple[str, ...]:
    """The points that a person means: the two of a line, or the one of that name."""
    return LINES.get(name, (name,))


@frozen
class Instrument:
    """What can be read, and how well: metres or radians.

    `plumbed`: distances are taken on the floor between points plumbed down. `effort` is what one reading costs, in any
    unit that is the same for all instruments. `lines` are the lines that offsets and angles are taken from.
    """

    what: Measure
    u: float
    plumbed: bool = False
    effort: float = 1.0
    lines: tuple[str, ...] = ("thrust line",)


@frozen
class Figure:
    """A value as it was typed. `runs` are its runs of digits that a slip of the pen may change: where each begins and
    ends in `text`, and what one of it is worth, metres or radians."""

    text: str
    runs: tuple[tuple[int, int, float], ...] = ()


@frozen
class SetupReading:
    """One reading as typed: metres or radians. Names of lines stand as their two points.

    `typed` is its value as it stands in the document; None where it comes from none.
    """

    what: Measure
    start: tuple[str, ...]
    end: tuple[str, ...]
    value: float
    u: float
    plumbed: bool = False
    typed: Figure | None = None


@frozen
class AlignmentReading:
    """An alignment reading, by one of the names of ALIGNMENT_READINGS: radians."""

    name: str
    value_rad: float
    u_rad: float = 0.0


@frozen
class ConditionReading:
    """A condition of the card as found: a value in its unit."""

    what: str
    value: float
    unit: str = ""


@frozen
class Setup:
    """One card set up for one job. `on` is `floor` or LIFT/STATE, `height_m` the ground that the wheels stand on."""

    name: str
    job: str
    procedure: str
    place: Place
    on: str = "floor"
    height_m: float = 0.0
    variant: str | None = None
    instruments: tuple[Instrument, ...] = ()
    readings: tuple[SetupReading, ...] = ()
    alignment: tuple[AlignmentReading, ...] = ()
    conditions: tuple[ConditionReading, ...] = ()
    demonstration: bool = False

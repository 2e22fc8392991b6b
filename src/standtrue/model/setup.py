"""A set-up: one card at one stance, what it is measured with, and what was read."""

from __future__ import annotations

from typing import Literal

from attrs import frozen

from standtrue.model.basics import Place

Measure = Literal["distance", "offset", "height", "angle", "lean", "size"]
"""What is read; a `size` is what is known beforehand of a dimension, and nobody reads it."""
MEASURES: tuple[Measure, ...] = ("distance", "offset", "height", "angle", "lean")

POINTS_OF_MEASURE: dict[Measure, tuple[tuple[int, ...], int]] = {
    "distance": ((1,), 1),
    "offset": ((2,), 1),
    "height": ((0, 1), 1),
    "angle": ((2,), 2),
    "lean": ((0,), 1),
    "size": ((0,), 1),
}
"""How many points a reading starts from, and ends at."""

CHALKED: tuple[str, ...] = ("thrust line", "centerline")
"""The lines of the car that are snapped on the floor, ahead of the car or behind it."""

STRINGS: tuple[str, ...] = ("left string", "right string")
"""Lines along the sides of the car, through the same point of the rear and the front wheel, prolonged both ways."""

LINES: dict[str, tuple[str, str]] = {
    **{line: (f"{line} near", f"{line} far") for line in CHALKED},
    **{line: (f"{line} rear", f"{line} front") for line in STRINGS},
}
"""Lines that a person may name instead of two points. A chalked line runs through its mark near the car and its mark
far from it, a string through its point at the rear wheel and its point at the front wheel."""

FLOOR_START, WHEELS_START = "floor at target", "wheels"
"""Where a height may start: at the floor right below the point, or at the ground that the wheels stand on."""

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
    unit that is the same for all instruments. `lines` are the lines that offsets and angles are taken from. `name` is
    that of the site's instrument, "" for one that the set-up itself describes.
    """

    what: Measure
    u: float
    plumbed: bool = False
    effort: float = 1.0
    lines: tuple[str, ...] = ("thrust line",)
    name: str = ""


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
    instrument: str = ""


TIED: tuple[str, ...] = ("along", "across", "turn")
"""What a tie may say of the car against its planned stance."""


@frozen
class CarPoint:
    """A point of this car as measured at it: how far outboard of the wheel's center plane it lies, metres."""

    name: str
    offset_m: float
    u_m: float


@frozen
class Tie:
    """A statement of where the car stands against its planned stance, such as "wheels on the painted marks".

    How far ahead of it, to its left and turned counter-clockwise the car stands: metres, radians. `fixes` says which
    of these are stated. `u_m` is the standard uncertainty of each shift, `u_turn_rad` that of the turn; None: what
    `u_m` at both axles gives.
    """

    what: str
    u_m: float
    u_turn_rad: float | None = None
    along_m: float = 0.0
    across_m: float = 0.0
    turn_rad: float = 0.0
    fixes: tuple[str, ...] = TIED


@frozen
class ReadAngle:
    """An alignment reading in radians."""

    value_rad: float
    u_rad: float


@frozen
class ReadLength:
    """An alignment reading in metres: a toe over a diameter, or how far one wheel stands behind the other."""

    value_m: float
    u_m: float


@frozen
class Sweep:
    """The cambers of one wheel steered outward and inward by the same angle, radians; `u_rad` is each camber's."""

    camber_out_rad: float
    camber_in_rad: float
    steer_rad: float
    u_rad: float
    u_steer_rad: float


@frozen
class AlignmentReading:
    """An alignment reading, by one of the names of ALIGNMENT_READINGS. `diameter_m` is that over which a toe counts."""

    name: str
    read: ReadAngle | ReadLength | Sweep
    diameter_m: float | None = None
    instrument: str = ""


@frozen
class ConditionReading:
    """A condition of the card as found: a value in its unit, and its standard uncertainty (0: not stated)."""

    what: str
    value: float
    unit: str = ""
    u: float = 0.0


@frozen
class Setup:
    """One card set up for one job. `on` is `floor` or LIFT/STATE, `height_m` the ground that the wheels stand on.

    `points` were measured at this car; `lines` are chalked lines with the standard uncertainty (metres) of each of
    their two marks, where somebody states it; `instrument_names` are the site's instruments that the set-up uses.
    """

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
    points: tuple[CarPoint, ...] = ()
    ties: tuple[Tie, ...] = ()
    lines: tuple[tuple[str, float], ...] = ()
    instrument_names: tuple[str, ...] = ()

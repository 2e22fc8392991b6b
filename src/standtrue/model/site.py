"""The measured floor and everything on it, in the site frame (x right, y up on the plan)."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from attrs import field, frozen

from standtrue.model.basics import Outline, Point, Range
from standtrue.model.lift import Obstacle, PlacedLift
from standtrue.model.reader_units import Language, Paper, System
from standtrue.model.reason import Text


@frozen
class Gaps:
    """What must stay free beyond contact, metres. See the documents reference for each."""

    body_m: float = 0.050
    wheel_m: float = 0.050
    zone_m: float = 0.0
    person_m: float = 0.500
    bridge_m: float = 0.040
    exit_m: float = 0.600
    room_m: float = 0.300


@frozen
class Datum:
    at: Point
    direction_rad: float = 0.0


def from_datum(point: Point, datum: Datum) -> Point:
    """A point of the site frame, along the datum's direction and to the left of it, metres."""
    c, s = math.cos(datum.direction_rad), math.sin(datum.direction_rad)
    x, y = point[0] - datum.at[0], point[1] - datum.at[1]
    return (c * x + s * y, c * y - s * x)


@frozen
class Mark:
    name: str
    at: Point


@frozen
class Light:
    lux: float
    at: Point | None = None


@frozen
class Door:
    """A door. `apron_assumed`: that nobody entered (all of) the apron; only driving takes floor to be there."""

    name: str
    start: Point
    end: Point
    height_m: float
    metal: bool = True
    may_stand_open: bool = False
    apron: Outline | None = None
    track: Obstacle | None = None
    apron_assumed: bool = False


@frozen
class Bay:
    name: str
    outline: Outline
    closed_edges: tuple[int, ...] = ()


@frozen
class Cover:
    name: str
    outline: Outline
    load_kg: float | None = None


@frozen
class Void:
    """An open pit, and the covers that can close parts of it at floor level."""

    name: str
    outline: Outline
    covers: tuple[Cover, ...] = ()
    closed: tuple[str, ...] = ()


@frozen
class Patch:
    """Floor on which nothing may stand, and why (drain, grate, slope, slick)."""

    name: str
    outline: Outline
    why: Text


@frozen
class Equipment:
    """A piece of equipment. `footprint` is about its own origin; `store` is where it stands unused."""

    name: str
    kind: str
    count: int = 1
    footprint: Outline | None = None
    height_m: float | None = None
    reach_m: Range | None = None
    store: Outline | None = None
    used_at: Point | None = None
    serves: tuple[str, ...] = ()
    set_up_s: Range = (0.0, 0.0)
    put_away_s: Range = (0.0, 0.0)
    wheeled: bool = False


def equipment_of(name: str | None, equipment: Sequence[Equipment]) -> Equipment | None:
    """The site's equipment of this name, or else of this kind."""
    if name is None:
        return None
    return next((e for e in equipment if e.name == name), next((e for e in equipment if e.kind == name), None))


@frozen
class Person:
    """`hours` are their own, by day, from and to; none: whenever the shop is open. `away_on`: days off, ISO 8601."""

    name: str
    skills: tuple[str, ...] = ()
    hours: tuple[tuple[str, str, str], ...] = ()
    away_on: tuple[str, ...] = ()


@frozen
class SentOut:
    """Work that another firm, or a mobile calibrator, can do: cards, and the job's own work by its name or its stage.

    `transport_s`: they fetch the car, or come for it, and it takes so long both ways; None: it is driven there.
    """

    procedures: tuple[str, ...]
    minutes_s: Range
    price: Range
    currency: str = "USD"
    work: tuple[str, ...] = ()
    transport_s: Range | None = None

    @property
    def takes_s(self) -> Range:
        """What it takes until the car is back."""
        low, high = self.transport_s or (0.0, 0.0)
        return self.minutes_s[0] + low, self.minutes_s[1] + high


@frozen
class Pace:
    """How fast things go in the shop: metres a second, and seconds.

    From `skates_from` changes of direction on, skates are proposed.
    """

    drive_mps: Range = (1.0, 1.0)
    turn_back_s: Range = (4.0, 12.0)
    enter_s: Range = (30.0, 30.0)
    leave_s: Range = (20.0, 20.0)
    guide: bool = False
    push_mps: Range = (0.4, 0.4)
    skates_mps: Range = (0.2, 0.2)
    skates_from: int = 8


InstrumentKind = Literal["distance", "offset", "height", "angle", "lean", "leveling instrument", "wheel alignment"]
INSTRUMENT_KINDS: tuple[InstrumentKind, ...] = (
    "distance",
    "offset",
    "height",
    "angle",
    "lean",
    "leveling instrument",
    "wheel alignment",
)
"""What the instruments of a shop read. A leveling instrument reads heights against a level line of sight."""

ANGLE_KINDS: frozenset[str] = frozenset({"angle", "lean", "wheel alignment"})
"""Those whose uncertainty is an angle; the others' is a length."""


@frozen
class SiteInstrument:
    """An instrument that the shop has: metres or radians by what it reads.

    `minutes` is what one reading takes, `checked_on` the day of its last check (ISO 8601, "" if not known) and
    `check_every_days` how long that holds (None where nobody says).
    """

    name: str
    what: InstrumentKind
    u: float
    plumbed: bool = False
    lines: tuple[str, ...] = ("thrust line",)
    minutes: float = 1.0
    serial: str = ""
    checked_on: str = ""
    check_every_days: int | None = None


PointKind = Literal["hub face", "sidewalls", "clamp", "axle bar"]
POINT_KINDS: tuple[PointKind, ...] = ("hub face", "sidewalls", "clamp", "axle bar")
"""Where on a car the hands of a shop take readings."""

Checked = Literal["every", "least"]
CHECKED: tuple[Checked, ...] = ("every", "least")


@frozen
class Readings:
    """How a shop takes readings: at which points of a car, and whether every reading is checked by others.

    `clamp_m` is how far the end of a clamp stands out from the hub's face, `bar_m` the length of the bar that is laid
    across an axle.
    """

    points: tuple[PointKind, ...] = ("hub face",)
    checked: Checked = "every"
    clamp_m: float | None = None
    bar_m: float | None = None


@frozen
class SiteReader:
    """Who reads a site's answers, where nobody says otherwise: None where the site does not say either."""

    units: System | None = None
    language: Language | None = None
    paper: Paper | None = None


@frozen
class Site:
    """`entered` names the tables of equipment and people that its document has, also where one is empty."""

    name: str
    outline: Outline
    datum: Datum
    gaps: Gaps = field(factory=Gaps)
    clear_height_m: float | None = None
    wall_metal: bool = True
    holes: tuple[Outline, ...] = ()
    marks: tuple[Mark, ...] = ()
    light: tuple[Light, ...] = ()
    doors: tuple[Door, ...] = ()
    bays: tuple[Bay, ...] = ()
    obstacles: tuple[Obstacle, ...] = ()
    voids: tuple[Void, ...] = ()
    patches: tuple[Patch, ...] = ()
    lifts: tuple[PlacedLift, ...] = ()
    equipment: tuple[Equipment, ...] = ()
    people: tuple[Person, ...] = ()
    hours: tuple[tuple[str, str, str], ...] = ()
    closed_on: tuple[str, ...] = ()
    time_zone: str = ""
    sent_out: tuple[SentOut, ...] = ()
    pace: Pace = field(factory=Pace)
    roll_over_m: float = 0.030
    reader: SiteReader = field(factory=SiteReader)
    instruments: tuple[SiteInstrument, ...] = ()
    readings: Readings = field(factory=Readings)
    entered: frozenset[str] = frozenset()

    @property
    def lists_equipment(self) -> bool:
        """Whether its document says what equipment there is; an empty list says that there is none."""
        return bool(self.equipment) or "equipment" in self.entered

    @property
    def lists_people(self) -> bool:
        """Whether its document says who works there; an empty list says that nobody does."""
        return bool(self.people) or "people" in self.entered

    def instrument(self, name: str) -> SiteInstrument:
        """The instrument of a name. Raises KeyError if there is none."""
        for one in self.instruments:
            if one.name == name:
                return one
        raise KeyError(name)

    def lift(self, name: str) -> PlacedLift:
        """The lift of a name. Raises KeyError if there is none."""
        for placed in self.lifts:
            if placed.name == name:
                return placed
        raise KeyError(name)


ThingKind = Literal["wall", "hole", "obstacle", "post", "deck", "lift part", "ceiling", "door", "equipment", "neighbor"]
GroundKind = Literal["void", "patch", "ramp", "uneven", "weak cover"]

"""The repair order: the car, what was done to it, what is still to do; and the shop's car mix."""

from __future__ import annotations

from typing import Literal

from attrs import field, frozen

from standtrue.model.basics import Place, Range, Side, SupportClass
from standtrue.model.card_fields import CardFields
from standtrue.model.procedure import Zone
from standtrue.model.reason import Text
from standtrue.model.rules import Where
from standtrue.model.stages import Stage


@frozen
class Event:
    """What happened to the car. `at`: when, where that was after work on the order began (ISO 8601); "": before."""

    event: str
    where: Where | None = None
    part: str | None = None
    note: Text = field(factory=Text)
    at: str = ""


@frozen
class Work:
    """A mechanical or body operation on the job."""

    name: str
    minutes_s: Range
    supports: tuple[SupportClass, ...] = ("floor",)
    skills: tuple[str, ...] = ()
    equipment: tuple[str, ...] = ()
    wheels_on: str | None = None
    zones: tuple[Zone, ...] = ()
    after: tuple[str, ...] = ()
    wait_s: Range = (0.0, 0.0)
    blocks: Literal["drive", "lift", "all"] | None = None
    stage: Stage | None = None


@frozen
class FittedSensor:
    """A sensor that the job says is fitted, or is not."""

    kind: str
    side: Side | None = None


@frozen
class Decision:
    """A person's override of one need, or of all that one event calls for: who took it, why, and on which day.

    It names a card or a sensor as `procedure`, or an `event` that no rule knows, and leaves the other empty.
    """

    procedure: str
    verdict: Literal["keep", "drop"]
    because: Text
    by: str
    on: str = ""
    event: str = ""


@frozen
class Scan:
    when: Literal["before", "after"]
    findings: tuple[str, ...] = ()


@frozen
class Reading:
    what: str
    value: float
    unit: str = ""
    u: float | None = None


@frozen
class Done:
    """What has been done: the name of a work, a scan, a card or a fact to be confirmed; when (ISO 8601) and by whom."""

    what: str
    at: str
    by: str = ""


@frozen
class Waiting:
    """An operation, by its own name, that somebody sent out or that waits for a part: since when (ISO 8601), by whom
    it was said."""

    what: str
    kind: Literal["sent out", "part"]
    since: str
    by: str = ""


@frozen
class Stands:
    """Where the car stands now: its place, on what (`floor` or LIFT/STATE), and how high that is; None: its least.

    `named` says where it is instead, as `bay:NAME`, `lift:NAME` or `mark:NAME`; of the place then counts the heading,
    and that only at a mark.
    """

    place: Place
    on: str = "floor"
    height_m: float | None = None
    named: str = ""


@frozen
class PlannedWith:
    """The edition of a card that a job was planned with. `digest` is the card's, as `Procedure` has it; `fields` are
    what it said then, where that is known."""

    card: str
    edition: str = ""
    digest: str = ""
    fields: CardFields = field(default=(), eq=False, repr=False)


@frozen
class Job:
    """A repair order. `arrives` and `promised` are local dates and times, or dates alone (ISO 8601); "" if not told."""

    name: str
    site: str
    vehicle: str
    fitted: tuple[FittedSensor, ...] = ()
    not_fitted: tuple[FittedSensor, ...] = ()
    order_number: str = ""
    vin: str = ""
    plate: str = ""
    odometer: str = ""
    payer: str = ""
    events: tuple[Event, ...] = ()
    work: tuple[Work, ...] = ()
    drivable: str = "yes"
    scans: tuple[Scan, ...] = ()
    readings: tuple[Reading, ...] = ()
    arrives: str = ""
    promised: str = ""
    decisions: tuple[Decision, ...] = ()
    demonstration: bool = False
    done: tuple[Done, ...] = ()
    stands: Stands | None = None
    planned_with: tuple[PlannedWith, ...] = ()
    put_aside: Text = field(factory=Text)
    """Why nobody works on it for the time being; "": it is in hand."""
    left: str = ""
    """When its car went away; "": nobody says that it did."""
    waits: tuple[Waiting, ...] = ()
    """What nobody can do for now: it is left out of a plan, with all that must follow it."""


@frozen
class MixEntry:
    vehicle: str
    share: float


@frozen
class Mix:
    name: str
    vehicles: tuple[MixEntry, ...]
    demonstration: bool = False

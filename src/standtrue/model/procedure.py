"""Cards: what the vehicle maker's procedure asks of the floor, the lift, the people and the equipment."""

from __future__ import annotations

from typing import Literal

from attrs import evolve, field, frozen

from standtrue.model.basics import SUPPORT_CLASSES, Layer, Outline, Point, Range, Side, SupportClass
from standtrue.model.card_fields import CardFields
from standtrue.model.reason import Reason, Text

Method = Literal["static", "drive", "static or drive", "static then drive", "electronic"]
METHODS: tuple[Method, ...] = ("static", "drive", "static or drive", "static then drive", "electronic")

ANCHORS: tuple[str, ...] = (
    "rear axle",
    "front axle",
    "front",
    "rear",
    "left",
    "right",
    "wheel front left",
    "wheel front right",
    "wheel rear left",
    "wheel rear right",
    "sensor",
)


CardStatus = Literal["draft", "transcribed", "verified", "questioned", "superseded", "demonstration"]
"""The life of a card. A demonstration card passes for verified where all is demonstration."""


@frozen
class Questioned:
    """Somebody who worked by a card says that it is wrong: what is, who says so, on which day, at which order."""

    says: Text = field(factory=Text)
    by: str = ""
    on: str = ""
    order: str = ""


@frozen
class Source:
    """Where a card was transcribed from, and how far it can be trusted.

    `status` is what the card counts as; `short_of` says why that is less than what its document claims. `verified_by`
    and `verified_on` are the second reader's, who counts only where `status` is verified. `older` names the
    editions before it, the newest first; `superseded_by` the cards that say that they are its newer editions.
    `questioned` are those who say that it is wrong: until somebody else has read it again, it serves for nothing.
    """

    title: str
    edition: str = ""
    read_on: str = ""
    status: CardStatus = "transcribed"
    transcribed_by: str = ""
    transcribed_on: str = ""
    verified_by: str = ""
    verified_on: str = ""
    older: tuple[str, ...] = ()
    superseded_by: tuple[str, ...] = ()
    short_of: Reason | None = None
    questioned: tuple[Questioned, ...] = ()

    @property
    def usable(self) -> bool:
        """Whether a car may be calibrated by it at all: it is whole, nobody says that it is wrong, none is newer."""
        return self.status not in ("draft", "questioned", "superseded")


@frozen
class Condition:
    what: str
    low: float | None = None
    high: float | None = None
    unit: str = ""


@frozen
class Cause:
    """Why a calibration by a card may not finish, as its source says; `code` is what the scan tool then shows."""

    says: Text
    code: str = ""


@frozen
class DriveCycle:
    speed_mps: Range | None = None
    distance_m: Range | None = None
    minutes_s: Range | None = None
    road: str = ""
    weather: str = ""
    people: int = 1


@frozen
class Zone:
    """A part of space about the car that must be free in the way that `needs` says.

    `outline` is in the frame of `anchor`: the vehicle frame moved to the anchor (and turned to
    the sensor's facing where `turned`). Heights are above the ground that the wheels stand on.
    """

    name: str
    needs: Layer
    anchor: str
    outline: Outline
    bottom_m: float
    top_m: float
    turned: bool = False
    from_floor: bool = False


@frozen
class Tolerance:
    """Half-widths about the nominal pose: metres and radians; None where the card states none."""

    along_m: float | None = None
    across_m: float | None = None
    height_m: float | None = None
    turn_rad: float | None = None
    lean_rad: float | None = None


@frozen
class TargetPosition:
    at: tuple[float, float, float]
    facing_rad: float | None = None


@frozen
class Target:
    """A target's nominal pose in the frame of `anchor`; `facing` is the way its printed side looks."""

    name: str
    anchor: str
    at: tuple[float, float, float]
    facing_rad: float
    equipment: str | None = None
    size_m: tuple[float, float] | None = None
    line: Literal["thrust line", "centerline"] = "thrust line"
    tolerance: Tolerance = field(factory=Tolerance)
    positions: tuple[TargetPosition, ...] = ()
    swept: tuple[Point, ...] = ()
    turned: bool = False
    from_floor: bool = False


@frozen
class Minutes:
    """Times of a procedure, seconds."""

    set_up_s: Range = (0.0, 0.0)
    run_s: Range = (0.0, 0.0)
    put_away_s: Range = (0.0, 0.0)


@frozen
class FloorLevel:
    """How level the floor must be: the greatest height difference over the named zones and wheels."""

    within_m: float | None = None
    within_rad: float | None = None
    over: tuple[str, ...] = ()


@frozen
class Variant:
    """Another set of zones and targets that serves equally; fields left out are the card's own."""

    name: str
    zones: tuple[Zone, ...] = ()
    targets: tuple[Target, ...] = ()
    supports: tuple[SupportClass, ...] | None = None
    lift_height_m: Range | None = None
    minutes: Minutes | None = None
    equipment: tuple[str, ...] | None = None


@frozen
class Procedure:
    """One card for one sensor (one side of it, where it was written for each side).

    `digest` is of all that was read from the source, whoever read it and whatever the card is called; `fields` are the
    same, value by value, to be compared with another edition or a second reading.
    """

    name: str
    sensor: str
    method: Method
    source: Source
    side: Side | None = None
    vehicles: tuple[str, ...] = ("*",)
    supports: tuple[SupportClass, ...] = ("floor",)
    lift_height_m: Range | None = None
    wheels_hanging: bool | None = None
    wheels_on: str | None = None
    minutes: Minutes = field(factory=Minutes)
    people: int = 1
    skills: tuple[str, ...] = ()
    equipment: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    light_lux: float | None = None
    floor_level: FloorLevel | None = None
    conditions: tuple[Condition, ...] = ()
    causes: tuple[Cause, ...] = ()
    drive: DriveCycle | None = None
    zones: tuple[Zone, ...] = ()
    targets: tuple[Target, ...] = ()
    variants: tuple[Variant, ...] = ()
    demonstration: bool = False
    digest: str = ""
    fields: CardFields = field(default=(), eq=False, repr=False)

    @property
    def key(self) -> str:
        """How a person names this card: `NAME`, or `NAME/left` where it was written for each side."""
        return self.name if self.side is None else f"{self.name}/{self.side}"

    @property
    def names(self) -> tuple[str, ...]:
        """All that a person may call this card: its name and key, and those of the editions before it."""
        side = self.key.removeprefix(self.name)
        return tuple(dict.fromkeys(one for bare in (self.name, *self.source.older) for one in (bare, bare + side)))

    @property
    def all_supports(self) -> tuple[SupportClass, ...]:
        """The support classes that the card or any of its variants allows, in their usual order."""
        allowed = {*self.supports, *(s for v in self.variants for s in v.supports or ())}
        return tuple(s for s in SUPPORT_CLASSES if s in allowed)

    @property
    def needs_space(self) -> bool:
        """Whether the car must stand somewhere for it: a drive or a scan alone needs no place."""
        return self.method not in ("drive", "electronic")

    @property
    def rests_on_place(self) -> bool:
        """Whether its verdict rests on where in the room the car stands: what must be free or level about it.

        A card that only places targets from the car serves wherever the car is.
        """
        return self.floor_level is not None or any(zone.needs != "plain" for zone in self.zones)

    def as_variant(self, variant: Variant) -> Procedure:
        """This card with one variant's zones, targets and conditions in place of its own."""
        return evolve(
            self,
            zones=variant.zones,
            targets=variant.targets,
            supports=self.supports if variant.supports is None else variant.supports,
            lift_height_m=self.lift_height_m if variant.lift_height_m is None else variant.lift_height_m,
            minutes=self.minutes if variant.minutes is None else variant.minutes,
            equipment=self.equipment if variant.equipment is None else variant.equipment,
            variants=(),
        )

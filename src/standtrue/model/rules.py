"""Rules: which events call for which calibrations, and the sentence that says why."""

from __future__ import annotations

from typing import Literal

from attrs import frozen

from standtrue.model.basics import Side
from standtrue.model.reason import Text

EVENTS: tuple[str, ...] = (
    "windshield replaced",
    "rear glass replaced",
    "front bumper removed",
    "grille removed",
    "radiator removed",
    "radiator support removed",
    "headlamp removed",
    "fender removed",
    "door removed",
    "door mirror removed",
    "rear bumper removed",
    "bumper repaired over radar",
    "liftgate removed",
    "quarter panel replaced",
    "minor collision",
    "structural collision",
    "wheel alignment",
    "suspension work",
    "ride height changed",
    "tires replaced",
    "tire size changed",
    "steering work",
    "airbag deployed",
    "seat removed",
    "battery disconnected",
    "module replaced",
    "sensor disturbed",
    "roof or headliner work",
    "fault stored",
)

WHERES: tuple[str, ...] = ("front", "rear", "left", "right", "roof", "under")

Where = Literal["front", "rear", "left", "right", "roof", "under"]
How = Literal["required", "conditional"]


@frozen
class Calibrate:
    """A sensor kind, and the side of it, that a rule calls for (no side: every one that is fitted)."""

    sensor: str
    side: Side | None = None


@frozen
class Rule:
    event: str
    calibrate: tuple[Calibrate, ...]
    how: How
    because: Text
    where: Where | None = None
    part: str | None = None
    vehicles: tuple[str, ...] = ("*",)
    before: tuple[str, ...] = ()
    source: str = ""


@frozen
class Rules:
    name: str
    rules: tuple[Rule, ...]
    demonstration: bool = False

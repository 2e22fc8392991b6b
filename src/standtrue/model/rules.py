"""Rules: which events call for which calibrations, and the sentence that says why."""

from __future__ import annotations

from typing import Literal

from attrs import frozen

from standtrue.model.basics import Side
from standtrue.model.reason import Text

EVENTS: tuple[str, ...] = (
    "windshield replaced",
    "windshield removed",
    "windshield repaired",
    "rear glass replaced",
    "rear glass removed",
    "front bumper removed",
    "front bumper replaced",
    "grille removed",
    "grille replaced",
    "emblem removed",
    "emblem replaced",
    "radiator removed",
    "radiator replaced",
    "radiator support removed",
    "radiator support replaced",
    "headlamp removed",
    "headlamp replaced",
    "fender removed",
    "fender replaced",
    "hood removed",
    "hood replaced",
    "door removed",
    "door replaced",
    "door mirror removed",
    "door mirror replaced",
    "rear bumper removed",
    "rear bumper replaced",
    "bumper repaired over radar",
    "bumper painted",
    "liftgate removed",
    "liftgate replaced",
    "trunk lid removed",
    "trunk lid replaced",
    "quarter panel replaced",
    "tow bar fitted",
    "bull bar fitted",
    "snow plow fitted",
    "minor collision",
    "structural collision",
    "curb strike",
    "towed",
    "flood",
    "wheel alignment",
    "suspension work",
    "control arm replaced",
    "shock absorbers replaced",
    "springs replaced",
    "subframe removed",
    "subframe replaced",
    "ride height changed",
    "suspension lifted",
    "suspension lowered",
    "tires replaced",
    "tire size changed",
    "steering work",
    "steering rack replaced",
    "tie rod replaced",
    "steering column removed",
    "steering column replaced",
    "engine removed",
    "airbag deployed",
    "seat belt tensioner fired",
    "instrument panel removed",
    "seat removed",
    "seat replaced",
    "battery disconnected",
    "battery replaced",
    "module replaced",
    "software update",
    "wiring repaired",
    "sensor disturbed",
    "camera removed",
    "camera replaced",
    "radar removed",
    "radar replaced",
    "roof or headliner work",
    "headliner removed",
    "roof repaired",
    "sunroof replaced",
    "fault stored",
)
"""The events that the default rules know, in the trade's words. The list is open: any other is kept and asked about."""

OTHER_EVENTS: dict[str, str] = {
    "flooded": "flood",
    "flood damage": "flood",
    "water damage": "flood",
    "towed in": "towed",
    "software updated": "software update",
    "windshield chip repaired": "windshield repaired",
    "four wheel alignment": "wheel alignment",
    "front end alignment": "wheel alignment",
    "pothole strike": "curb strike",
    "dashboard removed": "instrument panel removed",
}
"""Other words for an event, and the event."""

FACTS: tuple[str, ...] = (
    "adhesive cured as its maker says",
    "paint and filler over the radar checked against the vehicle maker's limits",
    "structure measured and within limits",
    "wheel alignment measured and within limits",
    "ride height measured and within limits",
    "tire pressures set",
    "cause of the fault repaired",
)
"""What the default rules want to hold before a calibration."""

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

"""What somebody states of where the car stands against its planned stance, as readings of the network."""

from __future__ import annotations

import math
from collections.abc import Iterator

from standtrue.aim.bodies import Reading
from standtrue.model.basics import Point
from standtrue.model.setup import Tie

_REAR, PLANNED_AHEAD, _LEFT = "planned rear axle", "planned front axle", "planned left"

PLANNED: dict[str, Point] = {_REAR: (0.0, 0.0), PLANNED_AHEAD: (1.0, 0.0), _LEFT: (0.0, 1.0)}
"""Points of the planned stance on the floor, in the planned vehicle frame, metres: its origin, ahead and left of it."""


def tied(tie: Tie, wheelbase_m: float) -> Iterator[Reading]:
    """A statement as readings between the planned stance and the car."""
    u_turn = tie.u_turn_rad if tie.u_turn_rad is not None else math.sqrt(2.0) * tie.u_m / wheelbase_m
    if "along" in tie.fixes:  # to the left of the line from left to the origin is ahead
        yield Reading("offset", (_LEFT, _REAR), ("rear axle",), tie.along_m, tie.u_m)
    if "across" in tie.fixes:
        yield Reading("offset", (_REAR, PLANNED_AHEAD), ("rear axle",), tie.across_m, tie.u_m)
    if "turn" in tie.fixes:
        yield Reading("angle", (_REAR, PLANNED_AHEAD), ("rear axle", "front axle"), tie.turn_rad, u_turn)


def is_tie(reading: Reading) -> bool:
    """Whether a reading is a statement of where the car stands."""
    return bool(reading.start) and reading.start[0] in PLANNED

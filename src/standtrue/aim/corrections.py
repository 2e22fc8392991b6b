"""Corrections: what to shift, which way, how far."""

from __future__ import annotations

import math
from collections.abc import Sequence

from attrs import frozen

from standtrue.model.reason import Angle, Length, Reason, because

LEAST_M = 0.0005
LEAST_RAD = math.radians(0.05)
"""Below these a correction is not worth a word."""


@frozen
class Correction:
    """What to do to a target: metres in the direction of the car's line (forward, left, up), radians.

    `turn_rad` is counter-clockwise seen from above, `lean_rad` tips the printed side down.
    """

    forward_m: float
    left_m: float
    up_m: float = 0.0
    turn_rad: float = 0.0
    lean_rad: float = 0.0

    @property
    def steps(self) -> tuple[Reason, ...]:
        """Each part that is worth a word, as what to do."""
        shifts = (
            (self.forward_m, "shift-forward", "shift-rearward"),
            (self.left_m, "shift-left", "shift-right"),
            (self.up_m, "shift-up", "shift-down"),
        )
        turns = (
            (self.turn_rad, "turn-counter-clockwise", "turn-clockwise"),
            (self.lean_rad, "tip-down", "tip-up"),
        )
        lengths = [(size, plus if size > 0.0 else minus) for size, plus, minus in shifts if abs(size) >= LEAST_M]
        angles = [(size, plus if size > 0.0 else minus) for size, plus, minus in turns if abs(size) >= LEAST_RAD]
        return (
            *(because(code, by=Length(abs(size))) for size, code in lengths),
            *(because(code, by=Angle(abs(size))) for size, code in angles),
        )


def correction(deviations: Sequence[float], axis_rad: float = 0.0) -> Correction:
    """What undoes deviations along, across, in height, turn and lean: metres and radians.

    `axis_rad` is the direction of `along` from the car's line, counter-clockwise.
    """
    along_m, across_m, height_m, turn_rad, lean_rad = deviations
    c, s = math.cos(axis_rad), math.sin(axis_rad)
    return Correction(-(c * along_m - s * across_m), -(s * along_m + c * across_m), -height_m, -turn_rad, -lean_rad)

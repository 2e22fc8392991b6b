"""Corrections in words and numbers: what to shift, which way, how far."""

from __future__ import annotations

import math
from collections.abc import Sequence

from attrs import frozen

from standtrue.model.reader_units import System, format_length

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

    def words(self, system: System = "metric") -> tuple[str, ...]:
        """Each part that is worth a word, such as `12 mm to the left` or `turn 0.2 degrees clockwise`."""
        shifts = (
            (self.forward_m, "forward", "rearward"),
            (self.left_m, "to the left", "to the right"),
            (self.up_m, "up", "down"),
        )
        said = [
            f"{length} {plus if size > 0.0 else minus}"
            for size, plus, minus in shifts
            if abs(size) >= LEAST_M and (length := format_length(abs(size), system)) not in ("0 in", "0 mm")
        ]
        if abs(self.turn_rad) >= LEAST_RAD:
            way = "counter-clockwise" if self.turn_rad > 0.0 else "clockwise"
            said.append(f"turn {_degrees(self.turn_rad)} degrees {way}")
        if abs(self.lean_rad) >= LEAST_RAD:
            way = "down" if self.lean_rad > 0.0 else "up"
            said.append(f"tip the printed side {_degrees(self.lean_rad)} degrees {way}")
        return tuple(said)


def correction(deviations: Sequence[float], axis_rad: float = 0.0) -> Correction:
    """What undoes deviations along, across, in height, turn and lean: metres and radians.

    `axis_rad` is the direction of `along` from the car's line, counter-clockwise.
    """
    along_m, across_m, height_m, turn_rad, lean_rad = deviations
    c, s = math.cos(axis_rad), math.sin(axis_rad)
    return Correction(-(c * along_m - s * across_m), -(s * along_m + c * across_m), -height_m, -turn_rad, -lean_rad)


def _degrees(angle_rad: float) -> str:
    return f"{abs(math.degrees(angle_rad)):.1f}"

"""Corrections: what to shift, which way, how far."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Literal

from attrs import frozen

from standtrue.model.reason import Angle, Length, Reason, Ref, because

LEAST_M = 0.0005
LEAST_RAD = math.radians(0.05)
"""Below these a correction is not worth a word."""

Way = Literal["forward", "left", "rearward", "right"]

WAYS: Mapping[Way, float] = {"forward": 0.0, "left": math.pi / 2, "rearward": math.pi, "right": -math.pi / 2}
"""The ways on the plan, as the car looks: counter-clockwise from its line."""


@frozen
class Correction:
    """What to do to a target: metres in the direction of the car's line (forward, left, up), radians.

    `turn_rad` is counter-clockwise seen from above, `lean_rad` tips the printed side down. `half_width_m` is from the
    target's middle to its ends (0 where it has none), `toward` what somebody there sees in the ways that it goes.
    """

    forward_m: float
    left_m: float
    up_m: float = 0.0
    turn_rad: float = 0.0
    lean_rad: float = 0.0
    half_width_m: float = 0.0
    toward: tuple[tuple[Way, Ref], ...] = ()

    @property
    def shifts(self) -> tuple[tuple[Way, float], ...]:
        """The shifts on the plan that are worth a word: which way as the car looks, and how far."""
        both: tuple[tuple[float, Way, Way], ...] = (
            (self.forward_m, "forward", "rearward"),
            (self.left_m, "left", "right"),
        )
        return tuple((plus if size > 0.0 else minus, abs(size)) for size, plus, minus in both if abs(size) >= LEAST_M)

    @property
    def at_ends_m(self) -> float:
        """How far the turn moves each end of the target."""
        return self.half_width_m * abs(math.sin(self.turn_rad))

    @property
    def steps(self) -> tuple[Reason, ...]:
        """Each part that is worth a word, as what to do."""
        told: list[Reason] = []
        landmarks = dict(self.toward)
        for way, size in self.shifts:
            seen = {"toward": landmarks[way]} if way in landmarks else {}
            told.append(because(f"shift-{way}", by=Length(size), **seen))
        if abs(self.up_m) >= LEAST_M:
            told.append(because("shift-up" if self.up_m > 0.0 else "shift-down", by=Length(abs(self.up_m))))
        if abs(self.turn_rad) >= LEAST_RAD:
            code = "turn-counter-clockwise" if self.turn_rad > 0.0 else "turn-clockwise"
            ends = {"ends": Length(self.at_ends_m)} if self.at_ends_m > 0.0 else {}
            told.append(because(code, by=Angle(abs(self.turn_rad)), **ends))
        if abs(self.lean_rad) >= LEAST_RAD:
            told.append(because("tip-down" if self.lean_rad > 0.0 else "tip-up", by=Angle(abs(self.lean_rad))))
        return tuple(told)


def correction(deviations: Sequence[float], axis_rad: float = 0.0, half_width_m: float = 0.0) -> Correction:
    """What undoes deviations along, across, in height, turn and lean: metres and radians.

    `axis_rad` is the direction of `along` from the car's line, counter-clockwise.
    """
    along_m, across_m, height_m, turn_rad, lean_rad = deviations
    c, s = math.cos(axis_rad), math.sin(axis_rad)
    forward_m, left_m = -(c * along_m - s * across_m), -(s * along_m + c * across_m)
    return Correction(forward_m, left_m, -height_m, -turn_rad, -lean_rad, half_width_m)

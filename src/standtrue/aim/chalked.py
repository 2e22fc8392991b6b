"""Lines chalked on the floor for one car: two marks each, one near the car and one far from it, never quite in place.

A line is snapped where its marks were set: from the strings along the car's sides, by offsets that are read, or as well
as somebody states. So each mark has an unknown of its own: how far it lies to the left of the line that was meant.
"""

from __future__ import annotations

import math

from attrs import frozen

from standtrue.aim.points import Reachable, Size
from standtrue.model.setup import CHALKED, LINES
from standtrue.model.vehicle import Vehicle

NEAR_M = 0.1
"""How far ahead of the car's end, or behind it, the near mark is set."""

LEAST_M = 1.0
"""The marks are at least this far apart."""


@frozen
class Chalk:
    """The chalked lines of one car. `stated` are the standard uncertainties of a line's marks, metres; `ahead_m` how
    far ahead of the rear axle the targets stand, as planned: the lines run to the farthest."""

    vehicle: Vehicle
    thrust_rad: float
    stated: tuple[tuple[str, float], ...] = ()
    ahead_m: tuple[float, ...] = ()

    @property
    def marks_m(self) -> tuple[float, float]:
        """How far ahead of the rear axle the near and the far mark lie; behind it where most targets stand there."""
        front, rear = self.vehicle.front_x_m, self.vehicle.rear_x_m
        ahead = [x for x in self.ahead_m if x >= 0.0]
        if 2 * len(ahead) >= len(self.ahead_m):
            near = front + NEAR_M
            return near, max([*ahead, near + LEAST_M])
        near = rear - NEAR_M
        return near, min([*self.ahead_m, near - LEAST_M])

    @property
    def points(self) -> tuple[Reachable, ...]:
        """The marks of each line, in the vehicle frame."""
        found = []
        for line in CHALKED:
            turn = self.thrust_rad if line == "thrust line" else 0.0
            c, s = math.cos(turn), math.sin(turn)
            for name, x in zip(LINES[line], self.marks_m, strict=True):
                found.append(Reachable(name, (x, x * math.tan(turn), 0.0), ((name, (-s, c, 0.0)),)))
        return tuple(found)

    @property
    def sizes(self) -> tuple[Size, ...]:
        """How far each mark lies to the left of the line that was meant: 0, as well as is stated, or not at all."""
        known = dict(self.stated)
        return tuple(Size(name, 0.0, known.get(line, math.inf)) for line in CHALKED for name in LINES[line])

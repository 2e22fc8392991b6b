"""How the car and the targets stand: values, before anything is decided of the whole set-up."""

from __future__ import annotations

import numpy as np
from attrs import evolve, frozen
from numpy.typing import NDArray

from standtrue.aim.alignment import Angle
from standtrue.aim.conformity import RISK, Tested, guard_factor
from standtrue.aim.corrections import Correction
from standtrue.aim.layout import TargetPlace
from standtrue.aim.scene import ANGLES
from standtrue.model.anchors import in_frame
from standtrue.model.basics import Place
from standtrue.model.reason import Reason
from standtrue.model.verdict import Verdict

Array = NDArray[np.float64]


@frozen(eq=False)
class CarStands:
    """Where the car stands: its place with covariance of x, y and heading, and how far that is off the plan.

    `forward_m`, `left_m` and `turn_rad` are in the planned vehicle frame.
    """

    place: Place
    covariance: Array
    forward_m: float
    left_m: float
    turn_rad: float
    thrust: Angle

    @property
    def thrust_heading_rad(self) -> float:
        """The thrust line's heading in the site frame."""
        return self.place.heading_rad + self.thrust.value_rad


@frozen
class Part:
    """One of a target's deviations: metres or radians. `tested` is None where the card gives no tolerance for it,
    or where it was not measured."""

    name: str
    deviation: float
    u: float
    limit: float | None
    measured: bool
    tested: Tested | None

    @property
    def is_angle(self) -> bool:
        """Whether it is in radians."""
        return self.name in ANGLES

    @property
    def verdict(self) -> Verdict | None:
        """The tolerance decided; None where there is none, or it was not measured."""
        return None if self.tested is None else self.tested.verdict

    @property
    def at_most(self) -> float:
        """How far off it is at most, as is decided: no farther than the limit exactly where it is accepted."""
        if self.tested is None:
            return abs(self.deviation) + guard_factor(RISK / 2) * self.u
        return self.tested.at_most


@frozen(eq=False)
class TargetStands:
    """How one target stands to the car. `covariance` (5, 5) is of the deviations, in the order of the parts; of what
    was not measured it says nothing.

    `verdict` is ACCEPT only if every tolerance of the card was measured and accepted. `because` says what stands
    against it. `correct` is None where nothing was measured.
    """

    place: TargetPlace
    parts: tuple[Part, ...]
    covariance: Array
    verdict: Verdict
    because: tuple[Reason, ...]
    correct: Correction | None
    from_others: bool = False

    def part(self, name: str) -> Part:
        return next(p for p in self.parts if p.name == name)

    @property
    def stood(self) -> TargetPlace | None:
        """Where it stands by its deviations: off its place for the car as it stands; None where that was not measured.

        Of what was not measured of its height, turn and lean it stands as it should.
        """
        off = {p.name: p.deviation if p.measured else 0.0 for p in self.parts}
        if not (self.part("along").measured and self.part("across").measured):
            return None
        x, y, z = self.place.at
        ((ahead, left),) = in_frame(self.place.frame, ((x + off["along"], y + off["across"]),))
        center = (ahead, left, self.place.center[2] + off["height"])
        at = (x + off["along"], y + off["across"], z + off["height"])
        return evolve(self.place, center=center, at=at, facing_rad=self.place.facing_rad + off["turn"])


@frozen(eq=False)
class Stands:
    """The car and the targets by one adjustment, and where the targets go for that car."""

    car: CarStands | None
    targets: tuple[TargetStands, ...]
    corrected: tuple[TargetPlace, ...]

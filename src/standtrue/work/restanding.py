"""A set-up's stance measured by `place`: as planned, and where the car really stands, with how sure that is."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from attrs import frozen

from standtrue.aim.conformity import Tested, Verdict, decide
from standtrue.aim.setup import CarStands
from standtrue.model.basics import Fault, Place
from standtrue.model.ground import Grounds, Unfloor
from standtrue.model.procedure import Procedure
from standtrue.model.setup import Setup
from standtrue.model.vehicle import Vehicle
from standtrue.place.answer import Answer
from standtrue.place.given import given_stance
from standtrue.work.ask import UnansweredError

STEP_M, STEP_RAD = 1e-4, 1e-4
"""Steps of the differences by which the margin's uncertainty is found."""


@frozen(eq=False)
class Restood:
    """The stance measured again. `u_m` is the standard uncertainty of its margin, None where the car's place is only
    planned; `tested` is the margin against 0, with a guard band."""

    answer: Answer
    u_m: float | None = None
    tested: Tested | None = None

    @property
    def verdict(self) -> Verdict:
        """Whether the car fits where it stands: `reject` also where something else than room rules the stance out."""
        if self.answer.because or self.tested is None:
            return "accept" if self.answer.fits is True else "reject"
        return self.tested.verdict


def planned_stance(
    grounds: Grounds,
    vehicle: Vehicle,
    card: Procedure,
    setup: Setup,
    place: Place | None = None,
    uneven: Sequence[Unfloor] = (),
) -> Answer:
    """A set-up's planned stance measured, or another place on what the set-up names.

    Raises UnansweredError if the site has no such support.
    """
    where = setup.place if place is None else place
    try:
        return given_stance(
            grounds, vehicle, [card], where, setup.on, setup.height_m, variants=(setup.variant,), uneven=uneven
        )
    except KeyError:
        known = [f"{p.name}/{s.name}" for p in grounds.site.lifts for s in p.lift.states]
        what = f"the site {grounds.site.name} has no {setup.on}"
        remedy = f"write floor or one of: {', '.join(known) or 'none'}"
        field = f"setup {setup.name}: stance.on"
        raise UnansweredError([Fault("no-such-state", what, "", field, setup.on, remedy)]) from None


def restand(
    grounds: Grounds,
    vehicle: Vehicle,
    card: Procedure,
    setup: Setup,
    car: CarStands | None,
    uneven: Sequence[Unfloor] = (),
) -> Restood:
    """The stance where the car was found to stand; as planned where no reading ties it to the floor."""
    if car is None:
        return Restood(planned_stance(grounds, vehicle, card, setup, None, uneven))

    def at(place: Place) -> Answer:
        return planned_stance(grounds, vehicle, card, setup, place, uneven)

    answer = at(car.place)
    if answer.margin_m is None:
        return Restood(answer)
    x, y, heading = car.place.x_m, car.place.y_m, car.place.heading_rad
    moved = (Place(x + STEP_M, y, heading), Place(x, y + STEP_M, heading), Place(x, y, heading + STEP_RAD))
    steps = np.array([STEP_M, STEP_M, STEP_RAD])
    slopes = (np.array([at(place).margin_m for place in moved], dtype=np.float64) - answer.margin_m) / steps
    u_m = math.sqrt(float(slopes @ car.covariance @ slopes))
    return Restood(answer, u_m, decide(answer.margin_m, u_m, 0.0, math.inf))

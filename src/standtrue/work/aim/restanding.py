"""A set-up's stance measured by `place`: as planned, and where the car really stands, with how sure that is."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import chain, combinations

import numpy as np
from attrs import frozen

from standtrue.aim.conformity import Tested, decide
from standtrue.aim.stands import CarStands
from standtrue.model.basics import Place
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds, Unfloor
from standtrue.model.procedure import Procedure
from standtrue.model.setup import Setup
from standtrue.model.vehicle import Vehicle
from standtrue.model.verdict import Verdict
from standtrue.place.margin.stated import stated_stance
from standtrue.place.question.answer import Answer, Touch
from standtrue.work.aim.setups import carrier_of


@frozen(eq=False)
class Restood:
    """The stance measured again. `u_m` is the standard uncertainty of its margin, None where the car's place is only
    planned; `tested` is the margin against 0, with a guard band."""

    answer: Answer
    u_m: float | None = None
    tested: Tested | None = None

    @property
    def verdict(self) -> Verdict:
        """Whether the car fits where it stands: REJECT also where something else than room rules the stance out."""
        if self.answer.because or self.tested is None:
            return Verdict.ACCEPT if self.answer.fits is Fits.YES else Verdict.REJECT
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

    As `place` has it, with the fewest doors open that let it fit, and closed where none do. Raises UnansweredError if
    the site has no such support.
    """
    where = setup.place if place is None else place
    carrier, variants = carrier_of(setup, grounds.site), (setup.variant,)
    doors = [opened for count in range(len(grounds.openable) + 1) for opened in combinations(grounds.openable, count)]
    answers = (
        stated_stance(grounds, vehicle, [card], where, carrier, doors_open=opened, variants=variants, uneven=uneven)
        for opened in doors
    )
    closed = next(answers)
    return next((answer for answer in chain([closed], answers) if answer.fits is Fits.YES), closed)


def restand(
    grounds: Grounds,
    vehicle: Vehicle,
    card: Procedure,
    setup: Setup,
    car: CarStands | None,
    uneven: Sequence[Unfloor] = (),
) -> Restood:
    """The stance where the car was found to stand; as planned where no reading ties it to the floor."""
    place = None if car is None else car.place
    answer = planned_stance(grounds, vehicle, card, setup, place, uneven)
    if car is None or answer.margin_m is None:
        return Restood(answer)
    u_m = max((margin_u(touch, car) for touch in answer.touches), default=0.0)
    return Restood(answer, u_m, decide(answer.margin_m, u_m, 0.0, math.inf))


def margin_u(touch: Touch, car: CarStands) -> float:
    """The standard uncertainty of one pair's separation, metres, from the covariance of the car's place and heading.

    The claim's nearest point moves with the car, and only its way along the line between the two counts. Where they
    overlap there is no such line, and the car's position counts whole.
    """
    (x0, y0), (x1, y1) = touch.at, touch.of_at
    if touch.separation_m <= 0.0:
        return math.sqrt(float(car.covariance[0, 0] + car.covariance[1, 1]))
    along = np.array([x1 - x0, y1 - y0]) / math.hypot(x1 - x0, y1 - y0)
    turning = np.array([car.place.y_m - y1, x1 - car.place.x_m])
    slopes = np.array([*along, along @ turning])
    return math.sqrt(float(slopes @ car.covariance @ slopes))

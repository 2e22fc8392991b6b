"""Use cases of aiming: judge what was measured, check alignment."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterator, Mapping

from attrs import evolve, frozen

from standtrue.aim.alignment import AlignmentAnswer, Angle, AsLength, as_lengths, check_alignment
from standtrue.aim.bodies import Reading
from standtrue.aim.conditions import ConditionCheck, check_conditions
from standtrue.aim.scene import Scene
from standtrue.aim.settle import Settling, possible_readings, settling_reading
from standtrue.aim.setup import SetupAnswer, check_setup
from standtrue.aim.sight import Sight
from standtrue.aim.ways import with_ways_questioned
from standtrue.model.basis import Basis
from standtrue.model.ground import Grounds
from standtrue.model.reason import Reason, because
from standtrue.model.setup import Setup
from standtrue.model.shop import Shop
from standtrue.model.vehicle import Vehicle
from standtrue.model.verdict import Verdict
from standtrue.work.aim.floors import StandingFloor, floor_at
from standtrue.work.aim.gate import Gate, May, gate_of
from standtrue.work.aim.instruments import Overdue, overdue_in, overdue_then
from standtrue.work.aim.landmarks import with_landmarks
from standtrue.work.aim.restanding import Restood, restand
from standtrue.work.aim.setups import angles_of, basis_for, card_of, noted_of_card, readings_of, scene_of
from standtrue.work.place.level import survey_of

ANY_THRUST_U_RAD = math.radians(0.2)
"""How well the centerline stands in for a thrust line that nobody knows: standard uncertainty. Common practice, no
source."""

OFF_PLAN_M = 0.1
"""By so much a target's equipment may stand farther back than planned when what was read is followed on its way."""


@frozen(eq=False)
class MeasuredAnswer:
    """What a set-up's readings say, and the one verdict of it and of all that comes before it.

    `of` is the set-up as written, `read` its readings in that order, also those that were left out as impossible.
    """

    of: Setup
    read: tuple[Reading, ...]
    setup: SetupAnswer
    stance: Restood
    floor: StandingFloor | None
    alignment: AlignmentAnswer
    conditions: tuple[ConditionCheck, ...]
    settling: tuple[Settling, ...]
    gate: Gate
    basis: Basis

    @property
    def may_calibrate(self) -> bool:
        """Whether nothing of what was asked stands against it: not a statement that the car is safe."""
        return self.gate.verdict is May.YES


@frozen(eq=False)
class AlignmentJudged:
    """A car's alignment readings against its own limits; toes and set-backs also as `lengths`, where they can be."""

    vehicle: Vehicle
    answer: AlignmentAnswer
    lengths: Mapping[str, AsLength]
    basis: Basis


def judge_measured(shop: Shop, setup: Setup, on: datetime.date | None = None) -> MeasuredAnswer:
    """How the car and the targets of a set-up stand by its readings, decided with guard bands.

    `on` is the day for which overdue checks of instruments are told; none are without it. Raises UnansweredError as
    `scene_of` does.
    """
    scene, notes = scene_of(shop, setup)
    alignment = check_alignment(scene.vehicle, angles_of(setup, scene.vehicle))
    if alignment.thrust_heading is None:
        scene = evolve(scene, thrust=Angle(0.0, ANY_THRUST_U_RAD))
    readings = readings_of(setup)
    answer = with_landmarks(check_setup(scene, readings))
    conditions = check_conditions(scene.card, setup.conditions)
    stance = restand(Grounds(scene.site), scene.vehicle, card_of(shop, setup), setup, answer.car)
    sight = Sight(scene, stance.answer.ground)
    answer = with_ways_questioned(answer, readings, Sight(scene, stance.answer.ground, OFF_PLAN_M))
    settling = tuple(_settling(answer, setup, sight))
    floor, of_floor = floor_at(shop, scene, setup, stance.answer.place)
    told = [
        *notes,
        *alignment.notes,
        *_stance_notes(stance, answer.car is not None),
        *of_floor,
        *(because("calibration-held", why=held) for held in alignment.holds),
        *_unchecked(answer),
        *(c.because for c in conditions if c.because is not None),
    ]
    gate = gate_of(
        answer,
        stance,
        floor,
        alignment,
        conditions,
        settling,
        thrust_known=alignment.thrust_heading is not None,
        check_every=scene.site.readings.checked == "every",
        of_card=noted_of_card(shop, setup, scene.card),
        overdue=() if on is None else (*overdue_in(setup, scene.site, on), *_of_survey(shop, scene, floor)),
    )
    basis = basis_for(shop, scene, told, stance.answer)
    return MeasuredAnswer(setup, readings, answer, stance, floor, alignment, conditions, settling, gate, basis)


def _of_survey(shop: Shop, scene: Scene, floor: StandingFloor | None) -> tuple[Overdue, ...]:
    """Whether the survey that the floor is judged by was made with an instrument whose check was overdue."""
    return () if floor is None else overdue_then(survey_of(shop, scene.site)[0], scene.site)


def judge_alignment(shop: Shop, setup: Setup) -> AlignmentJudged:
    """A set-up's alignment readings against the limits of its car. Raises UnansweredError as `scene_of` does."""
    scene, _ = scene_of(shop, setup)
    answer = check_alignment(scene.vehicle, angles_of(setup, scene.vehicle))
    lengths = as_lengths(answer.values, setup.alignment, scene.vehicle)
    return AlignmentJudged(scene.vehicle, answer, lengths, basis_for(shop, scene, answer.notes))


def _settling(answer: SetupAnswer, setup: Setup, sight: Sight) -> Iterator[Settling]:
    """The readings that would settle what cannot be told of the targets, of those that hands can take."""
    if all(t.verdict is not Verdict.CANNOT_TELL for t in answer.targets):
        return
    candidates, _ = possible_readings(answer.scene, setup.instruments, answer.car is not None, sight)
    for target in answer.targets:
        found = settling_reading(answer, target, candidates)
        if found is not None:
            yield found


def _unchecked(answer: SetupAnswer) -> Iterator[Reason]:
    """Whether a misreading could go unseen."""
    if answer.adjustment is not None and (answer.blunder is None or answer.blunder.unchecked):
        yield because("readings-unchecked")


def _stance_notes(stance: Restood, found: bool) -> Iterator[Reason]:
    """What must be said of the car's place. `found`: by its readings, not as planned."""
    if not found:
        yield because("car-not-tied-to-floor")
    if stance.verdict is Verdict.REJECT:
        yield because("car-does-not-fit-there" if found else "car-does-not-fit-as-planned")
    if stance.verdict is Verdict.CANNOT_TELL:
        yield because("car-fit-unsure")
    yield from stance.answer.in_view

"""Use cases of aiming: lay targets out, judge what was measured, check alignment."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Mapping

from attrs import frozen

from standtrue.aim.alignment import AlignmentAnswer, AsLength, as_lengths, check_alignment
from standtrue.aim.bodies import Reading
from standtrue.aim.conditions import ConditionCheck, check_conditions
from standtrue.aim.layout import Offset, TargetLayout, car_offsets, lay_out
from standtrue.aim.reading_plan import QUIET, ReadingPlan
from standtrue.aim.scene import Scene
from standtrue.aim.settle import Settling, plan_setup, possible_readings, settling_reading
from standtrue.aim.setup import SetupAnswer, check_setup
from standtrue.model.asking import Asking
from standtrue.model.basis import Basis, basis_of
from standtrue.model.cautions import Fact, propulsion_facts
from standtrue.model.ground import Grounds
from standtrue.model.reason import Reason, because
from standtrue.model.setup import Setup
from standtrue.model.shop import Shop
from standtrue.model.vehicle import Vehicle
from standtrue.model.verdict import Verdict
from standtrue.place.question.answer import Answer
from standtrue.work.aim.floors import StandingFloor, floor_at
from standtrue.work.aim.gate import Gate, May, gate_of
from standtrue.work.aim.instruments import overdue_in
from standtrue.work.aim.landmarks import with_landmarks
from standtrue.work.aim.restanding import Restood, planned_stance, restand
from standtrue.work.aim.setups import angles_of, card_of, carrier_of, scene_of
from standtrue.work.caution_facts import card_facts


@frozen(eq=False)
class TargetsAnswer:
    """How to lay a set-up out, and which readings to take. `stance` is the car where it is planned to stand."""

    scene: Scene
    stance: Answer
    targets: tuple[TargetLayout, ...]
    wheels: tuple[tuple[str, tuple[Offset, ...]], ...]
    plan: ReadingPlan | None
    basis: Basis


@frozen(eq=False)
class MeasuredAnswer:
    """What a set-up's readings say, and the one verdict of it and of all that comes before it."""

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


def lay_targets_out(shop: Shop, setup: Setup, asking: Asking = QUIET) -> TargetsAnswer:
    """Where a set-up's targets go, and the fewest readings with which its tolerances can be decided.

    Stopped early, the plan of readings is the best so far, and not proven. Raises UnansweredError as `scene_of` does.
    """
    scene, notes = scene_of(shop, setup)
    stance = planned_stance(Grounds(scene.site), scene.vehicle, card_of(shop, setup), setup)
    targets = lay_out(scene.card, scene.vehicle, scene.site, scene.place, scene.thrust.value_rad, scene.height_m)
    wheels = car_offsets(scene.vehicle, scene.site, scene.place)
    plan = plan_setup(scene, setup.instruments, asking=asking) if setup.instruments and scene.targets else None
    if plan is not None and not plan.enough:
        notes.append(because("cannot-be-decided", tolerances=tuple(what.reason for what in plan.short_of)))
    return TargetsAnswer(scene, stance, targets, wheels, plan, _basis(shop, setup, scene, notes))


def judge_measured(shop: Shop, setup: Setup, on: datetime.date | None = None) -> MeasuredAnswer:
    """How the car and the targets of a set-up stand by its readings, decided with guard bands.

    `on` is the day for which overdue checks of instruments are told; none are without it. Raises UnansweredError as
    `scene_of` does.
    """
    scene, notes = scene_of(shop, setup)
    readings = [Reading(r.what, r.start, r.end, r.value, r.u, r.plumbed, r.typed) for r in setup.readings]
    answer = with_landmarks(check_setup(scene, readings))
    candidates, _ = possible_readings(scene, setup.instruments, answer.car is not None)
    settling = tuple(s for t in answer.targets if (s := settling_reading(answer, t, candidates)) is not None)
    alignment = check_alignment(scene.vehicle, angles_of(setup, scene.vehicle))
    conditions = check_conditions(scene.card, setup.conditions)
    stance = restand(Grounds(scene.site), scene.vehicle, card_of(shop, setup), setup, answer.car)
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
        overdue=() if on is None else overdue_in(setup, scene.site, on),
    )
    basis = _basis(shop, setup, scene, told)
    return MeasuredAnswer(answer, stance, floor, alignment, conditions, settling, gate, basis)


def judge_alignment(shop: Shop, setup: Setup) -> AlignmentJudged:
    """A set-up's alignment readings against the limits of its car. Raises UnansweredError as `scene_of` does."""
    scene, _ = scene_of(shop, setup)
    answer = check_alignment(scene.vehicle, angles_of(setup, scene.vehicle))
    lengths = as_lengths(answer.values, setup.alignment, scene.vehicle)
    return AlignmentJudged(scene.vehicle, answer, lengths, _basis(shop, setup, scene, answer.notes))


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


def _basis(shop: Shop, setup: Setup, scene: Scene, notes: Iterable[Reason]) -> Basis:
    facts = {*card_facts([scene.card]), *propulsion_facts(scene.vehicle.propulsion)}
    if not carrier_of(setup, scene.site).is_floor:
        facts.add(Fact.RAISED)
    return basis_of(shop.touched, facts, notes)

"""Use cases of aiming: lay targets out, judge what was measured, survey a floor, check alignment and loads."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from attrs import frozen

from standtrue.aim.alignment import AlignmentAnswer, Angle, check_alignment
from standtrue.aim.bodies import Reading
from standtrue.aim.conditions import ConditionCheck, check_conditions
from standtrue.aim.layout import Offset, TargetLayout, car_offsets, lay_out
from standtrue.aim.loads import LoadsAnswer, check_loads
from standtrue.aim.reading_plan import ReadingPlan
from standtrue.aim.scene import Scene
from standtrue.aim.settle import Settling, plan_setup, possible_readings, settling_reading
from standtrue.aim.setup import SetupAnswer, check_setup
from standtrue.model.basics import Fault
from standtrue.model.cautions import Fact, propulsion_facts
from standtrue.model.ground import Grounds
from standtrue.model.lift import PlacedLift
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Note
from standtrue.model.setup import Setup
from standtrue.model.shop import Shop
from standtrue.model.site import Site
from standtrue.model.vehicle import Vehicle
from standtrue.place.question.claims import missing_anchors
from standtrue.work.aim.floors import StandingFloor, floor_at
from standtrue.work.aim.restanding import Restood, restand
from standtrue.work.ask import UnansweredError, pick, pick_cards
from standtrue.work.place.level import survey_of
from standtrue.work.used import Basis, card_facts, cautions, marks_of

NO_TOES = "the rear toes are not known: the centerline stands in for the thrust line"
UNCHECKED = "some readings are not checked by any other: a misreading in them would not be seen"
PLANNED_ONLY = "no reading ties the car to a floor mark: zones and margins are those of the planned stance"


@frozen(eq=False)
class TargetsAnswer:
    """How to lay a set-up out, and which readings to take."""

    scene: Scene
    targets: tuple[TargetLayout, ...]
    wheels: tuple[tuple[str, tuple[Offset, ...]], ...]
    plan: ReadingPlan | None
    basis: Basis


@frozen(eq=False)
class MeasuredAnswer:
    """What a set-up's readings say, with the gates that come before it."""

    setup: SetupAnswer
    stance: Restood
    floor: StandingFloor | None
    alignment: AlignmentAnswer
    conditions: tuple[ConditionCheck, ...]
    settling: tuple[Settling, ...]
    basis: Basis

    @property
    def may_calibrate(self) -> bool:
        """Whether nothing of what was asked stands against it: not a statement that the car is safe."""
        met = all(c.standing == "met" for c in self.conditions)
        placed = self.stance.verdict == self.setup.verdict == "accept"
        return met and placed and self.level and self.alignment.may_calibrate

    @property
    def level(self) -> bool:
        """Whether the floor is as level as the card asks; not known is not level."""
        if self.setup.scene.card.floor_level is None:
            return True
        return self.floor is not None and self.floor.verdict == "accept"


@frozen(eq=False)
class AlignmentTold:
    vehicle: Vehicle
    answer: AlignmentAnswer
    basis: Basis


@frozen(eq=False)
class LoadsTold:
    vehicle: Vehicle
    lift: str
    answer: LoadsAnswer
    basis: Basis


def lay_targets_out(folder: Shop, setup: Setup) -> TargetsAnswer:
    """Where a set-up's targets go, and the fewest readings with which its tolerances can be decided."""
    scene, notes = scene_of(folder, setup)
    targets = lay_out(scene.card, scene.vehicle, scene.site, scene.place, scene.thrust.value_rad, scene.height_m)
    wheels = car_offsets(scene.vehicle, scene.site, scene.place)
    plan = plan_setup(scene, setup.instruments) if setup.instruments and scene.targets else None
    if plan is not None and not plan.enough:
        notes.append(f"with these instruments these cannot be decided: {', '.join(plan.short_of)}")
    return TargetsAnswer(scene, targets, wheels, plan, _basis(folder, setup, scene, notes))


def judge_measured(folder: Shop, setup: Setup) -> MeasuredAnswer:
    """How the car and the targets of a set-up stand by its readings, decided with guard bands."""
    scene, notes = scene_of(folder, setup)
    readings = [Reading(r.what, r.start, r.end, r.value, r.u, r.plumbed) for r in setup.readings]
    answer = check_setup(scene, readings)
    candidates, _ = possible_readings(scene, setup.instruments, answer.car is not None)
    settling = tuple(s for t in answer.targets if (s := settling_reading(answer, t, candidates)) is not None)
    alignment = check_alignment(scene.vehicle, angles_of(setup))
    conditions = check_conditions(scene.card, setup.conditions)
    grounds = Grounds(scene.site)
    stance = restand(grounds, scene.vehicle, card_of(folder, setup), setup, answer.car)
    notes.extend(_stance_notes(stance, answer.car is not None))
    floor, said = floor_at(folder, scene, setup, stance.answer.place)
    notes.extend(said)
    notes.extend(f"the calibration is held: {held}" for held in alignment.holds)
    if answer.adjustment is not None and (answer.blunder is None or answer.blunder.unchecked):
        notes.append(UNCHECKED)
    notes.extend(c.because for c in conditions if c.because)
    return MeasuredAnswer(
        answer,
        stance,
        floor,
        alignment,
        conditions,
        settling,
        _basis(folder, setup, scene, notes, _surveys(folder, floor, scene)),
    )


def judge_alignment(folder: Shop, setup: Setup) -> AlignmentTold:
    """A set-up's alignment readings against the limits of its car."""
    scene, _ = scene_of(folder, setup)
    answer = check_alignment(scene.vehicle, angles_of(setup))
    return AlignmentTold(scene.vehicle, answer, _basis(folder, setup, scene, []))


def judge_loads(folder: Shop, site: Site, vehicle: Vehicle, lift: PlacedLift) -> LoadsTold:
    """What a car puts on one of the site's lifts."""
    answer = check_loads(vehicle, lift.lift)
    facts = {Fact.RAISED}
    if answer.tips or any(load.ok is False for load in answer.loads):
        facts.add(Fact.OVERLOAD)
    if answer.missing:
        facts.add(Fact.UNKNOWN_MASS)
    marks = marks_of(folder, sites=[site], vehicles=[vehicle])
    notes = [f"not known: {said}" for said in answer.missing]
    if answer.tips:
        notes.append("the center of mass does not lie between the lift points: the car would tip")
    told = cautions([frozenset(facts), propulsion_facts(vehicle.propulsion)], marks)
    return LoadsTold(vehicle, lift.name, answer, Basis(marks, tuple(notes), told))


def scene_of(folder: Shop, setup: Setup) -> tuple[Scene, list[Note]]:
    """A set-up as a scene, and what must be said of it. Raises UnansweredError where the folder lacks a part."""
    job = pick("job", setup.job, folder.jobs, f"setup {setup.name}: job")
    vehicle = folder.vehicles[job.vehicle]
    card = card_of(folder, setup)
    if setup.variant is not None:
        card = card.as_variant(
            pick("variant", setup.variant, {v.name: v for v in card.variants}, f"setup {setup.name}: variant")
        )
    faults = missing_anchors(card, vehicle)
    if faults:
        raise UnansweredError(faults)
    answer = check_alignment(vehicle, angles_of(setup))
    thrust = answer.thrust_heading
    notes: list[Note] = [] if thrust is not None else [NO_TOES]
    site = folder.sites[job.site]
    _in_the_room(site, setup)
    return Scene(card, vehicle, site, setup.place, thrust if thrust is not None else Angle(0.0), setup.height_m), notes


def _in_the_room(site: Site, setup: Setup) -> None:
    """Raises UnansweredError where the planned stance lies beyond the room: that is a slip of typing or of units."""
    corners = [*site.outline, *(c for d in site.doors if d.apron is not None for c in d.apron)]
    (x0, y0), (x1, y1) = (tuple(f(c[i] for c in corners) for i in range(2)) for f in (min, max))
    x, y = setup.place.x_m, setup.place.y_m
    if x0 <= x <= x1 and y0 <= y <= y1:
        return
    what = f"the planned stance lies beyond the room, at {x:.3f} m, {y:.3f} m"
    remedy = (
        f"the floor reaches from {x0:.3f} m, {y0:.3f} m to {x1:.3f} m, {y1:.3f} m: look at the figures and their unit"
    )
    raise UnansweredError(
        [Fault("value-impossible", what, "", f"setup {setup.name}: stance.at", f"{x:.3f}, {y:.3f}", remedy)]
    )


def card_of(folder: Shop, setup: Setup) -> Procedure:
    """A set-up's card, with all its variants. Raises UnansweredError where it names both sides of one."""
    cards = pick_cards(folder, [setup.procedure])
    if len(cards) > 1:
        what = f"the card {setup.procedure} is written for each side: say which"
        remedy = f"write {' or '.join(c.key for c in cards)}"
        raise UnansweredError(
            [Fault("side-missing", what, "", f"setup {setup.name}: procedure", setup.procedure, remedy)]
        )
    return cards[0]


def angles_of(setup: Setup) -> Mapping[str, Angle]:
    return {r.name: Angle(r.value_rad, r.u_rad) for r in setup.alignment}


def _surveys(folder: Shop, floor: StandingFloor | None, scene: Scene) -> tuple[str, ...]:
    survey, _ = survey_of(folder, scene.site)
    return () if floor is None or survey is None else (survey.name,)


def _stance_notes(stance: Restood, found: bool) -> Iterable[Note]:
    """What must be said of the car's place."""
    if not found:
        yield PLANNED_ONLY
    if stance.verdict == "reject":
        yield f"the car does not fit {'where it stands' if found else 'at its planned stance'}"
    if stance.verdict == "cannot tell":
        yield "whether the car fits where it stands cannot be told at this uncertainty"
    yield from stance.answer.in_view


def _basis(folder: Shop, setup: Setup, scene: Scene, notes: Iterable[Note], surveys: Iterable[str] = ()) -> Basis:
    marks = marks_of(
        folder,
        sites=[scene.site],
        vehicles=[scene.vehicle],
        cards=[scene.card],
        jobs=[setup.job],
        setups=[setup.name],
        surveys=surveys,
    )
    facts = [card_facts([scene.card]), propulsion_facts(scene.vehicle.propulsion)]
    if setup.on != "floor":
        facts.append(frozenset({Fact.RAISED}))
    return Basis(marks, tuple(notes), cautions(facts, marks))

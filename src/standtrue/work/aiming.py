"""Use cases of aiming: lay targets out, judge what was measured, survey a floor, check alignment and loads."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from attrs import frozen

from standtrue.aim.alignment import AlignmentAnswer, Angle, check_alignment
from standtrue.aim.bodies import Reading
from standtrue.aim.conditions import ConditionCheck, check_conditions
from standtrue.aim.conformity import Verdict
from standtrue.aim.floor import FloorPlane, Level, SurveyedFloor
from standtrue.aim.floor_bands import LevelFloor, level_floor
from standtrue.aim.floor_standards import Flatness, FloorNumbers, check_flatness, floor_numbers
from standtrue.aim.layout import Offset, TargetLayout, car_offsets, lay_out, vehicle_frame
from standtrue.aim.loads import LoadsAnswer, check_loads
from standtrue.aim.reading_plan import ReadingPlan
from standtrue.aim.scene import Scene
from standtrue.aim.settle import Settling, plan_setup, possible_readings, settling_reading
from standtrue.aim.setup import SetupAnswer, check_setup, overall
from standtrue.aim.tilt import Tilt, car_tilt, shims
from standtrue.documents import Folder
from standtrue.model.anchors import in_frame, zone_outline
from standtrue.model.basics import DocumentMark, Fault, Outline, Place
from standtrue.model.cautions import Caution, Fact, propulsion_facts
from standtrue.model.ground import Grounds
from standtrue.model.lift import PlacedLift
from standtrue.model.procedure import Procedure
from standtrue.model.setup import Setup
from standtrue.model.site import Site
from standtrue.model.survey import Survey
from standtrue.model.vehicle import Vehicle
from standtrue.place.claims import missing_anchors
from standtrue.work.ask import UnansweredError, pick, pick_cards
from standtrue.work.level import survey_of, surveyed_floor
from standtrue.work.restanding import Restood, restand
from standtrue.work.used import card_facts, cautions, marks_of

NO_TOES = "the rear toes are not known: the centerline stands in for the thrust line"
UNCHECKED = "some readings are not checked by any other: a misreading in them would not be seen"
NOT_SURVEYED = "the card asks for level floor, and no survey of the site says whether it is"
PLANNED_ONLY = "no reading ties the car to a floor mark: zones and margins are those of the planned stance"
FLATNESS_ROWS = (2, 3, 4)


@frozen(eq=False)
class Basis:
    """What an answer rests on."""

    marks: tuple[DocumentMark, ...]
    warnings: tuple[str, ...]
    cautions: tuple[Caution, ...]

    @property
    def demonstration(self) -> bool:
        return any(mark.demonstration for mark in self.marks)


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
class StandingFloor:
    """The floor under one car at one place: heights of its wheels, tilt, shims, and the card's demand on level."""

    place: Place
    wheels_m: tuple[tuple[str, float], ...]
    tilt: Tilt | None
    shims_m: tuple[tuple[str, float], ...]
    level: Level | None
    within_m: float | None
    within_rad: float | None
    unknown: tuple[str, ...]

    @property
    def verdict(self) -> Verdict | None:
        """The card's demand on level, decided; None where it makes none, `cannot tell` where floor is unknown."""
        if self.within_m is None and self.within_rad is None:
            return None
        if self.level is None:
            return "cannot tell"
        found: list[Verdict] = []
        if self.within_m is not None:
            found.append(self.level.tested(self.within_m).verdict)
        if self.within_rad is not None:
            found.append("accept" if self.level.slope_rad <= self.within_rad else "reject")
        decided = overall(found)
        return "cannot tell" if decided == "accept" and self.unknown else decided


@frozen(eq=False)
class FloorAnswer:
    """A surveyed floor, judged."""

    survey: Survey
    floor: SurveyedFloor
    numbers: tuple[tuple[str, FloorNumbers], ...]
    worst: tuple[tuple[int, Flatness | None], ...]
    band: LevelFloor | None
    standing: StandingFloor | None
    basis: Basis

    @property
    def plane(self) -> FloorPlane:
        return self.floor.plane


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


def lay_targets_out(folder: Folder, setup: Setup) -> TargetsAnswer:
    """Where a set-up's targets go, and the fewest readings with which its tolerances can be decided."""
    scene, notes = scene_of(folder, setup)
    targets = lay_out(scene.card, scene.vehicle, scene.site, scene.place, scene.thrust.value_rad, scene.height_m)
    wheels = car_offsets(scene.vehicle, scene.site, scene.place)
    plan = plan_setup(scene, setup.instruments) if setup.instruments and scene.targets else None
    if plan is not None and not plan.enough:
        notes.append(f"with these instruments these cannot be decided: {', '.join(plan.short_of)}")
    return TargetsAnswer(scene, targets, wheels, plan, _basis(folder, setup, scene, notes))


def judge_measured(folder: Folder, setup: Setup) -> MeasuredAnswer:
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


def judge_alignment(folder: Folder, setup: Setup) -> AlignmentTold:
    """A set-up's alignment readings against the limits of its car."""
    scene, _ = scene_of(folder, setup)
    answer = check_alignment(scene.vehicle, angles_of(setup))
    return AlignmentTold(scene.vehicle, answer, _basis(folder, setup, scene, []))


def judge_loads(folder: Folder, site: Site, vehicle: Vehicle, lift: PlacedLift) -> LoadsTold:
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


def judge_floor(
    folder: Folder,
    survey: Survey,
    card: Procedure | None = None,
    vehicle: Vehicle | None = None,
    place: Place | None = None,
) -> FloorAnswer:
    """A surveyed floor: its plane, the standards' numbers, and, for a card, where it is level enough.

    With a car at a place also how it stands there.
    """
    site = folder.sites[survey.site]
    floor = surveyed_floor(survey)
    worst = tuple((row, next(iter(check_flatness(survey.points, row)), None)) for row in FLATNESS_ROWS)
    level = None if card is None else card.floor_level
    band = None
    if level is not None:
        whole = float(floor.heights.max() - floor.heights.min()) + 1e-6
        within = level.within_m if level.within_m is not None else whole
        steepest = math.tan(level.within_rad) if level.within_rad is not None else math.inf
        band = level_floor(floor, within, site.outline, steepest)
    standing = standing_floor(floor, card, vehicle, place) if vehicle is not None and place is not None else None
    notes = [] if level is not None or card is None else [f"the card {card.key} asks nothing of the floor's level"]
    marks = marks_of(
        folder,
        sites=[site],
        vehicles=[vehicle] if vehicle is not None else [],
        cards=[card] if card is not None else [],
        surveys=[survey.name],
    )
    told = cautions([card_facts([card])] if card is not None else [], marks)
    numbers = tuple((line.name, floor_numbers(line.heights_m)) for line in survey.lines)
    return FloorAnswer(survey, floor, numbers, worst, band, standing, Basis(marks, tuple(notes), told))


def scene_of(folder: Folder, setup: Setup) -> tuple[Scene, list[str]]:
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
    notes = [] if thrust is not None else [NO_TOES]
    site = folder.sites[job.site]
    return Scene(card, vehicle, site, setup.place, thrust if thrust is not None else Angle(0.0), setup.height_m), notes


def card_of(folder: Folder, setup: Setup) -> Procedure:
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


def floor_at(
    folder: Folder, scene: Scene, setup: Setup, place: Place | None
) -> tuple[StandingFloor | None, tuple[str, ...]]:
    """The floor under a set-up's car at a place by the site's survey, and what stands against it.

    None where the card asks nothing of it, or there is no survey to tell.
    """
    if scene.card.floor_level is None or place is None:
        return None, ()
    survey, unused = survey_of(folder, scene.site)
    if survey is None:
        return None, (unused or NOT_SURVEYED,)
    told = standing_floor(surveyed_floor(survey), scene.card, scene.vehicle, place, setup.height_m > 0.0)
    if told.verdict == "accept":
        return told, ()
    if told.unknown:
        return told, (f"level floor is asked for, and this was not surveyed: {', '.join(told.unknown)}",)
    against = "is not as level as the card asks" if told.verdict == "reject" else "may not be as level as the card asks"
    return told, (f"the floor there {against}, by the survey {survey.name}",)


def _surveys(folder: Folder, floor: StandingFloor | None, scene: Scene) -> tuple[str, ...]:
    survey, _ = survey_of(folder, scene.site)
    return () if floor is None or survey is None else (survey.name,)


def _stance_notes(stance: Restood, found: bool) -> Iterable[str]:
    """What must be said of the car's place."""
    if not found:
        yield PLANNED_ONLY
    if stance.verdict == "reject":
        yield f"the car does not fit {'where it stands' if found else 'at its planned stance'}"
    if stance.verdict == "cannot tell":
        yield "whether the car fits where it stands cannot be told at this uncertainty"
    yield from stance.answer.in_view


def standing_floor(
    floor: SurveyedFloor, card: Procedure | None, vehicle: Vehicle, place: Place, on_decks: bool = False
) -> StandingFloor:
    """The floor under a car at a place, and under what its card names. `on_decks`: the wheels are not on the floor."""
    frame = vehicle_frame(place)
    patches = {} if on_decks else {wheel: in_frame(frame, outline) for wheel, outline in vehicle.wheel_patches}
    heights = {wheel: floor.mean_height(outline) for wheel, outline in patches.items()}
    known = {wheel: h for wheel, h in heights.items() if h is not None}
    whole = len(known) == len(vehicle.wheel_patches)
    level = None if card is None else card.floor_level
    shapes = dict(_asked(card, vehicle, frame, patches)) if card is not None and level is not None else {}
    found = floor.level(shapes.values()) if shapes else None
    unknown = [w for w in patches if w not in known]
    unknown += [n for n, shape in shapes.items() if n not in unknown and floor.mean_height(shape) is None]
    if found is not None and found.unknown_m2 > 0.0 and not unknown:
        unknown.append("part of the floor asked for")
    return StandingFloor(
        place,
        tuple(known.items()),
        car_tilt(vehicle, known) if whole else None,
        tuple(shims(known).items()) if whole else (),
        found,
        None if level is None else level.within_m,
        None if level is None else level.within_rad,
        tuple(unknown),
    )


def _asked(
    card: Procedure, vehicle: Vehicle, frame: tuple[tuple[float, float], float], patches: Mapping[str, Outline]
) -> Iterable[tuple[str, Outline]]:
    """The zones and wheel patches over which a card asks for level; all that stand on the floor where it names none."""
    assert card.floor_level is not None
    over = card.floor_level.over
    for zone in card.zones:
        if zone.name in over or (not over and zone.needs == "stand"):
            yield zone.name, in_frame(frame, zone_outline(zone, card, vehicle))
    for wheel, outline in patches.items():
        if wheel in over or not over:
            yield wheel, outline


def _basis(folder: Folder, setup: Setup, scene: Scene, notes: Iterable[str], surveys: Iterable[str] = ()) -> Basis:
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

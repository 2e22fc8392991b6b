"""The floor by its survey: as a whole, for a card, and under one car."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from statistics import fmean

from attrs import frozen

from standtrue.aim.conformity import Verdict
from standtrue.aim.floor import FloorPlane, Level, SurveyedFloor
from standtrue.aim.floor_bands import LevelFloor, level_floor
from standtrue.aim.floor_standards import Flatness, FloorNumbers, check_flatness, floor_numbers
from standtrue.aim.layout import target_places, vehicle_frame
from standtrue.aim.scene import Scene
from standtrue.aim.setup import overall
from standtrue.aim.tilt import Tilt, car_tilt, off_aim, shims
from standtrue.model.anchors import card_sensor, in_frame, zone_outline
from standtrue.model.basics import Outline, Place
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Note
from standtrue.model.setup import Setup
from standtrue.model.shop import Shop
from standtrue.model.site import Site
from standtrue.model.survey import Survey
from standtrue.model.vehicle import Vehicle
from standtrue.place.question.claims import equipment_of
from standtrue.work.place.level import survey_of, surveyed_floor
from standtrue.work.used import Basis, card_facts, cautions, marks_of

NOT_SURVEYED = "the card asks for level floor, and no survey of the site says whether it is"
SPOT: Outline = ((-0.2, -0.2), (0.2, -0.2), (0.2, 0.2), (-0.2, 0.2))
"""What a target stands on whose equipment the site does not describe."""

FLATNESS_ROWS = (2, 3, 4)


@frozen
class SensorTilt:
    """Where a card's sensor looks because the car is tilted: radians from where it would on level floor.

    Pitch is positive down, roll positive with its left side up.
    """

    sensor: str
    pitch_rad: float
    roll_rad: float

    @property
    def at_100_m_m(self) -> float:
        """How much lower it looks at 100 m, metres."""
        return off_aim(self.pitch_rad, 100.0)


@frozen(eq=False)
class StandingFloor:
    """The floor under one car at one place: heights of its wheels, tilt, shims, and the card's demand on level.

    `stands_m` is how much the floor under each of the card's targets lies above that under the wheels, on average:
    a height that a card counts from the ground under the wheels is so much less above the floor there.
    """

    place: Place
    wheels_m: tuple[tuple[str, float], ...]
    tilt: Tilt | None
    shims_m: tuple[tuple[str, float], ...]
    stands_m: tuple[tuple[str, float], ...]
    sensor: SensorTilt | None
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


def judge_floor(
    folder: Shop,
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
    standing = standing_floor(floor, card, vehicle, site, place) if vehicle is not None and place is not None else None
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


def floor_at(
    folder: Shop, scene: Scene, setup: Setup, place: Place | None
) -> tuple[StandingFloor | None, tuple[Note, ...]]:
    """The floor under a set-up's car at a place by the site's survey, and what stands against it.

    None where the card asks nothing of it, or there is no survey to tell.
    """
    if scene.card.floor_level is None or place is None:
        return None, ()
    survey, unused = survey_of(folder, scene.site)
    if survey is None:
        return None, (unused or NOT_SURVEYED,)
    told = standing_floor(surveyed_floor(survey), scene.card, scene.vehicle, scene.site, place, setup.height_m > 0.0)
    if told.verdict == "accept":
        return told, ()
    if told.unknown:
        return told, (f"level floor is asked for, and this was not surveyed: {', '.join(told.unknown)}",)
    against = "is not as level as the card asks" if told.verdict == "reject" else "may not be as level as the card asks"
    return told, (f"the floor there {against}, by the survey {survey.name}",)


def standing_floor(
    floor: SurveyedFloor,
    card: Procedure | None,
    vehicle: Vehicle,
    site: Site,
    place: Place,
    on_decks: bool = False,
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
    tilt = car_tilt(vehicle, known) if whole else None
    return StandingFloor(
        place,
        tuple(known.items()),
        tilt,
        tuple(shims(known).items()) if whole else (),
        tuple(_stands(floor, card, vehicle, site, place, known.values())) if card is not None and whole else (),
        None if card is None or tilt is None else _sensor_tilt(card, vehicle, tilt),
        found,
        None if level is None else level.within_m,
        None if level is None else level.within_rad,
        tuple(unknown),
    )


def _sensor_tilt(card: Procedure, vehicle: Vehicle, tilt: Tilt) -> SensorTilt | None:
    sensor = card_sensor(card, vehicle)
    if sensor is None:
        return None
    facing = sensor.facing_rad
    return SensorTilt(card.sensor, tilt.sensor_pitch(facing), tilt.sensor_roll(facing))


def _stands(
    floor: SurveyedFloor, card: Procedure, vehicle: Vehicle, site: Site, place: Place, wheels_m: Iterable[float]
) -> Iterator[tuple[str, float]]:
    """The floor under each target's equipment against that under the wheels, where it was surveyed."""
    level = fmean(wheels_m)
    equipment = {t.name: equipment_of(t.equipment, site.equipment) for t in card.targets}
    for target in target_places(card, vehicle, place):
        used = equipment[target.target]
        foot = SPOT if used is None or used.footprint is None else used.footprint
        height = floor.mean_height(in_frame((target.center[:2], target.facing_rad), foot))
        if height is not None:
            yield target.name, height - level


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

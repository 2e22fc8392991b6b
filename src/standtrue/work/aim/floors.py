"""The floor by its survey: as a whole, for a card, and under one car."""

from __future__ import annotations

import math

import numpy as np
from attrs import frozen

from standtrue.aim.floor import FloorPlane, SurveyedFloor
from standtrue.aim.floor_bands import LevelFloor, floor_between, level_floor
from standtrue.aim.floor_level import Level, asked_shapes
from standtrue.aim.floor_standards import Flatness, FloorNumbers, check_flatness, floor_numbers
from standtrue.aim.ground_under import FloorUnder, floor_under
from standtrue.aim.layout import target_places, vehicle_frame
from standtrue.aim.scene import Scene
from standtrue.aim.surveyed import Surveyed
from standtrue.aim.tilt import Tilt, car_tilt, off_aim
from standtrue.model.anchors import card_sensor, in_frame
from standtrue.model.basics import Outline, Place
from standtrue.model.basis import Basis, basis_of
from standtrue.model.ground import WALL, Ground, Grounds
from standtrue.model.level import IsLevel, LevelTold
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Length, Reason, Ref, Term, because
from standtrue.model.setup import Setup
from standtrue.model.shop import Shop
from standtrue.model.site import Site, equipment_of
from standtrue.model.survey import Survey
from standtrue.model.vehicle import WHEELS, Vehicle
from standtrue.model.verdict import Verdict
from standtrue.plane.shapes import polygon, union
from standtrue.work.aim.landmarks import landmark, named_things
from standtrue.work.caution_facts import card_facts, pit_facts
from standtrue.work.place.level import NOT_SURVEYED, LevelFloors, level_floors, point_told, survey_of, surveyed

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

    `told` is that demand decided, and why.

    `under` is the plane of its wheels and the floor under the card's targets against it, None where a wheel's floor
    is not known: a height that a card counts from the ground under the wheels is so much less above the floor there.
    """

    place: Place
    wheels_m: tuple[tuple[str, float], ...]
    tilt: Tilt | None
    under: FloorUnder | None
    sensor: SensorTilt | None
    level: Level | None
    within_m: float | None
    within_rad: float | None
    unknown: tuple[Ref | Term, ...]
    told: LevelTold | None

    @property
    def shims_m(self) -> tuple[tuple[str, float, float], ...]:
        """What to put under each wheel, metres, and its standard uncertainty; nothing where one is not known."""
        return () if self.under is None else self.under.shims

    @property
    def stands_m(self) -> tuple[tuple[str, float, float], ...]:
        """How much the floor under each target lies above the wheels' plane prolonged, and its uncertainty."""
        if self.under is None:
            return ()
        return tuple((name, *found) for name in self.under.targets if (found := self.under.above(name)) is not None)

    @property
    def verdict(self) -> Verdict | None:
        """The card's demand on level, decided; None where it makes none, CANNOT_TELL where floor is unknown."""
        return None if self.told is None else self.told.level.verdict


@frozen(eq=False)
class FloorAnswer:
    """A surveyed floor, judged: for a card and with a car, where they were asked.

    `uphill` is what one sees from the middle of the points in the direction in which the floor rises; None where
    nothing that has a name of its own stands there.
    """

    survey: Survey
    site: Site
    card: Procedure | None
    vehicle: Vehicle | None
    read: Surveyed
    numbers: tuple[tuple[str, FloorNumbers], ...]
    worst: tuple[tuple[int, Flatness | None], ...]
    band: LevelFloor | None
    standing: StandingFloor | None
    basis: Basis
    uphill: Ref | None = None

    @property
    def floor(self) -> SurveyedFloor:
        return self.read.floor

    @property
    def plane(self) -> FloorPlane:
        return self.floor.plane

    @property
    def leveled(self) -> tuple[tuple[str, float, float], ...]:
        """The points whose heights loops gave: name, metres above the survey's zero, standard uncertainty."""
        names = {name for name, _ in self.survey.leveled}
        return tuple((p.name, p.height_m, p.u_m) for p in self.floor.points if p.name in names)

    @property
    def questions(self) -> tuple[Reason, ...]:
        """Heights to read again: each that looks misread, and the loops that do not close."""
        again = []
        for one in self.read.misread:
            point, off, usual = point_told(self.floor, one.point), Length(one.off_m), Length(one.usual_m)
            again.append(because("height-looks-misread", point=point, off=off, usual=usual))
        for loop in self.read.closures:
            if not loop.closes:
                off, allowed = Length(abs(loop.misclosure_m)), Length(loop.allowed_m)
                again.append(because("loop-does-not-close", loop=loop.loop, off=off, allowed=allowed))
        return tuple(again)


def judge_floor(
    shop: Shop,
    survey: Survey,
    card: Procedure | None = None,
    vehicle: Vehicle | None = None,
    place: Place | None = None,
) -> FloorAnswer:
    """A surveyed floor: its plane, the standards' numbers, and, for a card, where it is level enough.

    With a car at a place also how it stands there. Survey and car are those that were looked up in the shop. Raises
    UnansweredError where the survey's points make no floor.
    """
    site = shop.sites[survey.site]
    level, read = LevelFloors(survey, site), surveyed(survey)
    floor = read.floor
    worst = tuple((row, next(iter(check_flatness(floor.points, row)), None)) for row in FLATNESS_ROWS)
    standing = standing_floor(level, card, vehicle, place) if vehicle is not None and place is not None else None
    numbers = tuple((line.name, floor_numbers(line.heights_m)) for line in survey.lines)
    cards = () if card is None else shop.take([card])
    ground = Grounds(site).at_rest()
    notes = [because("card-asks-no-level", card=Ref("card", c.key)) for c in cards if c.floor_level is None]
    if vehicle is not None:
        notes += vehicle.notes
    return FloorAnswer(
        survey,
        site,
        card,
        vehicle,
        read,
        numbers,
        worst,
        None if card is None else _level_enough(floor, card, site, vehicle, standing),
        standing,
        basis_of(shop.touched, card_facts(cards) | pit_facts(ground), (*shop.apart, *notes)),
        _uphill(floor, ground),
    )


def _uphill(floor: SurveyedFloor, ground: Ground) -> Ref | None:
    xs, ys = zip(*(point.at for point in floor.points), strict=True)
    middle = (float(np.mean(xs)), float(np.mean(ys)))
    seen = landmark(ground, named_things(ground, frozenset()), middle, floor.plane.uphill_rad)
    return None if seen == WALL else seen


def _level_enough(
    floor: SurveyedFloor, card: Procedure, site: Site, vehicle: Vehicle | None, standing: StandingFloor | None
) -> LevelFloor | None:
    """Where a floor is as level as a card asks: level with what a car stands on that is level, or the largest part."""
    asked = card.floor_level
    if asked is None:
        return None
    within = float(np.ptp(floor.measured)) + 1e-6 if asked.within_m is None else asked.within_m
    steepest = math.tan(asked.within_rad) if asked.within_rad is not None else math.inf
    met = standing is not None and standing.told is not None and standing.told.level is IsLevel.MET
    if vehicle is None or standing is None or standing.level is None or not met:
        return level_floor(floor, within, site.outline, steepest)
    low = (standing.level.lowest_m + standing.level.highest_m - within) / 2
    under = union(map(polygon, asked_shapes(card, vehicle, standing.place).values()))
    return floor_between(floor, low, within, site.outline, steepest, under)


def floor_at(
    shop: Shop, scene: Scene, setup: Setup, place: Place | None
) -> tuple[StandingFloor | None, tuple[Reason, ...]]:
    """The floor under a set-up's car at a place by the site's survey, and what stands against it.

    None where the card asks nothing of it, or there is no survey to tell.
    """
    if scene.card.floor_level is None or place is None:
        return None, ()
    level = level_floors(shop, scene.site, [scene.card])
    if level.floor is None:
        return None, (level.unused or NOT_SURVEYED,)
    told = standing_floor(level, scene.card, scene.vehicle, place, setup.height_m)
    return told, () if told.told is None or told.verdict is Verdict.ACCEPT else told.told.because


def standing_floor(
    level: LevelFloors, card: Procedure | None, vehicle: Vehicle, place: Place, height_m: float = 0.0
) -> StandingFloor:
    """The floor under a car at a place, and under what its card names, in the form that is met.

    `height_m` is that of the decks that its wheels stand on. The site must have been surveyed.
    """
    site = level.site
    assert level.read is not None
    floor = level.read.floor
    frame = vehicle_frame(place)
    patches = {} if height_m > 0.0 else {wheel: in_frame(frame, outline) for wheel, outline in vehicle.wheel_patches}
    heights = {wheel: floor.mean_height(outline) for wheel, outline in patches.items()}
    known = {wheel: h for wheel, h in heights.items() if h is not None}
    judged = None if card is None else level.judged(card, vehicle, place, height_m)
    told = None if card is None else level.told(card, vehicle, place, height_m)
    feet = {} if card is None or not patches else _feet(card, vehicle, site, place)
    under = floor_under(floor, vehicle, place, feet, level.read.doubtful, level.read.rough_m) if patches else None
    unknown = [*(w for w in patches if w not in known), *(() if judged is None else judged.unknown)]
    return StandingFloor(
        place,
        tuple(known.items()),
        None if under is None else car_tilt(vehicle, known),
        under,
        None if card is None or under is None else _sensor_tilt(card, vehicle, car_tilt(vehicle, known)),
        None if judged is None else judged.level,
        None if judged is None else judged.asked.within_m,
        None if judged is None else judged.asked.within_rad,
        tuple(Term(part) if part in WHEELS else Ref("zone", part) for part in dict.fromkeys(unknown)),
        told,
    )


def _sensor_tilt(card: Procedure, vehicle: Vehicle, tilt: Tilt) -> SensorTilt | None:
    sensor = card_sensor(card, vehicle)
    if sensor is None:
        return None
    facing = sensor.facing_rad
    return SensorTilt(card.sensor, tilt.sensor_pitch(facing), tilt.sensor_roll(facing))


def floor_for_setup(shop: Shop, scene: Scene) -> FloorUnder | None:
    """The floor under a set-up's car and its targets by the site's one survey, where they are planned to stand.

    None where the wheels do not stand on the floor, where no survey says how the floor under them lies, or where it
    was surveyed more than once. Raises UnansweredError where the survey's points make no floor.
    """
    survey, _ = survey_of(shop, scene.site)
    if survey is None or scene.height_m > 0.0:
        return None
    feet = _feet(scene.card, scene.vehicle, scene.site, scene.place, scene.thrust.value_rad)
    read = surveyed(survey)
    return floor_under(read.floor, scene.vehicle, scene.place, feet, read.doubtful, read.rough_m)


def _feet(
    card: Procedure, vehicle: Vehicle, site: Site, place: Place, thrust_heading_rad: float = 0.0
) -> dict[str, Outline]:
    """What each target's equipment stands on, in the site frame."""
    equipment = {t.name: equipment_of(t.equipment, site.equipment) for t in card.targets}
    feet: dict[str, Outline] = {}
    for target in target_places(card, vehicle, place, thrust_heading_rad):
        used = equipment[target.target]
        foot = SPOT if used is None or used.footprint is None else used.footprint
        feet[target.name] = in_frame((target.center[:2], target.facing_rad), foot)
    return feet

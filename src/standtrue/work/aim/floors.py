"""The floor by its survey: as a whole, for a card, and under one car."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from attrs import frozen

from standtrue.aim.floor import FloorPlane, Level, SurveyedFloor
from standtrue.aim.floor_bands import LevelFloor, level_floor
from standtrue.aim.floor_standards import Flatness, FloorNumbers, check_flatness, floor_numbers
from standtrue.aim.ground_under import FloorUnder, floor_under
from standtrue.aim.layout import target_places, vehicle_frame
from standtrue.aim.scene import Scene
from standtrue.aim.tilt import Tilt, car_tilt, off_aim, shims
from standtrue.model.anchors import card_sensor, in_frame, zone_outline
from standtrue.model.basics import Fault, Outline, Place
from standtrue.model.basis import Basis, basis_of
from standtrue.model.procedure import FloorLevel, Procedure
from standtrue.model.reason import Reason, Ref, Term, because
from standtrue.model.setup import Setup
from standtrue.model.shop import Shop
from standtrue.model.site import Site, equipment_of
from standtrue.model.survey import Survey
from standtrue.model.vehicle import Vehicle
from standtrue.model.verdict import Verdict
from standtrue.work.ask import UnansweredError
from standtrue.work.caution_facts import card_facts
from standtrue.work.place.level import survey_of, surveyed_floor

NOT_SURVEYED = because("floor-not-surveyed")
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

    `under` is the plane of its wheels and the floor under the card's targets against it, None where a wheel's floor
    is not known: a height that a card counts from the ground under the wheels is so much less above the floor there.
    """

    place: Place
    wheels_m: tuple[tuple[str, float], ...]
    tilt: Tilt | None
    shims_m: tuple[tuple[str, float], ...]
    under: FloorUnder | None
    sensor: SensorTilt | None
    level: Level | None
    within_m: float | None
    within_rad: float | None
    unknown: tuple[Ref | Term, ...]

    @property
    def stands_m(self) -> tuple[tuple[str, float, float], ...]:
        """How much the floor under each target lies above the wheels' plane prolonged, and its uncertainty."""
        if self.under is None:
            return ()
        return tuple((name, *found) for name in self.under.targets if (found := self.under.above(name)) is not None)

    @property
    def verdict(self) -> Verdict | None:
        """The card's demand on level, decided; None where it makes none, CANNOT_TELL where floor is unknown."""
        if self.within_m is None and self.within_rad is None:
            return None
        if self.level is None:
            return Verdict.CANNOT_TELL
        found: list[Verdict] = []
        if self.within_m is not None:
            found.append(self.level.tested(self.within_m).verdict)
        if self.within_rad is not None:
            found.append(Verdict.ACCEPT if self.level.slope_rad <= self.within_rad else Verdict.REJECT)
        decided = Verdict.overall(found)
        return Verdict.CANNOT_TELL if decided is Verdict.ACCEPT and self.unknown else decided


@frozen(eq=False)
class FloorAnswer:
    """A surveyed floor, judged: for a card and with a car, where they were asked."""

    survey: Survey
    site: Site
    card: Procedure | None
    vehicle: Vehicle | None
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
    floor = surveyed_floor(survey)
    worst = tuple((row, next(iter(check_flatness(survey.points, row)), None)) for row in FLATNESS_ROWS)
    standing = standing_floor(floor, card, vehicle, site, place) if vehicle is not None and place is not None else None
    numbers = tuple((line.name, floor_numbers(line.heights_m)) for line in survey.lines)
    cards = () if card is None else shop.take([card])
    notes = [because("card-asks-no-level", card=Ref("card", c.key)) for c in cards if c.floor_level is None]
    return FloorAnswer(
        survey,
        site,
        card,
        vehicle,
        floor,
        numbers,
        worst,
        None if card is None or card.floor_level is None else _level_enough(floor, card.floor_level, site),
        standing,
        basis_of(shop.touched, card_facts(cards), notes),
    )


def stance_written(text: str, option: str) -> Place:
    """A stance as `x,y,heading`, metres and degrees. Raises UnansweredError for anything else."""
    try:
        x, y, heading = (float(part) for part in text.split(","))
    except ValueError:
        remedy = because("write-stance", example="3.0,2.5,90")
        raise UnansweredError([Fault("not-a-stance", because("no-stance"), "", option, text, remedy)]) from None
    if not all(map(math.isfinite, (x, y, heading))):
        fault = Fault("not-finite", because("stance-not-finite"), "", option, text, because("write-finite-numbers"))
        raise UnansweredError([fault])
    return Place(x, y, math.radians(heading))


def _level_enough(floor: SurveyedFloor, asked: FloorLevel, site: Site) -> LevelFloor:
    """Where a floor is as level as a card asks."""
    whole = float(floor.heights.max() - floor.heights.min()) + 1e-6
    within = asked.within_m if asked.within_m is not None else whole
    steepest = math.tan(asked.within_rad) if asked.within_rad is not None else math.inf
    return level_floor(floor, within, site.outline, steepest)


def floor_at(
    shop: Shop, scene: Scene, setup: Setup, place: Place | None
) -> tuple[StandingFloor | None, tuple[Reason, ...]]:
    """The floor under a set-up's car at a place by the site's survey, and what stands against it.

    None where the card asks nothing of it, or there is no survey to tell.
    """
    if scene.card.floor_level is None or place is None:
        return None, ()
    survey, unused = survey_of(shop, scene.site)
    if survey is None:
        return None, (unused or NOT_SURVEYED,)
    floor = surveyed_floor(survey)
    told = standing_floor(floor, scene.card, scene.vehicle, scene.site, place, setup.height_m > 0.0)
    if told.verdict is Verdict.ACCEPT:
        return told, ()
    if told.unknown:
        return told, (because("floor-partly-unsurveyed", parts=told.unknown),)
    code = "floor-not-level" if told.verdict is Verdict.REJECT else "floor-perhaps-not-level"
    return told, (because(code, survey=Ref("survey", survey.name)),)


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
    unknown: list[Ref | Term] = [Term(w) for w in patches if w not in known]
    unknown += [Ref("zone", n) for n, shape in shapes.items() if n not in patches and floor.mean_height(shape) is None]
    if found is not None and found.unknown_m2 > 0.0 and not unknown:
        unknown.append(Ref("part of the floor asked for"))
    feet = {} if card is None or on_decks else _feet(card, vehicle, site, place)
    under = None if on_decks else floor_under(floor, vehicle, place, feet)
    tilt = car_tilt(vehicle, known) if whole else None
    return StandingFloor(
        place,
        tuple(known.items()),
        tilt,
        tuple(shims(known).items()) if whole else (),
        under,
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


def floor_for_setup(shop: Shop, scene: Scene) -> FloorUnder | None:
    """The floor under a set-up's car and its targets by the site's one survey, where they are planned to stand.

    None where the wheels do not stand on the floor, where no survey says how the floor under them lies, or where it
    was surveyed more than once. Raises UnansweredError where the survey's points make no floor.
    """
    survey, _ = survey_of(shop, scene.site)
    if survey is None or scene.height_m > 0.0:
        return None
    feet = _feet(scene.card, scene.vehicle, scene.site, scene.place, scene.thrust.value_rad)
    return floor_under(surveyed_floor(survey), scene.vehicle, scene.place, feet)


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

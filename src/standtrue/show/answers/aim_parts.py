"""What the answers of aiming share: targets and readings, a car on a surveyed floor."""

from __future__ import annotations

import math
from typing import Literal

from pydantic import Field

from standtrue.aim.bodies import Reading
from standtrue.aim.layout import TargetPlace
from standtrue.aim.scene import Scene
from standtrue.aim.titles import title_of
from standtrue.model.reason import Reason
from standtrue.model.verdict import Verdict
from standtrue.show.answers.parts import (
    Coded,
    LeveledShape,
    Shape,
    StanceShape,
    coded_or_none,
    level_fields,
    rounded,
    rounded_or_none,
    stance_told,
)
from standtrue.show.words.reader import ENGLISH
from standtrue.work.aim.floors import SensorTilt, StandingFloor

PointShape = tuple[float, float]


class TargetShape(Shape):
    target: str
    x_m: float
    y_m: float
    z_m: float
    facing_deg: float = Field(description="The way the printed side looks, in the site frame.")
    line: Literal["thrust line", "centerline"]


class ReadingShape(Shape):
    what: Literal["distance", "offset", "height", "angle", "lean", "size"]
    from_: list[str] = Field(validation_alias="from", serialization_alias="from")
    to: list[str]
    plumbed: bool
    title: str
    u: float
    unit: Literal["m", "rad"]
    title_coded: Coded | None = None


class WheelHeight(Shape):
    wheel: str
    height_m: float


class WheelShim(Shape):
    wheel: str
    shim_m: float
    u_m: float | None = None


class StandRise(Shape):
    """How much the floor under a target lies above the plane of the wheels' contacts, prolonged to there."""

    target: str
    above_wheels_m: float
    u_m: float | None = None


class SensorShape(Shape):
    """Where the card's sensor looks because the car is tilted, from where it would on level floor."""

    sensor: str
    pitch_deg: float = Field(description="Positive down.")
    roll_deg: float = Field(description="Positive with its left side up.")
    at_100_m_m: float = Field(description="How much lower it looks at 100 m.")


class StandingShape(LeveledShape):
    stance: StanceShape
    wheels: list[WheelHeight]
    shims: list[WheelShim]
    stands: list[StandRise]
    sensor: SensorShape | None
    pitch_deg: float | None = Field(description="Positive nose down.")
    roll_deg: float | None = Field(description="Positive left side up.")
    pitch_u_deg: float | None = None
    roll_u_deg: float | None = None
    warp_m: float | None
    at_100_m_m: float | None
    difference_m: float | None
    u_m: float | None
    slope_deg: float | None
    slope_u_deg: float | None = None
    within_m: float | None
    within_deg: float | None
    verdict: Verdict | None
    unknown: list[str]


def of_target(place: TargetPlace) -> TargetShape:
    """Where a target stands."""
    x, y, z = place.center
    return TargetShape(
        target=place.name,
        x_m=rounded(x),
        y_m=rounded(y),
        z_m=rounded(z),
        facing_deg=degrees(math.remainder(place.facing_rad, math.tau)),
        line=place.line,
    )


def of_reading(reading: Reading, scene: Scene) -> ReadingShape:
    """A reading to take, or that was taken."""
    title = title_of(reading, scene)
    return ReadingShape(
        what=reading.what,
        from_=list(reading.start),
        to=list(reading.end),
        plumbed=reading.plumbed,
        title=ENGLISH.reason(title),
        u=rounded(reading.u),
        unit=unit_of(reading.is_angle),
        title_coded=coded_or_none(title),
    )


def of_standing(told: StandingFloor) -> StandingShape:
    """The floor under one car."""
    level, tilt = told.level, told.tilt
    return StandingShape(
        stance=stance_told(told.place),
        wheels=[WheelHeight(wheel=wheel, height_m=rounded(height)) for wheel, height in told.wheels_m],
        shims=[WheelShim(wheel=wheel, shim_m=rounded(height), u_m=rounded(u)) for wheel, height, u in told.shims_m],
        stands=[StandRise(target=t, above_wheels_m=rounded(rise), u_m=rounded(u)) for t, rise, u in told.stands_m],
        sensor=None if told.sensor is None else _sensor(told.sensor),
        pitch_deg=None if tilt is None else degrees(tilt.pitch_rad),
        roll_deg=None if tilt is None else degrees(tilt.roll_rad),
        pitch_u_deg=None if told.under is None else degrees(told.under.pitch[1]),
        roll_u_deg=None if told.under is None else degrees(told.under.roll[1]),
        warp_m=None if tilt is None else rounded(tilt.warp_m),
        at_100_m_m=None if tilt is None else rounded(100 * math.tan(tilt.pitch_rad)),
        difference_m=None if level is None else rounded(level.difference_m),
        u_m=None if level is None else rounded(level.u_m),
        slope_deg=None if level is None else degrees(level.slope_rad),
        slope_u_deg=None if level is None else degrees(level.slope_u_rad),
        within_m=rounded_or_none(told.within_m),
        within_deg=degrees_or_none(told.within_rad),
        verdict=told.verdict,
        unknown=[ENGLISH.write(part) for part in told.unknown],
        **level_fields(told.told),
    )


def _sensor(tilt: SensorTilt) -> SensorShape:
    return SensorShape(
        sensor=tilt.sensor,
        pitch_deg=degrees(tilt.pitch_rad),
        roll_deg=degrees(tilt.roll_rad),
        at_100_m_m=rounded(tilt.at_100_m_m),
    )


def told(reason: Reason) -> str:
    """A reason's sentence in US English."""
    return ENGLISH.reason(reason)


def unit_of(is_angle: bool) -> Literal["m", "rad"]:
    return "rad" if is_angle else "m"


def degrees(angle_rad: float) -> float:
    return rounded(math.degrees(angle_rad))


def degrees_or_none(angle_rad: float | None) -> float | None:
    return None if angle_rad is None else rounded_or_none(math.degrees(angle_rad))

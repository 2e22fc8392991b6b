"""The answer of `floor`: how level and how flat a surveyed floor is."""

from __future__ import annotations

import shapely
from pydantic import Field
from shapely.geometry.base import BaseGeometry

from standtrue.aim.floor import FloorPlane, SurveyedFloor
from standtrue.aim.floor_bands import LevelFloor
from standtrue.aim.floor_standards import Flatness
from standtrue.aim.leveling import Closure
from standtrue.aim.survey_blunders import Misread
from standtrue.show.answers.aim_parts import PointShape, StandingShape, degrees, of_standing, told
from standtrue.show.answers.parts import (
    AnswerShape,
    Coded,
    Shape,
    coded,
    coded_or_none,
    envelope,
    ring,
    rounded,
    rounded_or_none,
)
from standtrue.show.words.reader import ENGLISH
from standtrue.work.aim import floors


class PlaneShape(Shape):
    a_m: float
    bx: float
    cy: float
    slope_deg: float
    uphill_deg: float
    rms_m: float | None
    greatest_m: float
    residuals_m: list[float]


class NumbersShape(Shape):
    line: str
    ff: float | None
    fl: float | None


class FlatnessShape(Shape):
    """The worst gap under a straight edge against one row of DIN 18202, table 3."""

    row: int
    ok: bool | None
    worst_m: float | None
    limit_m: float | None
    apart_m: float | None


class LevelShape(Shape):
    from_m: float
    to_m: float
    area_m2: float
    because: str
    level: list[list[PointShape]]
    uneven: list[list[PointShape]]
    unknown: list[list[PointShape]]
    because_coded: Coded | None = None


class MisreadShape(Shape):
    """A surveyed height that looks misread."""

    point: int = Field(description="Counted from 0 in the order of the survey's points, those of loops last.")
    name: str
    x_m: float
    y_m: float
    off_m: float = Field(description="How far it lies above what the points about it foretell.")
    usual_m: float = Field(description="How far such foretellings miss on this floor.")


class LoopShape(Shape):
    """How a leveling loop closes."""

    loop: str
    misclosure_m: float
    u_m: float
    allowed_m: float
    closes: bool


class LeveledPoint(Shape):
    name: str
    height_m: float
    u_m: float


class FloorAnswer(AnswerShape):
    survey: str
    questions: list[str] = Field(default=[], description="What must be read again before anything rests on it.")
    questions_coded: list[Coded] = Field(default=[])
    misread: list[MisreadShape] = Field(default=[])
    loops: list[LoopShape] = Field(default=[])
    leveled: list[LeveledPoint] = Field(default=[], description="Heights that loops gave.")
    plane: PlaneShape
    numbers: list[NumbersShape]
    flatness: list[FlatnessShape]
    level: LevelShape | None = Field(description="Where the floor is level enough for the card.")
    standing: StandingShape | None


def of_floor(answer: floors.FloorAnswer) -> FloorAnswer:
    """A surveyed floor, judged."""
    return FloorAnswer(
        **envelope(answer.basis),
        survey=answer.survey.name,
        questions=ENGLISH.reasons(answer.questions),
        questions_coded=coded(answer.questions),
        misread=[_misread(one, answer.floor) for one in answer.read.misread],
        loops=[_loop(one) for one in answer.read.closures],
        leveled=[
            LeveledPoint(name=name, height_m=rounded(height), u_m=rounded(u)) for name, height, u in answer.leveled
        ],
        plane=_plane(answer.plane),
        numbers=[
            NumbersShape(line=name, ff=rounded_or_none(n.ff), fl=rounded_or_none(n.fl)) for name, n in answer.numbers
        ],
        flatness=[_flatness(row, worst) for row, worst in answer.worst],
        level=None if answer.band is None else _level(answer.band),
        standing=None if answer.standing is None else of_standing(answer.standing),
    )


def _misread(one: Misread, floor: SurveyedFloor) -> MisreadShape:
    point = floor.points[one.point]
    return MisreadShape(
        point=one.point,
        name=point.name,
        x_m=rounded(point.at[0]),
        y_m=rounded(point.at[1]),
        off_m=rounded(one.off_m),
        usual_m=rounded(one.usual_m),
    )


def _loop(one: Closure) -> LoopShape:
    return LoopShape(
        loop=one.loop,
        misclosure_m=rounded(one.misclosure_m),
        u_m=rounded(one.u_m),
        allowed_m=rounded(one.allowed_m),
        closes=one.closes,
    )


def _plane(plane: FloorPlane) -> PlaneShape:
    return PlaneShape(
        a_m=rounded(plane.a_m),
        bx=rounded(plane.bx),
        cy=rounded(plane.cy),
        slope_deg=degrees(plane.slope_rad),
        uphill_deg=degrees(plane.uphill_rad),
        rms_m=rounded_or_none(plane.rms_m),
        greatest_m=rounded(plane.greatest_m),
        residuals_m=[rounded(r) for r in plane.residuals_m],
    )


def _flatness(row: int, worst: Flatness | None) -> FlatnessShape:
    return FlatnessShape(
        row=row,
        ok=None if worst is None else worst.ok,
        worst_m=None if worst is None else rounded(worst.off_m),
        limit_m=None if worst is None else rounded(worst.limit_m),
        apart_m=None if worst is None else rounded(worst.apart_m),
    )


def _level(band: LevelFloor) -> LevelShape:
    return LevelShape(
        from_m=rounded(band.from_m),
        to_m=rounded(band.to_m),
        area_m2=rounded(float(band.level.area)),
        because=told(band.because),
        level=[_outer(part) for part in shapely.get_parts(band.level)],
        uneven=[ring(outline) for outline in band.uneven],
        unknown=[ring(outline) for outline in band.unknown],
        because_coded=coded_or_none(band.because),
    )


def _outer(part: BaseGeometry) -> list[PointShape]:
    return [(rounded(float(x)), rounded(float(y))) for x, y in shapely.get_coordinates(part.exterior)[:-1]]

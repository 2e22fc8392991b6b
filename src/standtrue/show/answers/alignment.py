"""The answer of `alignment`: wheel alignment readings against the car's limits."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from standtrue.aim.alignment import Angle, AsLength, LimitCheck
from standtrue.model.verdict import Verdict
from standtrue.show.answers.aim_parts import degrees
from standtrue.show.answers.parts import AnswerShape, Coded, Shape, coded, envelope, rounded
from standtrue.show.words.alignment import alignment_line
from standtrue.show.words.reader import ENGLISH
from standtrue.work.aim.aiming import AlignmentJudged


class AngleShape(Shape):
    name: str
    value_deg: float
    u_deg: float
    length_m: float | None = Field(None, description="A toe over the diameter stated, a set-back over the track.")
    u_m: float | None = None
    over_m: float | None = Field(None, description="The diameter or the track that the length counts over.")


class LimitShape(Shape):
    limit: str
    reading: str
    low_deg: float
    high_deg: float
    standing: Verdict | Literal["not measured"]
    probability: float | None


class AlignmentAnswer(AnswerShape):
    vehicle: str
    may_calibrate: bool
    holds: list[str]
    thrust_heading_deg: float | None
    values: list[AngleShape]
    checks: list[LimitShape]
    holds_coded: list[Coded] = Field([])
    verdict: Verdict
    line: str = Field(description="Whether the alignment holds a calibration, as a whole sentence.")


def of_alignment(told: AlignmentJudged) -> AlignmentAnswer:
    """A car's alignment, judged."""
    answer = told.answer
    return AlignmentAnswer(
        **envelope(told.basis),
        vehicle=told.vehicle.name,
        may_calibrate=answer.may_calibrate,
        holds=ENGLISH.reasons(answer.holds),
        thrust_heading_deg=None if answer.thrust_heading is None else degrees(answer.thrust_heading.value_rad),
        values=[_angle(name, angle, told.lengths.get(name)) for name, angle in answer.values],
        checks=[_limit(check) for check in answer.checks],
        holds_coded=coded(answer.holds),
        verdict=answer.verdict,
        line=alignment_line(told, ENGLISH),
    )


def _angle(name: str, angle: Angle, length: AsLength | None) -> AngleShape:
    return AngleShape(
        name=name,
        value_deg=degrees(angle.value_rad),
        u_deg=degrees(angle.u_rad),
        length_m=None if length is None else rounded(length.value_m),
        u_m=None if length is None else rounded(length.u_m),
        over_m=None if length is None else rounded(length.over_m),
    )


def _limit(check: LimitCheck) -> LimitShape:
    return LimitShape(
        limit=check.name,
        reading=check.reading,
        low_deg=degrees(check.limits_rad[0]),
        high_deg=degrees(check.limits_rad[1]),
        standing="not measured" if check.verdict is None else check.verdict,
        probability=None if check.tested is None else round(check.tested.probability, 6),
    )

"""The answer of `loads`: what a car puts on a lift, against what the lift may carry."""

from __future__ import annotations

from pydantic import Field

from standtrue.model.verdict import Verdict
from standtrue.show.answers.parts import AnswerShape, Coded, Shape, coded, envelope, rounded_or_none
from standtrue.show.words.alignment import loads_line
from standtrue.show.words.reader import ENGLISH
from standtrue.work.aim.loads import LoadsJudged


class LoadShape(Shape):
    name: str
    load_kg: float | None
    capacity_kg: float | None
    ok: bool | None


class LoadsAnswer(AnswerShape):
    vehicle: str
    lift: str
    loads: list[LoadShape]
    may_lift: bool
    tips: bool
    missing: list[str]
    missing_coded: list[Coded] = Field([])
    verdict: Verdict
    line: str = Field(description="Whether the lift may carry the car, as a whole sentence.")


def of_loads(told: LoadsJudged) -> LoadsAnswer:
    """What a car puts on a lift, judged."""
    answer = told.answer
    return LoadsAnswer(
        **envelope(told.basis),
        vehicle=told.vehicle.name,
        lift=told.lift,
        loads=[
            LoadShape(
                name=ENGLISH.write(load.part),
                load_kg=rounded_or_none(load.load_kg),
                capacity_kg=rounded_or_none(load.capacity_kg),
                ok=load.ok,
            )
            for load in answer.loads
        ],
        may_lift=answer.may_lift,
        tips=answer.tips,
        missing=ENGLISH.reasons(answer.missing),
        missing_coded=coded(answer.missing),
        verdict=answer.verdict,
        line=loads_line(told, ENGLISH),
    )

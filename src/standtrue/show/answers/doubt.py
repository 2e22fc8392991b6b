"""What an alarm among a set-up's readings comes to: suspects, causes, and what the others say."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from standtrue.aim.doubt import Doubt, Suspect, Without
from standtrue.aim.doubt_told import cause_of, numbered, told_of
from standtrue.aim.setup import SetupAnswer
from standtrue.aim.stands import Stands
from standtrue.show.answers.aim_parts import degrees, told
from standtrue.show.answers.parts import Coded, Shape, coded, rounded
from standtrue.show.answers.stands import TargetStandsShape, of_stands
from standtrue.show.words.reader import ENGLISH

Likely = Literal["very likely", "likely", "possible"]

VERY, RATHER = 0.9, 0.5
"""From these probabilities something is called very likely, and likely."""


class SuspectShape(Shape):
    readings: list[int] = Field(description="Numbers in the document, from 1: one, or those that one slip changed.")
    titles: list[str]
    likely: Likely
    probability: float
    too_large_m: float | None = Field(description="How much too large the first was read, by the others.")
    too_large_deg: float | None


class CauseShape(Shape):
    readings: list[int]
    words: str
    words_coded: Coded
    likely: Likely
    probability: float = Field(description="Against every other explanation, by plain shares of slips.")


class WithoutShape(Shape):
    without: list[int] = Field(description="The readings left out; none: all are taken as sound.")
    set_right: bool = Field(description="They were not left out but set right, as a slip that changed several.")
    likely: Likely
    probability: float
    fixed: bool = Field(description="Whether the other readings fix anything.")
    targets: list[TargetStandsShape]


class DoubtShape(Shape):
    explained: bool = Field(description="Whether any single slip brings the readings together.")
    words: list[str]
    suspects: list[SuspectShape]
    causes: list[CauseShape]
    results: list[WithoutShape] = Field(description="The set-up in every explanation that is possible.")
    again: list[str] = Field(description="The readings to take again.")
    words_coded: list[Coded]


def of_doubt(setup: SetupAnswer) -> DoubtShape | None:
    """What an alarm comes to; None where there is none."""
    doubt = setup.doubt
    if doubt is None:
        return None
    reasons = told_of(setup)
    return DoubtShape(
        explained=doubt.explained,
        words=ENGLISH.reasons(reasons),
        suspects=[_suspect(suspect, setup) for suspect in doubt.suspects],
        causes=[
            CauseShape(
                readings=_numbers(cause.slip.readings, setup),
                words=ENGLISH.reason(cause_of(setup, cause)),
                words_coded=coded([cause_of(setup, cause)])[0],
                likely=_likely(cause.chance),
                probability=round(cause.chance, 4),
            )
            for cause in doubt.causes
        ],
        results=_results(doubt, setup),
        again=[told(numbered(setup, i)) for i in doubt.again],
        words_coded=coded(reasons),
    )


def _suspect(suspect: Suspect, setup: SetupAnswer) -> SuspectShape:
    angle = setup.tested[suspect.readings[0]].is_angle
    return SuspectShape(
        readings=_numbers(suspect.readings, setup),
        titles=[told(numbered(setup, i)) for i in suspect.readings],
        likely=_likely(suspect.chance),
        probability=round(suspect.chance, 4),
        too_large_m=None if angle else rounded(suspect.size),
        too_large_deg=degrees(suspect.size) if angle else None,
    )


def _results(doubt: Doubt, setup: SetupAnswer) -> list[WithoutShape]:
    stands = iter(setup.without)
    return [_result(one, next(stands) if one.found is not None else None, setup) for one in doubt.results]


def _result(result: Without, stands: Stands | None, setup: SetupAnswer) -> WithoutShape:
    return WithoutShape(
        without=_numbers(result.left, setup),
        set_right=result.slip is not None,
        likely=_likely(result.chance),
        probability=round(result.chance, 4),
        fixed=stands is not None,
        targets=[] if stands is None else [of_stands(target) for target in stands.targets],
    )


def _numbers(indices: tuple[int, ...], setup: SetupAnswer) -> list[int]:
    return [setup.numbers[i] for i in indices if setup.numbers[i]]


def _likely(chance: float) -> Likely:
    return "very likely" if chance >= VERY else "likely" if chance >= RATHER else "possible"

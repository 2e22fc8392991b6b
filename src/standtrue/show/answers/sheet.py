"""The answer of `sheet`: what a printed job sheet holds, in short."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from standtrue.draw.backends.pdf import PaperSize
from standtrue.model.fits import Fits
from standtrue.model.reader_units import System
from standtrue.show.answers.needs import Standing, standing_fields
from standtrue.show.answers.parts import (
    AnswerShape,
    Shape,
    StanceShape,
    envelope,
    rounded,
    rounded_or_none,
    stance_told,
)
from standtrue.work.sheet.content import SheetContent, StancePart


class SheetStance(Shape):
    """One stance of the sheet and the cards that run there, each with the set-up that fixes it, if any."""

    place: StanceShape
    carried_by: str
    height_m: float
    doors_open: list[str]
    fits: bool
    margin_m: float | None
    procedures: list[str]
    setups: list[str]
    steps: list[int] = Field(description="The steps of the order of work in which they run; empty without one.")


class SheetAnswer(AnswerShape, Standing):
    file: str
    paper: Literal["letter", "a4"]
    units: Literal["metric", "us"]
    stances: list[SheetStance]
    without_place: list[str] = Field(description="Cards that need no place, and the drives of those that do.")
    fits_nowhere: list[str]
    steps: int | None = Field(description="How many steps the order of work on the sheet has; null without one.")
    proven: bool | None = Field(description="Whether that order is proven to be the best; null without one.")
    left_out: list[str] = Field(description="What the order of work leaves out; its reasons are on the sheet.")


def of_sheet(content: SheetContent, file: str, paper: PaperSize, units: System) -> SheetAnswer:
    """What a sheet printed into a file holds, in short."""
    plan = content.plan
    undone = () if plan is None else plan.ordered.undone
    nowhere = [one.card.key for one in content.nowhere]
    return SheetAnswer(
        **envelope(content.basis),
        **standing_fields(content.needs.answer),
        file=file,
        paper=paper,
        units=units,
        stances=[_sheet_stance(stance) for stance in content.stances],
        without_place=[one.card.key for one in content.elsewhere],
        fits_nowhere=nowhere + [u.draft.name for u in undone if u.answers],
        steps=None if plan is None else len(() if plan.plan is None else plan.plan.steps),
        proven=None if plan is None else plan.ordered.front.proven,
        left_out=[u.draft.name for u in undone],
    )


def _sheet_stance(stance: StancePart) -> SheetStance:
    answer = stance.answer
    assert answer.place is not None
    fits = answer.fits is Fits.YES
    return SheetStance(
        place=stance_told(answer.place),
        carried_by=answer.carried_by,
        height_m=rounded(answer.height_m),
        doors_open=list(answer.doors_open),
        fits=fits,
        margin_m=rounded_or_none(answer.margin_m) if fits else None,
        procedures=[part.card.key for part in stance.cards],
        setups=[part.setup for part in stance.cards if part.setup],
        steps=[part.step for part in stance.cards if part.step is not None],
    )

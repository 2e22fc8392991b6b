"""The answer of `sheet`: what a printed job sheet holds, in short."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from standtrue.model.basis import Basis
from standtrue.model.fits import Fits
from standtrue.show.answers.parts import Json, Shape, StanceTold, Told, envelope, rounded, rounded_or_none, stance_told
from standtrue.show.sheets.job.sheet import JobSheet, StancePart


class SheetStance(Shape):
    """One stance of the sheet and the cards that run there, each with the set-up that fixes it, if any."""

    place: StanceTold
    carried_by: str
    height_m: float
    doors_open: list[str]
    fits: bool
    margin_m: float | None
    procedures: list[str]
    setups: list[str]
    steps: list[int] = Field(description="The steps of the order of work in which they run; empty without one.")


class SheetAnswer(Told):
    file: str
    paper: Literal["letter", "a4"]
    units: Literal["metric", "us"]
    stances: list[SheetStance]
    without_place: list[str] = Field(description="Cards that need no place, and the drives of those that do.")
    fits_nowhere: list[str]
    steps: int | None = Field(description="How many steps the order of work on the sheet has; null without one.")
    proven: bool | None = Field(description="Whether that order is proven to be the best; null without one.")
    left_out: list[str] = Field(description="What the order of work leaves out; its reasons are on the sheet.")


def sheet_json(sheet: JobSheet, file: str, paper: str) -> Json:
    """What a printed sheet holds, in short."""
    order = sheet.planned
    left_out = () if order is None else order.left_out
    texts = [
        *sheet.cautions,
        *(() if order is None else order.cautions),
        *(c for s in sheet.stances for c in s.cautions),
    ]
    texts += [c for s in sheet.stances for part in s.cards for c in part.cautions]
    texts += [c for unplaced in sheet.elsewhere for c in unplaced.cautions]
    return {
        **Told(**envelope(Basis(tuple(sheet.documents), tuple(sheet.warnings)))).to_json(),
        "cautions": list(dict.fromkeys(texts)),
        "file": file,
        "paper": paper,
        "units": sheet.reader.units,
        "stances": [_sheet_stance(stance) for stance in sheet.stances],
        "without_place": [u.card.key for u in sheet.elsewhere],
        "fits_nowhere": [u.card.key for u in sheet.nowhere] + [u.name for u in left_out if u.no_room],
        "steps": None if order is None else len(order.steps),
        "proven": None if order is None else order.proven,
        "left_out": [u.name for u in left_out],
    }


def _sheet_stance(stance: StancePart) -> Json:
    answer = stance.answer
    assert answer.place is not None
    return {
        "place": stance_told(answer.place).to_json(),
        "carried_by": answer.carried_by,
        "height_m": rounded(answer.height_m),
        "doors_open": list(answer.doors_open),
        "fits": answer.fits is Fits.YES,
        "margin_m": rounded_or_none(answer.margin_m) if answer.fits is Fits.YES else None,
        "procedures": [part.card.key for part in stance.cards],
        "setups": [part.setup for part in stance.cards if part.setup],
        "steps": [part.step for part in stance.cards if part.step is not None],
    }

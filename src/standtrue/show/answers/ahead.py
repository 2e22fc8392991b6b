"""How far from each car a target can stand, as data, and as rows for a spreadsheet."""

from __future__ import annotations

from pydantic import Field

from standtrue.model.basics import SupportClass
from standtrue.show.answers.parts import AnswerShape, Coded, Shape, coded_or_none, envelope
from standtrue.show.answers.tables import csv_text
from standtrue.show.words.reader import ENGLISH
from standtrue.work.study.ahead import WAYS, Ahead, AheadRow

COLUMNS = ("vehicle", "support", *(f"{way}_m" for way in WAYS))


class DistancesShape(Shape):
    """How far from the body a target can stand, wherever in the room the car stands; null where none can."""

    vehicle: str
    support: SupportClass
    ahead_m: float | None
    behind_m: float | None
    left_m: float | None
    right_m: float | None
    known: bool = Field(description="Not so where it was stopped before all four were found.")


class AheadShape(AnswerShape):
    site: str
    bay: str | None
    equipment: str | None = Field(description="What stands there; null for a plain square.")
    means: str = Field(description="What the distances mean.")
    partial: bool
    reaches: list[DistancesShape]
    means_coded: Coded | None = None


def of_ahead(answer: Ahead) -> AheadShape:
    """The distances as data."""
    return AheadShape(
        **envelope(answer.basis),
        site=answer.site.name,
        bay=None if answer.bay is None else answer.bay.name,
        equipment=answer.target.equipment,
        means=ENGLISH.reason(answer.target.means),
        partial=answer.partial,
        reaches=[_row(row) for row in answer.rows],
        means_coded=coded_or_none(answer.target.means),
    )


def ahead_csv(told: AheadShape) -> str:
    """One row for each car and support as CSV; meters, empty where nothing fits or it is not known."""
    rows = (
        (row.vehicle, row.support, *map(_cell, (row.ahead_m, row.behind_m, row.left_m, row.right_m)))
        for row in told.reaches
    )
    return csv_text(COLUMNS, rows)


def _cell(metres: float | None) -> str:
    return "" if metres is None else f"{metres:.3f}"


def _row(row: AheadRow) -> DistancesShape:
    found = dict(row.distances)
    metres = {way: None if d.most_mm is None else d.most_mm / 1000 for way, d in row.distances}
    return DistancesShape(
        vehicle=row.car,
        support=row.support,
        ahead_m=metres["ahead"],
        behind_m=metres["behind"],
        left_m=metres["left"],
        right_m=metres["right"],
        known=all(distance.known for distance in found.values()),
    )

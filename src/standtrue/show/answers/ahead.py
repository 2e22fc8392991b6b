"""How far from each car a target can stand, as data, and as rows for a spreadsheet."""

from __future__ import annotations

from collections.abc import Sequence

from pydantic import Field

from standtrue.model.basics import SupportClass
from standtrue.show.answers.parts import AnswerShape, Coded, Shape, coded_or_none, envelope
from standtrue.show.answers.tables import csv_text
from standtrue.show.words.reader import ENGLISH
from standtrue.study.ahead import Distance
from standtrue.work.study.ahead import WAYS, Ahead, AheadRow, Way

COLUMNS = ("vehicle", "support", *(f"{way}_m" for way in WAYS), *(f"{way}_doors_shut_m" for way in WAYS))


class FourWays(Shape):
    """How far from the body a target can stand, wherever in the room the car stands; null where none can."""

    ahead_m: float | None
    behind_m: float | None
    left_m: float | None
    right_m: float | None


class DistancesShape(FourWays):
    vehicle: str
    support: SupportClass
    known: bool = Field(description="Not so where it was stopped before all four were found.")
    doors_shut: FourWays | None = Field(
        None, description="The same with every door shut; null where no distance asks for an open one."
    )


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
        (row.vehicle, row.support, *_cells(row), *_cells(row if row.doors_shut is None else row.doors_shut))
        for row in told.reaches
    )
    return csv_text(COLUMNS, rows)


def _cells(row: FourWays) -> tuple[str, ...]:
    found = (row.ahead_m, row.behind_m, row.left_m, row.right_m)
    return tuple("" if metres is None else f"{metres:.3f}" for metres in found)


def _row(row: AheadRow) -> DistancesShape:
    return DistancesShape(
        vehicle=row.car,
        support=row.support,
        **_metres(row.distances),
        known=all(distance.known for _, distance in (*row.distances, *row.shut)),
        doors_shut=FourWays(**_metres(row.shut)) if row.shut else None,
    )


def _metres(distances: Sequence[tuple[Way, Distance]]) -> dict[str, float | None]:
    return {f"{way}_m": None if d.most_mm is None else d.most_mm / 1000 for way, d in distances}

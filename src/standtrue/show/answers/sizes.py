"""How large a room must be, as data, and as rows for a spreadsheet."""

from __future__ import annotations

from pydantic import Field

from standtrue.model.basics import SupportClass
from standtrue.show.answers.parts import AnswerShape, Coded, Shape, coded, envelope, rounded
from standtrue.show.answers.tables import csv_text
from standtrue.show.words.reader import ENGLISH
from standtrue.show.words.sizes import layout_words
from standtrue.study.coverage import LeastBay
from standtrue.study.sizes import Frontier, Size
from standtrue.work.study.sizes import SHARES, Sizes

COLUMNS = ("vehicle", "procedure", "width_m", "length_m")


class SizeShape(Shape):
    """The inside of a rectangular room; its length runs along the lift."""

    width_m: float
    length_m: float


class SizeTodayShape(SizeShape):
    share: float = Field(description="Of the work, in a room of that size laid out by the rules.")


class LeastBayShape(Shape):
    share: float
    least_area: SizeShape | None = Field(description="None where no size looked at covers the share.")
    bays: list[SizeShape] = Field(description="The least sizes that cover it: any room as large as one of them does.")


class FrontierShape(Shape):
    vehicle: str
    procedure: str
    corners: list[SizeShape] = Field(description="The least sizes at which it fits, widths rising. None: no size fits.")
    undecided: int = Field(description="Sizes within 2 mm of the frontier at which it could not be told.")
    whole: bool = Field(description="Not so where it was stopped: smaller sizes may fit too.")


class SizesShape(AnswerShape):
    site: str
    lift: str | None
    supports: list[SupportClass]
    partial: bool
    rules: list[str] = Field(description="How the rooms are laid out, and by what the work is weighed.")
    widths_m: list[float]
    lengths_m: list[float]
    step_m: float
    greatest_share: float
    today: SizeTodayShape | None = Field(description="The site's own size, where it is a rectangle.")
    least_bays: list[LeastBayShape]
    frontiers: list[FrontierShape]
    rules_coded: list[Coded] = Field(default=[])


def of_sizes(answer: Sizes) -> SizesShape:
    """The bay-size chart as data."""
    coverage, today = answer.coverage, answer.today
    return SizesShape(
        **envelope(answer.basis),
        site=answer.site.name,
        lift=None if answer.rooms.lift is None else answer.rooms.lift.placed.name,
        supports=list(answer.supports),
        partial=answer.partial,
        rules=[layout_words(answer, ENGLISH), ENGLISH.reason(answer.work.rule)],
        widths_m=list(coverage.sizes.width_m),
        lengths_m=list(coverage.sizes.length_m),
        step_m=coverage.sizes.step_m,
        greatest_share=rounded(coverage.greatest),
        today=None if today is None else _today(today, coverage.share(today)),
        least_bays=[_least(coverage.least_bay(share)) for share in SHARES],
        frontiers=[_frontier(answer, frontier) for frontier in answer.frontiers],
        rules_coded=coded((*answer.rooms.rules, answer.work.rule)),
    )


def sizes_csv(told: SizesShape) -> str:
    """One row for each corner of each frontier, as CSV; columns as in COLUMNS."""
    return csv_text(
        COLUMNS,
        (
            (frontier.vehicle, frontier.procedure, f"{corner.width_m:.3f}", f"{corner.length_m:.3f}")
            for frontier in told.frontiers
            for corner in frontier.corners
        ),
    )


def _frontier(answer: Sizes, frontier: Frontier) -> FrontierShape:
    return FrontierShape(
        vehicle=answer.work.cars[frontier.car].name,
        procedure=answer.work.cards[frontier.card].key,
        corners=[_size(corner) for corner in frontier.corners],
        undecided=frontier.undecided,
        whole=frontier.whole,
    )


def _least(least: LeastBay) -> LeastBayShape:
    best = least.least_area
    return LeastBayShape(
        share=least.share,
        least_area=None if best is None else _size(best),
        bays=[_size(bay) for bay in least.bays],
    )


def _size(size: Size) -> SizeShape:
    return SizeShape(width_m=rounded(size.width_m), length_m=rounded(size.length_m))


def _today(size: Size, share: float) -> SizeTodayShape:
    return SizeTodayShape(width_m=rounded(size.width_m), length_m=rounded(size.length_m), share=rounded(share))

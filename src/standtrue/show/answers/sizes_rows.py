"""The bay-size chart as JSON, and as rows for a spreadsheet."""

from __future__ import annotations

import csv
import io

from standtrue.model.reader_units import System
from standtrue.show.answers.place_json import Json, envelope
from standtrue.study.coverage import LeastBay
from standtrue.study.sizes import Frontier, Size
from standtrue.work.study.sizes import SHARES, Sizes

COLUMNS = ("vehicle", "procedure", "width_m", "length_m")


def sizes_json(answer: Sizes) -> Json:
    """The answer as the documents contract has it."""
    wide, long = answer.coverage.sizes.width_m, answer.coverage.sizes.length_m
    today = answer.today
    return {
        **envelope(answer.marks, answer.warnings, answer.cautions),
        "site": answer.site.name,
        "lift": None if answer.rooms.lift is None else answer.rooms.lift.placed.name,
        "supports": list(answer.supports),
        "partial": answer.partial,
        "rules": list(rules_words(answer, "metric")),
        "widths_m": list(wide),
        "lengths_m": list(long),
        "step_m": answer.coverage.sizes.step_m,
        "greatest_share": _round(answer.coverage.greatest),
        "today": None if today is None else {**_size(today), "share": _round(answer.coverage.share(today))},
        "least_bays": [_least(answer.coverage.least_bay(share)) for share in SHARES],
        "frontiers": [_frontier(answer, frontier) for frontier in answer.frontiers],
    }


def rules_words(answer: Sizes, units: System) -> tuple[str, str]:
    """How the rooms are laid out, and by what the work is weighed."""
    return answer.rooms.words(units), answer.work.words


def sizes_csv(answer: Sizes) -> str:
    """One row for each corner of each frontier, as CSV (RFC 4180) with a head line; columns as in COLUMNS."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(COLUMNS)
    for frontier in answer.frontiers:
        car, card = answer.work.cars[frontier.car].name, answer.work.cards[frontier.card].key
        writer.writerows((car, card, f"{c.width_m:.3f}", f"{c.length_m:.3f}") for c in frontier.corners)
    return text.getvalue()


def _frontier(answer: Sizes, frontier: Frontier) -> Json:
    return {
        "vehicle": answer.work.cars[frontier.car].name,
        "procedure": answer.work.cards[frontier.card].key,
        "corners": [_size(corner) for corner in frontier.corners],
        "undecided": frontier.undecided,
        "whole": frontier.whole,
    }


def _least(least: LeastBay) -> Json:
    best = least.least_area
    return {
        "share": least.share,
        "least_area": None if best is None else _size(best),
        "bays": [_size(bay) for bay in least.bays],
    }


def _size(size: Size) -> Json:
    return {"width_m": _round(size.width_m), "length_m": _round(size.length_m)}


def _round(value: float) -> float:
    return round(value, 9) + 0.0

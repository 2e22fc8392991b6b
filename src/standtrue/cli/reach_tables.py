"""Reach tables as a person reads them in a terminal."""

from __future__ import annotations

from rich.markup import escape

from standtrue.cli.output import table
from standtrue.cli.tables import Tables
from standtrue.model.reader_units import System, format_length
from standtrue.study.reach import Reach
from standtrue.work.study.ahead import WAYS, Reaches


def reach_tables(answer: Reaches, units: System) -> Tables:
    """How far a target can stand from each car, on each support."""
    if answer.partial:
        yield "[bold]A partial answer: stopped before its end.[/bold]"
    where = answer.site.name if answer.bay is None else f"{answer.site.name}, {answer.bay.name}"
    made = table(f"How far a target can stand from the car: {escape(where)}", "car", "stands", *WAYS)
    for row in answer.rows:
        made.add_row(escape(row.car), row.support, *(_told(reach, units) for _, reach in row.reaches))
    yield made
    yield escape(answer.target.words(units))


def _told(reach: Reach, units: System) -> str:
    if not reach.known:
        return "not known yet"
    return "none fits" if reach.most_mm is None else format_length(reach.most_mm / 1000, units)

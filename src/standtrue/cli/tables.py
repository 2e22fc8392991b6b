"""Answers as tables that a person reads in a terminal."""

from __future__ import annotations

import math
from collections.abc import Iterable

from rich.console import RenderableType
from rich.markup import escape

from standtrue.cli.output import table
from standtrue.documents import Folder
from standtrue.model.reader_units import System, format_length
from standtrue.place.answer import Answer
from standtrue.work.jobs import Needs

Tables = Iterable[RenderableType]


def read_tables(folder: Folder) -> Tables:
    made = table("Documents", "kind", "name", "demonstration", "digest")
    for mark in folder.documents:
        made.add_row(mark.kind, escape(mark.name), "yes" if mark.demonstration else "", mark.digest[:12])
    yield made


def needs_tables(needs: Needs) -> Tables:
    made = table(
        f"What must be calibrated: {needs.job.name} ({needs.vehicle.name})", "", "sensor", "how", "card", "because"
    )
    for need in needs.answer.needs:
        because = [*need.because]
        if need.overruled is not None:
            verdict = "dropped" if need.dropped else "kept"
            because.append(f"{verdict} by {need.overruled.by}: {need.overruled.because}")
        if need.before:
            because.append(f"first: {', '.join(need.before)}")
        card = " then ".join(need.chain) or "none"
        order = str(need.order) if need.order else "-"
        how = "dropped" if need.dropped else need.how
        made.add_row(order, escape(need.title), how, escape(card), escape("\n".join(because)))
    yield made
    for sensor in needs.answer.not_fitted:
        side = f" ({sensor.side})" if sensor.side else ""
        yield escape(f"Not fitted on this car, so not needed: {sensor.sensor}{side}")
    steps = table("Order of work", "", "stage", "what")
    for step in needs.order:
        steps.add_row(str(step.order), step.stage, escape(step.what))
    yield steps


def place_tables(answers: Iterable[Answer], system: System) -> Tables:
    made = table(
        "Where the car can stand (the rear axle's center, from the site's origin)",
        "card",
        "carried by",
        "fits",
        "x",
        "y",
        "heading",
        "margin",
        "touched first, or what stops it",
    )
    for answer in answers:
        made.add_row(*_place_row(answer, system))
    yield made


def _place_row(answer: Answer, system: System) -> tuple[str, ...]:
    fits = {True: "yes", False: "NO"}.get(answer.fits is True, "") if answer.fits != "undecided" else "undecided"
    stance = ("", "", "")
    if answer.place is not None:
        heading = f"{answer.place.heading_deg:.2f}°"
        stance = (format_length(answer.place.x_m, system), format_length(answer.place.y_m, system), heading)
    margin = "" if answer.margin_m is None else format_length(answer.margin_m, system)
    carried = answer.carried_by or answer.support
    if answer.height_m:
        carried += f" at {format_length(answer.height_m, system)}"
    return (escape(answer.name), escape(carried), fits, *stance, margin, escape("\n".join(_reasons(answer, system))))


def _reasons(answer: Answer, system: System) -> list[str]:
    lines = list(answer.because) if answer.fits is not True else []
    for touch in answer.touches[:3]:
        if touch.separation_m > 0.0:
            gap = f" ({format_length(touch.gap_m, system)} asked)" if touch.gap_m else ""
            lines.append(f"{touch.zone} – {touch.thing}: {format_length(touch.separation_m, system)} free{gap}")
        else:
            lines.append(f"{touch.zone} overlaps {touch.thing} at the nearest miss")
    if answer.fits is False and answer.bound_m is not None and math.isfinite(answer.bound_m):
        lines.append("proven: no position and no heading fits")
    return lines

"""Answers as tables that a person reads in a terminal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from rich.console import RenderableType
from rich.markup import escape
from rich.padding import Padding

from standtrue.cli.output import table
from standtrue.documents import Folder
from standtrue.draw.words import verdict
from standtrue.model.reader_units import System, format_length
from standtrue.needs import Need
from standtrue.place.answer import Answer
from standtrue.work.jobs import Needs

Tables = Iterable[RenderableType]


def read_tables(folder: Folder) -> Tables:
    made = table("Documents", "kind", "name", "demonstration", "digest")
    for mark in folder.documents:
        made.add_row(mark.kind, escape(mark.name), "yes" if mark.demonstration else "", mark.digest[:12])
    yield made


def needs_tables(needs: Needs) -> Tables:
    made = table(f"What must be calibrated: {needs.job.name} ({needs.vehicle.name})", "", "sensor", "how", "card")
    for need in needs.answer.needs:
        how = "dropped" if need.dropped else need.how
        made.add_row(str(need.order or "-"), escape(need.title), how, escape(" then ".join(need.chain) or "no card"))
    yield made
    yield "[bold]Why, and what comes first[/bold]"
    for need in needs.answer.needs:
        yield escape(f"{need.order or '-':>3}  {need.title}")
        yield from (Padding(escape(line), (0, 0, 0, 5)) for line in _need_lines(need))
    for sensor in needs.answer.not_fitted:
        side = f" ({sensor.side})" if sensor.side else ""
        yield escape(f"Not fitted on this car, so not needed: {sensor.sensor}{side}")
    steps = table("Order of work", "", "stage", "what")
    for step in needs.order:
        steps.add_row(str(step.order), step.stage, escape(step.what))
    yield steps


def _need_lines(need: Need) -> Iterator[str]:
    yield from need.because
    if need.overruled is not None:
        yield f"{'dropped' if need.dropped else 'kept'} by {need.overruled.by}: {need.overruled.because}"
    if need.before:
        yield f"first: {', '.join(need.before)}"


def place_tables(answers: Sequence[Answer], system: System) -> Tables:
    made = table(
        "Where the car can stand (the rear axle's center, from the site's origin)",
        "card",
        "carried by",
        "fits",
        "x",
        "y",
        "heading",
        "margin",
    )
    for answer in answers:
        made.add_row(*_place_row(answer, system))
    yield made
    for answer in answers:
        yield Padding(escape(f"{answer.name}: {verdict(answer, system)}"), (0, 0, 0, 1))
        if answer.fits is False and answer.bound_m is not None:
            yield Padding("Proven: no position and no heading fits.", (0, 0, 0, 5))


def _place_row(answer: Answer, system: System) -> tuple[str, ...]:
    fits = "undecided" if answer.fits == "undecided" else "yes" if answer.fits else "NO"
    stance = ("", "", "")
    if answer.place is not None:
        heading = f"{answer.place.heading_deg:.2f}°"
        stance = (format_length(answer.place.x_m, system), format_length(answer.place.y_m, system), heading)
    margin = "" if answer.margin_m is None else format_length(answer.margin_m, system)
    carried = answer.carried_by or answer.support
    if answer.height_m:
        carried += f" at {format_length(answer.height_m, system)}"
    return (escape(answer.name), escape(carried), fits, *stance, margin)

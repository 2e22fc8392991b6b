"""Answers as tables that a person reads in a terminal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from rich.console import RenderableType
from rich.markup import escape
from rich.padding import Padding

from standtrue.cli.output import table
from standtrue.documents import Folder
from standtrue.model.fits import Fits
from standtrue.model.reader_units import System, format_length
from standtrue.needs import Need
from standtrue.place.change.remedies import Remedies
from standtrue.place.many.shared import Shared
from standtrue.place.question.answer import Answer
from standtrue.show.words.place import remedies_words, verdict
from standtrue.work.needs.jobs import Needs

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


def place_tables(answers: Sequence[Answer], remedies: Sequence[Remedies], system: System) -> Tables:
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
    for answer, mends in zip(answers, remedies, strict=True):
        yield Padding(escape(f"{answer.name}: {verdict(answer, system)}"), (0, 0, 0, 1))
        if answer.fits is Fits.NO and answer.bound_m is not None:
            yield Padding("Proven: no position and no heading fits.", (0, 0, 0, 5))
        yield from (Padding(escape(line), (0, 0, 0, 5)) for line in remedies_words(mends, answer, system))


def _place_row(answer: Answer, system: System) -> tuple[str, ...]:
    fits = {Fits.YES: "yes", Fits.NO: "NO", Fits.UNDECIDED: "undecided"}[answer.fits]
    stance = ("", "", "")
    if answer.place is not None:
        heading = f"{answer.place.heading_deg:.2f}°"
        stance = (format_length(answer.place.x_m, system), format_length(answer.place.y_m, system), heading)
    margin = "" if answer.margin_m is None else format_length(answer.margin_m, system)
    carried = _carried(answer.carried_by or answer.support, answer.height_m, system)
    return (escape(answer.name), escape(carried), fits, *stance, margin)


def shared_tables(shared: Shared, system: System) -> Tables:
    """The fewest places that serve all cards; nothing where at most one card is served."""
    count, served = len(shared.places), sum(len(p.uses) for p in shared.places)
    if served < 2:
        return
    title = f"{count} {'place serves' if count == 1 else 'places serve'} all {served} procedures"
    proof = "proven: no fewer do" if shared.proven else "not proven: fewer may do"
    made = table(f"{title} ({proof})", "place", "x", "y", "heading", "card", "carried by", "margin")
    for number, place in enumerate(shared.places, start=1):
        at = place.place
        where = [str(number), format_length(at.x_m, system), format_length(at.y_m, system), f"{at.heading_deg:.2f}°"]
        for use in place.uses:
            carried = _carried(use.carried_by, use.height_m, system)
            if use.doors_open:
                carried += f", {' and '.join(use.doors_open)} open"
            card = use.card.key + (f" ({use.variant})" if use.variant else "")
            made.add_row(*where, escape(card), escape(carried), format_length(use.margin_m, system))
            where = [""] * len(where)
    yield made


def _carried(by: str, height_m: float, system: System) -> str:
    return f"{by} at {format_length(height_m, system)}" if height_m else by

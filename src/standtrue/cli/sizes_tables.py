"""The bay-size chart as tables that a person reads in a terminal."""

from __future__ import annotations

from rich.markup import escape

from standtrue.cli.output import table
from standtrue.cli.tables import Tables
from standtrue.model.reader_units import System, format_length
from standtrue.show.answers.sizes_rows import rules_words
from standtrue.show.pictures.sizes import area_words, percent
from standtrue.study.sizes import Frontier, Size
from standtrue.work.study.sizes import SHARES, Sizes


def sizes_tables(answer: Sizes, units: System) -> Tables:
    """The least bays for each share of the work, and the least sizes for each car and card."""
    if answer.partial:
        yield "[bold]A partial answer: stopped before its end.[/bold]"
    largest = Size(answer.coverage.sizes.width_m[1], answer.coverage.sizes.length_m[1])
    yield (
        f"The largest room looked at, {_size(largest, units)}, covers {percent(answer.coverage.greatest)} of the work."
    )
    least = table("The least bays", "share of the work", "least area", "area", "narrowest", "shortest")
    for share in SHARES:
        bay = answer.coverage.least_bay(share)
        best = bay.least_area
        if best is None:
            least.add_row(percent(share), "no size looked at", "", "", "")
        else:
            ends = _size(bay.bays[0], units), _size(bay.bays[-1], units)
            least.add_row(percent(share), _size(best, units), area_words(best, units), *ends)
    yield least
    if answer.today is not None:
        covered = percent(answer.coverage.share(answer.today))
        yield f"Today: {_size(answer.today, units)}; a room of that size laid out by the rule covers {covered}."
    cards = table("From which size on it fits (width x length)", "car", "card", "least area", "narrowest", "shortest")
    for frontier in answer.frontiers:
        car, card = answer.work.cars[frontier.car].name, answer.work.cards[frontier.card].key
        cards.add_row(escape(car), escape(card), *_corners(answer, frontier, units))
    yield cards
    for rule in rules_words(answer, units):
        yield escape(rule)


def _corners(answer: Sizes, frontier: Frontier, units: System) -> tuple[str, ...]:
    found = frontier.corners
    if not found:
        supports = answer.work.cards[frontier.card].all_supports
        lifted = answer.rooms.lift is None and "floor" not in supports
        why = "needs a lift" if lifted else "no size looked at"
        return (why if frontier.whole else "not known yet", "", "")
    best = min(found, key=lambda corner: (corner.area_m2, corner))
    return tuple(_size(size, units) for size in (best, found[0], found[-1]))


def _size(size: Size, units: System) -> str:
    return f"{format_length(size.width_m, units)} x {format_length(size.length_m, units)}"

"""A study as tables that a person reads in a terminal."""

from __future__ import annotations

from rich.markup import escape
from rich.padding import Padding

from standtrue.cli.output import table
from standtrue.cli.tables import Tables
from standtrue.model.basics import SUPPORT_CLASSES
from standtrue.model.reader_units import System
from standtrue.show.words.study import best_of_each, change_words, help_words, partial_words, stop_words
from standtrue.work.study.studies import RoomAnswer, StudyAnswer

MOST_CHANGES = 12


def study_tables(answer: StudyAnswer, units: System) -> Tables:
    """Each room: what is done, by order, car and card; what stops the rest; what would help."""
    if answer.partial:
        yield f"[bold]A partial answer: {escape(partial_words(answer))}[/bold]"
    for room in answer.rooms:
        yield from _room_tables(room, units)


def _room_tables(room: RoomAnswer, units: System) -> Tables:
    whole = room.tally.whole
    yield f"[bold]{escape(room.room.name)}: {percent(whole.share)} of {whole.of:.0f} orders a year[/bold]"
    shares = table("What can be finished here", "", "orders a year", "done", "share")
    for title, found in (("order", room.tally.by_order), ("car", room.tally.by_car)):
        for share in found:
            shares.add_row(
                f"{title} {escape(share.name)}", f"{share.of:.1f}", f"{share.done:.1f}", percent(share.share)
            )
    yield shares
    cards = table("By card: the share of its work that fits", "card", "any", *SUPPORT_CLASSES)
    for card in room.tally.by_card:
        supports = dict(card.supports)
        told = [percent(supports[s].share) if s in supports else "" for s in SUPPORT_CLASSES]
        cards.add_row(escape(card.card), percent(card.any_support.share), *told)
    yield cards
    if room.stops:
        stops = table("What stops the rest", "", "orders lost", "by it alone", "what wins most of it back", "won back")
        for help_ in room.stops:
            stop = help_.stop
            change = help_words(help_, units) or "no single change"
            stops.add_row(
                escape(stop_words(stop)), f"{stop.lost:.1f}", f"{stop.alone:.1f}", escape(change), f"{help_.won:.1f}"
            )
        yield stops
    if room.changes:
        changes = table("Single changes that win work back", "change", "share then", "orders won back")
        for one in best_of_each(room.changes)[:MOST_CHANGES]:
            changes.add_row(escape(change_words(one, units)), percent(one.tally.whole.share), f"{one.won:.1f}")
        yield changes
    if room.places is not None:
        for count, weight in room.places:
            places = "one place serves" if count == 1 else f"{count} places serve"
            yield Padding(f"{places} all cards of {weight:.1f} orders a year", (0, 0, 0, 1))


def percent(share: float) -> str:
    """A share in whole percent; never 0 or 100 for what is not."""
    rounded = round(100 * share)
    if rounded == 100 and share < 1.0:
        return "over 99 %"
    if rounded == 0 and share > 0.0:
        return "under 1 %"
    return f"{rounded} %"

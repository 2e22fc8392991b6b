"""What a study says: in the words that the terminal and the sheet share, and as the terminal's tables."""

from __future__ import annotations

from collections.abc import Iterator

from standtrue.model.basics import SUPPORT_CLASSES
from standtrue.model.reason import Number, Ref
from standtrue.show.words.blocks import Block, Lines, Table, Told
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader
from standtrue.show.words.remedies import engineer_first
from standtrue.show.words.sheet_room import share_words
from standtrue.show.words.study_shop import shop_tables, two_shares
from standtrue.study.tally import Stop
from standtrue.work.study.answer import Change, RoomAnswer, StopHelp, StudyAnswer, best_of_each

MOST_CHANGES = 12

DIMENSIONS = (
    N_("width over mirrors"),
    N_("height"),
    N_("front overhang"),
    N_("track front"),
    N_("track rear"),
    N_("tire width"),
    N_("tire diameter"),
    N_("ground clearance"),
    N_("turning circle"),
)
"""The dimensions of a car that may be estimated, as `Term`s."""


def change_words(change: Change, reader: Reader) -> str:
    """A change, how far a wall moves in it, and who must be asked before anything that may carry the building goes."""
    said = reader.reason(change.reason)
    if change.kind == "lift":
        return reader.say("{change} (ask the supplier first: the floor must carry it)", change=said)
    return engineer_first(said, reader) if change.kind in ("wall", "fixed") else said


def stop_words(stop: Stop, reader: Reader) -> str:
    """What stops work."""
    return reader.say("no card for {what}", what=stop.what) if stop.no_card else reader.write(stop.what)


def help_words(told: StopHelp, reader: Reader) -> str:
    """What wins most of a stop's work back; "" where no single change that was tried wins any."""
    if told.change is not None:
        return change_words(told.change, reader)
    return reader.say("get the maker's procedure") if told.stop.no_card else ""


def partial_words(answer: StudyAnswer, reader: Reader) -> str:
    """What is missing where a study was stopped before its end; "" where it was not."""
    return "" if answer.stopped is None else reader.reason(answer.stopped)


def assumptions(answer: StudyAnswer, reader: Reader) -> tuple[str, ...]:
    """What the answer takes for granted."""
    return tuple(reader.reasons(answer.assumptions))


MOST_STOPS = 3
"""How many of what stops work are told first."""


def study_told(answer: StudyAnswer, reader: Reader) -> Told:
    """Each room's share, what stops the rest, what wins most of it back; then tables of these; at length all."""
    first = [Lines((), reader.say("A partial answer: stopped before its end."))] if answer.partial else []
    first += [Lines(tuple(_first_lines(room, reader)), _room_title(room, reader)) for room in answer.rooms]
    short: list[Block] = []
    for room in answer.rooms:
        short += [_stops(room, reader)] if room.stops else []
        short += [_changes(room, reader)] if room.changes else []
        short += shop_tables(room, reader)
    return Told(tuple(first), tuple(short), tuple(_long(answer, reader)), assumptions(answer, reader))


def _first_lines(room: RoomAnswer, reader: Reader) -> Iterator[str]:
    yield from two_shares(room, reader)
    for told in room.stops[:MOST_STOPS]:
        lost = Number(told.stop.lost, 1)
        yield reader.say("Stopped by {what}: {lost} orders a year.", what=stop_words(told.stop, reader), lost=lost)
    best = next(iter(best_of_each(room.changes)), None)
    if best is not None:
        share = share_words(best.tally.whole.share, reader)
        yield reader.say(
            "What wins most back: {change}; the room then holds {share}.",
            change=change_words(best, reader),
            share=share,
        )


def study_blocks(answer: StudyAnswer, reader: Reader) -> Iterator[Block]:
    """Each room: what is done, by order, car and card; what stops the rest; what would help; what is assumed."""
    if answer.partial:
        yield Lines((), heading=reader.say("A partial answer: stopped before its end."))
    yield from _long(answer, reader)
    yield Lines(tuple(reader.say("Assumed: {what}", what=assumed) for assumed in assumptions(answer, reader)))


def _long(answer: StudyAnswer, reader: Reader) -> Iterator[Block]:
    for room in answer.rooms:
        yield from _room_blocks(room, reader)


def _room_title(room: RoomAnswer, reader: Reader) -> str:
    whole = room.tally.whole
    share, orders = share_words(whole.share, reader), Number(whole.of)
    return reader.say("{room}: {share} of {orders} orders a year", room=room.room.ref, share=share, orders=orders)


def _room_blocks(room: RoomAnswer, reader: Reader) -> Iterator[Block]:
    yield Lines(tuple(two_shares(room, reader)), heading=_room_title(room, reader))
    yield _shares(room, reader)
    yield _cards(room, reader)
    if room.stops:
        yield _stops(room, reader)
        yield Lines(tuple(_why(told, reader) for told in room.stops if told.why), indent=1)
    if room.changes:
        yield _changes(room, reader)
    yield from shop_tables(room, reader)
    if room.places is not None:
        yield Lines(tuple(_places(count, weight, reader) for count, weight in room.places), indent=1)


def _shares(room: RoomAnswer, reader: Reader) -> Table:
    named = [(reader.say("order {name}", name=s.name), s) for s in room.tally.by_order]
    named += [(reader.say("car {name}", name=s.name), s) for s in room.tally.by_car]
    return Table(
        reader.say("What the room holds"),
        ("", reader.say("orders a year"), reader.say("orders done"), reader.say("share")),
        tuple((name, _orders(s.of), _orders(s.done), share_words(s.share, reader)) for name, s in named),
    )


def _cards(room: RoomAnswer, reader: Reader) -> Table:
    rows = []
    for card in room.tally.by_card:
        supports = dict(card.supports)
        told = [share_words(supports[s].share, reader) if s in supports else "" for s in SUPPORT_CLASSES]
        rows.append((card.card, share_words(card.any_support.share, reader), *told))
    return Table(
        reader.say("By card: the share of its work that fits"),
        (reader.say("card"), reader.say("any"), *map(reader.term, SUPPORT_CLASSES)),
        tuple(rows),
    )


def _stops(room: RoomAnswer, reader: Reader) -> Table:
    rows = []
    for told in room.stops:
        change = help_words(told, reader) or reader.say("no single change")
        stop = told.stop
        rows.append((stop_words(stop, reader), _orders(stop.lost), _orders(stop.alone), change, _orders(told.won)))
    columns = (
        "",
        reader.say("orders lost"),
        reader.say("by it alone"),
        reader.say("what wins most of it back"),
        reader.say("won back"),
    )
    return Table(reader.say("What stops the rest"), columns, tuple(rows))


def _why(told: StopHelp, reader: Reader) -> str:
    """Why it does not fit, for one of the cars that it stops."""
    what, car = stop_words(told.stop, reader), Ref("vehicle", told.car)
    return reader.say("{what}, for {car}: {why}", what=what, car=car, why="; ".join(reader.reasons(told.why)))


def _changes(room: RoomAnswer, reader: Reader) -> Table:
    rows = tuple(
        (
            change_words(one, reader),
            reader.reason(one.takes),
            share_words(one.tally.whole.share, reader),
            _orders(one.won),
        )
        for one in best_of_each(room.changes)[:MOST_CHANGES]
    )
    columns = (
        reader.say("change"),
        reader.say("what it takes"),
        reader.say("the room then holds"),
        reader.say("orders won back"),
    )
    return Table(reader.say("Single changes that win work back"), columns, rows)


def _places(count: int, orders: float, reader: Reader) -> str:
    return reader.say_n(
        "One place serves all cards of {orders} orders a year.",
        "{n} places serve all cards of {orders} orders a year.",
        count,
        orders=Number(orders, 1),
    )


def _orders(count: float) -> str:
    return f"{count:.1f}"


def stop_name(what: Ref) -> str:
    """What stops work, as `--json` names it: a card's key, or a sensor's kind and side."""
    return f"{what.name} {what.state}".strip()

"""The page of a room's year: its share, which work that is, what stops the rest, what wins it back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

from attrs import frozen

from standtrue.model.study import Study
from standtrue.show.words.blocks import Table
from standtrue.show.words.pages import room as words
from standtrue.show.words.reader import Reader
from standtrue.show.words.sheet_room import orders, share_words
from standtrue.show.words.study import assumptions, change_words, help_words, partial_words, stop_words
from standtrue.show.words.study_shop import shop_tables, two_shares
from standtrue.work.study.answer import Change, RoomAnswer, StudyAnswer, best_of_each

MOST_CHANGES = 8

Phase = Literal["computing", "failed", "whole"]


@frozen
class Bar:
    """A row with a bar: how long it is to the scale of all, and which part of it is filled, percent."""

    name: str
    long: float
    filled: float
    cells: tuple[str, ...]


@frozen
class OneRoom:
    """A room of the study: `shares` tells what it holds and what the shop can do of that, `shop` why that is less."""

    name: str
    share: str
    answer: str
    shares: tuple[str, ...]
    shop: tuple[Table, ...]
    work: tuple[Bar, ...]
    stops: tuple[tuple[str, ...], ...]
    changes: tuple[Bar, ...]


@frozen
class RoomPage:
    """The page. `rooms` are those that are answered; `beside` the rows of their comparison, where there are several."""

    study: str
    words: words.RoomWords
    phase: Phase
    over: str
    rooms: tuple[OneRoom, ...] = ()
    beside: tuple[tuple[str, tuple[str, ...]], ...] = ()
    partial: str = ""
    notes: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    said: str = ""
    of: float | None = None
    others: tuple[str, ...] = ()


def room_page(study: Study, answer: StudyAnswer, others: Sequence[str], reader: Reader) -> RoomPage:
    """A study that was answered."""
    rooms = tuple(_room(room, reader) for room in answer.rooms)
    count = answer.rooms[0].tally.whole.of if answer.rooms else 0.0
    basis = answer.basis
    return RoomPage(
        study.name,
        words.room_words(reader),
        "whole",
        words.over(study.name, count, len(answer.cars), reader),
        rooms,
        tuple(_beside(answer.rooms, reader)) if len(rooms) > 1 else (),
        partial_words(answer, reader),
        (*reader.reasons(basis.warnings), *reader.reasons(c.reason for c in basis.cautions)),
        assumptions(answer, reader),
        others=tuple(others),
    )


def room_at_work(study: Study, done: int, of: int, seconds: float, others: Sequence[str], reader: Reader) -> RoomPage:
    """A study that is being answered."""
    said = words.working(done, of, seconds, reader)
    share = round(100 * done / of, 1) if of else None
    fixed = words.room_words(reader)
    return RoomPage(study.name, fixed, "computing", study.name, said=said, of=share, others=tuple(others))


def room_failed(study: Study, told: str, others: Sequence[str], reader: Reader) -> RoomPage:
    """A study that cannot be answered, and why."""
    return RoomPage(study.name, words.room_words(reader), "failed", study.name, said=told, others=tuple(others))


def _room(room: RoomAnswer, reader: Reader) -> OneRoom:
    whole = room.tally.whole
    best = _best(room)
    change, then = ("", "") if best is None else (change_words(best, reader), share_words(_share(best), reader))
    longest = max((one.of for one in room.tally.by_order), default=1.0) or 1.0
    work = tuple(
        Bar(
            one.name,
            round(100 * one.of / longest, 1),
            round(100 * one.share, 1),
            (words.of_all(one.done, one.of, reader), share_words(one.share, reader)),
        )
        for one in room.tally.by_order
    )
    return OneRoom(
        reader.write(room.room.ref),
        share_words(whole.share, reader),
        words.finished(whole.of, change, then, reader),
        tuple(two_shares(room, reader)),
        tuple(shop_tables(room, reader)),
        work,
        tuple(_stops(room, reader)),
        tuple(_changes(room, reader)),
    )


def _best(room: RoomAnswer) -> Change | None:
    return next(iter(best_of_each(room.changes)), None)


def _share(change: Change) -> float:
    return change.tally.whole.share


def _stops(room: RoomAnswer, reader: Reader) -> Iterator[tuple[str, ...]]:
    for one in room.stops:
        stop = one.stop
        yield stop_words(stop, reader), orders(stop.lost), orders(stop.alone), help_words(one, reader) or "–"


def _changes(room: RoomAnswer, reader: Reader) -> Iterator[Bar]:
    found = best_of_each(room.changes)[:MOST_CHANGES]
    most = max((one.won for one in found), default=1.0) or 1.0
    for one in found:
        cells = (orders(one.won), share_words(_share(one), reader))
        yield Bar(change_words(one, reader), round(100 * one.won / most, 1), 100.0, cells)


def _beside(rooms: Sequence[RoomAnswer], reader: Reader) -> Iterator[tuple[str, tuple[str, ...]]]:
    """The rooms side by side: their share, each kind of order, the best next change in the last row."""
    fixed = words.room_words(reader)
    yield fixed.share, tuple(share_words(room.tally.whole.share, reader) for room in rooms)
    for number, one in enumerate(rooms[0].tally.by_order):
        yield one.name, tuple(share_words(room.tally.by_order[number].share, reader) for room in rooms)
    best = [_best(room) for room in rooms]
    told = tuple(
        words.best_change("" if one is None else change_words(one, reader), 0.0 if one is None else one.won, reader)
        for one in best
    )
    yield fixed.best, told

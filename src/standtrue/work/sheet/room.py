"""The adviser's sheet of a room: which changes stand beside each other, what is drawn, who stands where.

The sheet shows the room today and up to three changes, the best of each kind first. Its pictures show one car at one
card, the same before and after: what stops most work today, wherever the change wins that back.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from attrs import evolve, frozen

from standtrue.model.asking import Asking, Progress
from standtrue.model.basics import SUPPORT_CLASSES, SupportClass
from standtrue.model.basis import Basis
from standtrue.model.cautions import Fact
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.reason import because
from standtrue.place.engine import best_stance
from standtrue.place.many.shared import SharedPlace, shared_places
from standtrue.place.question.answer import Answer
from standtrue.study.tally import Table, Tally, Task, fits
from standtrue.work.study.answer import Change, RoomAnswer, StudyAnswer, best_of_each, chosen_cards
from standtrue.work.study.rooms import Room

MOST_STATES = 4
"""Today, and so many changes less one beside it."""

MOST_WON = 1
"""Of so many kinds of order the stances are told after a change."""

MOST_DRAWN = 2
"""So many states are drawn: today, and the best change."""


@frozen(eq=False)
class State:
    """The room in one state: today (no change), or after a change."""

    room: Room
    table: Table
    tally: Tally
    change: Change | None = None

    @property
    def grounds(self) -> Grounds:
        return self.room.grounds


@frozen(eq=False)
class Drawn:
    """What a picture shows: one car at one card on one support, where it stands for that."""

    car: str
    key: str
    support: SupportClass
    stance: Answer


@frozen(eq=False)
class Served:
    """What is done at a place: which kind of order, on which car; the place is one of so many for it."""

    order: str
    car: str
    number: int
    of: int
    place: SharedPlace


@frozen(eq=False)
class StateContent:
    """One state on the sheet. `drawn`: it has a picture, of `shown`, or of the floor alone where that is None."""

    state: State
    drawn: bool
    shown: Drawn | None
    served: tuple[Served, ...]


@frozen(eq=False)
class RoomContent:
    """What goes onto the sheet of one room: its states, today first, and what all of it rests on."""

    room: RoomAnswer
    states: tuple[StateContent, ...]
    basis: Basis


@frozen
class _Shown:
    """What a picture is to show: one car at one card on one support."""

    car: str
    key: str
    support: SupportClass


def find_room_sheets(answer: StudyAnswer, asking: Asking = Asking()) -> tuple[RoomContent, ...]:
    """What goes onto each room's sheet; stopped early, of those rooms that were looked at by then."""
    found: list[RoomContent] = []
    for number, room in enumerate(answer.rooms):
        if asking.stopped():
            break
        asking.tell(Progress(because("making-room-sheet", room=room.room.ref), number, len(answer.rooms)))
        found.append(_content(answer, room))
    return tuple(found)


def _content(answer: StudyAnswer, room: RoomAnswer) -> RoomContent:
    today = State(room.room, room.table, room.tally)
    states = [today, *(State(c.room, c.table, c.tally, c) for c in _beside(room.changes))]
    lead = _lead(answer, room, states)
    told = []
    for number, state in enumerate(states):
        drawn = number < MOST_DRAWN
        shown = lead if state.change is None else _drawn_after(answer, room, state.change, lead)
        stood = _stood(answer, state, shown) if drawn and shown is not None else None
        told.append(StateContent(state, drawn, stood, tuple(_served(answer, room, state))))
    return RoomContent(room, tuple(told), answer.basis.cautioned(_facts(told)))


def _facts(states: Sequence[StateContent]) -> Iterator[Fact]:
    """What the stances that are told call for, and the pits of the rooms."""
    uses = [use for told in states for one in told.served for use in one.place.uses]
    grounds = [told.state.grounds.at_rest() for told in states]
    if any(use.doors_open for use in uses):
        yield Fact.OPEN_DOOR
    if any(use.support == "lift up" for use in uses):
        yield Fact.RAISED
    if any(u.kind == "void" and len(u.wheel_pieces) for ground in grounds for u in ground.unfloor):
        yield Fact.OPEN_PIT


def _beside(changes: Sequence[Change]) -> list[Change]:
    """The changes that stand beside the room today: the best of each kind, then the next best."""
    best = best_of_each(changes)
    first = [next(c for c in best if c.kind == kind) for kind in dict.fromkeys(c.kind for c in best)]
    chosen = [*first, *(c for c in best if c not in first)][: MOST_STATES - 1]
    return [c for c in best if c in chosen]


def _lead(answer: StudyAnswer, room: RoomAnswer, states: Sequence[State]) -> _Shown | None:
    """What today's picture shows: the card that stops most, for the car that most of it is lost with.

    On a support on which a change that stands beside would win it back. Where nothing stops: the card of most work.
    """
    stop = next((s.stop for s in room.stops if not s.stop.no_card), None)
    if stop is None:
        cards = sorted(room.tally.by_card, key=lambda c: -c.any_support.of)
        return next((s for c in cards for s in [_most_work(answer, c.card, room.table)] if s), None)
    car = max(stop.cars, key=lambda name: (_weight(answer, name, stop.what.name), name))
    later = (_support(s.table, car, stop.what.name) for s in states[1:])
    support = next((s for s in later if s is not None), room.table[car, stop.what.name][0][0])
    return _Shown(car, stop.what.name, support)


def _drawn_after(answer: StudyAnswer, room: RoomAnswer, change: Change, lead: _Shown | None) -> _Shown | None:
    """What the picture of a change shows: today's, if that fits now; else what it wins most work with."""
    if lead is not None:
        support = _support(change.table, lead.car, lead.key)
        if support is not None:
            return evolve(lead, support=support)
    won = [
        (_weight(answer, car, key), car, key)
        for (car, key) in change.table
        if fits(change.table, car, key) is Fits.YES and fits(room.table, car, key) is not Fits.YES
    ]
    if not won:
        return lead
    _, car, key = max(won)
    support = _support(change.table, car, key)
    return None if support is None else _Shown(car, key, support)


def _most_work(answer: StudyAnswer, key: str, table: Table) -> _Shown | None:
    cars = [car for car, k in table if k == key and fits(table, car, key) is Fits.YES]
    if not cars:
        return None
    car = max(cars, key=lambda name: (_weight(answer, name, key), name))
    support = _support(table, car, key)
    return None if support is None else _Shown(car, key, support)


def _weight(answer: StudyAnswer, car: str, key: str) -> float:
    """Orders a year of a car that may call for a card."""
    return sum(t.per_year for t in answer.tasks if t.car == car and key in t.cards)


def _support(table: Table, car: str, key: str) -> SupportClass | None:
    return next((support for support, fit in table[car, key] if fit is Fits.YES), None)


def _stood(answer: StudyAnswer, state: State, shown: _Shown) -> Drawn:
    card = next(c for c in answer.cards if c.key == shown.key)
    stance = best_stance(state.grounds, answer.vehicles[shown.car], (card,), shown.support).stands
    return Drawn(shown.car, shown.key, shown.support, stance)


def _served(answer: StudyAnswer, room: RoomAnswer, state: State) -> Iterator[Served]:
    """The places of the car that most of each kind of order is finished with; after a change, of what it wins."""
    best: dict[str, Task] = {}
    for task in answer.tasks:
        chosen = chosen_cards(state.table, task)
        if not chosen or (state.change is not None and chosen_cards(room.table, task) is not None):
            continue
        if task.order not in best or task.per_year > best[task.order].per_year:
            best[task.order] = task
    most = sorted(best.values(), key=lambda t: -t.per_year)
    for task in most if state.change is None else most[:MOST_WON]:
        keys = set(chosen_cards(state.table, task) or ())
        cards = [c for c in answer.cards if c.key in keys]
        found = shared_places(state.grounds, answer.vehicles[task.car], cards, SUPPORT_CLASSES).places
        for number, place in enumerate(found, start=1):
            yield Served(task.order, task.car, number, len(found), place)

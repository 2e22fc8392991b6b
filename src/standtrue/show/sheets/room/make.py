"""From a study's answer to the adviser's sheet: which changes stand beside each other, what is drawn, who stands where.

The sheet shows the room today and up to three changes, the best of each kind first. Its pictures show one car at one
card, the same before and after: what stops most work today, wherever the change wins that back.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from importlib.metadata import version

from attrs import evolve, frozen

from standtrue.draw.backends.pdf import Picture
from standtrue.model.asking import Asking, Progress
from standtrue.model.basics import SUPPORT_CLASSES, SupportClass
from standtrue.model.cautions import CAUTIONS, Fact, cautions_for
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.reason import because
from standtrue.model.site import Datum, from_datum
from standtrue.place.engine import best_stance
from standtrue.place.many.shared import SharedPlace, shared_places
from standtrue.show.pictures.place import drawing_of, site_drawing
from standtrue.show.pictures.small_plan import small_plan
from standtrue.show.sheets.rests_on import LONGEST_PROGRAM, CardSource
from standtrue.show.sheets.room.sheet import (
    LONGEST_NAME,
    MOST_SCENARIOS,
    AdviserSheet,
    Scenario,
    ShareRow,
    Stance,
    Stop,
)
from standtrue.show.words import sheet_room as words
from standtrue.show.words.place import carried_words
from standtrue.show.words.reader import Reader
from standtrue.show.words.study import assumptions, best_of_each, change_words, help_words, partial_words, stop_words
from standtrue.study.tally import Share, Table, Tally, Task, fits
from standtrue.work.study.answer import Change, RoomAnswer, StudyAnswer, chosen_cards
from standtrue.work.study.rooms import Room

MOST_STOPS = 8

MOST_WON = 1
"""Of so many kinds of order the stances are told after a change."""

MOST_DRAWN = 2
"""So many states are drawn: today, and the best change."""


@frozen
class _Shown:
    """What a picture shows: one car at one card on one support."""

    car: str
    key: str
    support: SupportClass


@frozen(eq=False)
class _State:
    """The room in one state: today (no change), or after a change."""

    room: Room
    table: Table
    tally: Tally
    change: Change | None = None

    @property
    def grounds(self) -> Grounds:
        return self.room.grounds


@frozen(eq=False)
class _Served:
    """What is done at a place: which kind of order, on which car."""

    work: str
    place: SharedPlace


def study_sheets(
    answer: StudyAnswer, reader: Reader, date: str, asking: Asking | None = None
) -> list[tuple[str, AdviserSheet]]:
    """One sheet for each room of a study, by the room's name; stopped early, those made by then.

    `date` is printed as it is.
    """
    asking = asking or Asking()
    sheets: list[tuple[str, AdviserSheet]] = []
    for number, room in enumerate(answer.rooms):
        if asking.stopped():
            break
        asking.tell(Progress(because("making-room-sheet", room=room.room.ref), number, len(answer.rooms)))
        sheets.append((room.room.name, _sheet(answer, room, reader, date)))
    return sheets


def _sheet(answer: StudyAnswer, room: RoomAnswer, reader: Reader, date: str) -> AdviserSheet:
    today = _State(room.room, room.table, room.tally)
    states = [today, *(_State(c.room, c.table, c.tally, c) for c in _beside(room.changes))]
    served = [list(_served(answer, room, state, reader)) for state in states]
    stops = room.stops[:MOST_STOPS]
    more = len(room.stops) - len(stops)
    notes = (words.more_causes(more, reader),) if more else ()
    return AdviserSheet(
        title=words.title(room.room.name, reader),
        shop=words.shop(answer.study.name, answer.study.mix, reader),
        date=date,
        program=f"Standtrue {version('standtrue')}"[:LONGEST_PROGRAM],
        reader=reader,
        scenarios=tuple(_scenarios(answer, room, states, served, reader)),
        by_order=_rows([s.tally.by_order for s in states]),
        by_card=_rows([tuple(evolve(c.any_support, name=c.card) for c in s.tally.by_card) for s in states]),
        stops=tuple(Stop(stop_words(s.stop, reader), s.stop.lost, help_words(s, reader), s.won) for s in stops),
        assumptions=assumptions(answer, reader),
        cautions=_cautions(answer, states, served, reader),
        warnings=(*reader.reasons(answer.basis.warnings), *notes),
        sources=tuple(
            CardSource(c.key, c.source.title, c.source.edition, c.source.read_on, c.source.status) for c in answer.cards
        ),
        documents=answer.basis.marks,
        demonstration=answer.basis.demonstration,
        partial=partial_words(answer, reader),
    )


def _beside(changes: Sequence[Change]) -> list[Change]:
    """The changes that stand beside the room today: the best of each kind, then the next best."""
    best = best_of_each(changes)
    first = [next(c for c in best if c.kind == kind) for kind in dict.fromkeys(c.kind for c in best)]
    chosen = [*first, *(c for c in best if c not in first)][: MOST_SCENARIOS - 1]
    return [c for c in best if c in chosen]


def _rows(shares: Sequence[Sequence[Share]]) -> tuple[ShareRow, ...]:
    """One row for each name of the first column, which every column has."""
    columns = [{s.name: s.share for s in column} for column in shares]
    return tuple(ShareRow(name, tuple(c[name] for c in columns)) for name in columns[0])


def _cautions(
    answer: StudyAnswer, states: Sequence[_State], served: Sequence[Sequence[_Served]], reader: Reader
) -> tuple[str, ...]:
    """The answer's, and what the stances that are told call for, in their usual order."""
    uses = [use for found in served for one in found for use in one.place.uses]
    grounds = (state.grounds.at_rest() for state in states)
    facts = {
        Fact.OPEN_DOOR: any(use.doors_open for use in uses),
        Fact.RAISED: any(use.support == "lift up" for use in uses),
        Fact.OPEN_PIT: any(u.kind == "void" and len(u.wheel_pieces) for ground in grounds for u in ground.unfloor),
    }
    more = cautions_for(frozenset(fact for fact, holds in facts.items() if holds))
    return tuple(reader.reason(c.reason) for c in CAUTIONS if c in answer.basis.cautions or c in more)


def _scenarios(
    answer: StudyAnswer,
    room: RoomAnswer,
    states: Sequence[_State],
    served: Sequence[Sequence[_Served]],
    reader: Reader,
) -> Iterator[Scenario]:
    lead = _lead(answer, room, states)
    for number, state in enumerate(states):
        change, whole = state.change, state.tally.whole
        name = words.today(reader) if change is None else change_words(change, reader)
        won = "" if change is None else words.wins(change.won, reader)
        shown = lead if change is None else _drawn_after(answer, room, change, lead)
        yield Scenario(
            _short(name),
            whole.share,
            whole.done,
            max(0.0, whole.of - whole.done),
            won,
            _picture(answer, state, shown, reader) if number < MOST_DRAWN else None,
            tuple(_stance(one, state.room.site.datum, reader) for one in served[number]),
        )


def _short(name: str) -> str:
    return name if len(name) <= LONGEST_NAME else f"{name[: LONGEST_NAME - 1]}…"


def _lead(answer: StudyAnswer, room: RoomAnswer, states: Sequence[_State]) -> _Shown | None:
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


def _picture(answer: StudyAnswer, state: _State, shown: _Shown | None, reader: Reader) -> Picture:
    """The plan with the car where it stands for what is shown; where nothing is drawn, the floor alone."""
    if shown is None:
        return small_plan(site_drawing(state.grounds.at_rest(), reader), reader)
    card = next(c for c in answer.cards if c.key == shown.key)
    found = best_stance(state.grounds, answer.vehicles[shown.car], (card,), shown.support)
    drawn = small_plan(drawing_of(found, reader), reader)
    carries = carried_words(found.carried_by, found.height_m, shown.support, reader)
    what = words.pictured(shown.car, shown.key, carries, reader)
    return evolve(drawn, caption="; ".join(part for part in (what, drawn.caption) if part))


def _served(answer: StudyAnswer, room: RoomAnswer, state: _State, reader: Reader) -> Iterator[_Served]:
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
            yield _Served(words.served(task.order, task.car, number, len(found), reader), place)


def _stance(served: _Served, datum: Datum, reader: Reader) -> Stance:
    uses, at = served.place.uses, served.place.place
    ways = dict.fromkeys(words.on(u.carried_by, u.height_m, reader) for u in uses)
    opened = dict.fromkeys(d for u in uses for d in u.doors_open)
    right, up = from_datum((at.x_m, at.y_m), datum)
    return Stance(
        served.work, words.stands(tuple(ways), tuple(opened), reader), right, up, at.heading_rad - datum.direction_rad
    )

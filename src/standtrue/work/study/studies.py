"""What a room can do for a year's work: every car of the mix, every repair order, every room, and what would help."""

from __future__ import annotations

import math
import os
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from attrs import frozen

from standtrue.model.basics import SUPPORT_CLASSES, DocumentMark, SupportClass
from standtrue.model.cautions import Caution, Fact
from standtrue.model.fits import Fits
from standtrue.model.lift import Lift
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Note
from standtrue.model.shop import Shop
from standtrue.model.study import Study
from standtrue.model.vehicle import Vehicle
from standtrue.place.many.many import AnyFits
from standtrue.place.many.shared import shared_places
from standtrue.place.margin.ways import Question
from standtrue.study.tally import CardFit, Stop, Table, Tally, Task, fits, tally, won_back
from standtrue.work.study.rooms import (
    CHANGE_KINDS,
    WALL_STEP_M,
    WALLS_OUT_M,
    Candidate,
    ChangeKind,
    Room,
    candidates,
    rooms_of,
    wall_out,
)
from standtrue.work.study.year import Year, year_of
from standtrue.work.used import card_facts, cautions, marks_of

Progress = Callable[[str, int, int], None]
"""Told what is asked, how much of all is done, and of how much, counted in questions."""

AT_ONCE = 1024
"""Questions put to the compiled call together: enough to spread over the cores, few enough to tell of progress."""

MANY = 30
"""The shared places of one order take about as long as so many questions."""

STOPPED_SHARE = 0.3
"""Before it is known what does not fit: what share of the questions each change asks again."""

Wanted = Sequence[tuple[str, str, SupportClass]]


@frozen(eq=False)
class Change:
    """One change of a room, in words, the work that would then be done, and what it wins back.

    `moved_m` is how far a wall moves outward, where one does.
    """

    words: str
    kind: ChangeKind
    room: Room
    table: Table
    tally: Tally
    won: float
    moved_m: float | None = None


@frozen(eq=False)
class StopHelp:
    """What stops work, and the change that wins most of that back; None where no single change wins any."""

    stop: Stop
    change: Change | None
    won: float


@frozen(eq=False)
class RoomAnswer:
    """One room as it is, the changes that help (the most first), and what stops the rest.

    `places` tells for how many orders a year one place serves all cards, or two, and so on; None if not asked.
    """

    room: Room
    table: Table
    tally: Tally
    changes: tuple[Change, ...]
    stops: tuple[StopHelp, ...]
    places: tuple[tuple[int, float], ...] | None = None


@frozen(eq=False)
class StudyAnswer:
    """A study answered. `partial` where it was stopped before its end: `cars` are those that count.

    `vehicles` are all cars of the mix, by name.
    """

    study: Study
    tasks: tuple[Task, ...]
    cars: tuple[str, ...]
    rooms: tuple[RoomAnswer, ...]
    marks: tuple[DocumentMark, ...]
    warnings: tuple[Note, ...]
    cautions: tuple[Caution, ...]
    cards: tuple[Procedure, ...]
    vehicles: Mapping[str, Vehicle]
    partial: bool = False

    @property
    def demonstration(self) -> bool:
        return any(mark.demonstration for mark in self.marks)


def find_study(
    folder: Shop, study: Study, *, places: bool = True, progress: Progress | None = None, workers: int | None = None
) -> StudyAnswer:
    """Answer a study. Ctrl-C stops it with what is known by then, said to be partial.

    Raises UnansweredError where a bay or a card is not in the folder.
    """
    rooms = tuple(rooms_of(folder, study))
    year = year_of(folder, study)
    lifts = [folder.lifts[name] for name in study.lift_types]
    asker = _Asker(year, workers or os.cpu_count() or 1, _Meter(progress or (lambda _what, _done, _of: None)))
    for room in rooms:
        asker.expect(room, lifts, places)
    found: list[RoomAnswer] = []
    partial = False
    cars = tuple(year.vehicles)
    for room in rooms:
        answer, known, partial = _ask_room(asker, room, lifts, places)
        if known == cars or not found:
            # Of a later room only an answer for all cars stands beside the others.
            cars = known
            found.extend([answer] if known else [])
        if partial:
            break
    tasks = tuple(t for t in year.tasks if t.car in cars)
    used = [year.cards[k] for k in dict.fromkeys(k for t in tasks for k in t.cards)]
    marks = marks_of(
        folder,
        sites=[r.site for r in rooms],
        vehicles=[year.vehicles[c] for c in cars],
        cards=used,
        rules=[r.name for r in folder.rules.values()],
    )
    marks = tuple(m for m in folder.written.marks if m in marks or (m.kind, m.name) in _own(study))
    facts = [card_facts(used), frozenset({Fact.CAR_MOVES})]
    return StudyAnswer(
        study,
        tasks,
        cars,
        tuple(found),
        marks,
        tuple(dict.fromkeys((*folder.warnings, *year.notes, *_undecided(found)))),
        cautions(facts, marks),
        tuple(used),
        year.vehicles,
        partial,
    )


def _ask_room(
    asker: _Asker, room: Room, lifts: Sequence[Lift], places: bool
) -> tuple[RoomAnswer, tuple[str, ...], bool]:
    """What is known of one room, for which cars, and whether it was stopped before it was all."""
    table: dict[tuple[str, str], CardFit] = {}
    changes: list[Change] = []
    count, stopped = None, False
    try:
        asker.fill(room, table)
        asker.settle(room, table, lifts, places)
        asker.changes(room, table, lifts, changes)
        count = asker.places(room, table) if places else None
    except KeyboardInterrupt:
        stopped = True
    known = asker.cars_known(table)
    return _room_answer(asker, room, table, known, changes, count), known, stopped


def _own(study: Study) -> set[tuple[str, str]]:
    return {("study", study.name), ("mix", study.mix), *(("lift", t) for t in study.lift_types)}


class _Meter:
    """How much is to be asked, and how much of it is done: for the forecast of the end."""

    def __init__(self, tell: Progress) -> None:
        self.tell = tell
        self.done = 0.0
        self.of = 0.0

    def did(self, what: str, count: float) -> None:
        self.done += count
        self.tell(what, round(self.done), round(max(self.of, self.done)))


@frozen(eq=False)
class _Asker:
    """Asks of rooms what a year's work needs to know."""

    year: Year
    workers: int
    meter: _Meter

    @property
    def wanted(self) -> Wanted:
        """Every card of every car, on every support that it allows."""
        asked = dict.fromkeys((t.car, k) for t in self.year.tasks for k in t.cards)
        return [(car, key, s) for car, key in asked for s in self.year.cards[key].all_supports]

    def expect(self, room: Room, lifts: Sequence[Lift], places: bool) -> None:
        """Reckon what a room will take, before anything is known of it."""
        whole = len(self.wanted)
        again = sum(1.0 if c.may_lose else STOPPED_SHARE for c in candidates(room, lifts))
        self.meter.of += whole * (1.0 + again) + (len(self.year.tasks) * MANY if places else 0)

    def settle(self, room: Room, table: Table, lifts: Sequence[Lift], places: bool) -> None:
        """Reckon anew, now that it is known what does not fit."""
        whole = len(self.wanted)
        left = len(self._left(table))
        tried = list(candidates(room, lifts))
        self.meter.of += sum(0 if c.may_lose else left - whole * STOPPED_SHARE for c in tried)
        if places:
            self.meter.of += (len(self._sets(table)) - len(self.year.tasks)) * MANY

    def fill(self, room: Room, table: dict[tuple[str, str], CardFit]) -> None:
        """Ask every card of every car in a room."""
        for told in self._ask(room, self.wanted, room.name):
            _put(table, told)

    def cars_known(self, table: Table) -> tuple[str, ...]:
        """The cars of which everything was asked."""
        asked = {(car, key, s) for (car, key), told in table.items() for s, _ in told}
        left = {wanted[0] for wanted in self.wanted if wanted not in asked}
        return tuple(car for car in self.year.vehicles if car not in left)

    def _ask(self, room: Room, wanted: Wanted, what: str) -> Iterator[list[tuple[str, str, SupportClass, Fits]]]:
        """Answers in shares."""
        grounds = room.grounds
        for begin in range(0, len(wanted), AT_ONCE):
            share = wanted[begin : begin + AT_ONCE]
            asks = AnyFits()
            for car, key, support in share:
                asks.ask(Question(grounds, self.year.vehicles[car], (self.year.cards[key],), support))
            answers = asks.answers(self.workers)
            yield [(*w, a) for w, a in zip(share, answers, strict=True)]
            self.meter.did(what, len(share))

    def changes(self, room: Room, table: Table, lifts: Sequence[Lift], found: list[Change]) -> None:
        """Put every single change that wins work back into `found`, the most first."""
        done = tally(self.year.tasks, table).whole.done
        for candidate in candidates(room, lifts):
            change = self._tried(candidate, table, done)
            if change.won > 0.0:
                found.append(change)
                if candidate.wall is not None:
                    found.extend(self._nearer(room, change, candidate, table, done))
            found.sort(key=_merit)

    def _nearer(
        self, room: Room, farthest: Change, candidate: Candidate, table: Table, done: float
    ) -> Iterator[Change]:
        """Lesser moves of a wall: those that win less, and the least that wins as much as the farthest."""
        assert candidate.wall is not None
        assert candidate.moved_m is not None
        low, high = 0.0, candidate.moved_m
        for out in WALLS_OUT_M:
            nearer = wall_out(room, candidate.wall, out) if out < high else None
            if nearer is None:
                break
            change = self._tried(nearer, table, done)
            if change.won >= farthest.won:
                high = out
                break
            low = out
            if change.won > 0.0:
                yield change
        least = None
        while high - low > WALL_STEP_M * 1.001:
            middle = low + WALL_STEP_M * math.ceil((high - low) / WALL_STEP_M / 2 - 1e-6)
            nearer = wall_out(room, candidate.wall, round(middle, 6))
            change = farthest if nearer is None else self._tried(nearer, table, done)
            if nearer is None or change.won < farthest.won:
                low = middle
            else:
                high, least = middle, change
        if least is not None:
            yield least

    def _tried(self, candidate: Candidate, table: Table, done: float) -> Change:
        """The change, and what it wins. Where it can only help, what fits already is not asked again."""
        wanted = self.wanted if candidate.may_lose else self._left(table)
        fresh = {
            (car, key, s): fit
            for told in self._ask(candidate.room, wanted, f"changes: {candidate.words}")
            for car, key, s, fit in told
        }
        after = {
            (car, key): tuple((s, fresh.get((car, key, s), fit)) for s, fit in told)
            for (car, key), told in table.items()
        }
        told = tally(self.year.tasks, after)
        room, moved = candidate.room, candidate.moved_m
        return Change(candidate.words, candidate.kind, room, after, told, told.whole.done - done, moved)

    def _left(self, table: Table) -> Wanted:
        return [(car, key, s) for (car, key), told in table.items() for s, fit in told if fit is not Fits.YES]

    def places(self, room: Room, table: Table) -> tuple[tuple[int, float], ...]:
        """For how many finished orders a year one place serves, or two, and so on."""
        grounds = room.grounds
        counts: dict[int, float] = {}
        for (car, keys), weight in self._sets(table).items():
            cards = [self.year.cards[k] for k in sorted(keys)]
            count = len(shared_places(grounds, self.year.vehicles[car], cards, SUPPORT_CLASSES).places)
            counts[count] = counts.get(count, 0.0) + weight
            self.meter.did(f"shared places in {room.name}", MANY)
        return tuple(sorted(counts.items()))

    def _sets(self, table: Table) -> dict[tuple[str, frozenset[str]], float]:
        """Each car with each set of cards that finishes some of its orders, and how many a year."""
        sets: dict[tuple[str, frozenset[str]], float] = {}
        for task in self.year.tasks:
            chosen = chosen_cards(table, task)
            if chosen:
                key = task.car, frozenset(chosen)
                sets[key] = sets.get(key, 0.0) + task.per_year
        return sets


def chosen_cards(table: Table, task: Task) -> tuple[str, ...] | None:
    """The cards with which a task is finished, () if none needs a place; None if it is not finished."""
    chosen: list[str] = []
    for need in task.needs:
        option = next((o for o in need.options if all(fits(table, task.car, k) is Fits.YES for k in o)), None)
        if option is None:
            return None
        chosen.extend(option)
    return tuple(chosen)


def _room_answer(
    asker: _Asker,
    room: Room,
    table: Table,
    cars: Sequence[str],
    changes: Sequence[Change],
    places: tuple[tuple[int, float], ...] | None,
) -> RoomAnswer:
    table = {(car, key): told for (car, key), told in table.items() if car in cars}
    tasks = [t for t in asker.year.tasks if t.car in cars]
    told = tally(tasks, table)
    helps = []
    for stop in told.stops:
        wins = [(won_back(tasks, table, c.table, stop), c) for c in changes]
        won, best = max(wins, key=lambda w: w[0], default=(0.0, None))
        helps.append(StopHelp(stop, best if won > 0.0 else None, won))
    return RoomAnswer(room, table, told, tuple(changes), tuple(helps), places)


def _merit(change: Change) -> tuple[float, int, float, str]:
    """Changes in the order of what they win back; among equals the cheapest first."""
    return (-change.won, CHANGE_KINDS.index(change.kind), change.moved_m or 0.0, change.words)


def _put(table: dict[tuple[str, str], CardFit], told: Iterable[tuple[str, str, SupportClass, Fits]]) -> None:
    for car, key, support, fit in told:
        table[car, key] = (*table.get((car, key), ()), (support, fit))


def _undecided(rooms: Sequence[RoomAnswer]) -> Iterator[str]:
    for room in rooms:
        if room.tally.undecided > 0.0:
            yield (
                f"{room.room.name}: {room.tally.undecided:.1f} orders a year hang on questions within 2 mm of the "
                "limit: they count as not done"
            )

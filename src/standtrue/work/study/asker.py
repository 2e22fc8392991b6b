"""Asks of a study's rooms what a year's work needs to know: every card of every car, and every single change."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

from attrs import define

from standtrue.model.asking import Asking, Progress
from standtrue.model.basics import SUPPORT_CLASSES, SupportClass
from standtrue.model.fits import Fits
from standtrue.model.lift import Lift
from standtrue.model.reason import Reason, Ref, Term, because
from standtrue.place.engine import best_stance
from standtrue.place.many.many import AnyFits
from standtrue.place.many.shared import shared_places
from standtrue.place.margin.ways import Question
from standtrue.place.question.answer import FIT_M, Answer
from standtrue.study.tally import CardFit, Stop, Table, tally, total
from standtrue.work.study.answer import Change, chosen_cards
from standtrue.work.study.rooms import (
    CHANGE_KINDS,
    WALL_STEP_M,
    WALLS_OUT_M,
    Candidate,
    Room,
    candidates,
    wall_out,
)
from standtrue.work.study.year import Year

AT_ONCE = 1024
"""Questions put to the compiled call together: enough to spread over the cores, few enough to tell of progress."""

MANY = 30
"""The shared places of one order take about as long as so many questions."""

DRIVEN = 60
"""Finding where a car can be driven to takes about as long as so many questions."""

STOPPED_SHARE = 0.3
"""Before it is known what does not fit: what share of the questions each change asks again."""

MOST_NEAR = 2
"""Of what is too near, so much is told."""

Wanted = Sequence[tuple[str, str, SupportClass]]
CardFits = dict[tuple[str, str], CardFit]


@define
class _Meter:
    """How much is to be asked, and how much of it is done: for the forecast of the end."""

    asking: Asking
    done: float = 0.0
    of: float = 0.0

    def did(self, what: Reason, count: float, best: Reason | None = None) -> None:
        self.done += count
        self.asking.tell(Progress(what, round(self.done), round(max(self.of, self.done)), best))


class Asker:
    """Asks of rooms what a year's work needs to know; between two shares it looks whether it is to stop."""

    def __init__(self, year: Year, asking: Asking) -> None:
        self.year, self.asking, self._meter = year, asking, _Meter(asking)
        self._first: Room | None = None
        asked = dict.fromkeys((t.car, k) for t in year.tasks for k in t.cards)
        self._wanted: Wanted = [(car, key, s) for car, key in asked for s in year.cards[key].all_supports]
        """Every card of every car, on every support that it allows."""

    def expect(self, room: Room, lifts: Sequence[Lift], places: bool, driven: bool) -> None:
        """Reckon what a room will take, before anything is known of it."""
        again = sum(1.0 if c.may_lose else STOPPED_SHARE for c in candidates(room, lifts))
        self._meter.of += len(self._wanted) * (1.0 + again) + (len(self.year.tasks) * MANY if places else 0)
        self._meter.of += len(self.year.vehicles) * DRIVEN if driven else 0

    def drove(self, room: Room, cars: int) -> None:
        """That so many more cars were driven in, or need not be."""
        self._meter.did(because("driving-in", room=room.ref), cars * DRIVEN)

    def settle(self, room: Room, table: Table, lifts: Sequence[Lift], places: bool) -> None:
        """Reckon anew, now that it is known what does not fit."""
        expected, left = len(self._wanted) * STOPPED_SHARE, len(_left(table))
        self._meter.of += sum(0 if c.may_lose else left - expected for c in candidates(room, lifts))
        if places:
            self._meter.of += (len(self._sets(table)) - len(self.year.tasks)) * MANY

    def fill(self, room: Room) -> CardFits:
        """What fits of every card of every car; stopped early, of those of which it is known."""
        table: CardFits = {}
        what, best = because("asking-room", room=room.ref), lambda: self._so_far(room, table)
        for car, key, support, fit in self._ask(room, self._wanted, what, best):
            table[car, key] = (*table.get((car, key), ()), (support, fit))
        return table

    def _so_far(self, room: Room, table: Table) -> Reason | None:
        """What an early stop gives: of the first room the cars that are known, of a later one nothing but all cars."""
        self._first = self._first or room
        known, of = len(self.cars_known(table)), len(self.year.vehicles)
        told = known == of or (known and room is self._first)
        return because("cars-so-far", count=known, of=of, room=room.ref) if told else None

    def cars_known(self, table: Table) -> tuple[str, ...]:
        """The cars of which everything was asked."""
        asked = {(car, key, s) for (car, key), told in table.items() for s, _ in told}
        left = {wanted[0] for wanted in self._wanted if wanted not in asked}
        return tuple(car for car in self.year.vehicles if car not in left)

    def _ask(
        self, room: Room, wanted: Wanted, what: Reason, best: Callable[[], Reason | None] = lambda: None
    ) -> Iterator[tuple[str, str, SupportClass, Fits]]:
        """Answers in the order wanted; fewer where it is stopped. `best`: what a stop would give by then."""
        grounds = room.grounds
        for begin in range(0, len(wanted), AT_ONCE):
            if self.asking.stopped():
                return
            share = wanted[begin : begin + AT_ONCE]
            asks = AnyFits()
            for car, key, support in share:
                asks.ask(Question(grounds, self.year.vehicles[car], (self.year.cards[key],), support))
            for (car, key, support), fit in zip(share, asks.answers(self.asking.workers), strict=True):
                yield car, key, support, fit
            self._meter.did(what, len(share), best())

    def why_not(self, room: Room, stop: Stop) -> tuple[str, tuple[Reason, ...]]:
        """Why a card does not fit, support by support, and for which of the cars that it stops: that of most work."""
        card = self.year.cards.get(stop.what.name) if stop.what.kind == "card" else None
        if card is None or stop.no_card or self.asking.stopped():
            return "", ()
        work = {
            car: total(t.per_year for t in self.year.tasks if t.car == car and card.key in t.cards) for car in stop.cars
        }
        car = max(stop.cars, key=lambda name: work[name])
        grounds = room.grounds
        return car, tuple(
            _stopped_by(best_stance(grounds, self.year.vehicles[car], [card], s)) for s in card.all_supports
        )

    def changes(self, room: Room, table: Table, lifts: Sequence[Lift]) -> tuple[list[Change], bool]:
        """Every single change that wins work back, the most first; and whether all were tried."""
        found: list[Change] = []
        done = tally(self.year.tasks, table).whole.done
        for candidate in candidates(room, lifts):
            change = self._tried(candidate, table, done)
            if change is None:
                break
            if change.won > 0.0:
                found.append(change)
                if candidate.wall is not None:
                    found.extend(self._nearer(room, change, candidate, table, done))
        return sorted(found, key=_merit), not self.asking.stopped()

    def _nearer(
        self, room: Room, farthest: Change, candidate: Candidate, table: Table, done: float
    ) -> Iterator[Change]:
        """Lesser moves of a wall: those that win less, and the least that wins as much as the farthest."""
        assert candidate.wall is not None
        assert candidate.moved_m is not None
        low, high = 0.0, candidate.moved_m
        for out in WALLS_OUT_M:
            nearer = wall_out(room, candidate.wall, out) if out < high else None
            change = None if nearer is None else self._tried(nearer, table, done)
            if change is None:
                break
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
            if change is None:
                return
            if nearer is None or change.won < farthest.won:
                low = middle
            else:
                high, least = middle, change
        if least is not None:
            yield least

    def _tried(self, candidate: Candidate, table: Table, done: float) -> Change | None:
        """The change, and what it wins; None where it is stopped.

        Where it can only help, what fits already is not asked again.
        """
        wanted = self._wanted if candidate.may_lose else _left(table)
        answers = self._ask(candidate.room, wanted, because("trying-change", change=candidate.what))
        fresh = {(car, key, s): fit for car, key, s, fit in answers}
        if len(fresh) < len(wanted):
            return None
        after = {
            (car, key): tuple((s, fresh.get((car, key, s), fit)) for s, fit in told)
            for (car, key), told in table.items()
        }
        told = tally(self.year.tasks, after)
        room, moved = candidate.room, candidate.moved_m
        return Change(candidate.what, candidate.kind, room, after, told, told.whole.done - done, moved)

    def places(self, room: Room, table: Table) -> tuple[tuple[int, float], ...] | None:
        """For how many finished orders a year one place serves, or two, and so on; None where it is stopped."""
        grounds = room.grounds
        counts: dict[int, float] = {}
        for (car, keys), weight in self._sets(table).items():
            if self.asking.stopped():
                return None
            cards = [self.year.cards[k] for k in sorted(keys)]
            found = shared_places(grounds, self.year.vehicles[car], cards, SUPPORT_CLASSES, straight=False)
            count = len(found.places)
            counts[count] = counts.get(count, 0.0) + weight
            self._meter.did(because("counting-places", room=room.ref), MANY)
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


def _stopped_by(answer: Answer) -> Reason:
    """What stops a card on one support: what rules it out, and what is too near where it misses by the least."""
    near = [t for t in answer.touches if t.margin_m < FIT_M][:MOST_NEAR]
    why = (*answer.because, *(because("part-too-near", part=t.zone, thing=t.thing) for t in near))
    return because("stopped-on", support=Term(answer.support), why=why)


def _left(table: Table) -> Wanted:
    """What does not fit, or is undecided."""
    return [(car, key, s) for (car, key), told in table.items() for s, fit in told if fit is not Fits.YES]


def _merit(change: Change) -> tuple[float, int, float, tuple[Ref, ...]]:
    """Changes in the order of what they win back; among equals the cheapest first."""
    things = tuple(part for part in change.what.parts() if isinstance(part, Ref))
    return (-change.won, CHANGE_KINDS.index(change.kind), change.moved_m or 0.0, things)

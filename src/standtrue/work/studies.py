"""What a room can do for a year's work: every car of the mix, every repair order, every room, and what would help."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Literal, get_args

from attrs import evolve, field, frozen

from standtrue.documents import Folder
from standtrue.model.basics import SUPPORT_CLASSES, DocumentMark, Fault, SupportClass
from standtrue.model.cautions import Caution, Fact
from standtrue.model.ground import Grounds
from standtrue.model.job import Job
from standtrue.model.lift import Lift
from standtrue.model.procedure import Procedure
from standtrue.model.rules import Rules
from standtrue.model.site import Bay, Site
from standtrue.model.study import RepairOrder, Study
from standtrue.model.vehicle import Vehicle
from standtrue.needs import default_rules, find_needs
from standtrue.needs.words import vehicle_rank
from standtrue.place.changes import Subject, subjects, taken_away, wall_moved
from standtrue.place.claims import missing_anchors
from standtrue.place.many import AnyFits
from standtrue.place.shared import shared_places
from standtrue.place.ways import Question
from standtrue.study.tally import CardFit, Fit, Stop, Table, Tally, Task, TaskNeed, fits, tally, won_back
from standtrue.work.ask import UnansweredError, pick
from standtrue.work.used import card_facts, cautions, marks_of

Progress = Callable[[str, int, int], None]

ChangeKind = Literal["movable", "cover", "lift", "wall", "fixed"]
"""What is changed, the cheapest first: rolled away, closed, another lift, a wall moved, a fixed thing taken away."""

CHANGE_KINDS: tuple[ChangeKind, ...] = get_args(ChangeKind)

WALLS_OUT_M = (0.25, 0.5, 1.0, 2.0)
"""How far outward each wall is tried."""

MOST_NAMED = 8
"""So many cars are named in one note."""

AT_ONCE = 4096
"""Questions put to the compiled call together: enough to spread over the cores, few enough to tell of progress."""


@frozen(eq=False)
class Room:
    """A site, or one bay of it."""

    name: str
    site: Site
    bay: Bay | None = None

    @property
    def grounds(self) -> Grounds:
        """Its grounds, made anew."""
        return Grounds(self.site, self.bay)


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
    warnings: tuple[str, ...]
    cautions: tuple[Caution, ...]
    cards: tuple[Procedure, ...]
    vehicles: Mapping[str, Vehicle]
    partial: bool = False

    @property
    def demonstration(self) -> bool:
        return any(mark.demonstration for mark in self.marks)


@frozen(eq=False)
class Year:
    """The tasks of a year, and the cars and cards that they name."""

    tasks: tuple[Task, ...]
    vehicles: Mapping[str, Vehicle]
    cards: Mapping[str, Procedure]
    notes: tuple[str, ...] = field(default=())


def find_study(
    folder: Folder, study: Study, *, places: bool = True, progress: Progress | None = None, workers: int | None = None
) -> StudyAnswer:
    """Answer a study. Ctrl-C stops it with what is known by then, said to be partial.

    Raises UnansweredError where a bay or a card is not in the folder.
    """
    rooms = tuple(_rooms(folder, study))
    year = year_of(folder, study)
    asker = _Asker(year, workers or os.cpu_count() or 1, progress or (lambda _what, _done, _of: None))
    found: list[RoomAnswer] = []
    partial = False
    cars = tuple(year.vehicles)
    try:
        for room in rooms:
            table: dict[tuple[str, str], CardFit] = {}
            partial |= asker.fill(room, table)
            known = tuple(
                c for c in cars if all((t.car, k) in table for t in year.tasks if t.car == c for k in t.cards)
            )
            cars = tuple(c for c in cars if c in known)
            if partial:
                found.append(_room_answer(asker, room, table, cars, (), None))
                break
            changes, stopped = asker.changes(room, table, [folder.lifts[t] for t in study.lift_types])
            count = asker.places(room, table) if places and not stopped else None
            partial |= stopped or (places and count is None)
            found.append(_room_answer(asker, room, table, cars, changes, count))
            if partial:
                break
    except KeyboardInterrupt:
        partial = True
    tasks = tuple(t for t in year.tasks if t.car in cars)
    used = [year.cards[k] for k in dict.fromkeys(k for t in tasks for k in t.cards)]
    marks = marks_of(
        folder,
        sites=[r.site for r in rooms],
        vehicles=[year.vehicles[c] for c in cars],
        cards=used,
        rules=[r.name for r in folder.rules.values()],
    )
    marks = tuple(m for m in folder.documents if m in marks or (m.kind, m.name) in _own(study))
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


def _own(study: Study) -> set[tuple[str, str]]:
    return {("study", study.name), ("mix", study.mix), *(("lift", t) for t in study.lift_types)}


def _rooms(folder: Folder, study: Study) -> Iterator[Room]:
    for name in study.sites:
        site = folder.sites[name]
        bays = [b.partition("/")[2] for b in study.bays if b.partition("/")[0] == name]
        if not bays:
            yield Room(name, site)
        for bay in bays:
            yield Room(f"{name}/{bay}", site, pick("bay", bay, {b.name: b for b in site.bays}, "bays"))


def year_of(folder: Folder, study: Study) -> Year:
    """The tasks: every kind of order on every car of the mix, with what it calls for."""
    mix = folder.mixes[study.mix]
    whole = sum(entry.share for entry in mix.vehicles)
    tasks: list[Task] = []
    cards: dict[str, Procedure] = {}
    vehicles = {e.vehicle: folder.vehicles[e.vehicle] for e in mix.vehicles if e.share > 0.0}
    rules = tuple(folder.rules.values()) or (default_rules(),)
    notes = list(_estimates(vehicles.values()))
    nothing = 0.0
    for entry in mix.vehicles:
        if entry.share <= 0.0:
            continue
        vehicle = vehicles[entry.vehicle]
        for order in study.work:
            per_year = order.per_year * entry.share / whole
            kept = [n for n in _needs(folder, study, order, vehicle, rules) if n.options != ((),)]
            if kept:
                tasks.append(Task(order.name, vehicle.name, per_year, tuple(kept)))
            else:
                nothing += per_year
    by_key = {c.key: c for c in folder.procedures}
    cleared = [_placed(task, vehicles[task.car], by_key, notes) for task in tasks]
    for task in cleared:
        cards.update({k: by_key[k] for k in task.cards})
    if nothing > 0.0:
        notes.append(f"{nothing:.0f} orders a year call for no calibration that needs a place: they are not counted")
    return Year(tuple(cleared), vehicles, cards, tuple(dict.fromkeys(notes)))


def _estimates(vehicles: Iterable[Vehicle]) -> Iterator[str]:
    """What was estimated, once for all cars of which the same was."""
    cars: dict[tuple[str, ...], list[str]] = {}
    for vehicle in vehicles:
        if vehicle.estimated:
            cars.setdefault(vehicle.estimated, []).append(vehicle.name)
    for estimated, names in cars.items():
        first = ", ".join(names[:MOST_NAMED])
        more = f" and {len(names) - MOST_NAMED} more cars" if len(names) > MOST_NAMED else ""
        yield f"estimated, not measured: {', '.join(estimated)} of {first}{more}"


def _needs(
    folder: Folder, study: Study, order: RepairOrder, vehicle: Vehicle, rules: Sequence[Rules]
) -> Iterator[TaskNeed]:
    """What an order calls for on a car."""
    if order.procedures:
        yield from _listed(folder, order, vehicle)
        return
    by_key = {c.key: c for c in folder.procedures}
    job = Job("study", study.sites[0], vehicle.name, events=order.events)
    for need in find_needs(job, vehicle, folder.procedures, rules).needs:
        if need.how == "conditional" and not study.conditional:
            continue
        if not need.card:
            yield TaskNeed(need.sensor if need.side is None else f"{need.sensor} {need.side}", ())
            continue
        chain = [by_key[k] for k in need.chain]
        options = [tuple(c.key for c in chain if c.needs_space)]
        options.extend((k,) if by_key[k].needs_space else () for k in need.alternatives)
        if chain[-1].method == "static or drive":
            options.append(())
        yield TaskNeed(chain[-1].key, _told_once(options))


def _told_once(options: Iterable[tuple[str, ...]]) -> tuple[tuple[str, ...], ...]:
    """Each option once. What needs no place at all can always be done: no other option matters then."""
    found = tuple(dict.fromkeys(options))
    return ((),) if () in found else found


def _listed(folder: Folder, order: RepairOrder, vehicle: Vehicle) -> Iterator[TaskNeed]:
    kinds = {s.kind for s in vehicle.sensors}
    for name in order.procedures:
        cards = [c for c in folder.procedures if name in (c.name, c.key)]
        if not cards:
            raise UnansweredError(_no_card(order, name))
        for card in cards:
            if vehicle_rank(card.vehicles, vehicle) is not None and (not kinds or card.sensor in kinds):
                yield TaskNeed(card.key, ((card.key,),) if card.needs_space else ((),))


def _no_card(order: RepairOrder, name: str) -> Iterator[Fault]:
    yield Fault(
        "unknown-name",
        f"the folder holds no procedure named {name}",
        "",
        f"work {order.name}: procedures",
        name,
        "name a card of this folder",
    )


def _placed(task: Task, vehicle: Vehicle, cards: Mapping[str, Procedure], notes: list[str]) -> Task:
    """The task with only such cards as the car's document places."""
    needs = []
    for need in task.needs:
        kept = []
        for option in need.options:
            faults = [f for k in option for f in missing_anchors(cards[k], vehicle)]
            notes.extend(f"{f.what}: it counts as not done" for f in faults)
            kept.extend([] if faults else [option])
        needs.append(evolve(need, options=tuple(kept)) if kept or not need.options else TaskNeed(need.stopper, ()))
    return evolve(task, needs=tuple(needs))


@frozen(eq=False)
class _Asker:
    """Asks of rooms what a year's work needs to know."""

    year: Year
    workers: int
    tell: Progress

    def fill(self, room: Room, table: dict[tuple[str, str], CardFit]) -> bool:
        """Ask every card of every car in a room; True if it was stopped. A car is in the table whole or not at all."""
        asked = dict.fromkeys((t.car, k) for t in self.year.tasks for k in t.cards)
        wanted = [(car, key, s) for car, key in asked for s in self.year.cards[key].all_supports]
        try:
            for told in self._ask(room, wanted, room.name):
                _put(table, told)
        except KeyboardInterrupt:
            return True
        return False

    def _ask(
        self, room: Room, wanted: Sequence[tuple[str, str, SupportClass]], what: str
    ) -> Iterator[list[tuple[str, str, SupportClass, Fit]]]:
        """Answers in shares, each of whole cars as far as that goes."""
        grounds = room.grounds
        for begin in range(0, len(wanted), AT_ONCE):
            share = wanted[begin : begin + AT_ONCE]
            asks = AnyFits()
            for car, key, support in share:
                asks.ask(Question(grounds, self.year.vehicles[car], (self.year.cards[key],), support))
            answers = asks.answers(self.workers)
            yield [(*w, _fit(a)) for w, a in zip(share, answers, strict=True)]
            self.tell(what, min(begin + AT_ONCE, len(wanted)), len(wanted))

    def changes(self, room: Room, table: Table, lifts: Sequence[Lift]) -> tuple[tuple[Change, ...], bool]:
        """Every single change that wins work back, the most first; and whether it was stopped before all were asked."""
        before = tally(self.year.tasks, table)
        found: list[Change] = []
        stopped = False
        candidates = list(_candidates(room, lifts))
        try:
            for number, (words, kind, changed, moved) in enumerate(candidates):
                after = self._after(changed, table, kind == "lift")
                told = tally(self.year.tasks, after)
                if told.whole.done > before.whole.done:
                    won = told.whole.done - before.whole.done
                    found.append(Change(words, kind, changed, after, told, won, moved))
                self.tell(f"changes of {room.name}", number + 1, len(candidates))
        except KeyboardInterrupt:
            stopped = True
        return tuple(sorted(found, key=_merit)), stopped

    def _after(self, room: Room, table: Table, whole: bool) -> Table:
        """The table of a changed room. Where a change can only help, what fits already is not asked again."""
        wanted = [(car, key, s) for (car, key), told in table.items() for s, fit in told if whole or fit != "yes"]
        after: dict[tuple[str, str], CardFit] = {}
        fresh = {(car, key, s): fit for told in self._ask_quietly(room, wanted) for car, key, s, fit in told}
        for (car, key), told in table.items():
            after[car, key] = tuple((s, fresh.get((car, key, s), fit)) for s, fit in told)
        return after

    def _ask_quietly(
        self, room: Room, wanted: Sequence[tuple[str, str, SupportClass]]
    ) -> Iterator[list[tuple[str, str, SupportClass, Fit]]]:
        return evolve(self, tell=lambda _what, _done, _of: None)._ask(room, wanted, "")

    def places(self, room: Room, table: Table) -> tuple[tuple[int, float], ...] | None:
        """For how many finished orders a year one place serves, or two, and so on. None if it was stopped."""
        grounds = room.grounds
        sets: dict[tuple[str, frozenset[str]], float] = {}
        for task in self.year.tasks:
            chosen = chosen_cards(table, task)
            if chosen:
                key = task.car, frozenset(chosen)
                sets[key] = sets.get(key, 0.0) + task.per_year
        counts: dict[int, float] = {}
        try:
            for number, ((car, keys), weight) in enumerate(sets.items()):
                cards = [self.year.cards[k] for k in sorted(keys)]
                count = len(shared_places(grounds, self.year.vehicles[car], cards, SUPPORT_CLASSES).places)
                counts[count] = counts.get(count, 0.0) + weight
                self.tell(f"shared places in {room.name}", number + 1, len(sets))
        except KeyboardInterrupt:
            return None
        return tuple(sorted(counts.items()))


def chosen_cards(table: Table, task: Task) -> tuple[str, ...] | None:
    """The cards with which a task is finished, () if none needs a place; None if it is not finished."""
    chosen: list[str] = []
    for need in task.needs:
        option = next((o for o in need.options if all(fits(table, task.car, k) == "yes" for k in o)), None)
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


def _candidates(room: Room, lifts: Sequence[Lift]) -> Iterator[tuple[str, ChangeKind, Room, float | None]]:
    """Changes in words, of which kind, the room changed, and how far a wall moves. Another lift may also lose work."""
    site = room.site
    for subject in subjects(site):
        if subject.kind == "wall":
            for out in WALLS_OUT_M:
                grown = wall_moved(site, subject, out)
                if grown is not None:
                    yield f"{subject.thing} outward", "wall", evolve(room, site=grown), out
        elif subject.kind != "void":
            yield _words(subject), _kind(subject), evolve(room, site=taken_away(site, subject)), None
    for number, placed in enumerate(site.lifts):
        for lift in lifts:
            if lift.name != placed.lift.name:
                others = (*site.lifts[:number], evolve(placed, lift=lift), *site.lifts[number + 1 :])
                words = f"lift {placed.name} of type {lift.name}"
                yield words, "lift", evolve(room, site=evolve(site, lifts=others)), None


def _kind(subject: Subject) -> ChangeKind:
    return "movable" if subject.movable else "cover" if subject.kind in ("cover", "covers") else "fixed"


def _words(subject: Subject) -> str:
    if subject.kind == "cover":
        return f"close {subject.thing}"
    if subject.kind == "covers":
        return f"close all covers of {subject.thing}"
    return f"move {subject.thing} out of the room" if subject.movable else f"take {subject.thing} away"


def _put(table: dict[tuple[str, str], CardFit], told: Iterable[tuple[str, str, SupportClass, Fit]]) -> None:
    for car, key, support, fit in told:
        table[car, key] = (*table.get((car, key), ()), (support, fit))


def _fit(answer: bool | str) -> Fit:
    return "yes" if answer is True else "no" if answer is False else "undecided"


def _undecided(rooms: Sequence[RoomAnswer]) -> Iterator[str]:
    for room in rooms:
        if room.tally.undecided > 0.0:
            yield (
                f"{room.room.name}: {room.tally.undecided:.1f} orders a year hang on questions within 2 mm of the "
                "limit: they count as not done"
            )

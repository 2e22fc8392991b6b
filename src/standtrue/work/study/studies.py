"""What a room can do for a year's work: every car of the mix, every repair order, every room, and what would help."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from attrs import evolve

from standtrue.model.asking import Asking
from standtrue.model.basis import basis_of
from standtrue.model.cautions import Fact
from standtrue.model.lift import Lift
from standtrue.model.reason import Reason
from standtrue.model.shop import Shop
from standtrue.model.study import Study
from standtrue.study.tally import Table, tally, won_back
from standtrue.work.card_notes import equipment_notes
from standtrue.work.caution_facts import card_facts
from standtrue.work.study.able import find_shop_share
from standtrue.work.study.answer import (
    Change,
    RoomAnswer,
    StopHelp,
    StudyAnswer,
    level_notes,
    study_stopped,
    undecided_notes,
)
from standtrue.work.study.asker import Asker
from standtrue.work.study.band import find_band
from standtrue.work.study.rooms import Room, rooms_of
from standtrue.work.study.year import year_of

MOST_EXPLAINED = 8
"""Of so many of what stops work it is asked why: those that stop most."""


def find_study(
    shop: Shop, study: Study, *, places: bool = True, driven: bool = True, asking: Asking | None = None
) -> StudyAnswer:
    """Answer a study. Stopped early, it tells what is known by then, said to be partial.

    `places`: whether it is also counted from how many places the orders are served. `driven`: whether it is also told
    what of that the shop can do, driven in and out. Raises UnansweredError where a bay or a card is not in the shop.
    """
    rooms = tuple(rooms_of(shop, study))
    year = year_of(shop, study)
    lifts = [shop.lifts[name] for name in study.lift_types]
    asker = Asker(year, asking or Asking())
    for room in rooms:
        asker.expect(room, lifts, places, driven)
    found: list[RoomAnswer] = []
    whole = True
    cars = tuple(year.vehicles)
    for room in rooms:
        answer, known, whole = _ask_room(asker, room, lifts, places)
        if whole and driven:
            did = partial(asker.drove, room)
            answer = evolve(answer, shop=find_shop_share(shop, year, room, answer.table, asker.asking, did))
            whole = answer.shop is not None
        if known == cars or not found:
            # Of a later room only an answer for all cars stands beside the others.
            cars = known
            found.extend([answer] if known else [])
        if not whole:
            break
    tasks = tuple(t for t in year.tasks if t.car in cars)
    used = shop.take(year.cards[k] for k in dict.fromkeys(k for t in tasks for k in t.cards))
    facts = {*card_facts(used), Fact.CAR_MOVES}
    sites = {room.site.name: room.site for room in rooms}.values()
    lacking = (*(level_notes(used) if _level_open(found) else ()), *equipment_notes(used, sites))
    warnings: tuple[Reason, ...] = (*shop.warnings, *year.notes, *undecided_notes(found), *lacking)
    limits = () if whole else (study_stopped(len(cars), len(year.vehicles)),)
    basis = basis_of(shop.touched, facts, warnings, limits)
    return StudyAnswer(study, tasks, cars, tuple(found), basis, used, year.vehicles, not whole)


def _level_open(rooms: Sequence[RoomAnswer]) -> bool:
    """Whether of some room it is not told what the shop can do: there nobody looked at the floor."""
    return any(room.shop is None or room.shop.told is None for room in rooms)


def _ask_room(
    asker: Asker, room: Room, lifts: Sequence[Lift], places: bool
) -> tuple[RoomAnswer, tuple[str, ...], bool]:
    """What is known of one room, for which cars, and whether that is all."""
    table = asker.fill(room)
    known = asker.cars_known(table)
    whole = known == tuple(asker.year.vehicles)
    changes: list[Change] = []
    count = None
    if whole:
        asker.settle(room, table, lifts, places)
        changes, whole = asker.changes(room, table, lifts)
    if whole and places:
        count = asker.places(room, table)
        whole = count is not None
    band = find_band(asker.year, room, table, known, asker.asking) if whole else None
    return evolve(_room_answer(asker, room, table, known, changes, count), band=band), known, whole


def _room_answer(
    asker: Asker,
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
    for number, stop in enumerate(told.stops):
        wins = [(won_back(tasks, table, c.table, stop), c) for c in changes]
        won, best = max(wins, key=lambda w: w[0], default=(0.0, None))
        car, why = asker.why_not(room, stop) if number < MOST_EXPLAINED else ("", ())
        helps.append(StopHelp(stop, best if won > 0.0 else None, won, car, why))
    return RoomAnswer(room, table, told, tuple(changes), tuple(helps), places)

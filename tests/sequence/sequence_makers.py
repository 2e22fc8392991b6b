"""Small random jobs, and the front of one by trying every order: shares nothing with the engine but the model."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator

from attrs import frozen

from standtrue.model.basics import Range
from standtrue.model.plan import (
    OUTSIDE,
    Blocks,
    Choice,
    Fitting,
    Handling,
    Move,
    Operation,
    OperationKind,
    Problem,
    Stand,
    middle,
)

EQUIPMENT = ("frame", "stand")
GONE = Stand(OUTSIDE)


class Costs:
    """Move costs from a table. `asked` are the moves that were found."""

    def __init__(self, table: dict[tuple[int, int, bool], Range]) -> None:
        self.table = table
        self.asked: list[tuple[int, int, bool]] = []

    def bound(self, start: int, goal: int, driven: bool) -> Range:
        low, high = self.table[start, goal, driven]
        return (20.0, 30.0) if low == math.inf else (0.4 * low, 0.4 * high)

    def find(self, start: int, goal: int, driven: bool) -> Move:
        self.asked.append((start, goal, driven))
        return Move(start, goal, driven, self.table[start, goal, driven], shunts=len(self.asked) % 3)


def random_span(chance: random.Random, most: int) -> Range:
    low = 10.0 * chance.randint(0, most)
    return low, low + 10.0 * chance.randint(0, most)


def random_job(seed: int, most: int = 5, least: int = 2) -> tuple[Problem, Costs]:
    """A job of a few operations in a shop of a few places, with a lift at one of them."""
    chance = random.Random(seed)
    places = chance.randint(2, 4)
    stands = [Stand(p) for p in range(1, places)]
    stands += [Stand(1, "lift/up", h, (10.0 * h, 20.0 * h)) for h in (1.0, 2.0)]
    count = chance.randint(least, most)
    operations = tuple(_operation(chance, number, stands) for number in range(count))
    table: dict[tuple[int, int, bool], Range] = {}
    for driven in (False, True):
        for p in range(places):
            for q in range(places):
                stuck = p and q and chance.random() < 0.1
                table[p, q, driven] = (math.inf, math.inf) if stuck else random_span(chance, 9)
    handling = tuple((name, Handling(random_span(chance, 3), random_span(chance, 2))) for name in EQUIPMENT)
    drives_after = chance.choice([None, None, chance.randrange(count)])
    never = chance.random() < 0.1
    return Problem(operations, places, handling, drives_after, never), Costs(table)


def _operation(chance: random.Random, number: int, stands: list[Stand]) -> Operation:
    kind: OperationKind = chance.choice(["scan", "work", "calibration", "calibration", "drive"])
    if kind == "scan":
        choices = [Choice(random_span(chance, 3))]
    elif kind == "drive":
        choices = [Choice(random_span(chance, 9), Stand(OUTSIDE))]
    else:
        several = chance.sample(stands, chance.randint(1, min(3, len(stands))))
        choices = [Choice(random_span(chance, 9), stand, _fittings(chance)) for stand in several]
    before = [n for n in range(number) if chance.random() < 0.3]
    cured = [n for n in before if chance.random() < 0.5]
    blocks: Blocks | None = chance.choice([None, "drive", "lift", "all"])
    wait = random_span(chance, 12) if chance.random() < 0.3 else (0.0, 0.0)
    return Operation(
        f"op {number}", f"do {number}", kind, tuple(choices), frozenset(before), frozenset(cured), wait, blocks
    )


def _fittings(chance: random.Random) -> frozenset[Fitting]:
    used = chance.sample(EQUIPMENT, chance.randint(0, 2))
    return frozenset(Fitting(name, (float(chance.randint(0, 1)),)) for name in used)


@frozen
class Car:
    """The car in mid-job: when, where, with what, and when each wait ends."""

    now: float = 0.0
    stand: Stand = GONE
    around: frozenset[Fitting] = frozenset()
    came: int = 0
    waits: tuple[tuple[int, float], ...] = ()


def brute_front(problem: Problem, costs: Costs) -> list[tuple[float, int]]:
    """Elapsed seconds and moves of every order that no other beats, by trying them all."""
    ended = sorted(set(_ends(problem, costs, frozenset(), Car())))
    front: list[tuple[float, int]] = []
    for now, moves in ended:
        if all(moves < other for _, other in front):
            front.append((now, moves))
    return front


def _ends(problem: Problem, costs: Costs, done: frozenset[int], car: Car) -> Iterator[tuple[float, int]]:
    if len(done) == len(problem.operations):
        gone = _go(problem, costs, done, car, Stand(OUTSIDE), frozenset())
        if gone.now < math.inf:
            yield gone.now, max(0, gone.came - 1)
        return
    for number, operation in enumerate(problem.operations):
        if number in done or not operation.after <= done:
            continue
        for choice in operation.choices:
            stand, around = (car.stand, car.around) if choice.stand is None else (choice.stand, choice.fittings)
            there = _go(problem, costs, done, car, stand, around)
            waits = dict(there.waits)
            start = max([there.now, *(waits.get(n, 0.0) for n in operation.cured)])
            if operation.kind == "drive":
                start = max([start, *_until(problem, waits, "drive")])
            end = start + middle(choice.run_s)
            if end < math.inf:
                waits[number] = end + middle(operation.wait_s)
                after = Car(end, there.stand, there.around, there.came, tuple(waits.items()))
                yield from _ends(problem, costs, done | {number}, after)


def _until(problem: Problem, waits: dict[int, float], what: str) -> list[float]:
    return [until for n, until in waits.items() if problem.operations[n].blocks == what]


def _go(
    problem: Problem, costs: Costs, done: frozenset[int], car: Car, stand: Stand, around: frozenset[Fitting]
) -> Car:
    """Bring the car and its equipment from one state to another."""
    waits, handling = dict(car.waits), dict(problem.handling)
    now = max([car.now, *_until(problem, waits, "all")])
    moved = stand.place != car.stand.place
    away = car.around if moved else car.around - around
    fetched = around if moved else around - car.around
    now += sum(middle(handling[f.equipment].put_away_s) for f in away)
    legs = [middle(car.stand.rise_s), middle(stand.rise_s)]
    if not moved:
        legs = [0.0, abs(legs[1] - legs[0])]
    if legs[0]:
        now = max([now, *_until(problem, waits, "lift")]) + legs[0]
    if moved:
        drives = not problem.never_drives and (problem.drives_after is None or problem.drives_after in done)
        now = max([now, *_until(problem, waits, "drive")]) + middle(costs.table[car.stand.place, stand.place, drives])
    if legs[1]:
        now = max([now, *_until(problem, waits, "lift")]) + legs[1]
    now += sum(middle(handling[f.equipment].set_up_s) for f in fetched)
    return Car(now, stand, around, car.came + (moved and stand.place != OUTSIDE), car.waits)

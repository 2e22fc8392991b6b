"""Small random jobs, and the front of one by trying every order: shares nothing with the engine but the model."""

from __future__ import annotations

import math
import random
from collections.abc import Iterable, Iterator
from itertools import combinations, permutations, product

from attrs import evolve, frozen

from standtrue.model.basics import Range
from standtrue.model.order import (
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
from standtrue.model.reason import because
from standtrue.model.stance import Carrier

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


PEOPLE = ("Ash", "Birch", "Cedar")


def random_crew_job(seed: int, most: int = 5) -> tuple[Problem, Costs]:
    """A job for two or three people: most of it is work that finds the car at one or two places, by any of some teams.

    Equipment is wanted now and then; little must come before the rest.
    """
    problem, costs = random_job(seed, most, 3)
    chance = random.Random(seed + 1)
    hands = chance.choice([2, 3])
    names = PEOPLE[:hands]
    teams = [(name,) for name in names] * 2 + list(combinations(names, 2))
    stands = [Stand(1), Stand(problem.places - 1)]
    operations = []
    for operation in problem.operations:
        own = tuple(dict.fromkeys(chance.sample(teams, chance.randint(1, 2))))
        changed = evolve(operation, teams=own)
        if operation.kind == "calibration" or chance.random() < 0.4:
            used = _fittings(chance) if chance.random() < 0.2 else frozenset()
            several = dict.fromkeys(chance.sample(stands, chance.randint(1, 2)))
            ways = tuple(evolve(_choice(chance, stand), fittings=used) for stand in several)
            ways = tuple(evolve(way, clears=way.clears - used) for way in ways)
            after = frozenset(n for n in operation.after if chance.random() < 0.4)
            changed = evolve(changed, kind="work", choices=ways, after=after, cured=operation.cured & after)
        operations.append(changed)
    return evolve(problem, operations=tuple(operations), hands=hands), costs


def tidied(problem: Problem) -> Problem:
    """The same job, where each choice has put away whatever it does not use itself."""
    every = {f for o in problem.operations for c in o.choices for f in c.fittings}
    operations = (
        evolve(o, choices=tuple(evolve(c, clears=frozenset(every - c.fittings)) for c in o.choices))
        for o in problem.operations
    )
    return evolve(problem, operations=tuple(operations))


def random_span(chance: random.Random, most: int) -> Range:
    low = 10.0 * chance.randint(0, most)
    return low, low + 10.0 * chance.randint(0, most)


def random_job(seed: int, most: int = 5, least: int = 2) -> tuple[Problem, Costs]:
    """A job of a few operations in a shop of a few places, with a lift at one of them."""
    chance = random.Random(seed)
    places = chance.randint(2, 4)
    stands = [Stand(p) for p in range(1, places)]
    stands += [Stand(1, Carrier("lift", "up", h), (10.0 * h, 20.0 * h)) for h in (1.0, 2.0)]
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
    begins = chance.choice([None, None, None, Stand(OUTSIDE), *stands])
    return Problem(operations, places, handling, drives_after, never, begins=begins), Costs(table)


def _operation(chance: random.Random, number: int, stands: list[Stand]) -> Operation:
    kind: OperationKind = chance.choice(["scan", "work", "calibration", "calibration", "drive"])
    if kind == "scan":
        choices = [Choice(random_span(chance, 3))]
    elif kind == "drive":
        choices = [Choice(random_span(chance, 9), Stand(OUTSIDE))]
    else:
        several = chance.sample(stands, chance.randint(1, min(3, len(stands))))
        choices = [_choice(chance, stand) for stand in several]
    before = [n for n in range(number) if chance.random() < 0.3]
    cured = [n for n in before if chance.random() < 0.5]
    blocks: Blocks | None = chance.choice([None, "drive", "lift", "all"])
    wait = random_span(chance, 12) if chance.random() < 0.3 else (0.0, 0.0)
    return Operation(
        f"op {number}",
        because("own-work", name=f"do {number}"),
        kind,
        tuple(choices),
        frozenset(before),
        frozenset(cured),
        wait,
        blocks,
    )


def _choice(chance: random.Random, stand: Stand) -> Choice:
    """A choice with equipment, now and then in the way of equipment at other spots or of other kinds."""
    used = _fittings(chance)
    others = {Fitting(name, (float(spot),)) for name in EQUIPMENT for spot in (0, 1)} - used
    clears = frozenset(f for f in sorted(others, key=str) if chance.random() < 0.3)
    return Choice(random_span(chance, 9), stand, used, clears=clears)


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
    came = int(problem.begins is not None and problem.begins.place != OUTSIDE)
    ended = sorted(set(_ends(problem, costs, frozenset(), Car(stand=problem.begins or GONE, came=came))))
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
        if problem.hands > 1 and goes_beside(operation):
            # Tried below, with whatever else may go on meanwhile.
            continue
        for choice in operation.choices:
            stand, around = _wanted(car, choice)
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
    if problem.hands > 1:
        yield from _ends_beside(problem, costs, done, car)


def goes_beside(operation: Operation) -> bool:
    return operation.kind == "work" and operation.blocks != "all" and not operation.cured


def _ends_beside(problem: Problem, costs: Costs, done: frozenset[int], car: Car) -> Iterator[tuple[float, int]]:
    """Every set of work that may go on side by side, begun in every order, in every way, by every team."""
    free = [n for n, o in enumerate(problem.operations) if n not in done and goes_beside(o)]
    for size in range(1, len(free) + 1):
        for order in permutations(free, size):
            before = [done | set(order[:i]) for i in range(size)]
            if all(problem.operations[n].after <= b for n, b in zip(order, before, strict=True)):
                for choices in product(*(problem.operations[n].choices for n in order)):
                    yield from _ends_so(problem, costs, done, car, order, choices)


def _ends_so(
    problem: Problem,
    costs: Costs,
    done: frozenset[int],
    car: Car,
    order: tuple[int, ...],
    choices: tuple[Choice, ...],
) -> Iterator[tuple[float, int]]:
    there = _go(problem, costs, done, car, *_wanted(car, choices[0]))
    if there.now == math.inf or any(_wanted(there, c) != (there.stand, there.around) for c in choices):
        return
    for teams in product(*(problem.operations[n].teams for n in order)):
        busy: dict[str, float] = {}
        ended: dict[int, float] = {}
        for number, choice, team in zip(order, choices, teams, strict=True):
            operation = problem.operations[number]
            start = max([there.now, *(busy.get(p, 0.0) for p in team), *(ended.get(n, 0.0) for n in operation.after)])
            ended[number] = start + middle(choice.run_s)
            busy.update(dict.fromkeys(team, ended[number]))
        waits = dict(there.waits) | {n: end + middle(problem.operations[n].wait_s) for n, end in ended.items()}
        after = Car(max(ended.values()), there.stand, there.around, there.came, tuple(waits.items()))
        yield from _ends(problem, costs, done | set(order), after)


def _wanted(car: Car, choice: Choice) -> tuple[Stand, frozenset[Fitting]]:
    """How the car must stand for a choice, and what must be set up about it: all else stays unless it is in the way."""
    if choice.stand is None:
        return car.stand, car.around
    around = set(choice.fittings)
    if choice.stand.place == car.stand.place:
        for fitting in car.around:
            in_the_way = fitting in choice.clears or any(fitting.equipment == f.equipment for f in choice.fittings)
            if not in_the_way:
                around.add(fitting)
    return choice.stand, frozenset(around)


def _shared(times: Iterable[float], hands: int) -> float:
    """The least time in which so many people do these things, each done by one: every way to deal them out."""
    spans = list(times)
    deals = product(range(hands), repeat=len(spans))
    return min(max(sum(s for s, h in zip(spans, d, strict=True) if h == hand) for hand in range(hands)) for d in deals)


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
    # What is wanted at another spot is carried there: set up again, not put away.
    here, there = ({f.equipment for f in fittings} for fittings in (away, fetched))
    carried = set() if moved else here & there
    now += _shared(
        (middle(handling[f.equipment].put_away_s) for f in away if f.equipment not in carried), problem.hands
    )
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
    for group in (carried, there - carried):
        now += _shared((middle(handling[name].set_up_s) for name in group), problem.hands)
    return Car(now, stand, around, car.came + (moved and stand.place != OUTSIDE), car.waits)

"""Sequence: the whole front of time against moves for one car, beside the number of orders and CP-SAT."""

from __future__ import annotations

import math
import random
from functools import partial

from attrs import evolve

from benchmarks.place import timed
from standtrue.model.basics import Range
from standtrue.model.order import Choice, Fitting, Handling, Move, Operation, Problem, Stand
from standtrue.model.reason import because
from standtrue.model.stance import Carrier
from standtrue.sequence.solve import order_job

Row = tuple[str, str]

LIMIT_S = 1.0
"""A foreman asks and waits: the front of fifteen operations should be there."""

MANY_S, MOST_S = 6.0, 10.0
"""As many operations as 40 and 60 in stages take longer, and are still proven."""

PLACES = 5


class Flat:
    """Moves by distance between places on a line; all known at once."""

    def bound(self, start: int, goal: int, driven: bool) -> Range:
        seconds = 50.0 + 7.0 * abs(start - goal) + (0.0 if driven else 90.0)
        return seconds, 1.5 * seconds

    def find(self, start: int, goal: int, driven: bool) -> Move:
        return Move(start, goal, driven, self.bound(start, goal, driven))


def measure() -> list[Row]:
    """The table's rows."""
    order_job(job(3, free=True), Flat())
    rows = []
    for count, free in ((12, True), (15, False), (15, True), (40, False), (60, False)):
        problem = job(count, free=free)
        how = "in any order" if free else "in stages as common practice has them"
        seconds = timed(partial(order_job, problem, Flat()))
        most = {15: LIMIT_S, 40: MANY_S, 60: MOST_S}.get(count)
        asked = "" if most is None else f" (at most {most:.0f} s asked)"
        orders = math.factorial(count)
        rows.append((f"{count} operations, {how}, of up to {orders:.1e} orders", f"{seconds:.3f} s{asked}"))
    for count, free in ((15, False), (12, True)):
        problem = for_two(job(count, free=free))
        how = "in any order" if free else "in stages"
        seconds = timed(partial(order_job, problem, Flat()))
        rows.append(
            (f"{count} operations, {how}, four of them work that two people do side by side", f"{seconds:.3f} s")
        )
    return rows


def for_two(problem: Problem) -> Problem:
    """The same job for two people; its first operations are work without equipment that either can do, or one only."""
    operations = list(problem.operations)
    for number in range(4):
        bare = tuple(evolve(c, fittings=frozenset()) for c in operations[number].choices)
        teams = (("Ash",), ("Birch",)) if number % 2 else (("Ash",),)
        operations[number] = evolve(operations[number], kind="work", choices=bare, teams=teams)
    return evolve(problem, operations=tuple(operations), hands=2)


def job(count: int, *, free: bool) -> Problem:
    """A job of calibrations with up to three stances each; `free`: none must come before another."""
    chance = random.Random(7)
    stands = [Stand(p) for p in range(1, PLACES)] + [Stand(1, Carrier("lift", "up", 1.2), (40.0, 60.0))]
    operations = []
    for number in range(count):
        chosen = chance.sample(stands, 3)
        spots = [frozenset({Fitting(f"frame {number % 3}", (float(s.place),))}) for s in chosen]
        choices = tuple(Choice((600.0, 900.0), s, f) for s, f in zip(chosen, spots, strict=True))
        stage = 0 if free else number // 5
        before = frozenset(n for n in range(number) if not free and n // 5 < stage)
        operations.append(Operation(f"op {number}", because("own-work", name="op"), "calibration", choices, before))
    handling = tuple((f"frame {n}", Handling((240.0, 480.0), (120.0, 240.0))) for n in range(3))
    return Problem(tuple(operations), PLACES, handling)

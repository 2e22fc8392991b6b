"""The whole front for one car and one crew, with moves asked for only where a plan wants them."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from standtrue.model.asking import Asking, Progress
from standtrue.model.order import OUTSIDE, Fitting, Front, Plan, Problem, middle
from standtrue.model.reason import because
from standtrue.sequence.dynamic import MOST_OPERATIONS, Led, closed_sets_within, search
from standtrue.sequence.moves import Key, Ledger, MoveCosts
from standtrue.sequence.replay import Order, replay
from standtrue.sequence.tables import Packed, Tables, pack

MOST_STATES = 2_000_000
"""Closed sets times the settings of the car: more than these are not all tried."""

WIDTHS = (16, 256)
"""How many labels of each size, for each number of arrivals, are kept where an order is wanted soon."""


def order_job(problem: Problem, costs: MoveCosts, asking: Asking = Asking()) -> Front:
    """Every order that no other beats both in time and in moves, at the midpoints of all ranges.

    Move costs are bounds at first. Whatever moves the front uses are found, and the search is run again, until all that
    it uses are known: then no order can beat it, since every other cost is a bound from below. Empty and proven where
    the operations cannot all be done. Where there are too many ways to try them all, the best that was found, not
    proven, with the least time that any order takes. Stopped early: the best so far, likewise.
    """
    ledger, packed = Ledger(costs), pack(problem)
    whole = _whole(packed)
    known: set[Key] = set()
    best: list[Plan] = []
    while not asking.stopped():
        orders, proven = _orders(problem, packed, whole, ledger, asking)
        plans = [replay(problem, order, ledger) for order in orders]
        open_moves = list(dict.fromkeys(key for plan in plans for key in _open(plan)))
        if not open_moves:
            if proven:
                return Front(tuple(plans), True)
            best = _front([*best, *plans])
            break
        for key in open_moves:
            if not asking.stopped():
                ledger.settle(key)
                known.add(key)
                asking.tell(Progress(because("finding-moves"), len(known)))
        best = _made(problem, orders, ledger, best)
    return Front(tuple(best), False, least_time(problem, packed.with_moves(problem, ledger)))


def _whole(packed: Packed) -> bool:
    """Whether all ways can be tried."""
    tables = packed.tables
    if len(tables.before) > MOST_OPERATIONS:
        return False
    return closed_sets_within(tables.before, MOST_STATES // len(tables.place)) is not None


def _orders(problem: Problem, packed: Packed, whole: bool, ledger: Ledger, asking: Asking) -> tuple[list[Order], bool]:
    """The orders of the front with moves as they are known now, and whether no other is better."""
    tables = packed.with_moves(problem, ledger)
    found: list[Led] = []
    for width in WIDTHS:
        found = search(tables, width=width, known=found, stopped=asking.stopped) or found
    every = search(tables, known=found, stopped=asking.stopped) if whole else None
    told = found if every is None else every
    return [[packed.choices[c] for c in led.choices] for led in told], every is not None


def least_time(problem: Problem, tables: Tables) -> float:
    """Seconds at the midpoints that any order takes at least, infinite where there is none.

    What is run one after another, what side by side by so many, the equipment that some operation cannot do without,
    and the way in and out.
    """
    if not problem.operations:
        return 0.0
    runs = np.minimum.reduceat(tables.run, tables.first[:-1])
    alone, side = runs[~tables.beside], runs[tables.beside]
    choices = [o.choices for o in problem.operations]
    forced = (frozenset.intersection(*(frozenset(f.equipment for f in c.fittings) for c in own)) for own in choices)
    handled = [problem.handled(Fitting(name)) for name in sorted(frozenset[str]().union(*forced))]
    handling = sum(middle(h.set_up_s) + middle(h.put_away_s) for h in handled)
    came = problem.first.place != OUTSIDE
    inside = came or any(all(c.stand is not None and c.stand.place != OUTSIDE for c in own) for own in choices)
    ways = tables.way[:, 1:, OUTSIDE], *(() if came else (tables.way[:, OUTSIDE, 1:],))
    road = sum(float(way.min(initial=math.inf)) for way in ways) if inside else 0.0
    together = max(side.max(initial=0.0), side.sum() / problem.hands)
    return float(alone.sum() + together + handling / problem.hands + road)


def _made(problem: Problem, orders: list[Order], ledger: Ledger, best: list[Plan]) -> list[Plan]:
    """The best plans made so far, of which every move is known."""
    made = [replay(problem, order, ledger) for order in orders]
    return _front([*best, *(p for p in made if p.elapsed_s[1] < math.inf and not any(_open(p)))])


def _open(plan: Plan) -> Iterator[Key]:
    """The moves of a plan of which only a bound is known."""
    for step in plan.steps:
        if step.move is not None and not step.move.exact:
            yield step.move.start, step.move.goal, step.move.driven


def _front(plans: list[Plan]) -> list[Plan]:
    """The plans that no other beats, the quickest first."""
    front: list[Plan] = []
    for plan in sorted(plans, key=lambda p: (p.elapsed_s[1], p.moves)):
        if all(plan.moves < other.moves for other in front):
            front.append(plan)
    return front

"""The whole front for one car and one crew, with moves asked for only where a plan wants them."""

from __future__ import annotations

import math
from collections.abc import Iterator

from standtrue.model.asking import Asking, Progress
from standtrue.model.order import Front, Plan, Problem
from standtrue.model.reason import because
from standtrue.sequence.dynamic import MOST_OPERATIONS, search
from standtrue.sequence.jobs_cp import front_by_cp
from standtrue.sequence.moves import Key, Ledger, MoveCosts
from standtrue.sequence.replay import Order, replay
from standtrue.sequence.tables import Packed, pack


def order_job(problem: Problem, costs: MoveCosts, asking: Asking = Asking()) -> Front:
    """Every order that no other beats both in time and in moves, at the midpoints of all ranges.

    Move costs are bounds at first. Whatever moves the front uses are found, and the search is run again, until all that
    it uses are known: then no order can beat it, since every other cost is a bound from below. Empty where the
    operations cannot all be done. Stopped early, between two moves: the best so far, not proven.
    Beyond `MOST_OPERATIONS` operations CP-SAT is asked, and may come to no proof in its time.
    """
    ledger = Ledger(costs)
    known: set[Key] = set()
    best: list[Plan] = []
    packed = None if len(problem.operations) > MOST_OPERATIONS else pack(problem)
    while not asking.stopped():
        orders, proven = _orders(problem, packed, ledger, asking)
        plans = [replay(problem, order, ledger) for order in orders]
        open_moves = list(dict.fromkeys(key for plan in plans for key in _open(plan)))
        if not open_moves:
            return Front(tuple(plans), proven)
        for key in open_moves:
            if not asking.stopped():
                ledger.settle(key)
                known.add(key)
                asking.tell(Progress(because("finding-moves"), len(known)))
        best = _made(problem, orders, ledger, best)
    return Front(tuple(best), False)


def _orders(problem: Problem, packed: Packed | None, ledger: Ledger, asking: Asking) -> tuple[list[Order], bool]:
    """The orders of the front with moves as they are known now, and whether no other is better."""
    if packed is None:
        front = front_by_cp(problem, ledger, stopped=asking.stopped)
        return [plan.order for plan in front.plans], front.proven
    found = search(packed.with_moves(problem, ledger))
    return [[packed.choices[c] for c in plan] for plan in found], True


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

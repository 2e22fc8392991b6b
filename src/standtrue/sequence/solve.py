"""The whole front for one car and one crew, with moves asked for only where a plan wants them."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from standtrue.model.plan import Front, Plan, Problem
from standtrue.sequence.dynamic import MOST_OPERATIONS, search
from standtrue.sequence.moves import Key, Ledger, MoveCosts
from standtrue.sequence.replay import replay
from standtrue.sequence.tables import pack

Tell = Callable[[Front, int], bool]
"""Told of the best front so far, whose moves may be bounds, and how many moves are known. False stops the search."""


def order_job(problem: Problem, costs: MoveCosts, tell: Tell | None = None) -> Front:
    """Every order that no other beats both in time and in moves, at the midpoints of all ranges.

    Move costs are bounds at first. Whatever moves the front uses are found, and the search is run again, until all that
    it uses are known: then no order can beat it, since every other cost is a bound from below. Empty where the
    operations cannot all be done. Raises ValueError beyond `MOST_OPERATIONS` operations.
    """
    if len(problem.operations) > MOST_OPERATIONS:
        raise ValueError(f"at most {MOST_OPERATIONS} operations at once")
    ledger = Ledger(costs)
    settled = 0
    while True:
        packed = pack(problem, ledger)
        orders = [[packed.choices[c] for c in plan] for plan in search(packed.tables)]
        plans = tuple(replay(problem, order, ledger) for order in orders)
        open_moves = list(dict.fromkeys(key for plan in plans for key in _open(plan)))
        if not open_moves:
            return Front(plans, True)
        if tell is not None and not tell(Front(plans, False), settled):
            exact = tuple(p for p in plans if not list(_open(p)))
            return Front(exact, False)
        for key in open_moves:
            ledger.settle(key)
        settled += len(open_moves)


def _open(plan: Plan) -> Iterator[Key]:
    """The moves of a plan of which only a bound is known."""
    for step in plan.steps:
        if step.move is not None and not step.move.exact:
            yield step.move.start, step.move.goal, step.move.driven

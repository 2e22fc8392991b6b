"""CP-SAT: the same fronts as dynamic programming. `test_cp_shops` holds the same modelling code to published optima."""

from __future__ import annotations

from itertools import pairwise

import pytest
from cp_jobs import front_by_cp
from sequence_makers import random_crew_job, random_job, tidied

from standtrue.sequence.check import violations
from standtrue.sequence.moves import Ledger
from standtrue.sequence.solve import order_job


@pytest.mark.parametrize("batch", range(3))
def test_fronts_are_those_of_dynamic_programming(batch: int) -> None:
    for seed in range(20 * batch, 20 * batch + 20):
        problem, costs = random_job(seed, most=4)
        problem = tidied(problem)
        ledger = Ledger(costs)
        for key in costs.table:
            if key[0] != key[1]:
                ledger.settle(key)
        exact = [(p.elapsed_s[1], p.moves) for p in order_job(problem, costs).plans]
        found = front_by_cp(problem, ledger)
        told = [(p.elapsed_s[1], p.moves) for p in found.plans]
        assert found.proven or not exact
        assert [m for _, m in told] == [m for _, m in exact], seed
        assert [t for t, _ in told] == pytest.approx([t for t, _ in exact]), seed
        for plan in found.plans:
            assert violations(problem, plan) == ()


def test_fronts_of_several_people_are_those_of_dynamic_programming() -> None:
    beside = 0
    for seed in range(60):
        problem, costs = random_crew_job(seed)
        problem = tidied(problem)
        ledger = Ledger(costs)
        for key in costs.table:
            ledger.settle(key)
        plans = order_job(problem, costs).plans
        found = [(p.elapsed_s[1], p.moves) for p in front_by_cp(problem, ledger).plans]
        assert [m for _, m in found] == [p.moves for p in plans], seed
        assert [t for t, _ in found] == pytest.approx([p.elapsed_s[1] for p in plans]), seed
        beside += any(b.start_s[1] < a.end_s[1] for p in plans for a, b in pairwise(p.steps))
    assert beside > 5

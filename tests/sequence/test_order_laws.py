"""Laws of the order of a job, and three thousand more jobs against trying every order."""

from __future__ import annotations

import random
from itertools import product

import pytest
from attrs import evolve
from sequence_makers import Costs, brute_front, random_crew_job, random_job

from standtrue.model.order import Fitting, Problem, middle
from standtrue.sequence.check import violations
from standtrue.sequence.solve import order_job


@pytest.mark.long
@pytest.mark.parametrize("batch", range(30))
def test_fronts_of_three_thousand_jobs_are_those_of_trying_every_order(batch: int) -> None:
    for seed in range(1000 + 100 * batch, 1100 + 100 * batch):
        problem, costs = (random_crew_job if seed % 3 == 0 else random_job)(seed)
        front = order_job(problem, costs)
        tried = brute_front(problem, costs)
        assert [p.moves for p in front.plans] == [m for _, m in tried], seed
        assert [p.elapsed_s[1] for p in front.plans] == pytest.approx([t for t, _ in tried]), seed
        assert all(violations(problem, plan) == () for plan in front.plans), seed


def test_more_work_never_brings_the_ready_time_forward() -> None:
    """Over the same places, work that makes nothing else possible; without equipment, which is put away as it comes."""
    compared = 0
    for seed in range(120):
        problem, costs = random_job(seed)
        whole = bare(problem)
        spare = [n for n in range(len(whole.operations)) if n != whole.drives_after]
        fewer = order_job(without(whole, random.Random(seed).choice(spare)), costs)
        more = order_job(whole, costs)
        if fewer.plans and more.plans:
            compared += 1
            assert fewer.plans[0].elapsed_s[1] <= more.plans[0].elapsed_s[1] + 1e-6, seed
    assert compared > 60


def test_more_work_with_equipment_never_brings_the_ready_time_forward() -> None:
    """With equipment, carried, kept and put away by one person, where no way round is quicker than the direct one."""
    compared = 0
    for seed in range(300, 420):
        whole, costs = random_job(seed)
        direct(costs, whole.places)
        spare = [n for n in range(len(whole.operations)) if n != whole.drives_after]
        fewer = order_job(without(whole, random.Random(seed).choice(spare)), costs)
        more = order_job(whole, costs)
        if more.plans:
            compared += 1
            assert fewer.plans, seed
            assert fewer.plans[0].elapsed_s[1] <= more.plans[0].elapsed_s[1] + 1e-6, seed
    assert compared > 60


def direct(costs: Costs, places: int) -> None:
    """Make, in place, each move as quick as its quickest way round, with no range; driven no slower than pushed."""
    table = {key: middle(span) for key, span in costs.table.items()}
    for via, start, goal in product(range(places), repeat=3):
        for driven in (False, True):
            round_about = table[start, via, driven] + table[via, goal, driven]
            table[start, goal, driven] = min(table[start, goal, driven], round_about)
    for start, goal in product(range(places), repeat=2):
        table[start, goal, True] = min(table[start, goal, True], table[start, goal, False])
    costs.table.update({key: (seconds, seconds) for key, seconds in table.items()})


def bare(problem: Problem) -> Problem:
    """The same job without any equipment."""
    none = frozenset[Fitting]()
    operations = (
        evolve(o, choices=tuple(evolve(c, fittings=none, clears=none) for c in o.choices)) for o in problem.operations
    )
    return evolve(problem, operations=tuple(operations))


def without(problem: Problem, left_out: int) -> Problem:
    """The same job without one of its operations; what came before it comes before what followed it."""
    kept = [n for n in range(len(problem.operations)) if n != left_out]
    place = {n: i for i, n in enumerate(kept)}
    gone = problem.operations[left_out]
    operations = tuple(
        evolve(
            o,
            after=frozenset(
                place[n] for n in (o.after | (gone.after if left_out in o.after else frozenset())) - {left_out}
            ),
            cured=frozenset(place[n] for n in o.cured - {left_out}),
        )
        for o in (problem.operations[n] for n in kept)
    )
    turning = problem.drives_after
    return evolve(problem, operations=operations, drives_after=None if turning is None else place[turning])

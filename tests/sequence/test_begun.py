"""Jobs whose car stands in the shop already: against trying every order, and the middle of a plan against its rest."""

from __future__ import annotations

import random

from attrs import evolve
from cp_jobs import front_by_cp
from sequence_makers import Costs, brute_front, random_job, tidied

from standtrue.model.order import OUTSIDE, Front, Plan, Problem, Stand, middle
from standtrue.model.stance import Carrier
from standtrue.sequence.check import violations
from standtrue.sequence.moves import Ledger
from standtrue.sequence.solve import order_job


def told(front: Front) -> list[tuple[float, int]]:
    return [(round(plan.elapsed_s[1], 6), plan.moves) for plan in front.plans]


def begun(seed: int, most: int = 4) -> tuple[Problem, Costs]:
    """A random job whose car stands at one of the places, on the floor or raised."""
    problem, costs = random_job(seed, most)
    raised = Stand(1, Carrier("lift", "up", 2.0), (20.0, 40.0))
    stand = random.Random(seed).choice([Stand(p) for p in range(1, problem.places)] + [raised])
    return evolve(problem, begins=stand), costs


def test_fronts_from_where_the_car_stands_are_those_of_trying_every_order() -> None:
    for seed in range(80):
        problem, costs = begun(seed)
        front = order_job(problem, costs)
        assert front.proven
        assert told(front) == [(round(t, 6), m) for t, m in brute_front(problem, costs)], seed
        for plan in front.plans:
            assert violations(problem, plan) == (), seed


def test_cp_sat_begins_there_too() -> None:
    for seed in range(6):
        problem, costs = begun(seed, 3)
        problem = tidied(problem)
        ledger = Ledger(costs)
        for key in costs.table:
            ledger.settle(key)
        assert told(front_by_cp(problem, ledger)) == told(order_job(problem, costs)), seed


def test_the_checker_sees_a_plan_that_begins_elsewhere() -> None:
    problem, costs = begun(3)
    (plan, *_) = order_job(evolve(problem, begins=None), costs).plans
    assert violations(problem, plan)


def test_planning_from_the_middle_of_a_plan_gives_the_rest_of_it() -> None:
    """Time and moves: wherever nothing is set up nor waited for, the rest of a plan is on the front of the rest."""
    cuts = 0
    for seed in range(120):
        problem, costs = random_job(seed)
        bare = tuple(evolve(o, choices=tuple(evolve(c, fittings=frozenset()) for c in o.choices), wait_s=(0.0, 0.0))
                     for o in problem.operations)  # fmt: skip
        problem = evolve(problem, operations=bare) if seed % 3 else problem
        for plan in order_job(problem, costs).plans:
            for number in range(1, len(plan.steps)):
                rest = middle_of(problem, plan, number)
                if rest is None:
                    continue
                at = plan.steps[number - 1].end_s[1]
                arrivals = sum(s.kind in ("enter", "move") for s in plan.steps[number:])
                left = (round(plan.elapsed_s[1] - at, 6), arrivals)
                front = told(order_job(rest, costs))
                assert left in front, (seed, number, left, front)
                cuts += 1
    assert cuts > 60


def middle_of(problem: Problem, plan: Plan, number: int) -> Problem | None:
    """What is left of a job before that step; None where anything is set up or waited for, or the car is outside.

    Only after an operation: between two of them no order does what can be done anywhere.
    """
    past = plan.steps[:number]
    done = {s.operation for s in past if s.choice is not None and s.operation is not None}
    ends = {
        s.operation: s.end_s[1] + middle(problem.operations[s.operation].wait_s) for s in past if s.operation in done
    }
    around: dict[str, bool] = {}
    for step in past:
        around.update(dict.fromkeys((f.equipment for f in step.fittings), step.kind != "put away"))
    stand = past[-1].stand
    left = [n for n in range(len(problem.operations)) if n not in done]
    if (
        past[-1].choice is None
        or any(around.values())
        or not left
        or stand.place == OUTSIDE
        or max(ends.values()) > past[-1].end_s[1]
    ):
        return None
    place = {n: i for i, n in enumerate(left)}
    operations = (problem.operations[n] for n in left)
    renumbered = tuple(
        evolve(o, after=frozenset(place[n] for n in o.after - done), cured=frozenset(place[n] for n in o.cured - done))
        for o in operations
    )
    turning = problem.drives_after
    return evolve(
        problem, operations=renumbered, drives_after=None if turning is None else place.get(turning), begins=stand
    )

"""CP-SAT: the same fronts as dynamic programming, and the published optima of job shops, by the same modelling code."""

from __future__ import annotations

from itertools import pairwise

import pytest
from sequence_makers import random_crew_job, random_job

from standtrue.sequence.check import violations
from standtrue.sequence.cp import schedule
from standtrue.sequence.jobs_cp import front_by_cp
from standtrue.sequence.moves import Ledger
from standtrue.sequence.network import Change, Network, State, Task, Way
from standtrue.sequence.solve import order_job


@pytest.mark.parametrize("batch", range(3))
def test_fronts_are_those_of_dynamic_programming(batch: int) -> None:
    for seed in range(20 * batch, 20 * batch + 20):
        problem, costs = random_job(seed, most=4)
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
    for seed in range(40):
        problem, costs = random_crew_job(seed)
        ledger = Ledger(costs)
        for key in costs.table:
            ledger.settle(key)
        plans = order_job(problem, costs).plans
        found = [(p.elapsed_s[1], p.moves) for p in front_by_cp(problem, ledger).plans]
        assert [m for _, m in found] == [p.moves for p in plans], seed
        assert [t for t, _ in found] == pytest.approx([p.elapsed_s[1] for p in plans]), seed
        beside += any(b.start_s[1] < a.end_s[1] for p in plans for a, b in pairwise(p.steps))
    assert beside > 5


# Machines and two vehicles: Ü. Bilge and G. Ulusoy, "A time window approach to simultaneous scheduling of machines and
# material handling system in an FMS", Operations Research 43(6), 1995. Job sets: (machine, minutes) of each operation;
# layouts: travel from row to column, the load/unload station first. Vehicles begin there, and the last return trip does
# not count. Transcribed, and confirmed by the published optima that they lead to.
JOB_SETS = {
    1: (
        ((1, 8), (2, 16), (4, 12)),
        ((1, 20), (3, 10), (2, 18)),
        ((3, 12), (4, 8), (1, 15)),
        ((4, 14), (2, 18)),
        ((3, 10), (1, 15)),
    ),
    2: (
        ((1, 10), (4, 18)),
        ((2, 10), (4, 18)),
        ((1, 10), (3, 20)),
        ((2, 10), (3, 15), (4, 12)),
        ((1, 10), (2, 15), (4, 12)),
        ((1, 10), (2, 15), (3, 12)),
    ),
    5: (
        ((1, 6), (2, 12), (4, 9)),
        ((1, 18), (3, 6), (2, 15)),
        ((3, 9), (4, 3), (1, 12)),
        ((4, 6), (2, 15)),
        ((3, 3), (1, 9)),
    ),
}
LAYOUTS = {
    1: ((0, 6, 8, 10, 12), (12, 0, 6, 8, 10), (10, 6, 0, 6, 8), (8, 8, 6, 0, 6), (6, 10, 8, 6, 0)),
    2: ((0, 4, 6, 8, 6), (6, 0, 2, 4, 2), (8, 12, 0, 2, 4), (6, 10, 12, 0, 2), (4, 8, 10, 12, 0)),
    3: ((0, 2, 4, 10, 12), (12, 0, 2, 8, 10), (10, 12, 0, 6, 8), (4, 6, 8, 0, 2), (2, 4, 6, 12, 0)),
}
OPTIMA = {(1, 1): 96, (2, 1): 100, (5, 1): 87, (1, 2): 82, (2, 2): 76, (5, 2): 69, (1, 3): 84, (5, 3): 74}
"""By job set and layout: the published least makespans."""
QUICK = {(1, 1), (1, 2), (5, 2), (1, 3)}

VEHICLES = ("vehicle 1", "vehicle 2")


def carried(job_set: int, layout: int) -> Network:
    """Every part is carried by one of two vehicles from the station to its machines, one after another."""
    travel = LAYOUTS[layout]
    tasks: list[Task] = []
    for job, operations in enumerate(JOB_SETS[job_set], start=1):
        here = 0
        for machine, minutes in operations:
            follows = ((len(tasks) - 1, 0),) if here else ()
            # The vehicles are alike: whichever carries the first part first is the first.
            by = VEHICLES if tasks else VEHICLES[:1]
            ways = tuple(Way(v, travel[here][machine], here, machine) for v in by)
            tasks.append(Task(f"carry {job} to {machine}", ways, follows))
            tasks.append(Task(f"{job} on {machine}", (Way(f"machine {machine}", minutes),), ((len(tasks) - 1, 0),)))
            here = machine

    def empty(one: State, two: State) -> Change:
        if one is None or two is None:
            return Change((0, 0, 0, 0, 0))
        assert isinstance(one, int)
        assert isinstance(two, int)
        return Change((0, 0, travel[one][two], 0, 0))

    machines = [f"machine {m}" for m in range(1, 5)]
    homes: dict[str, State] = {**dict.fromkeys(machines), **dict.fromkeys(VEHICLES, 0)}
    return Network(tuple(tasks), homes, empty, stateless=frozenset(machines))


@pytest.mark.parametrize(
    ("job_set", "layout"),
    [pytest.param(*k, id=f"EX{k[0]}{k[1]}", marks=() if k in QUICK else pytest.mark.long) for k in OPTIMA],
)
def test_published_optima_with_vehicles_are_reached(job_set: int, layout: int) -> None:
    found = schedule(carried(job_set, layout), limit_s=300.0)
    assert found is not None
    assert found.proven
    assert found.ends == OPTIMA[job_set, layout]

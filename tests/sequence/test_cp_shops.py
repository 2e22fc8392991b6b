"""The modelling code that jobs are asked with reaches the published optima of shops, and proves them."""

from __future__ import annotations

import flexible_instances
import pytest
import setup_instances
import vehicle_instances
from cp_network import Change, Network, State, Task, Way
from cp_schedule import schedule
from flexible_instances import Shop, shop
from vehicle_instances import JOB_SETS, LAYOUTS, TWICE_TRAVEL, Jobs, Travel, twice

LIMIT_S = 600.0
VEHICLES = ("vehicle 1", "vehicle 2")

# What takes more than some five seconds to prove.
LONG_LAYOUTS = {(4, 1), (6, 1)}
LONG_TWICE = {1, 2, 8}
LONG_SHOPS = {"mk05", "mk09", "MFJS08"}


def carried(jobs: Jobs, travel: Travel, copies: int = 1) -> Network:
    """Every part is carried by one of two vehicles from the station to its machines, one after another.

    Of every machine there are so many copies, at places one after another.
    """
    tasks: list[Task] = []
    for number, operations in enumerate(jobs, start=1):
        here: tuple[int, ...] = (0,)
        for machine, minutes in operations:
            there = tuple(range(copies * (machine - 1) + 1, copies * machine + 1))
            last = (len(tasks) - 1,) if here != (0,) else ()
            # The vehicles are alike: whichever carries the first part first is the first.
            by = VEHICLES if tasks else VEHICLES[:1]
            ways = tuple(Way(v, travel[a][b], a, b) for v in by for a in here for b in there)
            tasks.append(Task(f"carry {number} to {machine}", ways, tuple((t, 0) for t in last), carries_on=last))
            carry = len(tasks) - 1
            works = tuple(Way(f"machine at {b}", minutes, b, b) for b in there)
            tasks.append(Task(f"{number} on {machine}", works, ((carry, 0),), carries_on=(carry,)))
            here = there

    def empty(one: State, two: State) -> Change:
        assert isinstance(one, int)
        assert isinstance(two, int)
        return Change((0, 0, travel[one][two], 0, 0))

    machines = [f"machine at {b}" for b in range(1, len(travel))]
    homes: dict[str, State] = dict.fromkeys((*machines, *VEHICLES), 0)
    return Network(tuple(tasks), homes, empty, stateless=frozenset(machines))


def flexible(jobs: Shop) -> Network:
    """Every operation is done on one of its machines, and nothing needs time between."""
    tasks: list[Task] = []
    for number, operations in enumerate(jobs, start=1):
        for step, own in enumerate(operations):
            ways = tuple(Way(f"machine {machine}", time) for machine, time in own)
            tasks.append(Task(f"{number}.{step}", ways, ((len(tasks) - 1, 0),) if step else ()))
    machines = sorted({way.thing for task in tasks for way in task.ways})
    homes: dict[str, State] = dict.fromkeys(machines)
    return Network(tuple(tasks), homes, lambda _one, _two: Change((0, 0, 0, 0, 0)), stateless=frozenset(machines))


def set_up(name: str) -> Network:
    """Every machine is set up for the type of its next operation, unless it is set up already."""
    tasks: list[Task] = []
    for number, operations in enumerate(setup_instances.JOBS[name]):
        kind = number % setup_instances.TYPES + 1
        for step, (machine, time) in enumerate(operations):
            way = Way(f"machine {machine}", time, kind, kind)
            tasks.append(Task(f"{number}.{step}", (way,), ((len(tasks) - 1, 0),) if step else ()))

    def change(one: State, two: State) -> Change:
        assert isinstance(one, int)
        assert isinstance(two, int)
        return Change((0, 0, 0, 0, setup_instances.SET_UP[one][two]))

    homes: dict[str, State] = dict.fromkeys(sorted({way.thing for task in tasks for way in task.ways}), 0)
    return Network(tuple(tasks), homes, change)


def proves(network: Network, least: int) -> None:
    found = schedule(network, limit_s=LIMIT_S)
    assert found is not None
    assert (found.ends, found.proven) == (least, True)


def marked(long: bool) -> list[pytest.MarkDecorator]:
    return [pytest.mark.long] if long else []


@pytest.mark.parametrize(
    ("job_set", "layout"),
    [pytest.param(*k, id=f"EX{k[0]}{k[1]}", marks=marked(k in LONG_LAYOUTS)) for k in vehicle_instances.LEAST],
)
def test_shops_with_vehicles(job_set: int, layout: int) -> None:
    proves(carried(JOB_SETS[job_set], LAYOUTS[layout]), vehicle_instances.LEAST[job_set, layout])


@pytest.mark.parametrize(
    "number", [pytest.param(n, id=f"fjsp{n}", marks=marked(n in LONG_TWICE)) for n in vehicle_instances.TWICE_LEAST]
)
def test_flexible_shops_with_vehicles(number: int) -> None:
    proves(carried(twice(number), TWICE_TRAVEL, copies=2), vehicle_instances.TWICE_LEAST[number])


@pytest.mark.parametrize("name", [pytest.param(n, marks=marked(n in LONG_SHOPS)) for n in flexible_instances.LEAST])
def test_flexible_shops(name: str) -> None:
    proves(flexible(shop(name)), flexible_instances.LEAST[name])


@pytest.mark.long
@pytest.mark.parametrize("name", setup_instances.LEAST)
def test_shops_with_set_ups(name: str) -> None:
    proves(set_up(name), setup_instances.LEAST[name])

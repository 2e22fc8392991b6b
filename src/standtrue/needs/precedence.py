"""What must be done before each step of a job, and why: cards, rules, the job's own words, stages."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise
from typing import Literal

from attrs import frozen

from standtrue.model.stages import Stage, rank
from standtrue.needs.answer import StepKind
from standtrue.needs.facts import fact_of, seen_to_by
from standtrue.needs.stage_words import stage_named
from standtrue.needs.tasks import Task
from standtrue.needs.words import same, tidy

Why = Literal["card", "rule", "job", "stage", "order"]
"""Why something comes first: the card says so, a rule, the order itself; what stands after it relies on it by its
stage; or it is only the order of common practice, and holds nothing back."""

Edges = dict[int, dict[int, Why]]
"""For each step, what comes before it and why."""

APART: tuple[str, ...] = ("driver camera", "occupant weight sensor")
"""Sensors that look at the people inside and do not depend on how the car stands on the road."""

STANDS: tuple[Stage, ...] = ("structure", "mechanical", "pressures and ride height")
"""What an alignment, and the zero of the steering, rely on."""

_BODY, _STATIC, _DRIVE, _POST = (rank(stage) for stage in ("body and paint", "static", "drive", "post-scan"))


@frozen
class Before:
    """A step that must be done before another, by its position, and why."""

    task: int
    why: Why

    @property
    def holds(self) -> bool:
        """Whether the other cannot be done without it."""
        return self.why != "order"


def named_edges(tasks: Sequence[Task], drivable: str) -> Edges:
    """What each step names, and what follows from it: chains, facts, drives that wait until the car can be driven.

    What names something comes after it. The post-scan comes after every calibration, whatever names it.
    """
    edges: Edges = {at: {} for at in range(len(tasks))}
    for at, task in enumerate(tasks):
        if task.follows_last:
            edges[at][at - 1] = "card"
        own: Why = "card" if task.need is not None else "job"
        for name in task.after:
            edges[at].update(dict.fromkeys(_called(name, at, tasks), own))
        for name in task.rules:
            edges[at].update(dict.fromkeys(_sees_to(name, at, tasks), "rule"))
        if task.kind == "confirm":
            shared = (i for i, t in enumerate(tasks) if t.kind == "work" and t.stage == task.stage)
            edges[at].update(dict.fromkeys(shared, "rule"))
        if task.on_road:
            mends = [i for i, t in enumerate(tasks) if t.kind == "work" and t.name == drivable]
            edges[at].update(dict.fromkeys(mends, "job" if task.stage == "drive" else "order"))
        if task.kind == "scan" and task.stage == "post-scan":
            edges[at].update((i, "order") for i, t in enumerate(tasks) if t.need is not None)
        edges[at].pop(at, None)
    return edges


def _sees_to(name: str, at: int, tasks: Sequence[Task]) -> Collection[int]:
    """What a rule's fact waits for: the work that sees to it, or the step that confirms it."""
    fact = fact_of(name)
    doing = seen_to_by(fact, tasks) if fact is not None else ()
    return doing or _called(name, at, tasks)


def _called(name: str, at: int, tasks: Sequence[Task]) -> list[int]:
    """The steps that a name means: by its letters, by its words, or all of a stage."""
    named = [i for i, other in enumerate(tasks) if any(tidy(name) == tidy(own) for own in other.names)]
    named = named or [i for i, other in enumerate(tasks) if any(same(name, own) for own in other.names)]
    stage = stage_named(name)
    return named or [i for i, other in enumerate(tasks) if other.stage == stage != tasks[at].stage]


def break_circles(edges: Edges) -> list[list[int]]:
    """Take out, in place, the links of every circle, and return the circles."""
    circles: list[list[int]] = []
    while True:
        try:
            TopologicalSorter(edges).prepare()
        except CycleError as error:
            circle: list[int] = error.args[1]
            circles.append(circle[:-1])
            for before, after in pairwise(circle):
                edges[after].pop(before, None)
        else:
            return circles


def add_relied(tasks: Sequence[Task], edges: Edges) -> None:
    """Add, in place, what each calibration relies on, unless that has to wait for it.

    First the sensors that others rely on. Then work of earlier stages: whatever it takes off, moves or unplugs, it may
    disturb what is calibrated, also if it comes late since it names another calibration.
    """
    above = _all_before(edges)
    for at, before in (*_relied(tasks, "need"), *_relied(tasks, "work")):
        if above[before] >> at & 1:
            continue
        edges[at].setdefault(before, _by_stage(tasks[before], tasks[at]))
        more = above[before] | 1 << before
        for other in edges:
            if other == at or above[other] >> at & 1:
                above[other] |= more


def _relied(tasks: Sequence[Task], kind: StepKind) -> Iterator[tuple[int, int]]:
    """Each calibration with each step of this kind that is of an earlier stage."""
    for at, task in enumerate(tasks):
        for before, other in enumerate(tasks):
            early = other.kind == kind and rank(other.stage) < min(_STATIC, rank(task.stage))
            if task.need is not None and early and not _apart(other, task):
                yield at, before


def pushed(tasks: Sequence[Task], edges: Mapping[int, Mapping[int, Why]]) -> list[int]:
    """How far along each step comes: its own stage, or that of the latest that comes before it."""
    place = [rank(task.stage) for task in tasks]
    for at in TopologicalSorter(edges).static_order():
        place[at] = max([place[at], *(place[before] for before in edges[at])])
    return place


def add_stages(tasks: Sequence[Task], edges: Edges, place: Sequence[int]) -> None:
    """Add, in place, what comes before by its stage."""
    for at, task in enumerate(tasks):
        for before, other in enumerate(tasks):
            if place[before] < place[at] and not _apart(other, task):
                edges[at].setdefault(before, _by_stage(other, task))


def _all_before(edges: Mapping[int, Mapping[int, Why]]) -> dict[int, int]:
    """Everything that comes before each step, directly or not, as bits."""
    above = dict.fromkeys(edges, 0)
    for at in TopologicalSorter(edges).static_order():
        for before in edges[at]:
            above[at] |= above[before] | 1 << before
    return above


def _apart(before: Task, task: Task) -> bool:
    """What looks at the people inside waits for body work only, and nothing but the last scan waits for it."""

    def inside(one: Task) -> bool:
        return one.need is not None and one.need.sensor in APART

    if rank(task.stage) >= _POST or not (inside(before) or inside(task)):
        return False
    return rank(before.stage) > _BODY or inside(before)


def _by_stage(before: Task, task: Task) -> Why:
    """Whether a step relies on another of an earlier stage, or common practice only puts it after."""
    stage = rank(before.stage)
    if before.kind == "scan" or stage >= _STATIC or task.kind in ("scan", "confirm"):
        return "order"
    if task.need is not None or _STATIC <= rank(task.stage) <= _DRIVE:
        return "stage"
    aligns = task.stage in ("alignment", "steering angle") and before.stage in STANDS
    return "stage" if aligns else "order"


def held_back(befores: Sequence[Sequence[Before]], out: Collection[int]) -> dict[int, tuple[int, ...]]:
    """Everything that cannot be done because some steps are not, and what each of it waits for; by position.

    The steps stand in an order in which whatever comes before stands before.
    """
    gone, held = set(out), dict[int, tuple[int, ...]]()
    for at, firsts in enumerate(befores):
        missing = tuple(sorted({first.task for first in firsts if first.holds and first.task in gone}))
        if missing and at not in out:
            gone.add(at)
            held[at] = missing
    return held

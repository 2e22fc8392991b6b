"""The order of work: common practice by stages, bent wherever a card or an operation says what must come first."""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Mapping, Sequence
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise

from attrs import frozen

from standtrue.model.job import Job, Work
from standtrue.model.reason import Reason, Ref, Term, Value, because
from standtrue.model.rules import EVENTS, FACTS
from standtrue.model.sensor_kinds import SENSOR_KINDS
from standtrue.needs.answer import First, Link, Need, NeedsAnswer, StepKind, WorkStep
from standtrue.needs.fitted import Slot
from standtrue.needs.words import Words, contains, same, tidy, words

STAGES: tuple[str, ...] = (
    "pre-scan",
    "structure",
    "mechanical and body work",
    "tires, pressures and ride height",
    "wheel alignment",
    "steering-angle sensor",
    "static calibrations",
    "drives",
    "final scan",
)
"""The order of work, common practice, no source."""

PRE_SCAN, STRUCTURE, MECHANICAL, TIRES, ALIGNMENT, STEERING, STATIC, DRIVES, FINAL_SCAN = range(len(STAGES))

KIND_STAGES: Mapping[str, int] = {
    "ride-height sensor": TIRES,
    "steering-angle sensor": STEERING,
    "yaw-rate sensor": STEERING,
}
"""Sensors that the calibrations after them rely on; every other kind goes by its card's method."""

APART: tuple[str, ...] = ("driver camera", "occupant weight sensor")
"""Sensors that look at the people inside and do not depend on how the car stands on the road."""

EVENT_STEPS: Mapping[str, tuple[int, str]] = {
    "structural collision": (STRUCTURE, "Repair and measure the structure"),
    "ride height changed": (TIRES, "Set and measure the ride height"),
    "tires replaced": (TIRES, "Check tire sizes and set tire pressures"),
    "tire size changed": (TIRES, "Check tire sizes and set tire pressures"),
    "wheel alignment": (ALIGNMENT, "Wheel alignment"),
}
"""Steps that an event implies where the job lists no operation of that stage."""

CLOSED: frozenset[str] = frozenset(
    (
        *STAGES,
        *EVENTS,
        *SENSOR_KINDS,
        *(what for _, what in EVENT_STEPS.values()),
        *FACTS,
    )
)
"""What a rule, a card or an operation may name as coming first and is no name of the shop's own."""

_STAGE_WORDS: tuple[tuple[int, tuple[Words, ...]], ...] = (
    (STRUCTURE, (("structural",), ("structure",), ("frame",), ("unibody",), ("rail",), ("apron",))),
    (ALIGNMENT, (("wheel", "alignment"), ("alignment",), ("align", "wheel"), ("four", "wheel", "align"))),
    (TIRES, (("tire",), ("ride", "height"), ("wheel", "balance"))),
)
_NOT_OF_STAGE: Mapping[int, Words] = {ALIGNMENT: ("headlamp", "door", "hood", "panel", "bumper", "liftgate")}


@frozen
class Task:
    """A step before it has its place. `names` are what an `after` may call it, `after` is what it calls others."""

    stage: int
    kind: StepKind
    what: Reason
    name: str = ""
    names: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    need: Need | None = None
    follows_last: bool = False


@frozen
class Arrangement:
    """The tasks in order, and the circles of steps that name each other under `after`.

    For each task: `named` are the tasks that it names as coming first, `staged` those of earlier stages; by position.
    """

    tasks: tuple[Task, ...]
    circles: tuple[tuple[First, ...], ...] = ()
    named: tuple[frozenset[int], ...] = ()
    staged: tuple[frozenset[int], ...] = ()

    def first_place(self, need: Need) -> int:
        """The position of a need's first step, counted from 1; 0 if it has none."""
        mine = (place for place, task in enumerate(self.tasks, start=1) if task.need == need)
        return next(mine, 0)

    def facts_before(self, need: Need) -> tuple[First, ...]:
        """What the order of work puts before a need, among the things that its sensor's aim relies on."""
        place = self.first_place(need)
        if not place or need.sensor in APART:
            return ()
        stage, earlier = self.tasks[place - 1].stage, self.tasks[: place - 1]
        relied = [
            _called(task)
            for task in earlier
            if task.stage in (STRUCTURE, TIRES, ALIGNMENT, STEERING) and task.stage < stage
        ]
        static = stage == DRIVES and any(task.stage == STATIC for task in earlier)
        facts = (*dict.fromkeys(relied), *((Term(STAGES[STATIC]),) if static else ()))
        said = [words(_plain(first)) for first in need.before]
        return tuple(fact for fact in facts if not any(contains(text, words(_plain(fact))) for text in said))


def order_of_work(answer: NeedsAnswer, job: Job) -> tuple[WorkStep, ...]:
    """Every step of a job in order: pre-scan, the job's own work, the needs that nobody dropped, post-scan.

    Stages follow common practice; what a card, a rule or an operation names as coming first always does, and is
    pulled forward with what it waits for. Equal steps keep the order of the documents.
    """
    return tuple(
        WorkStep(
            order=place,
            stage=STAGES[task.stage],
            kind=task.kind,
            what=task.what,
            name=task.name,
            sensor=None if task.need is None else task.need.sensor,
            side=None if task.need is None else task.need.side,
        )
        for place, task in enumerate(arrange(job, answer.needs).tasks, start=1)
    )


def arrange(job: Job, needs: Sequence[Need]) -> Arrangement:
    """Put the job's work, the steps its events imply, its needs and the two scans in order."""
    needs = sorted(needs, key=lambda need: Slot(need.sensor, need.side).sort_key)
    work = [_work_task(operation) for operation in job.work]
    tasks = [*work, *_implied(job, work), *(task for need in needs if not need.dropped for task in _need_tasks(need))]
    stages = {task.stage for task in work}
    if PRE_SCAN not in stages:
        tasks.insert(0, Task(PRE_SCAN, "scan", because("pre-scan"), "pre-scan", ("pre-scan",)))
    if FINAL_SCAN not in stages:
        tasks.append(Task(FINAL_SCAN, "scan", because("post-scan"), "post-scan", ("post-scan",)))
    befores = {at: _befores(at, tasks) for at in range(len(tasks))}
    circles = _break_circles(befores)
    urgency = _urgency(tasks, befores)
    order = _sorted(urgency, befores)
    place = {at: number for number, at in enumerate(order)}
    return Arrangement(
        tuple(tasks[at] for at in order),
        tuple(tuple(dict.fromkeys(_called(tasks[at]) for at in circle)) for circle in circles),
        tuple(frozenset(place[before] for before in befores[at]) for at in order),
        tuple(
            _staged([tasks[at] for at in order], [urgency[at] for at in order], number) for number in range(len(order))
        ),
    )


def _staged(tasks: Sequence[Task], urgency: Sequence[int], number: int) -> frozenset[int]:
    """The tasks of earlier stages. What looks at the people inside waits for body work only, and nothing for it."""

    def apart(task: Task) -> bool:
        return task.need is not None and task.need.sensor in APART

    def first(other: int) -> bool:
        if urgency[other] >= urgency[number]:
            return False
        either = apart(tasks[number]) or apart(tasks[other])
        return urgency[number] == FINAL_SCAN or not either or (urgency[other] <= MECHANICAL and not apart(tasks[other]))

    return frozenset(other for other in range(len(tasks)) if other != number and first(other))


def stage_of_work(name: str) -> int:
    """The stage of the job's own operation, from the words of its name; mechanical and body work by default."""
    said = words(name)
    if contains(said, ("pre", "scan")):
        return PRE_SCAN
    if contains(said, ("post", "scan")) or contains(said, ("final", "scan")):
        return FINAL_SCAN
    for stage, phrases in _STAGE_WORDS:
        if any(contains(said, phrase) for phrase in phrases) and not set(said) & set(_NOT_OF_STAGE.get(stage, ())):
            return stage
    return MECHANICAL


def _work_task(work: Work) -> Task:
    what = because("own-work", name=work.name)
    return Task(stage_of_work(work.name), "work", what, work.name, (work.name,), work.after)


def _implied(job: Job, work: Sequence[Task]) -> Iterator[Task]:
    present = {task.stage for task in work}
    whats: dict[str, Task] = {}
    for event in job.events:
        for name, (stage, what) in EVENT_STEPS.items():
            if same(name, event.event) and stage not in present:
                said = because("implied-work", work=Term(what))
                whats.setdefault(what, Task(stage, "work", said, what, (what, name)))
    yield from whats.values()


def _need_tasks(need: Need) -> Iterator[Task]:
    """One task for each card of the chain; two for a card with a static part and a drive."""
    for place, link in enumerate(need.links):
        last = (need.sensor, need.title) if place == len(need.links) - 1 else ()
        names, after = tuple(n for n in (link.name, link.key, *last) if n), link.after
        what = _calibrating(need, link)
        stage = DRIVES if link.method == "drive" else STATIC
        if link.method == "static then drive":
            static, drive = because("step-static-part", of=what), because("step-drive-part", of=what)
            yield Task(_need_stage(need, STATIC), "need", static, link.key, (), after, need, place > 0)
            yield Task(DRIVES, "need", drive, link.key, names, (), need, True)
        else:
            yield Task(_need_stage(need, stage), "need", what, link.key, names, after, need, place > 0)


def _need_stage(need: Need, by_method: int) -> int:
    return by_method if by_method == DRIVES else KIND_STAGES.get(need.sensor, by_method)


def _calibrating(need: Need, link: Link) -> Reason:
    kept = need.how == "required" or need.overruled is not None
    with_card: dict[str, Value] = {"card": link.key} if link.key else {}
    code = f"{'calibrate' if kept else 'look-then-calibrate'}-{'by-card' if link.key else 'without-card'}"
    return because(code, sensor=need.ref, **with_card)


def first_named(name: str) -> First:
    """What a rule, a card or an operation names as coming first: a word of the trade, or a name of the shop's own."""
    return Term(name) if name in CLOSED else name


def _called(task: Task) -> First:
    """A task by its own name; without one it calibrates a sensor that no card covers."""
    return task.need.ref if task.need is not None and not task.name else first_named(task.name)


def _plain(first: First) -> str:
    """The words that name it on an order."""
    if isinstance(first, Term):
        return first.word
    return f"{first.state} {first.name}" if isinstance(first, Ref) else first


def _befores(at: int, tasks: Sequence[Task]) -> list[int]:
    """The tasks that must come before one: those it names, and the one before it in its own chain."""
    found = [at - 1] if tasks[at].follows_last else []
    for name in tasks[at].after:
        named = [i for i, other in enumerate(tasks) if any(tidy(name) == tidy(own) for own in other.names)]
        named = named or [i for i, other in enumerate(tasks) if any(same(name, own) for own in other.names)]
        named = named or [
            i for i, other in enumerate(tasks) if same(name, STAGES[other.stage]) and other.stage != tasks[at].stage
        ]
        found += [i for i in named if i != at]
    return list(dict.fromkeys(found))


def _break_circles(befores: dict[int, list[int]]) -> list[list[int]]:
    """Take out, in place, the links of every circle, and return the circles."""
    circles: list[list[int]] = []
    while True:
        try:
            TopologicalSorter(befores).prepare()
        except CycleError as error:
            circle: list[int] = error.args[1]
            circles.append(circle[:-1])
            for before, after in pairwise(circle):
                befores[after] = [at for at in befores[after] if at != before]
        else:
            return circles


def _urgency(tasks: Sequence[Task], befores: Mapping[int, Sequence[int]]) -> list[int]:
    """The stage of each task, or the earliest of what waits for it."""
    urgency = [task.stage for task in tasks]
    for at in reversed(tuple(TopologicalSorter(befores).static_order())):
        for before in befores[at]:
            urgency[before] = min(urgency[before], urgency[at])
    return urgency


def _sorted(urgency: Sequence[int], befores: Mapping[int, Sequence[int]]) -> list[int]:
    """Topological order: of the free tasks the most urgent first."""
    left = {at: len(befores[at]) for at in befores}
    free = [(urgency[at], at) for at, count in left.items() if not count]
    heapq.heapify(free)
    order: list[int] = []
    while free:
        _, done = heapq.heappop(free)
        order.append(done)
        for at in befores:
            if done in befores[at]:
                left[at] -= 1
                if not left[at]:
                    heapq.heappush(free, (urgency[at], at))
    return order

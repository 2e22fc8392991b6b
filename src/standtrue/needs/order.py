"""The order of work: common practice by stages, bent wherever a card or an operation says what must come first."""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Mapping, Sequence

from attrs import frozen

from standtrue.model.job import Job
from standtrue.model.reason import Reason, Ref, Term, because
from standtrue.model.stages import Stage, rank
from standtrue.needs.answer import First, Need, NeedsAnswer, WorkStep
from standtrue.needs.facts import confirming
from standtrue.needs.fitted import Slot
from standtrue.needs.precedence import (
    APART,
    Before,
    Edges,
    add_relied,
    add_stages,
    break_circles,
    named_edges,
    pushed,
)
from standtrue.needs.stage_words import stage_named
from standtrue.needs.tasks import EVENT_STEPS, Task, plain, tasks_of, title_of
from standtrue.needs.words import contains, same, words

RELIED: tuple[Stage, ...] = ("structure", "pressures and ride height", "alignment", "steering angle")
"""The stages that the aim of a sensor relies on."""

STATIC = Term("static calibrations")


@frozen
class Arrangement:
    """The steps in order, what comes before each and why (`befores`, by position), and what is odd about them.

    `circles` are steps that name each other as coming first; `notes` are guesses of stages and work that comes late.
    `open_points` are what somebody must decide first: work that is called for and not ordered.
    """

    tasks: tuple[Task, ...]
    befores: tuple[tuple[Before, ...], ...]
    circles: tuple[tuple[First, ...], ...] = ()
    notes: tuple[Reason, ...] = ()
    open_points: tuple[Reason, ...] = ()

    @property
    def warnings(self) -> tuple[Reason, ...]:
        """Everything that is odd."""
        circles = (because("work-in-a-circle", steps=circle) for circle in self.circles)
        return (*self.open_points, *circles, *self.notes)

    def first_place(self, need: Need) -> int:
        """The position of a need's first step, counted from 1; 0 if it has none."""
        mine = (place for place, task in enumerate(self.tasks, start=1) if task.need == need)
        return next(mine, 0)

    def facts_before(self, need: Need) -> tuple[First, ...]:
        """What the order of work puts before a need, among the things that its sensor's aim relies on."""
        place = self.first_place(need)
        if not place or need.sensor in APART:
            return ()
        firsts = [self.tasks[first.task] for first in self.befores[place - 1]]
        relied = [title_of(t) for t in firsts if t.stage in RELIED and t.stage != self.tasks[place - 1].stage]
        static = self.tasks[place - 1].stage == "drive" and any(t.stage == "static" for t in firsts)
        facts = (*dict.fromkeys(relied), *((STATIC,) if static else ()))
        said = [words(plain(first)) for first in need.before]
        return tuple(fact for fact in facts if not any(contains(text, words(plain(fact))) for text in said))


def order_of_work(answer: NeedsAnswer, job: Job) -> tuple[WorkStep, ...]:
    """Every step of a job in order: pre-scan, the job's own work, facts to confirm, the needs that nobody dropped,
    post-scan, hand-over.

    Stages follow common practice; what names something comes after it, and is pushed back so far. Equal steps keep the
    order of the documents.
    """
    return tuple(
        WorkStep(
            order=place,
            stage=task.stage,
            kind=task.kind,
            what=task.what,
            name=task.name,
            sensor=None if task.need is None else task.need.sensor,
            side=None if task.need is None else task.need.side,
        )
        for place, task in enumerate(arrange(job, answer.needs).tasks, start=1)
    )


def arrange(job: Job, needs: Sequence[Need]) -> Arrangement:
    """Put the job's work, the steps its events imply, facts to confirm, its needs and the two scans in order."""
    needs = sorted(needs, key=lambda need: Slot(need.sensor, need.side).sort_key)
    tasks = tasks_of(job, needs)
    facts = [(name, task.stage) for task in tasks for name in task.rules]
    unnamed = [(n, s) for n, s in facts if not _is_task(n, tasks)]
    tasks = [*tasks, *confirming([n for n, _ in unnamed], tasks, [s for _, s in unnamed])]
    edges = named_edges(tasks, job.drivable)
    circles = break_circles(edges)
    add_relied(tasks, edges)
    place = pushed(tasks, edges)
    add_stages(tasks, edges, place)
    order = _sorted(tasks, place, edges)
    number = {at: position for position, at in enumerate(order)}
    return Arrangement(
        tuple(tasks[at] for at in order),
        tuple(
            tuple(sorted((Before(number[i], why) for i, why in edges[at].items()), key=lambda b: b.task))
            for at in order
        ),
        tuple(tuple(dict.fromkeys(title_of(tasks[at]) for at in circle)) for circle in circles),
        (*_guesses(tasks), *_late(tasks, edges, order)),
        tuple(_not_ordered(job, tasks)),
    )


def _is_task(name: str, tasks: Sequence[Task]) -> bool:
    """Whether a rule names a step of this order by what it is called there, or a stage that it has."""
    said, stage = words(name), stage_named(name)
    return any(task.stage == stage or any(said == words(own) for own in task.names) for task in tasks)


def _sorted(tasks: Sequence[Task], place: Sequence[int], edges: Edges) -> list[int]:
    """Topological order: of the free steps the one of the earliest stage first."""
    left = {at: len(edges[at]) for at in edges}
    free = [(place[at], rank(tasks[at].stage), at) for at, count in left.items() if not count]
    heapq.heapify(free)
    order: list[int] = []
    while free:
        done = heapq.heappop(free)[-1]
        order.append(done)
        for at in edges:
            if done in edges[at]:
                left[at] -= 1
                if not left[at]:
                    heapq.heappush(free, (place[at], rank(tasks[at].stage), at))
    return order


def _guesses(tasks: Sequence[Task]) -> Iterator[Reason]:
    """Stages that nobody wrote down, in one sentence."""
    guessed = [because("stage-of-work", work=t.called, stage=Term(t.stage)) for t in tasks if t.guessed]
    if guessed:
        yield because("stages-guessed", works=tuple(guessed))


def _late(tasks: Sequence[Task], edges: Mapping[int, Mapping[int, str]], order: Sequence[int]) -> Iterator[Reason]:
    """Work that comes after a calibration though its stage comes before it: it may disturb what was calibrated."""
    before: dict[int, set[int]] = {}
    for at in order:
        before[at] = set(edges[at]).union(*(before[i] for i in edges[at]))
        task = tasks[at]
        if task.kind == "work" and rank(task.stage) < rank("static"):
            done = [tasks[i] for i in order if i in before[at] and tasks[i].need is not None]
            sensors: tuple[Ref, ...] = tuple(dict.fromkeys(t.need.ref for t in done if t.need is not None))
            if any(rank(t.stage) > rank(task.stage) for t in done):
                yield because("work-after-calibration", work=task.called, stage=Term(task.stage), sensors=sensors)


def _not_ordered(job: Job, tasks: Sequence[Task]) -> Iterator[Reason]:
    """Work that the events call for and that nobody ordered."""
    for task in (t for t in tasks if t.implied):
        calling = [name for name, (_, what) in EVENT_STEPS.items() if what == task.called]
        events = [Term(name) for name in calling if any(same(name, e.event) for e in job.events)]
        yield because("work-not-ordered", work=Term(task.called), events=tuple(events))

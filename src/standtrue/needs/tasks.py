"""The steps of a job before they have their order: its own work, what its events imply, its needs, the two scans."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from attrs import frozen

from standtrue.model.job import Job, Work
from standtrue.model.reason import Reason, Ref, Term, Value, because
from standtrue.model.rules import EVENTS, FACTS
from standtrue.model.sensor_kinds import SENSOR_KINDS
from standtrue.model.stages import STAGES, Stage
from standtrue.needs.answer import First, Link, Need, StepKind
from standtrue.needs.stage_words import OTHERWISE, STAGE_NAMES, guessed_stage
from standtrue.needs.words import same, side_named, tidy, without_sides, words

KIND_STAGES: Mapping[str, Stage] = {
    "ride-height sensor": "pressures and ride height",
    "steering-angle sensor": "steering angle",
    "yaw-rate sensor": "steering angle",
}
"""Sensors that the calibrations after them rely on; every other kind goes by its card's method."""

CALL_FOR_ALIGNMENT: tuple[str, ...] = (
    "suspension work",
    "steering work",
    "control arm replaced",
    "tie rod replaced",
    "steering rack replaced",
    "shock absorbers replaced",
    "springs replaced",
    "subframe replaced",
    "subframe removed",
)
"""Events after which the wheels must be aligned, whoever ordered it. Common practice, no source."""

EVENT_STEPS: Mapping[str, tuple[Stage, str]] = {
    "structural collision": ("structure", "Repair and measure the structure"),
    "ride height changed": ("pressures and ride height", "Set and measure the ride height"),
    "suspension lifted": ("pressures and ride height", "Set and measure the ride height"),
    "suspension lowered": ("pressures and ride height", "Set and measure the ride height"),
    "tires replaced": ("pressures and ride height", "Check tire sizes and set tire pressures"),
    "tire size changed": ("pressures and ride height", "Check tire sizes and set tire pressures"),
    "wheel alignment": ("alignment", "Wheel alignment"),
    **dict.fromkeys(CALL_FOR_ALIGNMENT, ("alignment", "Wheel alignment")),
}
"""Steps that an event implies where the job lists no operation of that stage."""

CLOSED: frozenset[str] = frozenset(
    (*STAGES, *STAGE_NAMES, *EVENTS, *SENSOR_KINDS, *(what for _, what in EVENT_STEPS.values()), *FACTS)
)
"""What a rule, a card or an operation may name as coming first and is no name of the shop's own."""


@frozen
class Task:
    """A step before it has its place. `names` are what an `after` may call it, `after` is what it calls others.

    `rules` are what the rules put before it. `guessed`: the stage is a guess from words. `waits`: something then cures.
    `on_road`: it may be done by driving. `implied`: an event calls for it, and the order does not list it.
    """

    stage: Stage
    kind: StepKind
    what: Reason
    name: str = ""
    names: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    rules: tuple[str, ...] = ()
    need: Need | None = None
    follows_last: bool = False
    guessed: bool = False
    waits: bool = False
    on_road: bool = False
    implied: bool = False

    @property
    def called(self) -> str:
        """What the order calls it."""
        return self.name or next(iter(self.names), "")


def tasks_of(job: Job, needs: Sequence[Need]) -> list[Task]:
    """The pre-scan, the job's own work, what its events imply, the needs that nobody dropped, the post-scan."""
    work = [_work_task(operation) for operation in job.work]
    stages = {task.stage for task in work}
    tasks = [*work, *_implied(job, stages), *(t for need in needs if not need.dropped for t in _need_tasks(need))]
    if "pre-scan" not in stages:
        tasks.insert(0, Task("pre-scan", "scan", because("pre-scan"), "pre-scan", ("pre-scan",)))
    if "post-scan" not in stages:
        tasks.append(Task("post-scan", "scan", because("post-scan"), "post-scan", ("post-scan",)))
    return tasks


def first_named(name: str) -> First:
    """What a rule, a card or an operation names as coming first: a word of the trade, or a name of the shop's own."""
    return Term(name) if name in CLOSED else name


def is_known_step(name: str, own: Sequence[str]) -> bool:
    """Whether an `after` may mean something: one of these names of works and cards, a sensor, a stage, an event, a
    fact."""
    side = side_named(name)
    called = [*own, *(f"{card}/{one}" for card in own for one in ("left", "right"))]
    if any(tidy(name) == tidy(one) or same(name, one) for one in called):
        return True
    sensor = any(words(kind) == (without_sides(name) if side else words(name)) for kind in SENSOR_KINDS)
    return sensor or any(same(name, closed) for closed in CLOSED)


def title_of(task: Task) -> First:
    """A task by its own name; without one it calibrates a sensor that no card covers."""
    return task.need.ref if task.need is not None and not task.name else first_named(task.called)


def plain(first: First) -> str:
    """The words that name it on an order."""
    if isinstance(first, Term):
        return first.word
    return f"{first.state} {first.name}" if isinstance(first, Ref) else first


def _work_task(work: Work) -> Task:
    guess = guessed_stage(work.name)
    return Task(
        work.stage or guess,
        "work",
        because("own-work", name=work.name),
        work.name,
        (work.name,),
        work.after,
        guessed=work.stage is None and guess != OTHERWISE,
        waits=work.wait_s[1] > 0.0,
    )


def _implied(job: Job, present: set[Stage]) -> Iterator[Task]:
    """What the events call for and the order does not list: nobody can plan it, somebody must confirm it."""
    whats: dict[str, Task] = {}
    for event in job.events:
        for name, (stage, what) in EVENT_STEPS.items():
            if same(name, event.event) and stage not in present:
                said = because("implied-work", work=Term(what))
                known = whats.get(what)
                names = (what,) if known is None else known.names
                own = () if name in CALL_FOR_ALIGNMENT else (name,)
                whats[what] = Task(stage, "confirm", said, "", (*names, *own), implied=True)
    yield from whats.values()


def _need_tasks(need: Need) -> Iterator[Task]:
    """One task for each card of the chain; two for a card with a static part and a drive."""
    for place, link in enumerate(need.links):
        last = (need.sensor, need.title) if place == len(need.links) - 1 else ()
        names = tuple(n for n in (link.name, link.key, *last) if n)
        after = tuple(name for name in link.after if name not in link.rules)
        what, follows = _calibrating(need, link), place > 0
        if link.method == "static then drive":
            static, drive = because("step-static-part", of=what), because("step-drive-part", of=what)
            stage = _need_stage(need, "static")
            yield Task(stage, "need", static, link.key, (), after, link.rules, need, follows)
            yield Task("drive", "need", drive, link.key, names, need=need, follows_last=True, on_road=True)
        else:
            stage = "drive" if link.method == "drive" else _need_stage(need, "static")
            road = link.method in ("drive", "static or drive")
            yield Task(stage, "need", what, link.key, names, after, link.rules, need, follows, on_road=road)


def _need_stage(need: Need, by_method: Stage) -> Stage:
    return KIND_STAGES.get(need.sensor, by_method)


def _calibrating(need: Need, link: Link) -> Reason:
    kept = need.how == "required" or need.overruled is not None
    with_card: dict[str, Value] = {"card": link.key} if link.key else {}
    code = f"{'calibrate' if kept else 'look-then-calibrate'}-{'by-card' if link.key else 'without-card'}"
    return because(code, sensor=need.ref, **with_card)

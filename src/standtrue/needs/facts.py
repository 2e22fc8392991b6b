"""Facts that must hold before a calibration: what on the order sees to each, and where it is confirmed otherwise."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from attrs import frozen

from standtrue.model.reason import because
from standtrue.model.stages import Stage, rank
from standtrue.needs.tasks import EVENT_STEPS, Task, first_named
from standtrue.needs.words import Words, contains, same, words


@frozen
class Fact:
    """Something that must hold. A rule that says all of `core` means it; it is confirmed at `stage`.

    Work of that stage whose name says one of `done_by` sees to it; where that is empty, any work of the stage does.
    `never`: no work on an order sees to it by its name.
    """

    core: frozenset[str]
    stage: Stage
    done_by: tuple[Words, ...] = ()
    never: bool = False


GLASS: tuple[Words, ...] = (("windshield",), ("glass",), ("adhesive",), ("urethane",), ("bond",))
"""What is set in an adhesive. A wait after such work is its cure."""

ADHESIVE = Fact(frozenset({"adhesive", "cured"}), "cure")

FACTS: tuple[Fact, ...] = (
    ADHESIVE,
    Fact(frozenset({"structure", "measured"}), "structure", (("measure",), ("measured",), ("measuring",))),
    Fact(frozenset({"wheel", "alignment"}), "alignment"),
    Fact(frozenset({"ride", "height", "measured"}), "pressures and ride height", (("ride", "height"),)),
    Fact(frozenset({"tire", "pressure"}), "pressures and ride height", (("pressure",),)),
    Fact(frozenset({"paint", "checked"}), "body and paint", never=True),
    Fact(frozenset({"cause", "fault"}), "mechanical", never=True),
)
"""The facts that rules put before a calibration. Common practice, no source."""


def fact_of(name: str) -> Fact | None:
    """The fact that a rule means."""
    said = set(words(name))
    return next((fact for fact in FACTS if fact.core <= said), None)


def is_fact(name: str) -> bool:
    """Whether a step may confirm something of this name: a fact of a rule, or work that an event calls for."""
    return fact_of(name) is not None or any(same(name, what) for _, what in EVENT_STEPS.values())


def seen_to_by(fact: Fact, tasks: Sequence[Task]) -> tuple[int, ...]:
    """The operations on the order that see to a fact, by position."""
    return tuple(at for at, task in enumerate(tasks) if _sees_to(fact, task))


def _sees_to(fact: Fact, task: Task) -> bool:
    if task.need is not None or task.kind == "scan" or fact.never:
        return False
    said = words(task.called)
    if fact is ADHESIVE and task.waits and rank(task.stage) <= rank(fact.stage):
        return any(contains(said, phrase) for phrase in GLASS)
    return task.stage == fact.stage and (not fact.done_by or any(contains(said, phrase) for phrase in fact.done_by))


def confirming(names: Sequence[str], tasks: Sequence[Task], stages: Sequence[Stage]) -> Iterator[Task]:
    """A task to confirm each fact that nothing on the order sees to; `stages` are those of what first needs it.

    A fact that is not known is confirmed right before what needs it. Two names of one fact are one task.
    """
    found: dict[Fact | str, Task] = {}
    for name, stage in zip(names, stages, strict=True):
        fact = fact_of(name)
        if fact is not None and seen_to_by(fact, tasks):
            continue
        key = fact if fact is not None else name
        said = found.get(key)
        calls = (name,) if said is None else tuple(dict.fromkeys((*said.names, name)))
        where = fact.stage if fact is not None else stage if said is None else min(said.stage, stage, key=rank)
        what = because("confirm-fact", fact=first_named(calls[0]))
        found[key] = Task(where, "confirm", what, calls[0], calls)
    yield from found.values()

"""One question answered: the front of what can be done, and what is left out."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from attrs import evolve, field, frozen

from standtrue.drive.question.answer import Answer as Path
from standtrue.model.order import Front, Plan, Problem, Title
from standtrue.model.reason import Reason
from standtrue.model.site import SentOut
from standtrue.place.change.remedies import Remedies, Remedy
from standtrue.place.question.answer import Answer
from standtrue.sequence.clock import Timed
from standtrue.sequence.moves import Key
from standtrue.work.plan.clock import JobClock
from standtrue.work.plan.operations import Draft
from standtrue.work.plan.stances import Candidate

NEAR_S = 1e-6
"""Rounding."""


def minutes(seconds: float) -> int:
    """A time as it is told: plans that are ready in the same minute are ready together."""
    return round(seconds / 60.0)


@frozen(eq=False)
class Undone:
    """An operation that the plan leaves out, and all that says why.

    `answers` tell for each support class what stops it and what would make room; `least` is the first change after
    which it fits where the car can come to. `shut_in`: each change that was tried made room, but only where no way in
    was found. `waits_for` names what it would have to follow. `sent_out`: who else can do it.
    """

    draft: Draft
    ruled_out_by: tuple[Reason, ...] = ()
    answers: tuple[tuple[Answer, Remedies], ...] = ()
    waits_for: tuple[Title, ...] = ()
    least: Remedy | None = None
    shut_in: bool = False

    @property
    def sent_out(self) -> SentOut | None:
        return self.draft.sent_out


@frozen(eq=False)
class Ordered:
    """One question answered: the operations that can be done, their front, and what is left out.

    `paths` are the moves by the plan's own numbers of places.
    """

    problem: Problem
    places: tuple[Candidate, ...]
    front: Front
    undone: tuple[Undone, ...]
    paths: Mapping[Key, Path] = field(repr=False)
    clock: JobClock = field(factory=JobClock, repr=False)

    @cached_property
    def plan(self) -> Plan | None:
        """The plan to show first: the one that is ready first, to the minute; of several, the one with fewest moves."""
        return min(self.front.plans, key=lambda p: (minutes(self.ready_key(p)), p.moves), default=None)

    def beats(self, other: Ordered) -> bool:
        """Whether it leaves nothing more out, and no time, move or open door more is spent; and in something less."""
        mine, theirs = ({u.draft.name for u in one.undone} for one in (self, other))
        if self.plan is None or not mine <= theirs:
            return False
        if other.plan is None or mine < theirs:
            return True
        pairs = [
            (self.ready_key(self.plan), other.ready_key(other.plan)),
            (self.plan.elapsed_s[1], other.plan.elapsed_s[1]),
            (self.plan.moves, other.plan.moves),
            (len(self.plan.doors_open), len(other.plan.doors_open)),
        ]
        return all(m <= t + NEAR_S for m, t in pairs) and any(m < t - NEAR_S for m, t in pairs)

    def ready_key(self, plan: Plan) -> float:
        """When a plan is ready, at the midpoints: by the clock, or else what it takes. Seconds."""
        found = self.timed(plan)
        return plan.elapsed_s[1] if found is None else found.ready_s[1]

    def crewed(self) -> Ordered:
        """The same answer, each step of the plan by those who do it by the clock."""
        plan, found = self.plan, None if self.plan is None else self.timed(self.plan)
        if plan is None or found is None:
            return self
        steps = tuple(evolve(step, team=at.team) for step, at in zip(plan.steps, found.steps, strict=True))
        plans = (evolve(plan, steps=steps) if one is plan else one for one in self.front.plans)
        return evolve(self, front=evolve(self.front, plans=tuple(plans)))

    def timed(self, plan: Plan) -> Timed | None:
        """A plan of this question by the clock; None where there is none."""
        return self.clock.timed(self.problem, plan)

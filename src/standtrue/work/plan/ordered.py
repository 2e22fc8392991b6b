"""One question answered: the front of what can be done, and what is left out."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from attrs import field, frozen

from standtrue.drive.question.answer import Answer as Path
from standtrue.model.order import Front, Plan, Problem, Title
from standtrue.model.reason import Reason
from standtrue.model.site import SentOut
from standtrue.place.change.remedies import Remedies
from standtrue.place.question.answer import Answer
from standtrue.sequence.clock import Timed
from standtrue.sequence.moves import Key
from standtrue.work.plan.clock import JobClock
from standtrue.work.plan.operations import Draft
from standtrue.work.plan.stances import Candidate

NEARLY_S = 300.0
"""A move that saves less than this is not worth the car's moving: ranges are wider. Common practice, no source."""


@frozen(eq=False)
class Undone:
    """An operation that the plan leaves out, and all that says why.

    `answers` tell for each support class what stops it and what would make room; `waits_for` names what it would have
    to follow. `sent_out`: who else can do it.
    """

    draft: Draft
    ruled_out_by: tuple[Reason, ...] = ()
    answers: tuple[tuple[Answer, Remedies], ...] = ()
    waits_for: tuple[Title, ...] = ()

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
        """The plan to show first: of those ready nearly as soon as the first, the one with the fewest moves."""
        if not self.front.plans:
            return None
        ready = [(self.ready_key(plan), plan) for plan in self.front.plans]
        least = min(key for key, _ in ready)
        return min((plan for key, plan in ready if key <= least + NEARLY_S), key=lambda p: p.moves)

    def ready_key(self, plan: Plan) -> float:
        """When a plan is ready, at the midpoints: by the clock, or else what it takes. Seconds."""
        found = self.timed(plan)
        return plan.elapsed_s[1] if found is None else found.ready_s[1]

    def timed(self, plan: Plan) -> Timed | None:
        """A plan of this question by the clock; None where there is none."""
        return self.clock.timed(self.problem, plan)

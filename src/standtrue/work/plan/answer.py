"""What `plan` answers: the front of a job, what it leaves out, and the alternatives."""

from __future__ import annotations

from collections.abc import Mapping

from attrs import field, frozen

from standtrue.drive.answer import Answer as Path
from standtrue.model.basics import DocumentMark
from standtrue.model.cautions import Caution
from standtrue.model.order import Front, Plan, Problem
from standtrue.model.reason import Note
from standtrue.model.site import SentOut, Site
from standtrue.place.change.remedies import Remedies
from standtrue.place.question.answer import Answer
from standtrue.sequence.moves import Key
from standtrue.work.needs.jobs import Needs
from standtrue.work.plan.confirm import Stances
from standtrue.work.plan.operations import Draft
from standtrue.work.plan.stances import Candidate

NEARLY_S = 300.0
"""A move that saves less than this is not worth the car's moving: ranges are wider. Common practice, no source."""


@frozen(eq=False)
class Undone:
    """An operation that the plan leaves out, and all that says why.

    `lacks` are sentences; `answers` tell for each support class what stops it and what would make room; `waits_for`
    names what it would have to follow. `sent_out`: who else can do it.
    """

    draft: Draft
    lacks: tuple[str, ...] = ()
    answers: tuple[tuple[Answer, Remedies], ...] = ()
    waits_for: tuple[str, ...] = ()

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

    @property
    def plan(self) -> Plan | None:
        """The plan to show first: of those nearly as quick as the quickest, the one with the fewest moves."""
        if not self.front.plans:
            return None
        least = self.front.plans[0].elapsed_s[1]
        return min((p for p in self.front.plans if p.elapsed_s[1] <= least + NEARLY_S), key=lambda p: p.moves)


@frozen(eq=False)
class Alternative:
    """The same job asked another way: what is changed, and what comes of it."""

    name: str
    what: str
    ordered: Ordered


@frozen(eq=False)
class PlanAnswer:
    """A job's whole order of work, its alternatives, and what it rests on. `stances` are its places, measured again.

    `otherwise`: the alternative that is told as the answer, if one was asked for.
    """

    needs: Needs
    site: Site
    ordered: Ordered
    stances: Stances = field(repr=False)
    alternatives: tuple[Alternative, ...]
    marks: tuple[DocumentMark, ...]
    warnings: tuple[Note, ...]
    cautions: tuple[Caution, ...]
    otherwise: Alternative | None = None

    @property
    def plan(self) -> Plan | None:
        return self.ordered.plan

    @property
    def demonstration(self) -> bool:
        return any(mark.demonstration for mark in self.marks)

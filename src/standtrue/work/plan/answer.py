"""What `plan` answers: the order of work, and its alternatives."""

from __future__ import annotations

from attrs import field, frozen

from standtrue.model.basis import Basis
from standtrue.model.order import Plan
from standtrue.model.reason import Reason, because
from standtrue.model.site import Site
from standtrue.work.needs.jobs import Needs
from standtrue.work.plan.confirm import Stances
from standtrue.work.plan.ordered import Ordered
from standtrue.work.plan.question import JobQuestion

AS_PLANNED = because("as-planned")


@frozen(eq=False)
class Alternative:
    """The same job asked another way: what is changed, and what comes of it."""

    change: Reason
    ordered: Ordered


@frozen(eq=False)
class PlanAnswer:
    """A job's whole order of work, its alternatives, and what it rests on. `stances` are its places, measured again.

    `left_out`: why not every alternative was worked out. `otherwise`: the one that is told as the answer, if one was
    asked for.
    """

    question: JobQuestion = field(repr=False)
    ordered: Ordered
    stances: Stances = field(repr=False)
    alternatives: tuple[Alternative, ...]
    basis: Basis
    left_out: tuple[Reason, ...] = ()
    otherwise: Alternative | None = None

    @property
    def needs(self) -> Needs:
        return self.question.needs

    @property
    def site(self) -> Site:
        return self.question.site

    @property
    def plan(self) -> Plan | None:
        return self.ordered.plan

"""What `plan` answers: the order of work, and its alternatives."""

from __future__ import annotations

from attrs import field, frozen

from standtrue.model.basis import Basis
from standtrue.model.order import Plan
from standtrue.model.reason import Reason, because
from standtrue.model.site import Site
from standtrue.sequence.clock import Timed
from standtrue.work.needs.jobs import Needs
from standtrue.work.plan.clock import JobClock, Late, day_of
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
    asked for. `timed`: the plan by the clock.
    """

    question: JobQuestion = field(repr=False)
    ordered: Ordered
    stances: Stances = field(repr=False)
    alternatives: tuple[Alternative, ...]
    basis: Basis
    left_out: tuple[Reason, ...] = ()
    otherwise: Alternative | None = None
    timed: Timed | None = None

    @property
    def needs(self) -> Needs:
        return self.question.needs

    @property
    def site(self) -> Site:
        return self.question.site

    @property
    def clock(self) -> JobClock:
        """When the job begins, its hours, and when it is promised."""
        return self.ordered.clock

    @property
    def untimed(self) -> tuple[Reason, ...]:
        """Why the plan has no clock times; nothing where it has, or where there is no plan."""
        if self.plan is None or self.timed is not None:
            return ()
        return self.clock.untimed or (because("never-ready"),)

    @property
    def late(self) -> Late | None:
        """Whether the plan keeps what is promised; None where nothing is, or where it has no clock times."""
        return None if self.timed is None else self.clock.late(self.timed)

    def shop_spans(self) -> tuple[tuple[float, float], ...] | None:
        """When the shop is open, from the day on which the plan begins; None where the plan has no clock times."""
        clock = self.clock
        if self.timed is None or clock.calendar is None or clock.begins is None:
            return None
        return clock.calendar.spans((), day_of(clock.begins))

    @property
    def plan(self) -> Plan | None:
        return self.ordered.plan

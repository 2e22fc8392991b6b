"""What the day is told from, order by order, and what it comes to."""

from __future__ import annotations

from datetime import datetime
from typing import Literal

from attrs import field, frozen

from standtrue.model.basics import Place
from standtrue.model.job import Done, Job, Waiting
from standtrue.model.order import Title
from standtrue.model.procedure import Procedure
from standtrue.needs import NeedsAnswer
from standtrue.work.orders.planned import Moments, Planned, PlannedStep
from standtrue.work.plan.clock import Late, Promise

WaitKind = Literal[
    "plan", "plan again", "decide", "look", "not done", "reader", "step", "sign", "cure", "owner", "out", "part"
]
"""What an order waits for: a plan, a new one, a decision, somebody who looks, a way to do what is not done here, a
second reader of a card, a step that should be done by now, a signature; an adhesive or paint; whoever fetches it; what
was sent out, or a part that did not come yet."""

Urgency = Literal["late", "decide", "time"]
"""Somebody must do something and should have; somebody must; nobody need do anything."""

State = Literal["late", "decide", "time", "now", "done", "planned", "aside"]


@frozen
class Progress:
    """How far an order has come at the car: what is done, which operation is in hand and by whom, where the car is,
    what waits."""

    done: tuple[Done, ...] = ()
    in_hand: str = ""
    by: str = ""
    at: Place | None = None
    on: str = ""
    waits: tuple[Waiting, ...] = ()


@frozen(eq=False)
class Order:
    """An order as the day sees it. `needs` None: what it calls for cannot be told, since its documents are faulty."""

    job: Job
    needs: NeedsAnswer | None = None
    cards: tuple[Procedure, ...] = ()
    planned: Planned | None = None
    progress: Progress = field(factory=Progress)
    signed: bool = False


@frozen
class Wait:
    """Something that an order waits for. `by`: when it should be there; `until`: when it is over by itself.

    `since`: from when on it is late, or waits. `who`: for whom it waits; "" for whoever sits at the desk.
    """

    kind: WaitKind
    urgency: Urgency
    what: tuple[Title, ...] = ()
    by: datetime | None = None
    since: datetime | None = None
    until: Moments | None = None
    who: tuple[str, ...] = ()


@frozen(eq=False)
class Row:
    """An order in the timetable: what is done with its car now and then, and when it is ready against its promise."""

    order: Order
    state: State
    here: bool
    waits: tuple[Wait, ...] = ()
    now: PlannedStep | None = None
    then: tuple[PlannedStep, ...] = ()
    at: Place | None = None
    on: str = ""
    ready: Moments | None = None
    arrives: datetime | None = None
    promise: Promise | None = None

    @property
    def job(self) -> Job:
        return self.order.job

    @property
    def number(self) -> str:
        """By what people call the order."""
        return self.job.order_number or self.job.name

    @property
    def keeps(self) -> Late | None:
        """Whether what was planned keeps the promise; None where nothing is promised or planned by the clock."""
        if self.promise is None or self.ready is None:
            return None
        if self.ready[0] > self.promise.at:
            return "yes"
        return "no" if self.ready[1] <= self.promise.at else "may be"

    @property
    def dashed(self) -> bool:
        """Whether the car waits: nobody works on it, and it is not done."""
        return self.state not in ("now", "done")


@frozen
class Person:
    """Somebody of the shop: the order and step in hand, and the next."""

    name: str
    now: tuple[Row, PlannedStep] | None
    next: tuple[Row, PlannedStep] | None


@frozen(eq=False)
class Today:
    """The day: orders in the order in which somebody must care, late first. `quiet`: so many of which nothing was heard
    for long are counted only."""

    now: datetime
    rows: tuple[Row, ...]
    people: tuple[Person, ...] = ()
    quiet: int = 0

    def of(self, *states: State) -> tuple[Row, ...]:
        return tuple(row for row in self.rows if row.state in states)

    @property
    def in_hand(self) -> tuple[Row, ...]:
        return tuple(row for row in self.rows if row.state != "aside")

    @property
    def waits(self) -> tuple[tuple[Row, Wait], ...]:
        """All that is waited for, late first, then what must be decided, then what only takes time; each by when."""
        every = [(row, wait) for row in self.in_hand for wait in row.waits]
        return tuple(sorted(every, key=lambda one: (_URGENT.index(one[1].urgency), _when(one[1]))))


_URGENT: tuple[Urgency, ...] = ("late", "decide", "time")


def _when(wait: Wait) -> datetime:
    until = wait.until[1] if wait.until is not None else None
    return wait.since or wait.by or until or datetime.max

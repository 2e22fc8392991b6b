"""The day as a function of the orders, what was handed over and done, and the moment: nothing is asked of a clock.

What is not told is not taken to be so: an order that nobody planned waits for a plan, and a step that nobody says is
done is not done.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime, timedelta

from standtrue.model.basics import Place
from standtrue.model.job import Job
from standtrue.model.order import Title
from standtrue.model.reason import Ref, Term
from standtrue.needs import Need
from standtrue.work.car.fold import AtCar
from standtrue.work.orders.planned import PlannedStep
from standtrue.work.plan.clock import promise_of
from standtrue.work.today.values import Order, Person, Progress, Row, State, Today, Wait, WaitKind

UNREAD = ("transcribed", "questioned")
"""What a card counts as that a second person must read: for the first time, or again since it is said to be wrong."""


QUIET = timedelta(days=30)
"""So long after the last that was heard of an order it is counted on Today and not told."""


def find_today(orders: Iterable[Order], people: Sequence[str], now: datetime, quiet: int = 0) -> Today:
    """The day at `now`, the shop's own time without a zone. `quiet`: so many orders are left out (`is_quiet`)."""
    rows = sorted((_row(order, now) for order in orders), key=_rank)
    return Today(now, tuple(rows), tuple(_person(name, rows) for name in people), quiet)


def is_quiet(job: Job, last_kept: str, now: datetime) -> bool:
    """Whether nothing was heard of an order for `QUIET`: it came, and was promised, before that, and nothing was kept
    of it since. `last_kept` is when anything was ("": never), `now` the shop's own time without a zone."""
    moments = [moment[: len("2026-03-02T00:00:00")] for moment in (job.arrives, job.promised, last_kept) if moment]
    known = bool(job.arrives or job.promised)
    return known and all(datetime.fromisoformat(moment) < now - QUIET for moment in moments)


def progress_of(job: Job, at: AtCar | None = None) -> Progress:
    """How far an order has come: `job` as it stands with what was done at the car (`from_here`), where `at` tells the
    step in hand."""
    place, on = (None, "") if job.stands is None else (job.stands.place, job.stands.on)
    hand = None if at is None else at.current
    if hand is None or hand.holder is None or not hand.step.operation:
        return Progress(job.done, at=place, on=on, waits=job.waits)
    return Progress(job.done, hand.step.operation, hand.holder[1], place, on, job.waits)


def _row(order: Order, now: datetime) -> Row:
    job, planned = order.job, order.planned
    arrives = datetime.fromisoformat(job.arrives) if job.arrives else None
    here = (arrives is not None and arrives <= now) or bool(order.progress.done)
    steps = () if planned is None else planned.steps
    left = _left(steps, order.progress)
    promise = promise_of(job.promised)
    if job.put_aside.en or job.put_aside.es:
        return Row(order, "aside", here, arrives=arrives, promise=promise)
    cures = tuple(_cures(order, now))
    away = tuple(_away(order))
    finished = bool(steps) and not left and not away
    begun = here and left and not cures and (order.progress.in_hand or _begins(left[0]) <= now)
    waits = (*_waits(order, left, here, arrives, now), *cures, *away)
    if promise is not None and promise.at <= now and not finished and not any(w.urgency == "late" for w in waits):
        waits = (
            Wait("step", "late", _titles(order, left[:1]), promise.at, promise.at, who=left[0].people if left else ()),
            *waits,
        )
    at, on = _stands(order, steps)
    return Row(
        order,
        _state(waits, finished=finished, cures=bool(cures or away), begun=bool(begun)),
        here,
        waits,
        left[0] if begun else None,
        left[1:] if begun else left,
        at if here else None,
        on,
        None if planned is None else planned.ready,
        arrives,
        promise,
    )


def _state(waits: Sequence[Wait], *, finished: bool, cures: bool, begun: bool) -> State:
    urgent = {wait.urgency for wait in waits}
    if "late" in urgent:
        return "late"
    if finished:
        return "done"
    if begun:
        return "now"
    if cures:
        return "time"
    return "decide" if "decide" in urgent else "planned"


def _waits(
    order: Order, left: tuple[PlannedStep, ...], here: bool, arrives: datetime | None, now: datetime
) -> Iterator[Wait]:
    """All that an order waits for of people, and what it waits for once it is done."""
    planned = order.planned
    if planned is None:
        late = here and arrives is not None
        yield Wait("plan", "late" if late else "decide", by=arrives, since=arrives if late else None)
    else:
        if planned.changed:
            yield Wait("plan again", "decide", tuple(Ref(kind, name) for kind, name in planned.changed))
        if not left and planned.steps and not order.progress.waits:
            yield _after(order)
            return
        if here and left and (ends := left[0].ends) is not None and ends[1] < now:
            yield Wait("step", "late", _titles(order, left[:1]), ends[1], ends[1], who=left[0].people)
    yield from _of_needs(order, left, here, arrives, now)


def _of_needs(
    order: Order, left: tuple[PlannedStep, ...], here: bool, arrives: datetime | None, now: datetime
) -> Iterator[Wait]:
    needs, planned = order.needs, order.planned
    if needs is None:
        return

    def wait(kind: WaitKind, what: Sequence[Title], operations: Iterable[str]) -> Wait:
        by = _first(left, operations)
        late = by is not None and by <= now
        if by is None and not here:
            by = arrives
        return Wait(kind, "late" if late else "decide", tuple(what), by, by if late else None)

    if needs.open_questions:
        yield wait("decide", [question.event for question in needs.open_questions], ())
    look = [need for need in needs.needs if need.how == "conditional" and not need.dropped]
    if look:
        yield wait("look", [need.ref for need in look], [key for need in look for key in _operations(need)])
    if planned is not None and not planned.changed and planned.undone:
        yield wait("not done", [title_of(order, name) for name in planned.undone], ())
    unread = [card for card in order.cards if card.source.status in UNREAD]
    if unread:
        names = dict.fromkeys(card.name for card in unread)
        yield wait("reader", [Ref("procedure", name) for name in names], [card.key for card in unread])


def _operations(need: Need) -> Iterator[str]:
    for key in need.chain:
        yield from (key, f"{key} (drive)")


def _after(order: Order) -> Wait:
    """What an order waits for once every step is done: a signature, or whoever fetches the car."""
    last = order.progress.done[-1].at if order.progress.done else ""
    since = datetime.fromisoformat(last) if last else None
    if order.signed:
        return Wait("owner", "time", since=since)
    to = () if order.planned is None else (order.planned.to,)
    return Wait("sign", "decide", since=since, who=to)


def _cures(order: Order, now: datetime) -> Iterator[Wait]:
    """What cures or dries since it was done: until when, at the earliest and the latest."""
    work = {one.name: one for one in order.job.work}
    for done in order.progress.done:
        made = work.get(done.what)
        if made is None or not made.wait_s[1]:
            continue
        begun = datetime.fromisoformat(done.at)
        low, high = (begun + timedelta(seconds=s) for s in made.wait_s)
        if high > now:
            yield Wait("cure", "time", (Ref("work", made.name),), since=begun, until=(low, high))


def _away(order: Order) -> Iterator[Wait]:
    """What was sent out, or waits for a part, since somebody said so."""
    for one in order.progress.waits:
        kind: WaitKind = "out" if one.kind == "sent out" else "part"
        since = datetime.fromisoformat(one.since) if one.since else None
        yield Wait(kind, "time", (title_of(order, one.what),), since=since)


def _left(steps: Sequence[PlannedStep], progress: Progress) -> tuple[PlannedStep, ...]:
    """The operations that are left, in order: what somebody said is done is done, and what waits is nobody's to do."""
    done = {one.what for one in progress.done} | {one.what for one in progress.waits}
    left = [s for s in steps if s.operation is not None and s.kind != "wait" and s.operation not in done]
    return tuple(sorted(left, key=lambda step: step.operation != progress.in_hand))


def _begins(step: PlannedStep) -> datetime:
    return datetime.max if step.starts is None else step.starts[0]


def _first(left: Sequence[PlannedStep], operations: Iterable[str]) -> datetime | None:
    """When the first of some operations begins at the earliest, if it is planned by the clock."""
    wanted = set(operations)
    return next((step.starts[0] for step in left if step.operation in wanted and step.starts is not None), None)


def _stands(order: Order, steps: Sequence[PlannedStep]) -> tuple[Place | None, str]:
    """Where the car is: as somebody says, or where the last step that is done was planned; None: outside."""
    progress = order.progress
    if progress.at is not None:
        return progress.at, progress.on
    done = {one.what for one in progress.done}
    last = [s for s in steps if s.operation in done or (s.operation is not None and s.operation == progress.in_hand)]
    return (last[-1].at, last[-1].on) if last else (None, "")


def _titles(order: Order, steps: Iterable[PlannedStep]) -> tuple[Title, ...]:
    return tuple(title_of(order, step.operation) for step in steps if step.operation is not None)


def title_of(order: Order, name: str) -> Title:
    """What an operation is called: a calibration by its sensor, a scan by its word, a work by its own name."""
    key = name.removesuffix(" (drive)")
    for need in () if order.needs is None else order.needs.needs:
        if key in need.chain:
            return need.ref
    return Ref("work", name) if any(work.name == name for work in order.job.work) else Term(name)


def _rank(row: Row) -> tuple[int, datetime]:
    """Late first, then what is to be decided; within each by when it is promised."""
    states: tuple[State, ...] = ("late", "decide", "now", "time", "planned", "done", "aside")
    group = (len(states) if not row.here else 0) + states.index(row.state)
    by = row.promise.at if row.promise is not None else None
    return group, (row.arrives if not row.here else by) or datetime.max


def _person(name: str, rows: Sequence[Row]) -> Person:
    """What somebody has in hand, and what comes next for them by what was handed over."""
    own = [(row, row.now) for row in rows if row.now is not None and name in row.now.people]
    later = [(row, step) for row in rows for step in row.then if name in step.people]
    following = min(later, key=lambda one: _begins(one[1]), default=None)
    return Person(name, own[0] if own else None, following)

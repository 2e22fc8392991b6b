"""What must be calibrated and why, what was done to the car, and the alternatives side by side."""

from __future__ import annotations

from typing import Literal

from attrs import frozen

from standtrue.model.job import Job
from standtrue.needs import Need
from standtrue.show.words.clock import ready_span
from standtrue.show.words.needs import signed
from standtrue.show.words.pages import order as words
from standtrue.show.words.pages import order_labels as labels
from standtrue.show.words.plan import left_out_words, span_words
from standtrue.show.words.reader import Reader
from standtrue.show.words.reasons.plan import alternative_name
from standtrue.work.needs.jobs import Needs
from standtrue.work.orders.asked import alternative_id
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.ordered import Ordered

Standing = Literal["required", "look", "dropped"]


@frozen
class Reason:
    """A calibration: how it stands, the nearest reason and the others, whether it fits, who dropped it and why."""

    sensor: str
    title: str
    standing: Standing
    standing_words: str
    because: tuple[str, ...]
    more: str
    fits: Literal["yes", "no", "unsure", ""]
    fits_words: str
    dropped_by: str = ""
    dropped_because: str = ""


@frozen(eq=False)
class Reasons:
    """What is required in a sentence, the table of reasons, what is to be looked at, and what was dropped."""

    sentence: str
    required: tuple[Reason, ...]
    others: tuple[Reason, ...]
    rules: str

    @property
    def every(self) -> tuple[Reason, ...]:
        return (*self.required, *self.others)


@frozen
class Done:
    """Something that was done to the car; `number` counts from 0."""

    number: int
    said: str
    note: str
    word: str
    where: str
    part: str


@frozen
class Column:
    """An alternative: its name, by what it is asked for, and a cell a row."""

    name: str
    otherwise: str
    cells: tuple[str, ...]


def reasons_of(needs: Needs, plan: PlanAnswer | None, reader: Reader) -> Reasons:
    """The calibrations of an order."""
    every = [(need, _reason(need, plan, reader)) for need in needs.answer.needs]
    required = tuple(need for need, told in every if told.standing == "required")
    rooms = [(room, need) for need in required if (room := _room(need, plan)) is not None]
    sentence = words.required_words(required, reader)
    if rooms:
        margin, need = min(rooms, key=lambda one: one[0])
        sentence = f"{sentence} {words.least_room(margin, need.ref, reader)}"
    count = sum(len(need.causes) for need in needs.answer.needs)
    return Reasons(
        sentence,
        tuple(told for _, told in every if told.standing == "required"),
        tuple(told for _, told in every if told.standing != "required"),
        words.rules_words(count, reader),
    )


def _reason(need: Need, plan: PlanAnswer | None, reader: Reader) -> Reason:
    status = labels.status_words(reader)
    standing: Standing = "dropped" if need.dropped else "required" if need.how == "required" else "look"
    fits, said = _fits(need, plan, reader)
    decision = need.overruled
    return Reason(
        reader.write(need.ref),
        need.title,
        standing,
        status[standing],
        why := tuple(reader.reasons(need.because)),
        words.and_more(len(why) - 1, reader) if len(why) > 1 else "",
        fits,
        said,
        words.dropped_by(signed(decision, reader), reader) if decision is not None and need.dropped else "",
        reader.text(decision.because) if decision is not None and need.dropped else "",
    )


def _fits(need: Need, plan: PlanAnswer | None, reader: Reader) -> tuple[Literal["yes", "no", "unsure", ""], str]:
    status = labels.status_words(reader)
    if need.dropped:
        return "", ""
    if not need.chain:
        return "unsure", status["no_card"]
    if plan is None:
        return "", ""
    if any(u.draft.name.removesuffix(" (drive)") in need.chain for u in plan.ordered.undone):
        return "no", status["not"]
    room = _room(need, plan)
    return "yes", status["no_place"] if room is None else f"{status['fits']}, {words.spare_words(room, reader)}"


def _room(need: Need, plan: PlanAnswer | None) -> float | None:
    """The room to spare where a calibration is done; None where it needs none, or is not done."""
    if plan is None:
        return None
    operations = plan.ordered.problem.operations
    rooms = [
        answer.margin_m
        for (number, _), answer in plan.stances.items()
        if operations[number].name in need.chain and answer.margin_m is not None
    ]
    return min(rooms, default=None)


def done_of(job: Job, reader: Reader) -> tuple[Done, ...]:
    """What was done to the car, in words."""
    return tuple(
        Done(n, *words.event_words(one, reader), reader.term(one.event), one.where or "", one.part or "")
        for n, one in enumerate(job.events)
    )


def columns_of(plan: PlanAnswer, reader: Reader) -> tuple[Column, ...]:
    """The plan first, then its alternatives."""
    own = Column(words.as_planned(reader), "", _cells(plan, plan.ordered, "", reader))
    others = (
        Column(
            _upper(alternative_name(a.change, reader)),
            alternative_id(a),
            _cells(plan, a.ordered, _upper(reader.reason(a.change)), reader),
        )
        for a in plan.alternatives
    )
    return (own, *others)


def _cells(plan: PlanAnswer, ordered: Ordered, note: str, reader: Reader) -> tuple[str, ...]:
    """A cell for each row of `words.what_if_rows`, in its order."""
    left, best = left_out_words(ordered, reader), ordered.plan
    if best is None:
        return words.no_order(reader), "", "", "", left, note
    takes = span_words(best.elapsed_s[0], best.elapsed_s[2], reader)
    return takes, ready_span(plan, ordered, reader), str(best.moves), str(best.shunts), left, note


def _upper(said: str) -> str:
    return said[:1].upper() + said[1:]

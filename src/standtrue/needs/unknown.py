"""Events that no rule knows: neither an error nor nothing, but a question; and sensors that only the order names."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from attrs import evolve

from standtrue.model.job import Decision, Event, Job
from standtrue.model.reason import Reason, Term, because
from standtrue.model.rules import EVENTS, Rules, Where
from standtrue.model.sensor_kinds import PLACES
from standtrue.needs.answer import Cause, OpenQuestion, sensor_ref
from standtrue.needs.fire import Firing, causes_for, event_said, event_side
from standtrue.needs.fitted import Fitted, Slot
from standtrue.needs.words import kinds_named, nearest_events, same

LOOK = because("no-rule-knows-event")
NAMED = because("order-names-sensor")


def unknown_events(job: Job, fired: Mapping[int, Sequence[Firing]], rules: Sequence[Rules]) -> tuple[OpenQuestion, ...]:
    """The events of a job that fire no rule, each with the decision on it, if a person took one; no sensors yet.

    `spoken`: the rules know such an event, but not at this place, of this part or on this car.
    """
    events = dict.fromkeys(event for at, event in enumerate(job.events) if not fired[at])
    known = dict.fromkeys([*(rule.event for document in rules for rule in document.rules), *EVENTS])
    return tuple(
        OpenQuestion(
            event_said(event),
            event,
            tuple(Term(near) if near in EVENTS else near for near in nearest_events(event.event, known)),
            any(same(rule.event, event.event) for document in rules for rule in document.rules),
            decided=decision_on(event, job.decisions),
        )
        for event in events
    )


def decision_on(event: Event, decisions: Sequence[Decision]) -> Decision | None:
    """The last decision that names the event and has a reason and a name."""
    mine = [d for d in decisions if d.event and same(d.event, event.event) and d.because and d.by.strip()]
    return mine[-1] if mine else None


def asked_causes(slot: Slot, unknown: Sequence[OpenQuestion], fired: Sequence[Firing]) -> tuple[Cause, ...]:
    """Why a person must look at a sensor that no rule calls for: an unknown event near it, or the order's own word."""
    near = [_cause(question) for question in unknown if _asks_for(question, slot)]
    named = dict.fromkeys(f.event for f in fired if _named(f.event, slot))
    alone = [e for e in named if not causes_for(slot, [f for f in fired if f.event == e])]
    return (*near, *(Cause(event_said(event), NAMED, "conditional") for event in alone))


def with_sensors(unknown: Sequence[OpenQuestion], fitted: Fitted) -> tuple[OpenQuestion, ...]:
    """The questions with the sensors to look at."""
    return tuple(
        evolve(q, sensors=tuple(sensor_ref(s.sensor, s.side) for s in fitted.slots if _asks_for(q, s))) for q in unknown
    )


def _asks_for(question: OpenQuestion, slot: Slot) -> bool:
    """Whether a question is about a sensor: the order names it, or it may sit there. Where the rules know the event but
    not of the sensor that the order names, that one alone is asked about."""
    alone = question.spoken and kinds_named(question.of.part or "")
    return _named(question.of, slot) or (not alone and sits(slot, question.of.where))


def _named(event: Event, slot: Slot) -> bool:
    """Whether the order names a sensor as the part, and not the one on the other side."""
    return slot.sensor in kinds_named(event.part or "") and (
        slot.side is None or event_side(event) in (None, slot.side)
    )


def sits(slot: Slot, where: Where | None) -> bool:
    """Whether a sensor may sit there. What may sit anywhere in the car always may; one without a side on either."""
    if where == "left" or where == "right":
        return slot.side in (None, where)
    return where is None or where in PLACES.get(slot.sensor, (where,))


def unread_decisions(job: Job, unknown: Sequence[OpenQuestion]) -> Iterator[Reason]:
    """A warning for every decision on an event that does nothing: it is unsigned, or the rules know the event."""
    for decision in job.decisions:
        if not decision.event:
            continue
        if not (decision.because and decision.by.strip()):
            yield because("event-decision-unsigned", event=decision.event)
        elif not any(same(decision.event, question.of.event) for question in unknown):
            yield because("event-decision-without-question", event=decision.event)


def _cause(question: OpenQuestion) -> Cause:
    decision = question.decided
    if decision is None:
        return Cause(question.event, LOOK, "conditional")
    if decision.verdict == "keep":
        return Cause(question.event, because("decided", by=decision.by, because=decision.because), "required")
    said = because("decided-nothing", by=decision.by, because=decision.because)
    return Cause(question.event, said, "conditional", settled=decision)

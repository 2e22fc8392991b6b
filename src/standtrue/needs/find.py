"""Find the needs of a job: events and fitted sensors in, needs with every reason out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from attrs import evolve

from standtrue.model.job import Event, Job
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason, because
from standtrue.model.rules import EVENTS, How, Rules
from standtrue.model.vehicle import Vehicle
from standtrue.needs.answer import Cause, Link, Need, NeedsAnswer, NotFitted
from standtrue.needs.cards import Choice, choose_cards
from standtrue.needs.decide import Ruling, idle_decisions, judged, kept_slots, read_decisions
from standtrue.needs.fire import Firing, causes_for, event_said, firings
from standtrue.needs.fitted import Slot, fitted_sensors
from standtrue.needs.order import Arrangement, arrange
from standtrue.needs.tasks import first_named
from standtrue.needs.words import same


def find_needs(job: Job, vehicle: Vehicle, procedures: Sequence[Procedure], rules: Sequence[Rules]) -> NeedsAnswer:
    """What must be calibrated on a job, why, by which card, and after what.

    All rule documents count together. Every fitted sensor that an event touches is in the answer, whatever a person
    decided about it; anything that the documents leave open makes it conditional, or gives a warning.
    """
    fitted = fitted_sensors(job, vehicle)
    fired = {at: firings(event, rules, vehicle) for at, event in enumerate(job.events)}
    every = [firing for found in fired.values() for firing in found]
    rulings, unread = read_decisions(job, procedures, vehicle)
    causes = {slot: found for slot in fitted.slots if (found := causes_for(slot, every))}
    kept, odd = kept_slots(rulings, fitted)
    for slot, ruling in kept:
        causes.setdefault(slot, (ruling.cause,))
    wanted = frozenset(key for ruling in rulings if ruling.decision.verdict == "keep" for key in ruling.keys)
    choices = {slot: choose_cards(slot, procedures, vehicle, wanted) for slot in causes}
    needs, contradictions = _judge([_need(slot, causes[slot], choices[slot], every) for slot in causes], rulings)
    ordered, arranged = _in_order(job, needs)
    warnings = (
        *fitted.warnings,
        *_silent_events(job.events, fired, rules),
        *(said for choice in choices.values() for said in choice.warnings),
        *(*unread, *odd, *contradictions, *idle_decisions(rulings, needs), *arranged.warnings),
    )
    return NeedsAnswer(
        job=job.name,
        vehicle=vehicle.name,
        needs=ordered,
        not_fitted=tuple(
            NotFitted(slot.sensor, slot.side, tuple(cause.reason for cause in causes_for(slot, every)))
            for slot in fitted.absent
        ),
        warnings=tuple(dict.fromkeys(warnings)),
        rules=tuple(document.name for document in rules),
        demonstration=_demonstration(job, rules, needs, procedures),
        open_points=arranged.open_points,
    )


def _need(slot: Slot, causes: Sequence[Cause], choice: Choice, fired: Sequence[Firing]) -> Need:
    first = _rule_before(slot, fired)
    links = [Link(card.name, card.key, card.method, card.after) for card in choice.chain] or [Link()]
    links[0] = evolve(links[0], after=tuple(dict.fromkeys((*first, *links[0].after))), rules=first)
    required = slot.option is None and any(cause.how == "required" for cause in causes)
    how: How = "required" if required else "conditional"
    return Need(
        sensor=slot.sensor,
        side=slot.side,
        how=how,
        causes=tuple(causes),
        links=tuple(links),
        alternatives=tuple(card.key for card in choice.alternatives),
        before=tuple(dict.fromkeys(first_named(name) for name in (*first, *choice.after))),
        option=slot.option,
    )


def _rule_before(slot: Slot, fired: Sequence[Firing]) -> tuple[str, ...]:
    """What the rules that touch a sensor put before it."""
    return tuple(dict.fromkeys(name for firing in fired if causes_for(slot, (firing,)) for name in firing.rule.before))


def _judge(needs: Sequence[Need], rulings: Sequence[Ruling]) -> tuple[list[Need], list[Reason]]:
    judged_needs: list[Need] = []
    warnings: list[Reason] = []
    for need in needs:
        decision, odd = judged(need, rulings)
        judged_needs.append(evolve(need, overruled=decision))
        warnings += odd
    return judged_needs, warnings


def _in_order(job: Job, needs: Sequence[Need]) -> tuple[tuple[Need, ...], Arrangement]:
    """The needs with their place and what the order of work puts before them, dropped ones last."""
    arranged = arrange(job, needs)
    placed = [
        evolve(
            need,
            order=arranged.first_place(need),
            before=tuple(dict.fromkeys((*need.before, *arranged.facts_before(need)))),
        )
        for need in needs
    ]
    placed.sort(key=lambda need: (need.order == 0, need.order, Slot(need.sensor, need.side).sort_key))
    return tuple(placed), arranged


def _silent_events(
    events: Sequence[Event], fired: Mapping[int, Sequence[Firing]], rules: Sequence[Rules]
) -> list[Reason]:
    warnings: list[Reason] = []
    for at, event in enumerate(events):
        if fired[at]:
            continue
        said = event_said(event)
        if any(same(rule.event, event.event) for document in rules for rule in document.rules):
            warnings.append(because("no-rule-fits", event=said))
        elif any(same(known, event.event) for known in EVENTS):
            warnings.append(because("rules-silent", event=said))
        else:
            warnings.append(because("event-unknown", event=said))
    return warnings


def _demonstration(job: Job, rules: Sequence[Rules], needs: Sequence[Need], procedures: Sequence[Procedure]) -> bool:
    used = {key for need in needs for key in need.chain}
    return (
        job.demonstration
        or any(document.demonstration for document in rules)
        or any(card.demonstration for card in procedures if card.key in used)
    )

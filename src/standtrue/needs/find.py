"""Find the needs of a job: events and fitted sensors in, needs with every reason out."""

from __future__ import annotations

from collections.abc import Sequence

from attrs import evolve

from standtrue.model.job import Job
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason
from standtrue.model.rules import How, Rules
from standtrue.model.vehicle import Vehicle
from standtrue.needs.answer import Cause, First, Link, Need, NeedsAnswer, NotFitted
from standtrue.needs.cards import Choice, choose_cards
from standtrue.needs.decide import Ruling, idle_decisions, judged, kept_slots, read_decisions
from standtrue.needs.fire import Firing, causes_for, firings
from standtrue.needs.fitted import Slot, fitted_sensors
from standtrue.needs.order import Arrangement, arrange
from standtrue.needs.tasks import first_named
from standtrue.needs.unknown import asked_causes, unknown_events, unread_decisions, with_sensors


def find_needs(job: Job, vehicle: Vehicle, procedures: Sequence[Procedure], rules: Sequence[Rules]) -> NeedsAnswer:
    """What must be calibrated on a job, why, by which card, and after what.

    All rule documents count together. Every fitted sensor that an event touches is in the answer, whatever a person
    decided about it; anything that the documents leave open makes it conditional, or gives a warning. An event that
    fires no rule touches every sensor where it was, until a person decides otherwise.
    """
    fitted = fitted_sensors(job, vehicle)
    fired = {at: firings(event, rules, vehicle) for at, event in enumerate(job.events)}
    every = [firing for found in fired.values() for firing in found]
    unknown = unknown_events(job, fired, rules)

    def causes_of(slot: Slot) -> tuple[Cause, ...]:
        return (*causes_for(slot, every), *asked_causes(slot, unknown, every))

    rulings, unread = read_decisions(job, procedures, vehicle)
    causes = {slot: found for slot in fitted.slots if (found := causes_of(slot))}
    kept, odd = kept_slots(rulings, fitted)
    for slot, ruling in kept:
        causes.setdefault(slot, (ruling.cause,))
    wanted = frozenset(key for ruling in rulings if ruling.decision.verdict == "keep" for key in ruling.keys)
    choices = {slot: choose_cards(slot, procedures, vehicle, wanted) for slot in causes}
    needs, contradictions = _judge([_need(slot, causes[slot], choices[slot], every) for slot in causes], rulings)
    ordered, arranged = _in_order(job, needs)
    warnings = (
        *fitted.warnings,
        *(said for choice in choices.values() for said in choice.warnings),
        *(*unread, *unread_decisions(job, unknown), *odd, *contradictions, *idle_decisions(rulings, needs)),
        *arranged.warnings,
    )
    return NeedsAnswer(
        job=job.name,
        vehicle=vehicle.name,
        needs=ordered,
        not_fitted=tuple(NotFitted(s.sensor, s.side, tuple(c.reason for c in causes_of(s))) for s in fitted.absent),
        warnings=tuple(dict.fromkeys(warnings)),
        rules=tuple(document.name for document in rules),
        demonstration=_demonstration(job, rules, needs, procedures),
        unknown=with_sensors(unknown, fitted),
        open_points=arranged.open_points,
    )


def only_required(answer: NeedsAnswer, job: Job) -> NeedsAnswer:
    """The same answer if nothing conditional had to be done: what is required, what a person keeps, what was dropped.

    Open questions stay: nobody knows yet what they call for.
    """
    kept = [need for need in answer.needs if need.how == "required" or need.overruled is not None]
    ordered, _ = _in_order(job, [evolve(need, before=_named_first(need.links)) for need in kept])
    return evolve(answer, needs=ordered)


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
        before=_named_first(links),
        alternatives=tuple(card.key for card in choice.alternatives),
        option=slot.option,
    )


def _named_first(links: Sequence[Link]) -> tuple[First, ...]:
    """What the rules and the cards of a chain name as coming first, once each."""
    return tuple(dict.fromkeys(first_named(name) for link in links for name in link.after))


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


def _demonstration(job: Job, rules: Sequence[Rules], needs: Sequence[Need], procedures: Sequence[Procedure]) -> bool:
    used = {key for need in needs for key in need.chain}
    return (
        job.demonstration
        or any(document.demonstration for document in rules)
        or any(card.demonstration for card in procedures if card.key in used)
    )

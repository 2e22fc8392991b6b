"""A person's decisions: which needs they keep or drop, and which needs they add."""

from __future__ import annotations

from collections.abc import Sequence

from attrs import frozen

from standtrue.model.basics import Side
from standtrue.model.job import Decision, Job
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason, Term, Value, because
from standtrue.model.vehicle import Vehicle
from standtrue.needs.answer import Cause, Need, sensor_ref
from standtrue.needs.cards import is_called, serves
from standtrue.needs.fitted import Fitted, Slot
from standtrue.needs.words import sensor_called, side_named, vehicle_rank


@frozen
class Ruling:
    """A decision and what it names: cards that serve this car, or a sensor kind, with its side if it says one."""

    decision: Decision
    cards: tuple[Procedure, ...] = ()
    sensor: str | None = None
    side: Side | None = None

    @property
    def keys(self) -> frozenset[str]:
        return frozenset(card.key for card in self.cards)

    @property
    def cause(self) -> Cause:
        """The person's reason, as the cause of a need that no rule calls for."""
        return Cause(because("decision-of", by=self.decision.by), self.decision.because, "required")

    def names_slot(self, slot: Slot) -> bool:
        """Whether the decision names this sensor, by its words or by a card that serves it."""
        by_words = self.sensor == slot.sensor and (self.side is None or slot.side in (None, self.side))
        return by_words or any(serves(card, slot) for card in self.cards)

    def concerns(self, need: Need) -> bool:
        """Whether the decision falls on a need as it stands: on its sensor, or on a card of its chain."""
        by_words = self.sensor == need.sensor and (self.side is None or need.side in (None, self.side))
        return by_words or bool(self.keys & set(need.chain))


def read_decisions(
    job: Job, procedures: Sequence[Procedure], vehicle: Vehicle
) -> tuple[tuple[Ruling, ...], tuple[Reason, ...]]:
    """What each decision on a card or a sensor names; a warning for one without a reason or a name, or that names
    nothing known."""
    cards = [card for card in procedures if vehicle_rank(card.vehicles, vehicle) is not None]
    rulings: list[Ruling] = []
    warnings: list[Reason] = []
    for decision in job.decisions:
        if decision.event:
            continue
        if not (decision.because and decision.by.strip()):
            warnings.append(because("decision-unsigned", **_named(decision)))
            continue
        named = tuple(card for card in cards if is_called(card, decision.procedure))
        kind = sensor_called(decision.procedure)
        if not named and kind is None:
            warnings.append(because("decision-names-nothing", **_named(decision)))
            continue
        sensor = None if named else kind
        rulings.append(Ruling(decision, named, sensor, side_named(decision.procedure) if sensor else None))
    return tuple(rulings), tuple(warnings)


def kept_slots(rulings: Sequence[Ruling], fitted: Fitted) -> tuple[tuple[tuple[Slot, Ruling], ...], tuple[Reason, ...]]:
    """The sensors that a `keep` names, rule or no rule, each with that decision; and what is odd about them.

    A sensor that the car's document does not list, or that the job calls not fitted, is kept with a warning.
    """
    kept: list[tuple[Slot, Ruling]] = []
    warnings: list[Reason] = []
    for ruling in rulings:
        if ruling.decision.verdict != "keep":
            continue
        slots = [slot for slot in fitted.slots if ruling.names_slot(slot)]
        if not slots:
            slots = [slot for slot in fitted.absent if ruling.names_slot(slot)] or _unlisted(ruling)
            asked = tuple(sensor_ref(slot.sensor, slot.side) for slot in slots)
            warnings.append(because("decision-keeps-unknown", **_named(ruling.decision), sensors=asked))
        kept += [(slot, ruling) for slot in slots]
    return tuple(kept), tuple(warnings)


def judged(need: Need, rulings: Sequence[Ruling]) -> tuple[Decision | None, tuple[Reason, ...]]:
    """The decision that stands for a need, the last of several; a warning where they contradict each other.

    A need that only events call for on which a person decided that they call for nothing is dropped by that decision.
    """
    mine = [ruling.decision for ruling in rulings if ruling.concerns(need)]
    if len({decision.verdict for decision in mine}) > 1:
        last = mine[-1]
        return last, (because("decisions-contradict", sensor=need.ref, by=last.by),)
    settled = [cause.settled for cause in need.causes]
    return (mine[-1] if mine else settled[-1] if all(settled) else None), ()


def idle_decisions(rulings: Sequence[Ruling], needs: Sequence[Need]) -> tuple[Reason, ...]:
    """A warning for every decision that falls on no need."""
    warnings = []
    for ruling in rulings:
        if any(ruling.concerns(need) for need in needs):
            continue
        if any(ruling.keys & set(need.alternatives) for need in needs):
            warnings.append(because("decision-on-other-card", **_named(ruling.decision)))
        else:
            warnings.append(because("decision-without-need", **_named(ruling.decision)))
    return tuple(warnings)


def _unlisted(ruling: Ruling) -> list[Slot]:
    if ruling.sensor is not None:
        return [Slot(ruling.sensor, ruling.side)]
    return list(dict.fromkeys(Slot(card.sensor, card.side) for card in ruling.cards))


def _named(decision: Decision) -> dict[str, Value]:
    """What a reason says of which decision it speaks of."""
    return {"verdict": Term(decision.verdict), "procedure": decision.procedure}

"""A person's decisions: which needs they keep or drop, and which needs they add."""

from __future__ import annotations

from collections.abc import Sequence

from attrs import frozen

from standtrue.model.basics import Side
from standtrue.model.job import Decision, Job
from standtrue.model.procedure import Procedure
from standtrue.model.vehicle import Vehicle
from standtrue.needs.answer import Need, Reason, sensor_title
from standtrue.needs.cards import is_called, serves
from standtrue.needs.fitted import Fitted, Slot
from standtrue.needs.words import kinds_named, side_named, vehicle_rank, without_sides, words


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
    def reason(self) -> Reason:
        """The person's reason, as the reason of a need that no rule calls for."""
        decision = self.decision
        return Reason(f"decision of {decision.by}", decision.because, "required")

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
) -> tuple[tuple[Ruling, ...], tuple[str, ...]]:
    """What each decision names; a warning for one without a reason or a name, or that names nothing known."""
    cards = [card for card in procedures if vehicle_rank(card.vehicles, vehicle) is not None]
    rulings: list[Ruling] = []
    warnings: list[str] = []
    for decision in job.decisions:
        if not (decision.because.strip() and decision.by.strip()):
            warnings.append(f"{_title(decision)} gives no reason or no name: it does not count.")
            continue
        named = tuple(card for card in cards if is_called(card, decision.procedure))
        kinds = [kind for kind in kinds_named(decision.procedure) if words(kind) == without_sides(decision.procedure)]
        if not named and not kinds:
            warnings.append(f"{_title(decision)} matches no card for this car and no sensor: it does nothing.")
            continue
        sensor = kinds[0] if kinds and not named else None
        rulings.append(Ruling(decision, named, sensor, side_named(decision.procedure) if sensor else None))
    return tuple(rulings), tuple(warnings)


def kept_slots(rulings: Sequence[Ruling], fitted: Fitted) -> tuple[tuple[tuple[Slot, Ruling], ...], tuple[str, ...]]:
    """The sensors that a `keep` names, rule or no rule, each with that decision; and what is odd about them.

    A sensor that the car's document does not list, or that the job calls not fitted, is kept with a warning.
    """
    kept: list[tuple[Slot, Ruling]] = []
    warnings: list[str] = []
    for ruling in rulings:
        if ruling.decision.verdict != "keep":
            continue
        slots = [slot for slot in fitted.slots if ruling.names_slot(slot)]
        if not slots:
            slots = [slot for slot in fitted.absent if ruling.names_slot(slot)] or _unlisted(ruling)
            names = ", ".join(sensor_title(slot.sensor, slot.side) for slot in slots)
            warnings.append(
                f"{_title(ruling.decision)} asks for the {names}, which this car is not known to have: look at the car."
            )
        kept += [(slot, ruling) for slot in slots]
    return tuple(kept), tuple(warnings)


def judged(need: Need, rulings: Sequence[Ruling]) -> tuple[Decision | None, tuple[str, ...]]:
    """The decision that stands for a need, the last of several; a warning where they contradict each other."""
    mine = [ruling.decision for ruling in rulings if ruling.concerns(need)]
    if len({decision.verdict for decision in mine}) > 1:
        last = mine[-1]
        return last, (f"The decisions on the {need.title} contradict each other: the last, by {last.by}, stands.",)
    return (mine[-1] if mine else None), ()


def idle_decisions(rulings: Sequence[Ruling], needs: Sequence[Need]) -> tuple[str, ...]:
    """A warning for every decision that falls on no need."""
    warnings = []
    for ruling in rulings:
        if any(ruling.concerns(need) for need in needs):
            continue
        if any(ruling.keys & set(need.alternatives) for need in needs):
            warnings.append(f"{_title(ruling.decision)} names a card that was not chosen: the need stays as it is.")
        else:
            warnings.append(f"{_title(ruling.decision)} matches no need: it does nothing.")
    return tuple(warnings)


def _unlisted(ruling: Ruling) -> list[Slot]:
    if ruling.sensor is not None:
        return [Slot(ruling.sensor, ruling.side)]
    return list(dict.fromkeys(Slot(card.sensor, card.side) for card in ruling.cards))


def _title(decision: Decision) -> str:
    return f"The decision to {decision.verdict} {decision.procedure!r}"

"""Which rules an event fires, for certain or in doubt, and which fitted sensors each of them calls for."""

from __future__ import annotations

from collections.abc import Sequence

from attrs import evolve, frozen

from standtrue.model.basics import Side
from standtrue.model.job import Event
from standtrue.model.rules import Calibrate, Rule, Rules
from standtrue.model.vehicle import Vehicle
from standtrue.needs.answer import Reason
from standtrue.needs.fitted import Slot
from standtrue.needs.words import Fit, kinds_named, part_fit, same, side_named, vehicle_rank

UNSAID_WHERE = "The order does not say where: look whether it was near this sensor."
UNSAID_PART = "The order does not say which part: look whether it concerns this sensor."
VAGUE_PART = "The order does not name the part exactly: look whether it concerns this sensor."
UNKNOWN_PART = "No rule knows this part: look whether it concerns this sensor."

_PART_DOUBTS: dict[Fit, tuple[str, ...]] = {
    "sure": (),
    "unsaid": (UNSAID_PART,),
    "vague": (VAGUE_PART,),
    "no": (UNKNOWN_PART,),
}


@frozen
class Firing:
    """A rule that an event fires; any doubt makes what it calls for conditional."""

    event: Event
    rule: Rule
    doubts: tuple[str, ...]
    rules: str


def event_side(event: Event) -> Side | None:
    """The side of the car that an event concerns: its `where`, or the side that its `part` names."""
    if event.where == "left" or event.where == "right":
        return event.where
    return side_named(event.part or "")


def event_label(event: Event) -> str:
    """An event in plain words, with what the order says of where and which part."""
    said = [text for text in (event.where, event.part) if text]
    return f"{event.event} ({', '.join(said)})" if said else event.event


def firings(event: Event, rules: Sequence[Rules], vehicle: Vehicle) -> tuple[Firing, ...]:
    """The rules that an event fires on a car, in the order of the rule documents.

    A rule with a `where` or a `part` fires on events that say the same, and in doubt on events that say nothing. Where
    the order's part would leave the event without any rule and names no sensor, rules for other parts fire in doubt.
    """
    spoken = [
        (document.name, rule)
        for document in rules
        for rule in document.rules
        if same(rule.event, event.event) and vehicle_rank(rule.vehicles, vehicle) is not None
    ]
    fits = [(name, rule, where_fit(rule, event), part_fit(rule.part, event.part)) for name, rule in spoken]
    placed = [fit for fit in fits if fit[2] != "no"]
    fired = [fit for fit in placed if fit[3] != "no"]
    if not fired and not kinds_named(event.part or ""):
        fired = placed
    return tuple(
        Firing(event, rule, ((UNSAID_WHERE,) if where == "unsaid" else ()) + _PART_DOUBTS[part], name)
        for name, rule, where, part in fired
    )


def where_fit(rule: Rule, event: Event) -> Fit:
    """How well an event's place meets a rule's `where`. A side named by the part counts as said."""
    side = event_side(event)
    if rule.where is None or rule.where in (event.where, side):
        return "sure"
    if event.where is None and (side is None or rule.where not in ("left", "right")):
        return "unsaid"
    return "no"


def reasons_for(slot: Slot, fired: Sequence[Firing]) -> tuple[Reason, ...]:
    """Why a sensor must be calibrated, each rule once for each event that fired it; empty if nothing touches it."""
    reasons = [
        reason
        for firing in fired
        for calibrate in firing.rule.calibrate
        if (reason := _reason(slot, firing, calibrate)) is not None
    ]
    strongest: dict[str, Reason] = {}
    for reason in reasons:
        known = strongest.setdefault(reason.text, reason)
        if reason.how == "required" and known.how == "conditional":
            strongest[reason.text] = evolve(known, how="required")
    return tuple(strongest.values())


def _reason(slot: Slot, firing: Firing, calibrate: Calibrate) -> Reason | None:
    if not same(calibrate.sensor, slot.sensor):
        return None
    if calibrate.side is not None and slot.side is not None and calibrate.side != slot.side:
        return None
    doubts = firing.doubts + _side_doubt(slot, firing, calibrate)
    return Reason(
        event=event_label(firing.event),
        because=firing.rule.because,
        how="conditional" if doubts else firing.rule.how,
        doubts=doubts,
        source=firing.rule.source,
        rules=firing.rules,
    )


def _side_doubt(slot: Slot, firing: Firing, calibrate: Calibrate) -> tuple[str, ...]:
    """The other side of the car is in doubt, unless the rule itself says which side an event on this side concerns."""
    side = event_side(firing.event)
    if side is None or slot.side is None or slot.side == side:
        return ()
    if firing.rule.where in ("left", "right") and calibrate.side is not None:
        return ()
    return (f"The order says {side}: look whether the {slot.side} side was touched too.",)

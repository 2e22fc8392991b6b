"""Which rules an event fires, for certain or in doubt, and which fitted sensors each of them calls for."""

from __future__ import annotations

from collections.abc import Sequence

from attrs import evolve, frozen

from standtrue.model.basics import Side
from standtrue.model.job import Event
from standtrue.model.reason import Reason, Term, Value, because
from standtrue.model.rules import EVENTS, Calibrate, Rule, Rules
from standtrue.model.vehicle import Vehicle
from standtrue.needs.answer import Cause
from standtrue.needs.fitted import Slot
from standtrue.needs.words import Fit, kinds_named, part_fit, same, side_named, vehicle_rank

UNSAID_WHERE = because("where-not-said")

_PART_DOUBTS: dict[Fit, tuple[Reason, ...]] = {
    "sure": (),
    "unsaid": (because("part-not-said"),),
    "vague": (because("part-vague"),),
    "no": (because("part-unknown"),),
}


@frozen
class Firing:
    """A rule that an event fires; any doubt makes what it calls for conditional."""

    event: Event
    rule: Rule
    doubts: tuple[Reason, ...]
    rules: str


def event_side(event: Event) -> Side | None:
    """The side of the car that an event concerns: its `where`, or the side that its `part` names."""
    if event.where == "left" or event.where == "right":
        return event.where
    return side_named(event.part or "")


def event_said(event: Event) -> Reason:
    """An event as a value, with what the order says of where and which part."""
    said: dict[str, Value] = {"event": Term(event.event) if event.event in EVENTS else event.event}
    if event.where:
        said["where"] = Term(event.where)
    if event.part:
        said["part"] = event.part
    return because("event", **said)


def firings(event: Event, rules: Sequence[Rules], vehicle: Vehicle) -> tuple[Firing, ...]:
    """The rules that an event fires on a car, in the order of the rule documents.

    A rule with a `where` or a `part` fires on events that say the same, and in doubt on events that say nothing. Where
    no rule with a part knows the order's part, rules for other parts fire in doubt, but none that is for one sensor
    where the order names another.
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
    part_known = any(rule.part is not None for _, rule, _, _ in fired)
    if not part_known:
        named = kinds_named(event.part or "")
        fired = [fit for fit in placed if fit[3] != "no" or not (named and kinds_named(fit[1].part or ""))]
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


def causes_for(slot: Slot, fired: Sequence[Firing]) -> tuple[Cause, ...]:
    """Why a sensor must be calibrated, each rule once for each event that fired it; empty if nothing touches it."""
    causes = [
        cause
        for firing in fired
        for calibrate in firing.rule.calibrate
        if (cause := _cause(slot, firing, calibrate)) is not None
    ]
    strongest: dict[Reason, Cause] = {}
    for cause in causes:
        known = strongest.setdefault(cause.reason, cause)
        if cause.how == "required" and known.how == "conditional":
            strongest[cause.reason] = evolve(known, how="required")
    return tuple(strongest.values())


def _cause(slot: Slot, firing: Firing, calibrate: Calibrate) -> Cause | None:
    if not same(calibrate.sensor, slot.sensor):
        return None
    if calibrate.side is not None and slot.side is not None and calibrate.side != slot.side:
        return None
    doubts = firing.doubts + _side_doubt(slot, firing, calibrate)
    return Cause(
        event=event_said(firing.event),
        because=firing.rule.because,
        how="conditional" if doubts else firing.rule.how,
        doubts=doubts,
        source=firing.rule.source,
        rules=firing.rules,
    )


def _side_doubt(slot: Slot, firing: Firing, calibrate: Calibrate) -> tuple[Reason, ...]:
    """The other side of the car is in doubt, unless the rule itself says which side an event on this side concerns."""
    side = event_side(firing.event)
    if side is None or slot.side is None or slot.side == side:
        return ()
    if firing.rule.where in ("left", "right") and calibrate.side is not None:
        return ()
    return (because("other-side-said", said=Term(side), other=Term(slot.side)),)

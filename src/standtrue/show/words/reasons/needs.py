"""Why a sensor must be calibrated, what a step of the order of work is, and what was odd about an order."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from standtrue.model.reason import Reason
    from standtrue.show.words.reader import Reader
    from standtrue.show.words.reasons import Sentences


MANY = 4
"""More sensors than this are counted, not named."""


def _called_for(reason: Reason, reader: Reader) -> str:
    """The rule's sentence, headed by the event that fired it; then each doubt, a sentence of its own."""
    doubts = reason["doubts"]
    assert isinstance(doubts, tuple)
    said = reader.say(N_("{event}: {because}"), event=reason["event"], because=reason["because"])
    return " ".join((said, *(reader.write(doubt) for doubt in doubts)))


def _event(reason: Reason, reader: Reader) -> str:
    values = dict(reason.values)
    said = [reader.write(values[name]) for name in ("where", "part") if name in values]
    if not said:
        return reader.write(values["event"])
    return reader.say(N_("{event} ({said})"), event=values["event"], said=", ".join(said))


def _one_value(reason: Reason, reader: Reader) -> str:
    """A step that is its own name, or a word of the trade."""
    ((_, value),) = reason.values
    return reader.write(value)


def _unknown(reason: Reason, reader: Reader) -> str:
    """What no rule knows, what is near it, which sensors to look at, and how it is settled."""
    return " ".join((_unknown_event(reason, reader), *_to_look_at(reason, reader)))


def _unknown_event(reason: Reason, reader: Reader) -> str:
    event, nearest = reason["event"], reason["nearest"]
    if reason.code == "event-outside-rules":
        return reader.say(
            N_("The rules know '{event}', but not at this place, of this part or on this car."), event=event
        )
    if not nearest:
        return reader.say(N_("No rule knows '{event}'."), event=event)
    return reader.say(N_("No rule knows '{event}'; the nearest they know: {nearest:or}."), event=event, nearest=nearest)


def _to_look_at(reason: Reason, reader: Reader) -> Iterator[str]:
    sensors = reason["sensors"]
    assert isinstance(sensors, tuple)
    if len(sensors) > MANY:
        yield reader.say(N_("Look first at all {n} sensors that it may have touched."), n=len(sensors))
    elif sensors:
        yield reader.say(N_("Look first at: {sensors}."), sensors=sensors)
    else:
        yield reader.say(N_("This car lists no sensor that it may have touched: look at the car."))
    yield reader.say(N_("Then write a decision that names the event, with reason and name."))


SENTENCES: Sentences = {
    "called-for": _called_for,
    "event": _event,
    "decision-of": N_("decision of {by}"),
    "look-whether-fitted": N_("look whether it is fitted ({option})"),
    "no-card": N_("no card: get the maker's procedure"),
    "where-not-said": N_("The order does not say where: look whether it was near this sensor."),
    "part-not-said": N_("The order does not say which part: look whether it concerns this sensor."),
    "part-vague": N_("The order does not name the part exactly: look whether it concerns this sensor."),
    "part-unknown": N_("No rule knows this part: look whether it concerns this sensor."),
    "other-side-said": N_("The order says {said}: look whether the {other} side was touched too."),
    "card-for-one-side": N_("Only {has:the} has a card: get the maker's procedure for {lacks:the}, too."),
    "cards-in-a-circle": N_(
        "The cards {cards} name each other under `after` in a circle: they are taken as alternatives."
    ),
    "decision-unsigned": N_("The decision to {verdict} '{procedure}' gives no reason or no name: it does not count."),
    "decision-names-nothing": N_(
        "The decision to {verdict} '{procedure}' matches no card for this car and no sensor: it does nothing."
    ),
    "decision-keeps-unknown": N_(
        "The decision to {verdict} '{procedure}' asks for the {sensors}, which this car is not known to have: "
        "look at the car."
    ),
    "decision-on-other-card": N_(
        "The decision to {verdict} '{procedure}' names a card that was not chosen: the need stays as it is."
    ),
    "decision-without-need": N_("The decision to {verdict} '{procedure}' matches no need: it does nothing."),
    "decisions-contradict": N_("The decisions on {sensor:the} contradict each other: the last, by {by}, stands."),
    "not-fitted-but-listed": N_(
        "The job says that {sensor:the} is not fitted, but the vehicle document lists it without an option: look "
        "again, and correct the one that is wrong."
    ),
    "fitted-and-not-fitted": N_("The job lists {sensor:the} both as fitted and as not fitted: it counts as fitted."),
    "no-sensors-listed": N_("The vehicle document lists no sensors: look at the car, and write down what is fitted."),
    "not-fitted-on-one-side": N_(
        "The job says that {sensor:the} is not fitted, but the vehicle document lists that sensor without sides: it "
        "stays in the list."
    ),
    "work-in-a-circle": N_(
        "These name each other as coming first, in a circle: {steps}. Their order is common practice."
    ),
    "event-unknown": _unknown,
    "event-outside-rules": _unknown,
    "no-rule-knows-event": N_("No rule knows this: look whether it touched this sensor."),
    "order-names-sensor": N_("The order names this sensor, though no rule calls for it here: look at it."),
    "decided": N_("{by} decided that it touches this sensor: {because}"),
    "decided-nothing": N_("{by} decided that it touches no sensor: {because}"),
    "event-decision-unsigned": N_("The decision on the event '{event}' gives no reason or no name: it does not count."),
    "event-decision-without-question": N_(
        "The decision on the event '{event}' does nothing: the order has no such event, or the rules know it. Name the "
        "card or the sensor instead."
    ),
    "default-rules-used": N_("The folder holds no rules: the default rules (common practice) were used."),
    "pre-scan": N_("Pre-scan: read every control unit first"),
    "post-scan": N_("Post-scan: read every control unit last"),
    "own-work": _one_value,
    "implied-work": N_("Confirm that it is done: {work}. The order lists no such work"),
    "confirm-fact": N_("Confirm: {fact}"),
    "stage-of-work": N_("{work}: {stage}"),
    "stages-guessed": N_("The stage of these is a guess from their words: {works}. Write `stage` to say it."),
    "work-after-calibration": N_(
        "{work} ({stage}) comes after the calibration of {sensors}, for the order says so. If it takes off, moves or "
        "unplugs something there, the calibration must be done again."
    ),
    "work-not-ordered": N_(
        "{events}: this calls for work that the order does not list: {work}. Neither its time nor its place is in the "
        "plan, and a step asks to confirm that it was done: put it on the order."
    ),
    "calibrate-by-card": N_("Calibrate {sensor:the} by the card {card}"),
    "calibrate-without-card": N_("Calibrate {sensor:the} by the maker's procedure: there is no card"),
    "look-then-calibrate-by-card": N_("Look whether {sensor:the} must be calibrated; if so, by the card {card}"),
    "look-then-calibrate-without-card": N_(
        "Look whether {sensor:the} must be calibrated; if so, by the maker's procedure: there is no card"
    ),
    "step-static-part": N_("{of} (static part)"),
    "step-drive-part": N_("{of} (drive)"),
}

"""The sentences of the order of work: what is assumed, what is left out and why, what each step and alternative is."""

from __future__ import annotations

from standtrue.model.reason import Reason
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader
from standtrue.show.words.reasons import Sentences

ALTERNATIVES: dict[str, str] = {
    "as-planned": N_("as planned first"),
    "only-in-bay": N_("only in {bay}"),
    "least-time": N_("least time"),
    "part-sent-out": N_("part sent out"),
    "on-skates": N_("on skates"),
    "doors-open": N_("doors open"),
    "only-required": N_("only what is required"),
    "all-hands": N_("all hands"),
    "one-more-person": N_("one more person"),
}
"""What each alternative is called, by the code of what is changed."""


def alternative_name(change: Reason, reader: Reader) -> str:
    """What the alternative is called in which this is changed."""
    return reader.say(ALTERNATIVES[change.code], **dict(change.values))


def _so_far(reason: Reason, reader: Reader) -> str:
    moves = reason["moves"]
    assert isinstance(moves, int)
    return reader.say_n(
        "a plan of {time} with {n} change of place",
        "a plan of {time} with {n} changes of place",
        moves,
        time=reader.span(reason["quick"], reason["slow"]),
    )


def _failed(reason: Reason, reader: Reader) -> str:
    change = reason["alternative"]
    assert isinstance(change, Reason)
    return reader.say(
        "the alternative {name} could not be worked out and is left out ({error})",
        name=alternative_name(change, reader),
        error=str(reason["error"]),
    )


def _pushing(reason: Reason, reader: Reader) -> str:
    slow, fast, people = reason["slow"], reason["fast"], reason["people"]
    if slow == fast:
        return reader.say(
            "a car that is pushed goes {slow}, with somebody at its wheel and brake: {people} people in all",
            slow=slow,
            people=people,
        )
    return reader.say(
        "a car that is pushed goes {slow} to {fast}, with somebody at its wheel and brake: {people} people in all",
        slow=slow,
        fast=fast,
        people=people,
    )


def _sent_out(reason: Reason, reader: Reader) -> str:
    """Who else does it: how long it takes there, how long the car is on the way, and what it costs."""

    def span(least: str, most: str) -> str:
        return reader.span(reason[least], reason[most])

    said = {"time": span("least", "most"), "price": span("price", "price_most"), "currency": str(reason["currency"])}
    if "fetch" not in dict(reason.values):
        return reader.say("done elsewhere, the car is driven there: {time}, {price} {currency}", **said)
    fetch = span("fetch", "fetch_most")
    return reader.say("done elsewhere: {time}, fetching {fetch}, {price} {currency}", fetch=fetch, **said)


SENTENCES: Sentences = {
    "looking-for-alternatives": N_("alternatives"),
    "plan-so-far": _so_far,
    # What is changed in an alternative.
    "as-planned": N_("one thing after another, in any bay of the shop as it is"),
    "only-in-bay": N_("the car stays in one bay between coming and leaving"),
    "least-time": N_("the least time at work; by the clock another is ready first"),
    "part-sent-out": N_("what cannot be done here goes to whom the site names"),
    "on-skates": N_("inside the car rolls any way on skates"),
    "doors-open": N_("doors that may stand open do, wherever that helps"),
    "only-required": N_("what somebody must look at first is left out"),
    "not-required": N_("it is conditional: look first whether it must be done"),
    "all-hands": N_("whoever the site lists works at once, where the work allows"),
    "one-more-person": N_("somebody who has every skill works beside whoever the site lists"),
    # What is assumed.
    "scan-time-assumed": N_("a scan is taken to last {least} to {most} (common practice): the job does not say"),
    "confirm-time-assumed": N_("confirming a fact is taken to last {least} to {most} (common practice)"),
    "post-scan-again": N_("what is left out is not scanned: make the post-scan again when it has been done"),
    "drive-time-unknown": N_("{card}: the card does not say how long its drive takes, so its time is not counted"),
    "lift-travel-assumed": N_("{lift}: {least} to {most} of travel assumed (common practice)"),
    "no-door-to-plan": N_("the site has no door: how the car comes in and leaves is not planned"),
    "pushing-counted": _pushing,
    "too-few-to-guide": N_("a guided move takes {needed} people, and the site lists {listed}"),
    "too-few-to-push": N_("pushing the car takes {needed} people, and the site lists {listed}"),
    "no-equipment-listed": N_("{site} lists no equipment: {equipment} is taken to be there"),
    "no-people-listed": N_("the site lists no people: whoever it takes is taken to be there"),
    # Where a search ended early.
    "order-not-proven": N_("not every order was looked at: the plan can be done, but is not proven to be the best"),
    "alternatives-stopped": N_("the search was stopped: not all alternatives were worked out"),
    "alternatives-out-of-time": N_("alternatives that took too long were left out"),
    "alternative-failed": _failed,
    # Why something is left out.
    "nobody-has-skill": N_("nobody in the shop has the skill {skill}"),
    "site-lacks-equipment": N_("the site does not list this equipment: {equipment}"),
    "too-few-people": N_("it takes {needed} people, and the site lists {listed}"),
    "car-not-drivable": N_("the car cannot be driven on the road"),
    "no-order-found": N_("no order was found in which it can be done"),
    "no-way-to-place": N_("no way was found to or from where it can be done"),
    "is-sent-out": N_("it is sent out, and not back yet"),
    "waits-for-a-part": N_("it did not finish, and waits for a part"),
    "nothing-to-scan-after": N_("nothing is done here that a scan could look at"),
    "sent-out": _sent_out,
    "follows-left-out": N_("it comes after what cannot be done here: {operations}"),
    # What a step is there for, what a part of a card is called, and what is in hand.
    "step-for": N_("for: {operation}"),
    "drive-part": N_("{card} (drive)"),
    "looking-for-places": N_("places in {where}"),
    "finding-moves": N_("moves"),
}

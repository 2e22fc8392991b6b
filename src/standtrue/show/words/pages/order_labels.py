"""The headings, columns and buttons of the page of an order."""

from __future__ import annotations

from collections.abc import Mapping

from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader

ORDER: Mapping[str, str] = {
    "decide": N_("What must be decided?"),
    "order": N_("In which order?"),
    "why": N_("What must be calibrated, and why?"),
    "done": N_("What was done to it?"),
    "if": N_("What if?"),
    "print": N_("Print the sheet"),
    "aside": N_("Put aside"),
    "aside_why": N_("Put aside, because"),
    "take_up": N_("Take it up again"),
    "left": N_("Its car left"),
    "left_note": N_("It goes off the floor and out of what waits. The order and its record stay."),
    "here_again": N_("It is here all the same"),
    "hand_other": N_("Hand to somebody else"),
    "hand_to": N_("Hand to"),
    "hand_it": N_("Hand it over"),
    "plan_again": N_("Plan again"),
    "plan_with": N_("Plan with this"),
    "plan_without": N_("Plan as it is"),
    "stop": N_("Stop"),
    "it_has": N_("It has"),
    "it_has_not": N_("It has not"),
    "calibrate": N_("Calibrate it"),
    "leave_out": N_("Leave it out"),
    "because": N_("Because"),
    "your_name": N_("Your name"),
    "kept_note": N_("Your name and the day are kept with it. It stays in this list, struck through."),
    "decide_it": N_("Decide it, with a reason"),
    "overrule": N_("Overrule one of these, with a reason"),
    "which": N_("Which"),
    "take_back": N_("Take back"),
    "all_reasons": N_("Why each is required, and where it fits"),
    "look_or_dropped": N_("To look at, and dropped"),
    "sensor": N_("sensor"),
    "reason": N_("because"),
    "fits": N_("fits, to spare"),
    "change": N_("Change"),
    "save": N_("Keep the change"),
    "remove": N_("It was not done"),
    "add": N_("What else was done?"),
    "add_note": N_("Type a word from the estimate: glass, mirror, spring, airbag."),
    "add_it": N_("Add it"),
    "event": N_("What was done"),
    "where": N_("Where"),
    "part": N_("Which part"),
    "note": N_("In your words"),
    "somewhere": N_("not said"),
    "take_this": N_("Take this"),
    "chosen": N_("Chosen"),
    "compare": N_("Work out the alternatives"),
    "alternatives": N_("Alternatives side by side"),
    "picture": N_("The floor, step by step"),
    "drawing": N_("The picture of each step is being drawn."),
    "read_card": N_("Read the card"),
    "any_of_these": N_("Any one of these makes it fit:"),
    "at_the_car": N_("Work at the car"),
    "unsent": N_("No network: what you typed is still here. It is sent once when it returns."),
}
"""Headings, columns and buttons."""

BEGIN: Mapping[str, str] = {
    "question": N_("Which car comes, and what was done to it?"),
    "answer": N_("A number and a car are enough to begin. All else can be added on its page."),
    "number": N_("Order number"),
    "vehicle": N_("Car"),
    "plate": N_("Plate"),
    "payer": N_("Who pays"),
    "arrives": N_("Comes"),
    "promised": N_("Promised for"),
    "begin": N_("Start the order"),
}
"""The form that starts an order."""

BLOCK: Mapping[str, str] = {
    "rests": N_("Rests on"),
    "state": N_("State"),
    "current": N_("current: nothing changed since"),
    "stale": N_("out of date"),
    "computing": N_("being worked out"),
}
"""The cells of the title block."""

WHAT_IF: Mapping[str, str] = {
    "takes": N_("takes"),
    "ready": N_("ready"),
    "moves": N_("moves"),
    "shunts": N_("changes of direction"),
    "undone": N_("not done here"),
    "note": N_("note"),
}
"""The rows of the alternatives."""

STATUS: Mapping[str, str] = {
    "required": N_("required"),
    "look": N_("look first"),
    "dropped": N_("dropped"),
    "fits": N_("Fits"),
    "not": N_("Does not fit"),
    "unknown": N_("Cannot tell"),
    "unverified": N_("Not verified"),
    "no_card": N_("no card"),
    "no_place": N_("needs no place"),
}
"""How each calibration stands."""


def _said(words: Mapping[str, str], reader: Reader) -> Mapping[str, str]:
    return {key: reader.say(said) for key, said in words.items()}


def order_labels(reader: Reader) -> Mapping[str, str]:
    """Headings, columns and buttons."""
    return _said(ORDER, reader)


def begin_labels(reader: Reader) -> Mapping[str, str]:
    """The form that starts an order."""
    return _said(BEGIN, reader)


def block_words(reader: Reader) -> Mapping[str, str]:
    """The cells of the title block."""
    return _said(BLOCK, reader)


def what_if_rows(reader: Reader) -> Mapping[str, str]:
    """The rows of the alternatives."""
    return _said(WHAT_IF, reader)


def status_words(reader: Reader) -> Mapping[str, str]:
    """How each calibration stands."""
    return _said(STATUS, reader)

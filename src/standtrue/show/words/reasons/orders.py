"""The sentences of what is refused at the desk, and of what a plan takes to be so."""

from __future__ import annotations

from standtrue.model.reason import Reason
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader
from standtrue.show.words.reasons import Sentences


def _with_change(reason: Reason, reader: Reader) -> str:
    said = _CHANGES.get(str(reason["action"]), _CHANGES["move"])
    return reader.say(said, thing=reason["thing"])


_CHANGES = {
    "move": N_("the plan takes {thing:the} to be moved first"),
    "shrink": N_("the plan takes {thing:the} to be made smaller first"),
    "remove": N_("the plan takes {thing:the} to be taken away first"),
    "cover": N_("the plan takes {thing:the} to be covered first"),
}

SENTENCES: Sentences = {
    "planned-with-change": _with_change,
    "no-such-way": N_("the order cannot be planned that way any more"),
    "look-at-order-again": N_("Open the order again: its documents may have changed."),
    "order-number-taken": N_("there is an order with the number {number}"),
    "order-without-number": N_("the order has no number"),
    "another-number": N_("Write a number that no other order has."),
    "order-gone": N_("{job:the} is not there any more"),
    "look-at-today": N_("Look at the page of today: somebody may have renamed it."),
}

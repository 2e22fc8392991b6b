"""What is wrong with what a question names: the sentences of `work.ask`, and of the words that ask for a move."""

from __future__ import annotations

from typing import TYPE_CHECKING

from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from standtrue.model.reason import Reason
    from standtrue.show.words.reader import Reader
    from standtrue.show.words.reasons import Sentences


def _say_which(reason: Reason, reader: Reader) -> str:
    values = dict(reason.values)
    if not values["count"]:
        return reader.say("there is none to choose from: {kind}", **values)
    return reader.say("there are {count} to choose from: say which {kind}", **values)


def _there_are(reason: Reason, reader: Reader) -> str:
    values = dict(reason.values)
    if values["near"] is not None:
        return reader.say("Did you mean {near}?", **values)
    return reader.say("There are: {words}.", **values) if values["words"] else reader.say("There is none.")


TERMS = (
    N_("site"),
    N_("bay"),
    N_("lift"),
    N_("vehicle"),
    N_("procedure"),
    N_("job"),
    N_("mix"),
    N_("study"),
    N_("survey"),
    N_("setup"),
    N_("set-up"),
    N_("door"),
    N_("alternative"),
    N_("equipment"),
    N_("variant"),
    N_("support class"),
)
"""What a question can name."""

SENTENCES: Sentences = {
    "say-which": _say_which,
    "add-option": N_("Add {option} with one of: {words:or}."),
    "none-of-that-name": N_("there is no {kind} named {name}"),
    "there-are": _there_are,
    "site-lacks-door": N_("{site} has no door named {door}"),
    "site-lacks-bay": N_("{site} has no bay named {place}"),
    "site-lacks-lift": N_("{site} has no lift named {place}"),
    "site-lacks-mark": N_("{site} has no mark named {mark}"),
    "no-place-there": N_("no place was found for {vehicle} alone at {place}"),
    "site-lacks-lift-state": N_("{site} has no lift with a state {state}"),
    "site-without-door": N_("{site} has no door"),
    "add-door": N_("add a door to the site"),
    "no-such-mode": N_("this is no way of moving a car"),
    "write-end-of-move": N_(
        "write x, y and heading, as in {example} (bare numbers: meters, degrees), with @LIFT/STATE where it is not the "
        "floor; or door:NAME, bay:NAME or lift:NAME"
    ),
}

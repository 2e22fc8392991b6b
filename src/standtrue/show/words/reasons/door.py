"""What is wrong with what a program asks: the sentences of the Python door, and of many rooms asked at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from standtrue.model.reason import Reason
    from standtrue.show.words.reader import Reader
    from standtrue.show.words.reasons import Sentences


def _no_such_word(reason: Reason, reader: Reader) -> str:
    values = dict(reason.values)
    if values["of"] is None:
        return reader.say("there is no {word} here", **values)
    return reader.say("{of} takes no {word}", **values)


TERMS = (
    N_("a shop"),
    N_("a name or the document itself"),
    N_("names or the documents themselves"),
    N_("a value of another kind"),
    N_("a plain value"),
    N_("rooms"),
    N_("cars"),
    N_("cards"),
    N_("a stance or the name of a door"),
)
"""What an argument can ask for."""

SENTENCES: Sentences = {
    "no-such-word": _no_such_word,
    "word-missing": N_("{of} needs {word}"),
    "too-many-values": N_("{of} takes at most {count} values without a name"),
    "give-by-name": N_("Give the others by name: {words}."),
    "not-yes-or-no": N_("an answer is neither yes nor no by itself"),
    "look-inside": N_("Look at what it says: `data`, `to_dict()` or `str(...)`."),
    "no-such-picture": N_("this answer has no such picture"),
    "give-plain-values": N_("Give numbers, texts, lists and tables."),
    "rooms-as-numbers": N_("Give a row of two for each room, its width and its length, or its corners, in meters."),
    "nothing-to-ask-of": N_("nothing stands there"),
    "name-one-at-least": N_("Name at least one."),
    "ask-cards-with-place": N_("Ask only cards for which the car has to stand somewhere."),
    "many-fits": N_("rooms"),
    "many-not-level": N_("{card}: how level the floor is was not looked at"),
    "many-left-out": N_("stopped early; not answered: {count}"),
}

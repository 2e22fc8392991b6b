"""What things are called: of the site, the car, a card and its zones."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from standtrue.model.reason import Ref
from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from standtrue.show.words.reader import Reader

NAMES: Mapping[str, str] = {
    "wall": N_("wall"),
    "wall beside a door": N_("wall beside the door"),
    "hole": N_("hole {number}"),
    "post": N_("{of} {name}"),
    "lift part": N_("{of} {name}"),
    "deck": N_("{of} deck {number}"),
    "deck edge": N_("edge of {of}'s decks"),
    "pit": N_("{of} pit"),
    "ramp": N_("{of} ramp"),
    "lintel": N_("{of} lintel"),
    "track": N_("{of} track"),
    "neighbor": N_("neighbor beyond edge {number} of {of}"),
    "ceiling": N_("ceiling"),
    "equipment stored": N_("{name}, stored"),
    "equipment in use": N_("{name}, in use"),
    "sensor left": N_("left {name}"),
    "sensor right": N_("right {name}"),
}
"""How a thing is called that has no name of its own, or not one that is enough; any other by its own name."""

TERMS: frozenset[str] = frozenset({"sensor"})
"""Kinds of things whose name is a word of the trade, and no name that a user gave."""

WITH_ARTICLE: Mapping[str, str] = {
    "wall": N_("the wall"),
    "sensor": N_("the {term}"),
    "": N_("the {name}"),
}
"""The same with the definite article; under "" for a name that is the user's own."""


def named(ref: Ref, reader: Reader, article: bool = False) -> str:
    """The thing's name for this reader."""
    key = f"{ref.kind} {ref.state}" if f"{ref.kind} {ref.state}" in NAMES else ref.kind
    pattern = NAMES.get(key)
    name = reader.term(ref.name) if ref.kind in TERMS else ref.name
    plain = name if pattern is None else reader.say(pattern, name=name, of=ref.of, number=ref.number)
    if not article:
        return plain
    pattern = WITH_ARTICLE["sensor"] if ref.kind in TERMS else WITH_ARTICLE.get(key, WITH_ARTICLE[""])
    return reader.say(pattern, name=plain, term=plain)

"""Other spellings and common synonyms, turned into the US trade words that the program uses.

The one table of them: documents are read by it, and what an order, a card or a rule says is compared by it.
"""

from __future__ import annotations

import re

PHRASES: dict[str, str] = {
    "wing mirror": "door mirror",
    "side mirror": "door mirror",
    "centre line": "centerline",
    "number plate": "plate",
    "boot lid": "trunk lid",
    "tow hitch": "tow bar",
    "trailer hitch": "tow bar",
    "towbar": "tow bar",
    "belt pretensioner": "belt tensioner",
}

WORDS: dict[str, str] = {
    "windscreen": "windshield",
    "tyre": "tire",
    "tyres": "tires",
    "tailgate": "liftgate",
    "bonnet": "hood",
    "headlight": "headlamp",
    "headlights": "headlamps",
    "wing": "fender",
    "wings": "fenders",
    "centre": "center",
    "centreline": "centerline",
    "colour": "color",
    "grey": "gray",
    "kerb": "curb",
    "grill": "grille",
    "badge": "emblem",
}

_PHRASE = re.compile(r"\b(" + "|".join(PHRASES) + r")(?=s?\b)")
_WORD = re.compile(r"[a-z]+")


def american(text: str) -> str:
    """The text in lower case with other spellings replaced, word by word."""
    low = _PHRASE.sub(lambda found: PHRASES[found[1]], " ".join(text.lower().split()))
    return _WORD.sub(lambda found: WORDS.get(found[0], found[0]), low)


def word_key(text: str) -> str:
    """What two spellings of one choice have in common: case, hyphens and underscores aside."""
    return american(text.replace("_", " ").replace("-", " "))

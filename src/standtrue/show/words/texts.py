"""Texts that documents give for people, in one language or in two."""

from __future__ import annotations

from typing import TYPE_CHECKING

from standtrue.model.reason import Text
from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from standtrue.show.words.reader import Reader

MARKS = {"en": N_("in English"), "es": N_("in Spanish")}
"""How a text is marked that is there in this language only."""


def text_of(text: Text, reader: Reader) -> str:
    """The text in the reader's language; where only the other is there, that one, marked."""
    own, other, other_language = (text.es, text.en, "en") if reader.language == "es" else (text.en, text.es, "es")
    if own or not other:
        return own
    return f"{other} ({reader.term(MARKS[other_language])})"

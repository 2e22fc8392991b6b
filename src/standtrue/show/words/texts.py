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
    """The text in the reader's language; where only another is there, that one, marked."""
    own = getattr(text, reader.language, "")
    other, said = next(((name, part) for name in MARKS if (part := getattr(text, name))), ("", ""))
    return own or (f"{said} ({reader.term(MARKS[other])})" if said else "")


def as_sentence(words: str) -> str:
    """Words that say the whole of something, as a sentence beside others."""
    return f"{words[:1].upper()}{words[1:]}{'' if words.endswith(('.', '?', '!')) else '.'}"

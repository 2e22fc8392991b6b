"""The sentence of every reason, by its code: one file for each engine or kind of reason.

A sentence's blanks are the reason's values. Where values decide the wording, the code has a function instead.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from standtrue.model.reason import Reason
    from standtrue.show.words.reader import Reader

Sentence = str | Callable[["Reason", "Reader"], str]
Sentences = Mapping[str, Sentence]

FILES: tuple[str, ...] = (
    "accounts",
    "aim",
    "ask",
    "backup",
    "cards",
    "cautions",
    "clock",
    "command_line",
    "corrections",
    "documents",
    "documents_checks",
    "documents_meant",
    "documents_typed",
    "door",
    "doubt",
    "drafts",
    "drive",
    "gate",
    "mix",
    "needs",
    "orders",
    "place",
    "place_engine",
    "plan",
    "readings",
    "record",
    "record_sheet",
    "sheet",
    "store",
    "study",
    "understood",
)
"""The files of this folder. Each has `SENTENCES`."""


@cache
def sentences() -> Sentences:
    """Every code's sentence. Raises ValueError if two files have the same code."""
    found: dict[str, Sentence] = {}
    for name in FILES:
        own: Sentences = import_module(f"standtrue.show.words.reasons.{name}").SENTENCES
        twice = found.keys() & own.keys()
        if twice:
            raise ValueError(f"two sentences for {', '.join(sorted(twice))}")
        found.update(own)
    return found


def sentence_of(reason: Reason, reader: Reader) -> str:
    """A reason in words. Raises KeyError for a code without a sentence."""
    sentence = sentences()[reason.code]
    if callable(sentence):
        return sentence(reason, reader)
    return reader.say(sentence, **dict(reason.values))

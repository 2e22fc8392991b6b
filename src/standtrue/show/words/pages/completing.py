"""Sentences that a person completes: whole in every language, and parted where their blanks are."""

from __future__ import annotations

_MARK = "\x01"


def blank(name: str) -> str:
    """What fills a blank of a sentence that is said, so that a person's field can stand there."""
    return f"{_MARK}{name}{_MARK}"


def pieces(said: str) -> tuple[str, ...]:
    """Words and names of blanks by turns, words first; a piece may be empty."""
    return tuple(said.split(_MARK))

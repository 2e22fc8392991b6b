"""What the page of today says."""

from __future__ import annotations

from standtrue.show.words.reader import Reader


def today_question(reader: Reader) -> str:
    """Its question."""
    return reader.say("What waits for whom today?")

"""When something was kept. The record counts in UTC; it is told by the clock of the shop, or of this machine."""

from __future__ import annotations

from datetime import UTC, datetime, tzinfo
from zoneinfo import ZoneInfo

from standtrue.show.words.days import moment_words
from standtrue.show.words.reader import Reader


def moment(at: str, reader: Reader) -> str:
    """A moment in ISO 8601 by the reader's clock; one that names no zone is the shop's own already."""
    try:
        when = datetime.fromisoformat(at)
    except ValueError:
        return at
    if when.tzinfo is not None:
        when = when.astimezone(_zone(reader))
    return reader.say("{moment}, {year}", moment=moment_words(when, reader, dated=True), year=str(when.year))


def clock_words(at: str, reader: Reader) -> str:
    """By which clock moments are told, and how far that is from UTC at one of them."""
    off = datetime.fromisoformat(at).astimezone(_zone(reader)).isoformat()[-6:]
    if _zone(reader) is None:
        return reader.say(
            "Times are by the clock of the machine that printed this (UTC{off}): the shop's site names no time zone.",
            off=off,
        )
    return reader.say("Times are by the shop's clock: {zone} (UTC{off}).", zone=reader.zone, off=off)


def _zone(reader: Reader) -> tzinfo | None:
    """The reader's zone; None for the machine's, also where this machine does not know the one that is named."""
    if reader.zone in ("UTC", "Etc/UTC"):
        return UTC
    try:
        return ZoneInfo(reader.zone) if reader.zone else None
    except (ValueError, OSError, KeyError):
        return None

"""What the job sheet says of its own: why a card stands nowhere, and the order of work's short entries."""

from __future__ import annotations

from standtrue.show.words.plan import span_words
from standtrue.show.words.reader import Reader


def sent_out(low_s: float, high_s: float, reader: Reader) -> str:
    """That a card's work can be sent out."""
    return reader.say("It can be sent out ({time}).", time=span_words(low_s, high_s, reader))


def no_source(reader: Reader) -> str:
    """Where a card does not say what it was transcribed from."""
    return reader.say("source not told")


def no_date(reader: Reader) -> str:
    """Where a card does not say when its source was read."""
    return reader.say("a date not told")


def made_of(program: str, documents: int, digest: str, reader: Reader) -> str:
    """Which program made a sheet, from how many documents, and one digest of them all."""
    return reader.say_n(
        "{program}, from {n} document, digest {digest}",
        "{program}, from {n} documents, digest {digest}",
        documents,
        program=program,
        digest=digest,
    )


def rests_on(documents: int, digest: str, reader: Reader) -> str:
    """How many documents an answer rests on, and the beginning of one digest of them all."""
    return reader.say_n("{n} document, {digest}", "{n} documents, {digest}", documents, digest=digest)

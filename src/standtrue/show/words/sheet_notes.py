"""What the job sheet says of its own: why a card stands nowhere, and the order of work's short entries."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from standtrue.show.words.plan import span_words
from standtrue.show.words.reader import Reader


def sent_out(low_s: float, high_s: float, reader: Reader) -> str:
    """That a card's work can be sent out."""
    return reader.say("It can be sent out ({time}).", time=span_words(low_s, high_s, reader))


def not_here(support: str, why: str, reader: Reader) -> str:
    """Why a card does not fit on one kind of support."""
    return f"{reader.term(support)}: {why}"


def takes(span: str, counted: bool, reader: Reader) -> str:
    """How long a step takes, short; nothing is known of work that the job lists no time for, and a note says so."""
    if not counted:
        return reader.say("not counted")
    return re.sub(r"^(\d+) (s|min) \w+ (\d+) \2$", r"\1–\3 \2", span)


def place_line(number: int, where: str, reader: Reader) -> str:
    return reader.say("Place {number}: {where}.", number=number, where=where)


def move_lines(legs: Sequence[str], most: int, nearest: str, doors: Sequence[str], reader: Reader) -> Iterator[str]:
    """How to drive a move, beside its picture: what must be open, the legs, and what comes nearest."""
    if doors:
        yield reader.say("Open for the move: {doors}.", doors=", ".join(doors))
    for leg in legs[:most]:
        yield f"{leg[:1].upper()}{leg[1:]}"
    if len(legs) > most:
        yield reader.say_n(
            "And {n} leg more, as the plan shows.", "And {n} legs more, as the plan shows.", len(legs) - most
        )
    if nearest:
        yield nearest


def misfit_shown(misfit: str, reader: Reader) -> str:
    """That the car does not fit there, and what the rings mean."""
    return reader.say("{misfit}: the rings show what is in the way", misfit=misfit)


def another_order(reader: Reader) -> str:
    """What a plan is called that nothing beats and that was not chosen."""
    return reader.say("another order")


def no_order(reader: Reader) -> str:
    """Where an alternative has no plan."""
    return reader.say("no order was found")


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

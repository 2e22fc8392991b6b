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

"""What was read from a shop folder, as a terminal shows it."""

from __future__ import annotations

from collections.abc import Iterator

from standtrue.show.words.blocks import Block, Lines
from standtrue.show.words.faults import fault_lines
from standtrue.show.words.reader import Reader
from standtrue.work.shop.folders import ShopRead
from standtrue.work.shop.understood import Understood

ORDER = ("site", "lift", "survey", "vehicle", "mix", "job", "setup", "procedure", "study", "rules")
"""The kinds as one looks through them: the room, the cars, the work."""


def read_blocks(shop: ShopRead, reader: Reader) -> Iterator[Block]:
    """How much was read, what can hardly be meant, and in a line each document as it was understood."""
    yield Lines((read_line(shop, reader),))
    yield from (fault_lines(doubt, reader) for doubt in shop.doubts)
    told = sorted(shop.understood, key=lambda one: ORDER.index(one.mark.kind) if one.mark.kind in ORDER else len(ORDER))
    yield Lines(tuple(document_line(one, reader) for one in told))


def document_line(one: Understood, reader: Reader) -> str:
    """A document in one line: what it is, and what was understood of it."""
    kind, said = reader.term(one.mark.kind), understood_words(one, reader)
    if not said:
        return f"{kind} {one.mark.name}"
    return reader.say("{kind} {name}: {said}", kind=kind, name=one.mark.name, said=said)


def read_line(shop: ShopRead, reader: Reader) -> str:
    """How many documents were read, and how many things in them can hardly be meant."""
    said = reader.say_n("{n} document read.", "{n} documents read.", len(shop.understood))
    if not shop.doubts:
        return said
    doubts = reader.say_n("{n} value can hardly be meant:", "{n} values can hardly be meant:", len(shop.doubts))
    return f"{said} {doubts}"


def understood_words(one: Understood, reader: Reader) -> str:
    """A document in one line: its few sizes and counts."""
    return ", ".join(reader.reason(part) for part in one.parts)

"""What an answer on paper rests on: the cards' sources, the documents with their digests, and the foot of the page."""

from __future__ import annotations

from collections.abc import Sequence

from attrs import frozen

from standtrue.model.basics import DocumentMark
from standtrue.show.words.reader import Reader
from standtrue.show.words.sheet_notes import made_of, no_date, no_source
from standtrue.show.words.sheet_title import digest_of

LONGEST_PROGRAM = 60
"""Characters of the program's name and version: the foot line's height is fixed."""


@frozen
class CardSource:
    """Where a card came from, as its document says."""

    card: str
    title: str
    edition: str
    read_on: str
    status: str


def source_words(source: CardSource, reader: Reader) -> tuple[str, str]:
    """What a card was transcribed from, and when it was read."""
    said = ", ".join(part for part in (source.title, source.edition) if part)
    return said or no_source(reader), source.read_on or no_date(reader)


def document_lines(documents: Sequence[DocumentMark], reader: Reader) -> list[str]:
    """One line for each kind of document: names, and the first digits of their digests."""
    kinds = dict.fromkeys(m.kind for m in documents)
    named = {k: ", ".join(f"{m.name} ({m.digest[:8]})" for m in documents if m.kind == k) for k in kinds}
    return [f"{reader.term(kind)}: {names}" for kind, names in named.items()]


def made_by(program: str, documents: Sequence[DocumentMark], reader: Reader) -> str:
    """The program, and one digest over those of all documents, so that loose pages can be matched."""
    if not documents:
        return program
    return made_of(program, len(documents), digest_of(documents)[:16], reader)


def in_fours(digest: str) -> str:
    """A digest in groups of four, to be compared by eye."""
    return " ".join(digest[i : i + 4] for i in range(0, len(digest), 4))

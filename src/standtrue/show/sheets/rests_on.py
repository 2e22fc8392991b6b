"""What an answer on paper rests on: the cards' sources, the documents with their digests, and the foot of the page."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

from attrs import frozen

from standtrue.draw.backends.pdf import Data
from standtrue.model.basics import DocumentMark

STANDING = (
    "The vehicle maker's current service information and local codes govern. "
    "This sheet does not say that any vehicle is safe."
)


@frozen
class CardSource:
    """Where a card came from, as its document says."""

    card: str
    title: str
    edition: str
    read_on: str
    status: str


def source_rows(sources: Sequence[CardSource]) -> list[Data]:
    """One row for each source in one standing, with the cards that came from it."""
    cards: dict[tuple[str, str, str], list[str]] = {}
    for s in sources:
        said = ", ".join(part for part in (s.title, s.edition) if part)
        cards.setdefault((said or "source not told", s.read_on or "a date not told", s.status), []).append(s.card)
    return [
        {"source": source, "read_on": read_on, "status": status, "cards": ", ".join(named)}
        for (source, read_on, status), named in cards.items()
    ]


def document_lines(documents: Sequence[DocumentMark]) -> list[Data]:
    """One line for each kind of document: names, and the first digits of their digests."""
    kinds = dict.fromkeys(m.kind for m in documents)
    return [f"{k}: {', '.join(f'{m.name} ({m.digest[:8]})' for m in documents if m.kind == k)}" for k in kinds]


def made_by(program: str, documents: Sequence[DocumentMark]) -> str:
    """The program, and one digest over those of all documents, so that loose pages can be matched."""
    if not documents:
        return program
    joined = "\n".join(sorted(f"{m.kind}\t{m.name}\t{m.digest}" for m in documents))
    count = f"{len(documents)} documents" if len(documents) > 1 else "1 document"
    return f"{program}, from {count}, digest {hashlib.sha256(joined.encode()).hexdigest()[:16]}"

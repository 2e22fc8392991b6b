"""The cards of one folder together: which is a newer edition of which."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from standtrue.documents.procedure import ProcedureForm, to_procedures
from standtrue.documents.reading import Document
from standtrue.documents.source import said_status
from standtrue.model.procedure import Procedure


def cards_of(documents: Iterable[Document]) -> tuple[Procedure, ...]:
    """The cards of sound documents, each with what it counts as among the others."""
    sound = [(document, document.form) for document in documents if isinstance(document.form, ProcedureForm)]
    newer = newer_editions(form for _, form in sound)
    older = {form.name: form.source.supersedes for _, form in sound if form.source.supersedes}
    return tuple(
        card
        for document, form in sound
        for card in to_procedures(form, document.content, _chain(form.name, older), newer.get(form.name, ()))
    )


def _chain(name: str, older: Mapping[str, str]) -> tuple[str, ...]:
    """The names of the editions before a card, the newest first; each once, should they go round in a circle."""
    found: list[str] = []
    while (before := older.get(name)) is not None and before not in found:
        found.append(before)
        name = before
    return tuple(found)


def newer_editions(forms: Iterable[ProcedureForm]) -> dict[str, tuple[str, ...]]:
    """The names of the cards that supersede one, by its name. A draft supersedes nothing yet."""
    found: dict[str, tuple[str, ...]] = {}
    for form in forms:
        older = form.source.supersedes
        if older and said_status(form.source, form.demonstration) != "draft":
            found[older] = (*found.get(older, ()), form.name)
    return found

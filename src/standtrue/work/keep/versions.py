"""Versions of documents that were saved, as an entry of the record: by it each is proven to be there, and as it was.

Whoever saves a version keeps such an entry in the same transaction. Its content lists the versions under `saved`, each
with its seal: `standtrue verify` holds what is stored against that, both ways.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from attrs import frozen
from sqlalchemy import Connection

from standtrue.seal import Kept, Mark
from standtrue.store.documents import Draft, Saving, Version, save
from standtrue.store.journal import Draft as EntryDraft
from standtrue.store.journal import append
from standtrue.work.keep.answers import SHOP, Said


@frozen
class Saved:
    """A version that was saved, and what it did: new, changed, moved, removed; or found, where it was there before any
    entry told of versions."""

    what: str
    version: Version


def note_saved(
    connection: Connection,
    saved: Iterable[Saved],
    said: Said,
    saving: Saving,
    job: str = SHOP,
    rests_on: Iterable[Mark] | None = None,
) -> Kept:
    """Append the entry of versions that were saved; it rests on those, unless it says on which others."""
    own = (Mark(v.kind, v.name, v.version) for v in (one.version for one in saved) if v.kind and v.name)
    marks = tuple(own if rests_on is None else rests_on)
    draft = EntryDraft(job, said.kind, said.shape, saving.by, saving.program, said.content, marks)
    return append(connection, draft, saving.at)


def save_document(
    connection: Connection, what: str, draft: Draft, saving: Saving, said: Callable[[Saved], Said]
) -> Version:
    """Save one version, with its entry. Raises StaleError and UnansweredError as `save` does."""
    saved = Saved(what, save(connection, draft, saving))
    note_saved(connection, (saved,), said(saved), saving)
    return saved.version

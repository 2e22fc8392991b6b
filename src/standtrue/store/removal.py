"""Taking a customer's data out of a store: content and salt go, digests stay, and the chain is proven as before.

What goes: what the job's entries hold, its files, every version of its documents, and the words that it is found by.
What stays: that there were entries, of which kind, by whom and when, their digests, and the names of the job and of its
documents, which are digested with them; and the entries that say which versions of documents there were. So no name
should say who the customer is.
"""

from __future__ import annotations

from collections.abc import Iterable

from attrs import frozen
from sqlalchemy import Connection, and_, delete, or_, select, update

from standtrue.store import attachments, rewriting, seeking, tables

KIND = "removal"
"""The kind of the entry that says what was removed."""

STAYING = (KIND, "import", "saved", "card")
"""Kinds of entries that are never taken out: what was, and which versions of documents there were."""

RULE = "keep-years"
"""The setting that is the shop's rule: for how many years a job is kept at least."""


@frozen
class Taken:
    """What was taken out: entries by their number in the job (from 0), files by digest, documents with a version."""

    entries: tuple[int, ...]
    files: tuple[str, ...]
    documents: tuple[tuple[str, str, int], ...]


def take_out(connection: Connection, job: str, documents: Iterable[tuple[str, str]]) -> Taken:
    """Take out what a job's entries hold, its files, and all versions of these documents (kind and name), and
    leave a mark that they are to be written over."""
    entry = tables.entry.c
    held = and_(entry.job == job, entry.kind.not_in(STAYING), entry.content.is_not(None))
    rows = connection.execute(select(entry.number, entry.attachments).where(held).order_by(entry.number)).all()
    connection.execute(update(tables.entry).where(held).values(salt=None, content=None))
    files = tuple(dict.fromkeys(digest for row in rows for digest in attachments.named(row.attachments)))
    for digest in files:
        piece = tables.attachment_piece.c.attachment
        connection.execute(delete(tables.attachment_piece).where(piece == digest))
        connection.execute(update(tables.attachment).where(tables.attachment.c.digest == digest).values(salt=None))
    taken = tuple(_versions(connection, documents))
    connection.execute(delete(tables.answered).where(tables.answered.c.job == job))
    seeking.forget(connection, job)
    rewriting.leave_mark(connection)
    return Taken(tuple(row.number for row in rows), files, taken)


def _versions(connection: Connection, documents: Iterable[tuple[str, str]]) -> list[tuple[str, str, int]]:
    told = tables.document_version.c
    called = [and_(told.kind == kind, told.name == name) for kind, name in documents]
    if not called:
        return []
    one = select(told.document).where(or_(*called))
    held = and_(told.document.in_(one), told.content.is_not(None))
    rows = connection.execute(select(told.kind, told.name, told.version).where(held).order_by(told.kind, told.name))
    taken = [(row.kind, row.name, row.version) for row in rows]
    connection.execute(update(tables.document_version).where(held).values(salt=None, content=None, mark=""))
    return taken

"""The journal: entries appended, each in one transaction with the head of the log; read, never changed.

The store knows no answer: an entry's content is bytes, with its kind and the version of its shape.
"""

from __future__ import annotations

import json
import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from attrs import field, frozen
from sqlalchemy import Connection, Row, func, insert, select, update
from sqlalchemy.exc import IntegrityError

from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import because
from standtrue.seal import (
    NOTHING,
    SALT_BYTES,
    Entry,
    Head,
    Kept,
    Mark,
    Range,
    canonical,
    content_digest,
    leaf_of,
    listed,
    sealed,
)
from standtrue.store import seeking, tables
from standtrue.store.database import Store
from standtrue.store.seeking import About

AT_ONCE = 2000
"""So many entries are read at once."""


@frozen
class Draft:
    """What is to be kept of a job. `content` is canonical JSON; `attachments` are digests of files kept before."""

    job: str
    kind: str
    shape: int
    who: str
    program: str
    content: bytes
    documents: tuple[Mark, ...] = ()
    attachments: tuple[str, ...] = ()
    about: About = field(factory=About)


def append(connection: Connection, draft: Draft, at: str) -> Kept:
    """Append an entry within a transaction of the store's only writer (`Store.writing`); `at` is now, UTC, ISO 8601.

    Raises UnansweredError where the record does not go on from its head: somebody altered one of them.
    """
    head, log = read_head(connection)
    log = log or Range()
    number, before = _last(connection, draft.job)
    salt = secrets.token_bytes(SALT_BYTES)
    entry = Entry(
        index=head.size,
        job=draft.job,
        number=number + 1,
        kind=draft.kind,
        shape=draft.shape,
        who=draft.who,
        at=at,
        program=draft.program,
        documents=listed(draft.documents),
        attachments=canonical(list(draft.attachments)).decode("utf-8"),
        content=content_digest(salt, draft.content),
        before=before,
        log=log.root,
    )
    kept = sealed(entry, salt, draft.content)
    try:
        connection.execute(insert(tables.entry), [row_of(kept)])
    except IntegrityError as error:  # an entry is there that the head does not know
        what, remedy = because("record-does-not-go-on"), because("verify-it", command="standtrue verify")
        raise UnansweredError([Fault("store-damaged", what, "", "", "", remedy)]) from error
    write_head(connection, log.grown(leaf_of(kept.digest)), at)
    seeking.note(connection, draft.job, draft.about, (draft.who, draft.kind), at)
    return kept


def append_new(connection: Connection, draft: Draft, at: str) -> Kept | None:
    """The same, but for what is said already: None where the job's last entry of this kind, on documents of the same
    names, has the same content and rests on the same versions."""
    entry, documents = tables.entry.c, listed(draft.documents)
    same_kind = (
        select(entry.content, entry.documents, entry.attachments)
        .where(entry.job == draft.job, entry.kind == draft.kind)
        .order_by(entry.number.desc())
    )
    for found in connection.execute(same_kind):
        if _names(found.documents) != _names(documents):
            continue
        if found.content == draft.content and found.documents == documents and found.attachments == "[]":
            return None
        break
    return append(connection, draft, at)


def _names(documents: str) -> list[tuple[str, str]]:
    return [(kind, name) for kind, name, _ in documents_of(documents)]


def documents_of(documents: str) -> list[tuple[str, str, int]]:
    """Kind, name and version of each document that an entry rests on; none of a list that was altered into no list."""
    try:
        told = json.loads(documents)
        return [(str(one["kind"]), str(one["name"]), int(one["version"])) for one in told]
    except (ValueError, TypeError, KeyError):
        return []


def _last(connection: Connection, job: str) -> tuple[int, bytes]:
    """The number and the digest of a job's last entry."""
    entry = tables.entry.c
    last = select(entry.number, entry.digest).where(entry.job == job).order_by(entry.number.desc()).limit(1)
    found = connection.execute(last).first()
    return (-1, NOTHING) if found is None else (found.number, bytes.fromhex(found.digest))


def read_head(connection: Connection) -> tuple[Head, Range | None]:
    """The head as it was kept, and the parts of the log kept with it; None where they make up no log of its size."""
    found = connection.execute(select(tables.head)).first()
    if found is None:
        return Head(0, Range().root), Range()
    peaks = [_bytes(peak) for peak in found.peaks.split()]
    try:
        log = Range(found.size, tuple(peaks))
    except ValueError:
        log = None
    return Head(found.size, _bytes(found.root), found.at), log


def write_head(connection: Connection, log: Range, at: str) -> None:
    """Keep the log's head in place of the one before."""
    values = {"size": log.size, "root": log.root.hex(), "peaks": " ".join(p.hex() for p in log.peaks), "at": at}
    if not connection.execute(update(tables.head).values(values)).rowcount:
        connection.execute(insert(tables.head).values(values))


def entries(
    connection: Connection, job: str | None = None, *, after: int = -1, most: int | None = None
) -> Iterator[Kept]:
    """Entries in the order of the log: of all jobs, or of one, behind its entry number `after`, `most` of them."""
    wanted = select(tables.entry).order_by(tables.entry.c.leaf).limit(most)
    if job is not None:
        wanted = wanted.where(tables.entry.c.job == job, tables.entry.c.number > after)
    for row in connection.execute(wanted.execution_options(yield_per=AT_ONCE)):
        yield kept_of(row)


def count_of(connection: Connection, job: str) -> int:
    """How many entries a job has."""
    return connection.execute(select(func.count()).where(tables.entry.c.job == job)).scalar_one()


@contextmanager
def read_rows(store: Store) -> Iterator[Connection]:
    """A reading of what is there whatever it is: text that is no UTF-8 comes with its bytes as half surrogate pairs."""
    with store.reading() as connection:
        raw: Any = connection.connection.dbapi_connection
        if connection.dialect.name != "sqlite":  # PostgreSQL keeps and hands out valid text only
            yield connection
            return
        before, raw.text_factory = raw.text_factory, lambda text: text.decode("utf-8", "surrogateescape")
        try:
            yield connection
        finally:
            raw.text_factory = before


def last_of(connection: Connection, job: str, kind: str) -> Kept | None:
    """A job's last entry of a kind."""
    entry = tables.entry.c
    wanted = select(tables.entry).where(entry.job == job, entry.kind == kind).order_by(entry.number.desc()).limit(1)
    row = connection.execute(wanted).first()
    return None if row is None else kept_of(row)


def digests(connection: Connection) -> Iterator[bytes]:
    """The digests of all entries in the order of the log: what a tree is made of."""
    wanted = select(tables.entry.c.digest).order_by(tables.entry.c.leaf)
    for (digest,) in connection.execute(wanted.execution_options(yield_per=AT_ONCE)):
        yield _bytes(digest)


def row_of(kept: Kept) -> dict[str, object]:
    """An entry as its row."""
    one = kept.entry
    return {
        "leaf": one.index,
        "job": one.job,
        "number": one.number,
        "kind": one.kind,
        "shape": one.shape,
        "who": one.who,
        "at": one.at,
        "program": one.program,
        "documents": one.documents,
        "attachments": one.attachments,
        "salt": kept.salt,
        "content": kept.content,
        "content_digest": one.content.hex(),
        "previous": one.before.hex(),
        "log": one.log.hex(),
        "digest": kept.digest.hex(),
    }


def kept_of(row: Row[Any]) -> Kept:
    """A row as its entry, whatever stands in it."""
    entry = Entry(
        row.leaf,
        row.job,
        row.number,
        row.kind,
        row.shape,
        row.who,
        row.at,
        row.program,
        row.documents,
        row.attachments,
        _bytes(row.content_digest),
        _bytes(row.previous),
        _bytes(row.log),
    )
    return Kept(entry, _bytes(row.digest), row.salt, row.content)


def _bytes(digits: str) -> bytes:
    """The bytes of a digest; of what was altered into none, or into other signs for the same, other bytes."""
    try:
        found = bytes.fromhex(digits)
    except ValueError:
        return digits.encode("utf-8", "surrogatepass")
    return found if found.hex() == digits else digits.encode("utf-8", "surrogatepass")

"""Files that belong to a job: scans, photos, any file. Bytes only: nothing here runs, opens or decodes them.

A file is known by the digest of its salt and its bytes (`seal.attachment_digest`) and lies in pieces of 1 MB. The
digest is taken again whenever it is read. The same file kept again for the same job is kept once.
"""

from __future__ import annotations

import json
import secrets
from collections.abc import Iterable, Iterator
from enum import Enum
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Row, insert, select

from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import Reason, because
from standtrue.seal import SALT_BYTES, attachment_digest
from standtrue.store import tables

PIECE_BYTES = 1 << 20
"""The size of a piece: 1 MB, 2**20 bytes."""


class State(Enum):
    """How a file that an entry names is found."""

    WHOLE = "whole"
    ALTERED = "altered"
    LOST = "lost"
    REMOVED = "removed"


def keep(connection: Connection, file: Path, job: str) -> str:
    """Keep a file, in the transaction of the entry that names it; its digest. Raises UnansweredError."""
    size = _size(file)
    for known in _of_job(connection, job, size):
        if _digest(file, known.salt) == known.digest:
            return str(known.digest)
    salt = secrets.token_bytes(SALT_BYTES)
    digest = _digest(file, salt)
    connection.execute(insert(tables.attachment).values(digest=digest, size=size, salt=salt))
    for number, piece in enumerate(_pieces(file)):
        values = {"attachment": digest, "number": number, "content": piece}
        connection.execute(insert(tables.attachment_piece).values(values))
    if state(connection, digest) is not State.WHOLE:  # written to while it was read
        raise UnansweredError([_fault(file, because("file-changed-meanwhile"))])
    return digest


def read(connection: Connection, digest: str) -> Iterator[bytes]:
    """A file's bytes, piece by piece; none of one that is lost or was removed."""
    piece = tables.attachment_piece.c
    numbers = connection.execute(select(piece.number).where(piece.attachment == digest).order_by(piece.number))
    for (number,) in numbers.all():
        wanted = select(piece.content).where(piece.attachment == digest, piece.number == number)
        yield connection.execute(wanted).scalar_one()


def size_of(connection: Connection, digest: str) -> int:
    """The size of a file that is kept, bytes."""
    wanted = select(tables.attachment.c.size).where(tables.attachment.c.digest == digest)
    return int(connection.execute(wanted).scalar_one())


def salt_of(connection: Connection, digest: str) -> bytes | None:
    """The salt of a file; None where it is lost or was removed."""
    return connection.execute(select(tables.attachment.c.salt).where(tables.attachment.c.digest == digest)).scalar()


def state(connection: Connection, digest: str) -> State:
    """Whether the bytes are those that the digest names."""
    if not digest.isascii():  # what named it was altered into no digest
        return State.LOST
    found = connection.execute(select(tables.attachment).where(tables.attachment.c.digest == digest)).first()
    if found is None:
        return State.LOST
    if found.salt is None:
        return State.ALTERED if any(True for _ in read(connection, digest)) else State.REMOVED
    size = 0

    def counted() -> Iterator[bytes]:
        nonlocal size
        for piece in read(connection, digest):
            size += len(piece)
            yield piece

    try:
        same = attachment_digest(found.salt, counted()).hex() == digest
    except ValueError:  # a salt of another length
        same = False
    return State.WHOLE if same and size == found.size else State.ALTERED


def named(attachments: str) -> tuple[str, ...]:
    """The digests that an entry's list names; none of a list that was altered into no list."""
    try:
        told = json.loads(attachments)
    except ValueError:
        return ()
    return tuple(one for one in told if isinstance(one, str)) if isinstance(told, list) else ()


def unnamed(connection: Connection, known: Iterable[str]) -> tuple[str, ...]:
    """Files that no entry names."""
    there = connection.execute(select(tables.attachment.c.digest)).scalars()
    return tuple(sorted(set(there) - set(known)))


def _of_job(connection: Connection, job: str, size: int) -> Iterator[Row[Any]]:
    """The files of this size that the job's entries name."""
    lists = connection.execute(select(tables.entry.c.attachments).where(tables.entry.c.job == job)).scalars().all()
    for digest in dict.fromkeys(digest for told in lists for digest in named(told)):
        found = connection.execute(select(tables.attachment).where(tables.attachment.c.digest == digest)).first()
        if found is not None and found.salt is not None and found.size == size:
            yield found


def _size(file: Path) -> int:
    try:
        if not file.is_file():
            raise UnansweredError([_fault(file, because("no-file-there"))])
        return file.stat().st_size
    except OSError as error:
        why = because("file-not-kept", why=error.strerror or str(error))
        raise UnansweredError([_fault(file, why)]) from error


def _digest(file: Path, salt: bytes) -> str:
    return attachment_digest(salt, _pieces(file)).hex()


def _pieces(file: Path) -> Iterator[bytes]:
    try:
        with file.open("rb") as opened:
            while piece := opened.read(PIECE_BYTES):
                yield piece
    except OSError as error:
        why = because("file-not-kept", why=error.strerror or str(error))
        raise UnansweredError([_fault(file, why)]) from error


def _fault(file: Path, what: Reason) -> Fault:
    return Fault("file-unreadable", what, str(file), "", "", because("name-file-at-rest"))

"""Requests that may come again, such as those of a tablet that lost its connection: what was answered to them."""

from __future__ import annotations

from attrs import frozen
from sqlalchemy import Connection, delete, insert, select

from standtrue.store.tables import answered


@frozen
class Answered:
    """An answer as it was given; `request` is the digest of what was asked."""

    request: str
    status: int
    content: bytes
    at: str


def earlier(connection: Connection, who: str, key: str) -> Answered | None:
    """What was answered to this request of `who` before."""
    told = answered.c
    wanted = select(told.request, told.status, told.content, told.at).where(told.who == who, told.key == key)
    found = connection.execute(wanted).first()
    return None if found is None else Answered(*found)


def note(connection: Connection, who: str, key: str, job: str, given: Answered) -> None:
    """Keep an answer, within the transaction of what it tells. `job` is whose it is, to go with that."""
    told = {"who": who, "key": key, "job": job, "request": given.request, "status": given.status}
    connection.execute(insert(answered).values(content=given.content, at=given.at, **told))


def forget_before(connection: Connection, at: str) -> None:
    """Let go of what was answered before a moment (UTC, ISO 8601)."""
    connection.execute(delete(answered).where(answered.c.at < at))

"""A request that may come again, such as from a tablet that lost its connection: it is done once, and answered twice.

Whoever asks brings a key with each request. What is done and what is answered are kept in one transaction, so that
however either side ends, the same request again is answered as it was, and nothing of it is kept twice.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from datetime import UTC, datetime, timedelta

from attrs import frozen
from sqlalchemy import Connection

from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import because
from standtrue.store import answered
from standtrue.store.answered import Answered
from standtrue.store.database import Store, open_store
from standtrue.work.keep.answers import now, written_at

KEPT_FOR = timedelta(days=30)
"""How long an answer is kept for whoever asks again."""


@frozen
class Request:
    """A request: who asks, the key that came with it, and all that was asked, as bytes. `job` is whose it is, or ""."""

    who: str
    key: str
    job: str
    asked: bytes

    @property
    def digest(self) -> str:
        return hashlib.sha256(self.asked).hexdigest()


@frozen
class Given:
    """What was answered: now, or (`again`) when the same was asked before."""

    status: int
    content: bytes
    again: bool = False


def once(place: str, request: Request, do: Callable[[Connection], tuple[int, bytes]]) -> Given:
    """Do what is asked within one transaction of the store, and keep its answer: status and bytes. Asked before, it is
    not done, and answered as it was.

    Raises UnansweredError where the same key came with another request, and whatever `do` raises: then nothing is kept.
    """
    with open_store(place) as store:
        return once_in(store, request, do)


def once_in(store: Store, request: Request, do: Callable[[Connection], tuple[int, bytes]]) -> Given:
    """The same in a store that is open."""
    with store.writing() as connection:
        before = earlier(connection, request)
        if before is not None:
            return before
        status, content = do(connection)
        note(connection, request, status, content)
        return Given(status, content)


def earlier(connection: Connection, request: Request) -> Given | None:
    """What was answered to the same request before. Raises UnansweredError where its key came with another."""
    found = answered.earlier(connection, request.who, request.key)
    if found is None:
        return None
    if found.request != request.digest:
        what, remedy = because("key-of-another-request"), because("send-a-new-key")
        raise UnansweredError([Fault("key-taken", what, "", "", request.key, remedy)])
    return Given(found.status, found.content, again=True)


def note(connection: Connection, request: Request, status: int, content: bytes) -> None:
    """Keep what is answered, in the transaction of what was done; what is older than `KEPT_FOR` goes."""
    answered.forget_before(connection, written_at(datetime.now(UTC) - KEPT_FOR))
    given = Answered(request.digest, status, content, now())
    answered.note(connection, request.who, request.key, request.job, given)


TASK = "task "
"""Who asks, of what is kept of a task: no person's name ends so."""


def keep_answered(connection: Connection, number: str, job: str, content: bytes) -> None:
    """Keep what a task came to, by its number, within a transaction: for whoever asks when its server is gone."""
    note(connection, Request(TASK, number, job, content), 200, content)


def kept_answered(store: Store, number: str) -> bytes | None:
    """What a task came to, of this server or one before; None where it came to nothing, or it was long ago."""
    with store.reading() as connection:
        found = answered.earlier(connection, TASK, number)
    return None if found is None else found.content

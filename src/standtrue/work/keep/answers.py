"""An answer about a job, kept as an entry: as data, with its kind, its shape's version, and what it rests on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import UTC, datetime
from importlib.metadata import version

from attrs import frozen
from sqlalchemy import Connection, select

from standtrue.model.basics import DocumentMark
from standtrue.model.job import Job
from standtrue.model.shop import Shop
from standtrue.seal import Kept, Mark
from standtrue.store.database import open_store
from standtrue.store.documents import Saving
from standtrue.store.journal import Draft, append_new
from standtrue.store.seeking import About
from standtrue.store.tables import document, document_version

SHOP = ""
"""The job of what belongs to none, such as a survey of the floor: the shop itself."""


@frozen
class Said:
    """An answer as bytes (canonical JSON), with its kind and the version of its shape."""

    kind: str
    shape: int
    content: bytes


def keep_answer(place: str, shop: Shop, job: str, said: Said, marks: Iterable[DocumentMark], by: str) -> Kept | None:
    """Keep an answer in the store at `place`; None where the last entry of its kind says the same already.

    Raises UnansweredError where the store cannot be written.
    """
    with open_store(place) as store, store.writing() as connection:
        return keep_answer_in(connection, shop, job, said, marks, by)


def keep_answer_in(
    connection: Connection, shop: Shop, job: str, said: Said, marks: Iterable[DocumentMark], by: str
) -> Kept | None:
    """The same within a transaction of the store."""
    return append_new(connection, draft_of(connection, shop, job, said, marks, by), now())


def draft_of(connection: Connection, shop: Shop, job: str, said: Said, marks: Iterable[DocumentMark], by: str) -> Draft:
    """What is to be kept of an answer, with the stored versions of the documents that it rests on."""
    documents = tuple(stored_marks(connection, marks))
    return Draft(
        job,
        said.kind,
        said.shape,
        by,
        program(),
        said.content,
        documents,
        about=_about(shop.written.jobs.get(job), documents),
    )


def program() -> str:
    """This program and its version, as every entry names it."""
    return f"standtrue {version('standtrue')}"


def saving_now(by: str) -> Saving:
    """Who saves, now, by this program."""
    return Saving(by, now(), program())


def now() -> str:
    """Now, UTC, ISO 8601."""
    return written_at(datetime.now(UTC))


def written_at(moment: datetime) -> str:
    """A moment of UTC as the store has it: ISO 8601, to a millisecond."""
    return moment.isoformat(timespec="milliseconds").replace("+00:00", "Z")


def stored_marks(connection: Connection, marks: Iterable[DocumentMark]) -> Iterator[Mark]:
    """Which stored version each document is; 0 for one that is not stored as it was read."""
    told = document_version.c
    for mark in marks:
        found = connection.execute(
            select(told.version)
            .join(document, document.c.id == told.document)
            .where(told.kind == mark.kind, told.name == mark.name, told.mark == mark.digest)
            .order_by(told.saved_at.desc(), told.version.desc())
            .limit(1)
        ).scalar()
        yield Mark(mark.kind, mark.name, found or 0)


def _about(job: Job | None, documents: Iterable[Mark]) -> About:
    """By what a job is found: its numbers, its car, its people, and the cards and set-ups that were used."""
    used = [mark.name for mark in documents if mark.kind in ("procedure", "setup", "vehicle", "site")]
    if job is None:
        return About(words=tuple(used))
    people = [*(decision.by for decision in job.decisions), *(done.by for done in job.done)]
    days = [moment[:10] for moment in (job.arrives, job.promised) if moment]
    return About(job.order_number, job.plate, job.vehicle, (job.vin, job.payer, *people, *days, *used))

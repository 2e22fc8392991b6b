"""Jobs looked for: by words, by the days of their entries, a page at a time.

What is looked for by (`sought`) is kept beside the entries, one row a job: it is derived from them and is not digested.
"""

from __future__ import annotations

from collections.abc import Sequence

from attrs import frozen
from sqlalchemy import Connection, and_, exists, func, insert, or_, select, update

from standtrue.store import tables

DAY_ENDS, EVER = "T24", "9999"
"""Behind a day the one comes after every moment of it, in the order of ISO 8601, in any collation; the other after all
days."""


@frozen
class About:
    """What a job is looked for by: its order number, plate and car, and other words of it."""

    order_number: str = ""
    plate: str = ""
    vehicle: str = ""
    words: tuple[str, ...] = ()


@frozen
class Found:
    """A job that was looked for."""

    job: str
    order_number: str
    plate: str
    vehicle: str
    entries: int
    first_at: str
    last_at: str


@frozen
class Wanted:
    """Which jobs: with each of these words, and with an entry between two days, those included ("": any; UTC).

    `most` of them, from the one on that comes behind `after` (its `last_at` and its name), the last on a page before.
    """

    words: tuple[str, ...] = ()
    first: str = ""
    last: str = ""
    most: int = 200
    after: tuple[str, str] | None = None


def search(connection: Connection, wanted: Wanted) -> list[Found]:
    """The jobs that are wanted, the last kept first."""
    row = tables.sought.c
    query = select(row.job, row.order_number, row.plate, row.vehicle, row.entries, row.first_at, row.last_at)
    for word in wanted.words:
        query = query.where(row.words.contains(_plain(word), autoescape=True))
    if wanted.first or wanted.last:
        # Most jobs are told by their first and last entry; only of one that goes over both days are its entries read.
        at, end = tables.entry.c.at, wanted.last + DAY_ENDS if wanted.last else EVER
        within = exists().where(tables.entry.c.job == row.job, at.between(wanted.first, end))
        ends = or_(row.first_at.between(wanted.first, end), row.last_at.between(wanted.first, end))
        query = query.where(row.last_at >= wanted.first, row.first_at <= end, or_(ends, within))
    if wanted.after is not None:
        at_last, job = wanted.after
        query = query.where(or_(row.last_at < at_last, and_(row.last_at == at_last, row.job > job)))
    found = connection.execute(query.order_by(row.last_at.desc(), row.job).limit(wanted.most))
    return [Found(*one) for one in found]


def jobs_count(connection: Connection) -> int:
    """How many jobs have entries."""
    return connection.execute(select(func.count()).select_from(tables.sought)).scalar_one()


def last_kept(connection: Connection) -> dict[str, str]:
    """When the last entry of each job was kept, by the jobs that have any."""
    rows = connection.execute(select(tables.sought.c.job, tables.sought.c.last_at))
    return {str(job): str(last_at) for job, last_at in rows}


def note(connection: Connection, job: str, about: About, more: Sequence[str], at: str) -> None:
    """Let a job be found by one more entry: its words are joined to those that the job is found by already."""
    there = connection.execute(select(tables.sought).where(tables.sought.c.job == job)).first()
    said = [job, about.order_number, about.plate, about.vehicle, at[:10], *more, *about.words]
    before = () if there is None else there.words.split("\n")
    values = {
        "order_number": about.order_number or ("" if there is None else there.order_number),
        "plate": about.plate or ("" if there is None else there.plate),
        "vehicle": about.vehicle or ("" if there is None else there.vehicle),
        "words": "\n".join(dict.fromkeys((*before, *(form for word in said for form in _forms(word))))),
        "entries": 1 if there is None else there.entries + 1,
        "last_at": at,
    }
    if there is None:
        connection.execute(insert(tables.sought).values(job=job, first_at=at, **values))
    else:
        connection.execute(update(tables.sought).where(tables.sought.c.job == job).values(values))


def forget(connection: Connection, job: str) -> None:
    """Let a job be found by its name alone: what its customer is known by goes with what was removed."""
    values = {"order_number": "", "plate": "", "vehicle": "", "words": "\n".join(_forms(job))}
    connection.execute(update(tables.sought).where(tables.sought.c.job == job).values(values))


def _forms(said: str) -> tuple[str, ...]:
    """What a text is found by: as it is, and without the spaces and hyphens that people leave out of a plate."""
    plain = _plain(said)
    close = plain.replace(" ", "").replace("-", "")
    return tuple(dict.fromkeys(form for form in (plain, close) if form))


def _plain(said: str) -> str:
    return " ".join(said.casefold().split())

"""Looking for jobs in the record by words and days, and reading one of them: whole, or a page at a time."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from attrs import frozen
from sqlalchemy import Connection

from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import because
from standtrue.seal import Kept
from standtrue.store.database import Store, opened
from standtrue.store.journal import count_of, entries
from standtrue.store.seeking import Found, Wanted, jobs_count, search

A_PAGE = 200
"""So many jobs are found at once, unless another number is asked for."""


@frozen
class Looked:
    """The jobs that were found, the last kept first, of how many; `more`: there are further ones behind `after`."""

    words: tuple[str, ...]
    found: tuple[Found, ...]
    jobs: int
    first: str = ""
    last: str = ""
    more: bool = False

    @property
    def after(self) -> tuple[str, str] | None:
        """What the next page is asked for by."""
        return (self.found[-1].last_at, self.found[-1].job) if self.more else None


@frozen
class Page:
    """Entries of a job in order, those behind `after` (by their number, from 0; -1: from the first on), of `count`."""

    job: str
    entries: tuple[Kept, ...]
    after: int
    count: int

    @property
    def more(self) -> bool:
        return bool(self.entries) and self.entries[-1].entry.number + 1 < self.count


def look_for(
    place: str | Store,
    words: Sequence[str],
    first: str = "",
    last: str = "",
    *,
    most: int = A_PAGE,
    after: tuple[str, str] | None = None,
) -> Looked:
    """The jobs in which each word stands (order number, plate, car, card, person, day), with an entry from the day
    `first` until the day `last`, those included ("": any; UTC). Raises UnansweredError, for what is no day too."""
    wanted = Wanted(tuple(words), _day(first, "--from"), _day(last, "--to"), most + 1, after)
    if first and last and wanted.first > wanted.last:
        what, remedy = because("days-reversed", first=wanted.first, last=wanted.last), because("first-day-first")
        raise UnansweredError([Fault("days-reversed", what, "", "--to", last, remedy)])
    with opened(place) as store, store.reading() as connection:
        found = search(connection, wanted)
        more = len(found) > most
        return Looked(wanted.words, tuple(found[:most]), jobs_count(connection), wanted.first, wanted.last, more)


def read_job(place: str | Store, job: str) -> tuple[Kept, ...]:
    """Every entry of a job, in order. Raises UnansweredError where it has none."""
    return read_page(place, job, most=None).entries


def read_page(place: str | Store, job: str, *, after: int = -1, most: int | None = 50) -> Page:
    """Entries of a job behind that of the number `after`. Raises UnansweredError where it has none at all."""
    with opened(place) as store, store.reading() as connection:
        count = count_of(connection, job)
        found = tuple(entries(connection, job, after=after, most=most))
        if not count:
            raise no_such_job(connection, job)
    return Page(job, found, after, count)


def no_such_job(connection: Connection, job: str) -> UnansweredError:
    """Nothing was kept of a job; of which something was."""
    there = tuple(one.job for one in search(connection, Wanted(most=20)) if one.job)
    what = because("job-without-entries", job=job)
    remedy = because("there-are", near=None, words=there) if there else because("keep-something-first")
    return UnansweredError([Fault("unknown-name", what, "", "--job", job, remedy)])


def _day(said: str, option: str) -> str:
    """A day as it is compared: YYYY-MM-DD. Raises UnansweredError."""
    try:
        return date.fromisoformat(said).isoformat() if said else ""
    except ValueError as error:
        what, remedy = because("no-date"), because("look-at-date")
        raise UnansweredError([Fault("unknown-word", what, "", option, said, remedy)]) from error

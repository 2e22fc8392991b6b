"""Looking for jobs in the record by words, and reading one of them."""

from __future__ import annotations

from collections.abc import Sequence

from attrs import frozen

from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import because
from standtrue.seal import Kept
from standtrue.store.database import open_store
from standtrue.store.journal import Found, entries, jobs_count, search


@frozen
class Looked:
    """The jobs that were found, the last kept first, of how many."""

    words: tuple[str, ...]
    found: tuple[Found, ...]
    jobs: int


def look_for(place: str, words: Sequence[str]) -> Looked:
    """The jobs in which each word stands: order number, plate, car, card, person, day. Raises UnansweredError."""
    with open_store(place) as store, store.reading() as connection:
        return Looked(tuple(words), tuple(search(connection, words)), jobs_count(connection))


def read_job(place: str, job: str) -> tuple[Kept, ...]:
    """Every entry of a job, in order. Raises UnansweredError where it has none."""
    with open_store(place) as store, store.reading() as connection:
        found = tuple(entries(connection, job))
        there = () if found else tuple(one.job for one in search(connection, [], most=20))
    if not found:
        what = because("job-without-entries", job=job)
        remedy = because("there-are", near=None, words=there) if there else because("keep-something-first")
        raise UnansweredError([Fault("unknown-name", what, "", "--job", job, remedy)])
    return found

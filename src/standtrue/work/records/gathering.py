"""All that was kept of one job, read and proven, for the record that a customer is given."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from attrs import frozen

from standtrue.model.reason import Reason, because
from standtrue.seal import Head, Kept
from standtrue.store import attachments
from standtrue.store.attachments import State
from standtrue.store.database import Store, opened
from standtrue.store.journal import entries
from standtrue.work.keep.answers import SHOP
from standtrue.work.records.searching import read_job
from standtrue.work.records.verifying import verify_store


@frozen
class JobRecord:
    """A job's entries, the head of the log when they were read, and what is wrong with them.

    `wrong` is of this job; what is wrong elsewhere in the log is only counted. `files` is how each file that the
    entries name was found. `of_shop` are the shop's own entries, of no job, kept no later than the job's last one.
    """

    job: str
    entries: tuple[Kept, ...]
    head: Head
    wrong: tuple[Reason, ...]
    files: Mapping[str, State]
    of_shop: tuple[Kept, ...] = ()


def gather_record(place: str | Store, job: str) -> JobRecord:
    """Read a job and prove the log that it is in. Raises UnansweredError where it has no entry, or nothing is read."""
    kept = read_job(place, job)
    verified = verify_store(place)
    own = tuple(one for one in verified.wrong if dict(one.values).get("job") == job)
    elsewhere = len(verified.wrong) - len(own)
    told = (because("wrong-elsewhere", count=elsewhere),) if elsewhere else ()
    named = dict.fromkeys(d for one in kept for d in attachments.named(one.entry.attachments))
    with opened(place) as store, store.reading() as connection:
        files = {digest: attachments.state(connection, digest) for digest in named}
        before = tuple(one for one in entries(connection, SHOP) if one.entry.at <= kept[-1].entry.at)
    return JobRecord(job, kept, verified.head, (*own, *told), files, before)


def read_whole(place: str | Store, digests: Iterable[str], most: int) -> Mapping[str, bytes]:
    """The bytes of files by their digest; without those that are not whole, or of more than `most` bytes."""
    found: dict[str, bytes] = {}
    with opened(place) as store, store.reading() as connection:
        for digest in digests:
            if attachments.state(connection, digest) is not State.WHOLE:
                continue
            content = bytearray()
            for piece in attachments.read(connection, digest):
                content += piece
                if len(content) > most:
                    break
            else:
                found[digest] = bytes(content)
    return found

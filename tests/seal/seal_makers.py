"""A record in memory, kept as the store keeps it: entry by entry, with the head and the parts of the log."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

from standtrue.seal import NOTHING, Entry, Head, Kept, Mark, Range, canonical, content_digest, leaf_of, listed, sealed

KINDS = ("needs", "plan", "measured", "signed", "kept")


def made(jobs: Sequence[str], *, tag: str = "") -> tuple[list[Kept], Head, Range]:
    """A record with one entry for each of these names of jobs, in this order."""
    kept: list[Kept] = []
    last: dict[str, Kept] = {}
    log = Range()
    for index, job in enumerate(jobs):
        one = appended(index, job, last.get(job), log, tag)
        kept.append(one)
        last[job] = one
        log = log.grown(leaf_of(one.digest))
    return kept, Head(log.size, log.root, _at(log.size - 1) if jobs else ""), log


def appended(index: int, job: str, before: Kept | None, log: Range, tag: str = "") -> Kept:
    """The entry that comes next, true in itself."""
    number = 0 if before is None else before.entry.number + 1
    salt = hashlib.sha256(f"salt {index}".encode()).digest()[:16]
    content = canonical({"answer": f"{tag}{index}", "figures": [index / 7, number]})
    entry = Entry(
        index=index,
        job=job,
        number=number,
        kind=KINDS[index % len(KINDS)],
        shape=1,
        who="Person A",
        at=_at(index),
        program="standtrue 0.1.0",
        documents=listed([Mark("job", job, 1)]),
        attachments="[]",
        content=content_digest(salt, content),
        before=NOTHING if before is None else before.digest,
        log=log.root,
    )
    return sealed(entry, salt, content)


def _at(index: int) -> str:
    return f"2026-03-{1 + index // 1440 % 28:02d}T{index // 60 % 24:02d}:{index % 60:02d}:00Z"

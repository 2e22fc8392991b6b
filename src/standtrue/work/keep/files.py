"""Files and notes that somebody brings to a job: a scan, a photo, any file. Bytes only, never opened by the program."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Literal, get_args

from attrs import evolve, frozen
from sqlalchemy import Connection

from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.basis import Basis, basis_of
from standtrue.model.reason import because
from standtrue.model.shop import Shop
from standtrue.seal import Kept
from standtrue.store import attachments
from standtrue.store.database import open_store
from standtrue.store.journal import append
from standtrue.work.ask import pick
from standtrue.work.keep.answers import Said, draft_of, now

What = Literal["scan before", "scan after", "photo", "file", "note"]
WHAT: tuple[What, ...] = get_args(What)
"""What may be brought."""


@frozen
class BroughtFile:
    """A file as it was called, its size in bytes, and the digest by which it is found."""

    name: str
    size: int
    digest: str


@frozen
class Brought:
    """What somebody brought to a job."""

    job: str
    what: What
    text: str
    files: tuple[BroughtFile, ...]
    basis: Basis


def keep_files(  # long: one parameter for each thing that is told
    place: str | None,
    shop: Shop,
    job: str | None,
    what: str,
    files: Sequence[Path],
    text: str,
    by: str,
    said: Callable[[Brought], Said],
) -> tuple[Brought, Kept]:
    """Keep files and what was said with them as one entry of a job: all of it, or nothing. Raises UnansweredError."""
    if place is None:
        raise no_store()
    with open_store(place) as store, store.writing() as connection:
        return keep_files_in(connection, shop, job, what, files, text, by, said)


def keep_files_in(  # long: one parameter for each thing that is told
    connection: Connection,
    shop: Shop,
    job: str | None,
    what: str,
    files: Sequence[Path],
    text: str,
    by: str,
    said: Callable[[Brought], Said],
) -> tuple[Brought, Kept]:
    """The same within a transaction of the store."""
    asked = pick("job", job, shop.jobs, "--job")
    kind = pick("what was brought", what, {one: one for one in WHAT}, "--what")
    if not files and not text.strip():
        remedy = because("name-file-or-text", option="--text")
        raise UnansweredError([Fault("nothing-to-keep", because("nothing-to-keep"), "", "", "", remedy)])
    basis = basis_of(shop.touched)
    kept = tuple(_brought(connection, file, asked.name) for file in files)
    brought = Brought(asked.name, kind, text.strip(), kept, basis)
    draft = draft_of(connection, shop, asked.name, said(brought), basis.marks, by)
    with_files = evolve(draft, attachments=tuple(dict.fromkeys(one.digest for one in kept)))
    return brought, append(connection, with_files, now())


def _brought(connection: Connection, file: Path, job: str) -> BroughtFile:
    digest = attachments.keep(connection, file, job)
    return BroughtFile(file.name, attachments.size_of(connection, digest), digest)


def no_store() -> UnansweredError:
    """Nothing can be kept of a shop that is in no store."""
    what, remedy = because("no-store-here"), because("import-first", command="standtrue import")
    return UnansweredError([Fault("store-unreachable", what, "", "--store", "", remedy)])

"""Proving the record: every entry, every file, every version of a document, against the head and heads handed out."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from pathlib import Path

from attrs import frozen
from sqlalchemy import Connection, select, text

from standtrue.model.asking import Asking, Progress
from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import Reason, because
from standtrue.seal import Broken, Head, How, Kept, diagnose, read_head
from standtrue.store import attachments, journal
from standtrue.store.attachments import State
from standtrue.store.database import Store, opened
from standtrue.store.documents import wrong_with
from standtrue.store.removal import KIND
from standtrue.store.tables import document_version

MOST_FOUND = 20
"""So much is told of what the database's own check finds."""

TOLD_EVERY = 256
"""After so many entries it is told how far it is."""

MOST_TEXT = 1 << 20
"""A file that is larger holds no head that somebody kept, bytes."""


@frozen
class Anchored:
    """A head that somebody kept, and whether the log still begins with it."""

    head: Head
    holds: bool


@frozen
class Verified:
    """What was looked at, and all that is wrong with it; nothing: it is whole.

    `wrong` is told entry by entry in the order of the log, then files, then documents.
    """

    head: Head
    files: int
    versions: int
    wrong: tuple[Reason, ...]
    anchors: tuple[Anchored, ...] = ()
    job: str | None = None
    """Of a record of one job, handed out: which; None for a store."""
    removed: int = 0
    """Of how many entries what they held was taken out by the shop's rule."""


def verify_store(place: str | Store, against: Sequence[str] = (), asking: Asking = Asking()) -> Verified:
    """Prove the whole record of a store. Raises UnansweredError where it cannot be read, and for no anchor.

    No stop is looked at: of a record that was read in part nothing is proven.
    """
    anchors = tuple(map(anchor_said, against))
    with opened(place) as store, journal.read_rows(store) as connection:
        head, log = journal.read_head(connection)
        seen = _Seen()
        entries = _counted(seen.through(journal.entries(connection)), head.size, asking)
        told = diagnose(entries, head, log, anchors)
        wrong = (
            *map(broken_told, told.broken),
            *unsaid(seen.removals),
            *_of_files(connection, seen),
            *wrong_with(connection),
            *_of_documents(connection, seen),
            *_of_database(connection),
        )
        versions = len(connection.execute(select(document_version.c.version)).all())
    broken = [one for one in told.broken if one.how in (How.REWRITTEN, How.TAIL_CUT)]
    held = tuple(Anchored(one, not any(_against(b, one) for b in broken)) for one in anchors)
    return Verified(head, len(seen.files), versions, wrong, held, removed=len(seen.removals.gone))


def _counted(entries: Iterable[Kept], of: int, asking: Asking) -> Iterator[Kept]:
    for number, entry in enumerate(entries):
        if number % TOLD_EVERY == 0:
            asking.tell(Progress(because("proving-entries"), number, of))
        yield entry


def _against(broken: Broken, anchor: Head) -> bool:
    """Whether this says that the log does not begin as it did for an anchor."""
    if broken.how is How.REWRITTEN:
        return broken.count == anchor.size
    return broken.index < anchor.size


def head_of(place: str | Store) -> Head:
    """The head to hand out. Raises UnansweredError."""
    with opened(place) as store, store.reading() as connection:
        return journal.read_head(connection)[0]


def is_anchor(said: str) -> bool:
    """Whether a text, as it is, is a head that somebody kept."""
    return read_head(said) is not None


def anchor_said(said: str) -> Head:
    """A head that somebody kept: as text, or a file that holds the text. Raises UnansweredError for neither."""
    held = read_head(said)
    if held is not None:
        return held
    line, file = said, Path(said)
    try:
        if file.is_file() and file.stat().st_size <= MOST_TEXT:
            line = file.read_bytes().decode("utf-8", "replace")
    except (OSError, ValueError):  # too long for a file's name, or none
        line = said
    found = read_head(line)
    if found is None:
        what, remedy = because("no-anchor"), because("give-anchor", command="standtrue anchor")
        raise UnansweredError([Fault("no-anchor", what, "", "--against", said[:80], remedy)])
    return found


class Removals:
    """What was taken out, and what the entries of removal say that was: the one without the other is wrong."""

    def __init__(self) -> None:
        self.gone: list[tuple[int, str, int]] = []
        self.documents: set[tuple[str, str, int]] = set()
        self._until: dict[str, int] = {}

    def look_at(self, one: Kept) -> None:
        """Note an entry that holds nothing any more, or that says what was taken out."""
        entry = one.entry
        if one.content is None:
            self.gone.append((entry.index, entry.job, entry.number))
        elif entry.kind == KIND:
            self._until[entry.job] = entry.number
            with suppress(ValueError, KeyError, TypeError):  # altered: its own digest says so
                taken = json.loads(one.content)["documents"]
                self.documents |= {(str(d["kind"]), str(d["name"]), int(d["version"])) for d in taken}

    def cover(self, job: str, number: int) -> bool:
        """Whether a later entry of the job says that what this one held was taken out."""
        return number < self._until.get(job, -1)


def unsaid(removals: Removals) -> Iterator[Reason]:
    """Entries that hold nothing any more, and of which no later entry says so."""
    for index, job, number in removals.gone:
        if not removals.cover(job, number):
            yield because("content-removed-unsaid", entry=index + 1, job=_job(job), number=number + 1)


class _Seen:
    """What the entries name, noted while they go by: their files, the versions of documents, and those they brought."""

    def __init__(self) -> None:
        self.files: dict[str, tuple[str, int]] = {}
        self.documents: dict[tuple[str, str, int], tuple[str, int]] = {}
        self.brought: dict[tuple[int, int], _Brought] = {}
        self.removals = Removals()

    def through(self, entries: Iterable[Kept]) -> Iterator[Kept]:
        """The entries as they come."""
        lists: dict[str, list[tuple[str, str, int]]] = {}
        for one in entries:
            who = (one.entry.job, one.entry.number)
            self.removals.look_at(one)
            for digest in attachments.named(one.entry.attachments) if one.entry.attachments != "[]" else ():
                self.files.setdefault(digest, who)
            if one.entry.documents not in lists:
                lists[one.entry.documents] = journal.documents_of(one.entry.documents)
                for version in lists[one.entry.documents]:
                    self.documents.setdefault(version, who)
            if one.content is not None and _BRINGS in one.content:
                with suppress(ValueError, KeyError, TypeError):  # altered: its own digest says so
                    for v in json.loads(one.content)["saved"]:
                        called = _called(v["kind"], v["name"], v["path"])
                        self.brought[int(v["document"]), int(v["version"])] = _Brought(str(v["seal"]), called, *who)
            yield one


_BRINGS = b'"saved":[{'
"""This stands in the content of an entry that brought versions: within a text its quotation marks would be escaped."""


@frozen
class _Brought:
    """A version as the entry tells that brought it."""

    seal: str
    document: str
    job: str
    number: int


def _of_files(connection: Connection, seen: _Seen) -> Iterator[Reason]:
    """Files that are not what an entry names, and files that no entry names."""
    codes = {State.ALTERED: "file-altered", State.LOST: "file-lost", State.REMOVED: "file-removed-unsaid"}
    for digest, (job, number) in seen.files.items():
        state = attachments.state(connection, digest)
        if state in codes and not (state is State.REMOVED and seen.removals.cover(job, number)):
            yield because(codes[state], job=_job(job), number=number + 1, digest=digest[:16])
    for digest in attachments.unnamed(connection, seen.files):
        yield because("file-of-no-entry", digest=digest[:16])


def _of_database(connection: Connection) -> Iterator[Reason]:
    """What SQLite's own check of its pages and indexes finds. PostgreSQL checks each page as it reads it."""
    if connection.dialect.name == "sqlite":
        found = [str(row[0]) for row in connection.execute(text(f"PRAGMA integrity_check({MOST_FOUND})"))]
        yield from (because("database-finds", what=one) for one in found if one != "ok")


def _of_documents(connection: Connection, seen: _Seen) -> Iterator[Reason]:
    """Versions that an entry names and that are not there, and those that are there and that no entry brought."""
    told = document_version.c
    there = {tuple(row) for row in connection.execute(select(told.kind, told.name, told.version))}
    gone = select(told.kind, told.name, told.version).where(told.content.is_(None), told.digest != "")
    for kind, name, version in {tuple(row) for row in connection.execute(gone)} - seen.removals.documents:
        yield because("version-removed-unsaid", kind=kind, name=name, version=version)
    for (kind, name, version), (job, number) in seen.documents.items():
        if version and (kind, name, version) not in there:
            yield because(
                "version-of-entry-lost", kind=kind, name=name, version=version, job=_job(job), number=number + 1
            )
    yield from _of_brought(connection, seen.brought)


def _of_brought(connection: Connection, brought: Mapping[tuple[int, int], _Brought]) -> Iterator[Reason]:
    """Versions that are not those that the entries brought, are not there, or that no entry brought."""
    left, told = dict(brought), document_version.c
    stored = select(told.document, told.version, told.seal, told.kind, told.name, told.path)
    for number, version, seal, kind, name, path in connection.execute(stored.order_by(told.document, told.version)):
        values = {"document": _clean(_called(kind, name, path)), "version": version}
        said = left.pop((number, version), None)
        if said is None:
            yield because("version-of-no-entry", **values)
        elif said.seal != seal:
            yield because("version-not-as-brought", **values, job=_job(said.job), number=said.number + 1)
    for (_, version), said in left.items():
        document, job = _clean(said.document), _job(said.job)
        yield because("version-brought-lost", document=document, version=version, job=job, number=said.number + 1)


def _called(kind: str, name: str, path: str) -> str:
    return f"{kind}/{name}" if kind and name else path


def broken_told(broken: Broken) -> Reason:
    """What is wrong with an entry or the log, as a value. Entries are counted from 1 for people."""
    code = f"entry-{broken.how.value.replace(' ', '-')}"
    if broken.how is How.HEAD_ALTERED:
        return because(code)
    if broken.how is How.REWRITTEN:
        return because(code, count=broken.count)
    if broken.how is How.TAIL_CUT or broken.number is None:
        return because(
            code if broken.how is How.TAIL_CUT else "entries-lost", first=broken.index + 1, count=broken.count
        )
    values: dict[str, int | str | Reason] = {
        "entry": broken.index + 1,
        "job": _job(broken.job),
        "number": broken.number + 1,
    }
    if broken.how is How.MOVED:
        values |= {"was": (broken.was or 0) + 1, "count": broken.count}
    return because(code, **values)


def _job(name: str) -> str | Reason:
    """A job's name as it can be said, whatever was written over it."""
    return _clean(name) or because("the-shop-itself")


def _clean(name: str) -> str:
    told = name.encode("utf-8", "surrogateescape").decode("utf-8", "replace")
    return re.sub(r"[\x00-\x1f\x7f]", "\N{REPLACEMENT CHARACTER}", told)

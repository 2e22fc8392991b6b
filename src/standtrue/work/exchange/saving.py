"""A single document of a store saved as a version or removed, by somebody who says which version they have seen.

What would leave a fault in it, or a new one in any other document, is not saved: all such faults are told at once.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from attrs import evolve, frozen
from sqlalchemy import Connection

from standtrue.documents import Document, gather, load_text
from standtrue.documents.rewriting import rewritten
from standtrue.model.basics import DocumentMark, Fault, UnansweredError
from standtrue.model.reason import because
from standtrue.store.documents import Draft, StaleError, Version, called, history, lies_at
from standtrue.work.keep.answers import Said, saving_now
from standtrue.work.keep.versions import Saved, save_document
from standtrue.work.served import Read, Served

__all__ = [
    "Change",
    "StaleError",
    "Version",
    "change_as_said",
    "checked",
    "history_in",
    "named_in",
    "save_in",
    "version_in",
]


@frozen
class Change:
    """What a document is to be: its bytes, or None to remove it. `seen` is the version that is changed; 0: none."""

    kind: str
    name: str
    content: bytes | None
    seen: int
    path: str = ""
    """Where it lies; "": said by `checked`."""
    mark: str = ""
    """The digest of its mark, likewise."""


def change_as_said(read: Read, kind: str, name: str, said: bytes, seen: int) -> Change:
    """A change to what a document says as JSON: written as it is written now, with the comments of what stays.

    Raises UnansweredError for the faults of what is said.
    """
    before = read.version(kind, name)
    path = new_path(read, kind, name) if before is None else before.path
    new = load_text(said, f"{path}.json")
    if new.faults:
        raise UnansweredError(evolve(fault, file=path) for fault in new.faults)
    source = b"" if before is None else before.content
    return Change(kind, name, rewritten(source or b"", path, new.content), seen)


def checked(read: Read, change: Change) -> Change:
    """The change with its path and mark. Raises UnansweredError for every fault that it would leave."""
    before = read.version(change.kind, change.name)
    path = new_path(read, change.kind, change.name) if before is None else before.path
    rest = [document for document in read.documents if document.file != path]
    mark = ""
    if change.content is not None:
        new = load_text(change.content, path)
        mark = _mark_of(new, change).digest
        rest.append(new)
    known = set(read.folder.faults)
    faults = [fault for fault in gather(rest, read.day).faults if fault.file == path or fault not in known]
    if faults:
        raise UnansweredError(faults)
    return evolve(change, path=path, mark=mark)


def save_in(connection: Connection, change: Change, by: str, said: Callable[[Saved], Said]) -> Version:
    """Save a change that was checked, within the writer's transaction, with the entry that `said` writes of it.

    Raises StaleError where `seen` is no longer the latest version.
    """
    latest = called(connection, change.kind, change.name) or lies_at(connection, change.path)
    number, based_on = None, change.seen
    if latest is not None:
        number = latest.document
        if latest.content is None and not change.seen:
            based_on = latest.version
    draft = Draft(number, based_on, change.kind, change.name, change.path, change.content, change.mark)
    what = "removed" if change.content is None else "changed" if change.seen else "new"
    return save_document(connection, what, draft, saving_now(by), said)


def history_in(served: Served, kind: str, name: str) -> tuple[Version, ...]:
    """Every version of the documents that ever had this kind and name."""
    with served.store.reading() as connection:
        return history(connection, kind, name)


def version_in(served: Served, kind: str, name: str, version: int) -> Version | None:
    """One version of a document; None where there is none, or it was taken out."""
    return next((one for one in reversed(history_in(served, kind, name)) if one.version == version), None)


def named_in(content: bytes, file: str) -> tuple[str, str]:
    """Which document a file is, as it says itself. Raises UnansweredError for one that cannot be read."""
    read = load_text(content, file)
    if read.faults or read.mark is None:
        raise UnansweredError(read.faults)
    return read.mark.kind, read.mark.name


def new_path(read: Read, kind: str, name: str) -> str:
    """Where a new document lies: by kind and name, beside what is there."""
    slug = re.sub(r"[^a-z0-9]+", "-", f"{kind} {name}".lower()).strip("-")[:80] or "document"
    taken, count = {one.path for one in read.versions}, 1
    while (path := f"{slug}.toml" if count == 1 else f"{slug}-{count}.toml") in taken:
        count += 1
    return path


def _mark_of(new: Document, change: Change) -> DocumentMark:
    """The mark of a document that can be read and is the one that is to be changed. Raises UnansweredError."""
    if new.faults or new.mark is None:
        raise UnansweredError(new.faults)
    if (new.mark.kind, new.mark.name) != (change.kind, change.name):
        what = because("document-calls-itself", kind=new.mark.kind, name=new.mark.name)
        remedy = because("call-it-as-asked", kind=change.kind, name=change.name)
        raise UnansweredError([Fault("another-document", what, new.file, "name", new.mark.name, remedy)])
    return new.mark

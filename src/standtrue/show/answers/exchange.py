"""What became of documents between a folder and a store, and their versions, as data."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from pydantic import Field

from standtrue.show.answers.parts import Shape, program
from standtrue.store.documents import Version
from standtrue.store.exchange import Step
from standtrue.work.exchange.folders import TakenIn, WrittenOut
from standtrue.work.keep.versions import Saved


class VersionShape(Shape):
    kind: str = Field(description='"" where it could not be told.')
    name: str
    path: str = Field(description="Where the file lies in the folder.")
    version: int = Field(description="From 1.")
    based_on: int = Field(description="The version that whoever saved it had seen; 0: none.")
    removed: bool = Field(description="Whether the document was removed by it.")
    saved_at: str = Field(description="UTC, ISO 8601.")
    saved_by: str
    program: str
    digest: str = Field(description='SHA-256 over salt and content; "" where it was removed.')


class DocumentTaken(Shape):
    what: Literal["same", "new", "changed", "moved", "removed", "newer", "elsewhere", "stale"] = Field(
        description="`newer`: changed in the store only; `elsewhere`: never was in this folder; `stale`: in both."
    )
    path: str
    based_on: int = Field(description="The version that the file rests on; 0: none that is known.")
    stored: VersionShape | None = Field(description="The latest version before this; null for none.")
    file_text: str | None = Field(default=None, description="Of a stale one: what is in the folder.")
    stored_text: str | None = Field(default=None, description="Of a stale one: what is in the store.")


class ImportAnswer(Shape):
    store: str
    by: str
    taken_in: bool = Field(description="False where a document is stale: then nothing was.")
    faulty: int = Field(description="Files with faults; they are kept like any other.")
    documents: list[DocumentTaken]


class SavedVersion(Shape):
    what: str = Field(description="new, changed, moved or removed; found: there before any entry told of versions.")
    document: int = Field(description="The document's number in the store.")
    version: int = Field(description="From 1.")
    kind: str = Field(description='"" where it could not be told.')
    name: str
    path: str
    seal: str = Field(description="SHA-256 over all that is told of the version, and over the seal before it.")


class TakenInAnswer(Shape):
    """What an import brought, as the record keeps it."""

    program: str
    by: str
    faulty: int = Field(description="Files with faults; they are kept like any other.")
    saved: list[SavedVersion]


class ExportAnswer(Shape):
    store: str
    written: list[str]
    taken_away: list[str]
    same: int = Field(description="Files that were as they are stored.")


class HistoryAnswer(Shape):
    versions: list[VersionShape]


def of_import(taken: TakenIn) -> ImportAnswer:
    """What `import` answers."""
    documents = [_document(step) for step in taken.steps]
    return ImportAnswer(
        store=taken.store, by=taken.by, taken_in=not taken.stale, faulty=taken.faulty, documents=documents
    )


def of_taken_in(taken: TakenIn) -> TakenInAnswer:
    """What the record keeps of an import."""
    return TakenInAnswer(
        program=program(), by=taken.by, faulty=taken.faulty, saved=[of_saved(one) for one in taken.saved]
    )


class SavedAnswer(Shape):
    """A document that somebody saved or removed by itself, as the record keeps it."""

    program: str
    by: str
    saved: list[SavedVersion]


def of_saved_alone(one: Saved) -> SavedAnswer:
    """What the record keeps of one document that was saved."""
    return SavedAnswer(program=program(), by=one.version.saved_by, saved=[of_saved(one)])


def of_saved(one: Saved) -> SavedVersion:
    """A version that was saved."""
    made = one.version
    return SavedVersion(
        what=one.what,
        document=made.document,
        version=made.version,
        kind=made.kind,
        name=made.name,
        path=made.path,
        seal=made.seal,
    )


def of_export(written: WrittenOut) -> ExportAnswer:
    """What `export` answers."""
    return ExportAnswer(
        store=written.store,
        written=list(written.written),
        taken_away=list(written.taken_away),
        same=written.same,
    )


def of_history(versions: Iterable[Version]) -> HistoryAnswer:
    """What `history` answers."""
    return HistoryAnswer(versions=[_version(one) for one in versions])


def _document(step: Step) -> DocumentTaken:
    stale = step.what == "stale"
    return DocumentTaken(
        what=step.what,
        path=step.path,
        based_on=step.based_on,
        stored=None if step.latest is None else _version(step.latest),
        file_text=_text(step.file.content) if stale and step.file is not None else None,
        stored_text=_text(step.latest.content) if stale and step.latest is not None else None,
    )


def _text(content: bytes | None) -> str | None:
    return None if content is None else content.decode("utf-8", "replace")


def _version(one: Version) -> VersionShape:
    return VersionShape(
        kind=one.kind,
        name=one.name,
        path=one.path,
        version=one.version,
        based_on=one.based_on,
        removed=not one.digest,
        saved_at=one.saved_at,
        saved_by=one.saved_by,
        program=one.program,
        digest=one.digest,
    )

"""The shop as a store has it, and what of the folder's files differs from it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from attrs import evolve

from standtrue.documents import Document, Folder, gather, load_text
from standtrue.documents.loading import sources
from standtrue.model.reason import Reason, because
from standtrue.work.last_plans import LastPlans
from standtrue.work.where import Where, stored_versions

if TYPE_CHECKING:
    from standtrue.store.documents import Version

MOST_NAMED = 5


def stored_folder(folder: Path, where: Where, today: str = "") -> Folder | None:
    """The shop of a folder as it is stored, with a warning of files that differ from it; None where it is in no store.

    Raises UnansweredError where the store cannot be read.
    """
    found = stored_versions(folder, where)
    if found is None:
        return None
    versions, identity = found
    place = where.place(folder)
    assert place is not None  # its versions were read
    return gathered(folder, place, documents_of(versions), versions, identity, today)


def gathered(
    folder: Path, place: str, documents: Iterable[Document], versions: tuple[Version, ...], identity: str, today: str
) -> Folder:
    """These documents of the store at `place` as a shop, with a warning of files of its folder that are not as they are
    stored, and with what its jobs were last planned with."""
    read = gather(documents, today)
    apart = tuple(_differing(folder, versions, identity))
    return evolve(read, apart=apart, planned=LastPlans(place, tuple(read.jobs)))


def stored_documents(folder: Path, where: Where) -> tuple[Document, ...] | None:
    """Every document that is stored of a folder's shop, sound or not; None where it is in no store."""
    found = stored_versions(folder, where)
    return None if found is None else documents_of(found[0])


def documents_of(versions: Iterable[Version], known: Iterable[Document] = ()) -> tuple[Document, ...]:
    """The documents of versions that are not removed; those that are `known` with the same bytes are not read again."""
    read = {(document.file, document.source): document for document in known}
    live = ((one.path, one.content) for one in versions if one.content is not None)
    return tuple(read.get((path, content)) or load_text(content, path) for path, content in live)


def _differing(folder: Path, versions: tuple[Version, ...], identity: str) -> Iterator[Reason]:
    """A warning where files of the folder are not as they are stored."""
    from standtrue.store.exchange import compare, files_of, read_notes

    if not folder.is_dir():
        return
    steps = compare(files_of(sources(folder)[0], versions), versions, read_notes(folder, identity))
    older = tuple(step.path for step in steps if step.what == "newer")
    other = tuple(step.path for step in steps if step.what not in ("same", "newer", "elsewhere"))
    for code, paths, command in (
        ("files-differ-from-store", other, "standtrue import"),
        ("files-older-than-store", older, "standtrue export"),
    ):
        if paths:
            yield because(code, count=len(paths), files=paths[:MOST_NAMED], command=command)

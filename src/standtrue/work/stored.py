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
    read = gather(_documents(versions), today)
    place = where.place(folder)
    planned = {} if place is None else LastPlans(place, tuple(read.jobs))
    return evolve(read, apart=tuple(_differing(folder, versions, identity)), planned=planned)


def stored_documents(folder: Path, where: Where) -> tuple[Document, ...] | None:
    """Every document that is stored of a folder's shop, sound or not; None where it is in no store."""
    found = stored_versions(folder, where)
    return None if found is None else tuple(_documents(found[0]))


def _documents(versions: Iterable[Version]) -> Iterator[Document]:
    return (load_text(one.content, one.path) for one in versions if one.content is not None)


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

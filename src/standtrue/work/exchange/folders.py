"""Taking a folder's files into a store, and writing a store's documents into a folder."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

from attrs import frozen
from sqlalchemy import Connection

from standtrue.documents import gather, load_text
from standtrue.documents.loading import sources, unreadable_folder
from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import Reason, Term, because
from standtrue.store.database import open_store
from standtrue.store.documents import Saving, Version, history, identified, identity, latest_versions, save
from standtrue.store.exchange import (
    NOTES_FILE,
    File,
    Note,
    Step,
    based_anew,
    compare,
    files_of,
    note_of,
    read_notes,
    write_file,
    write_notes,
)
from standtrue.store.journal import last_of
from standtrue.work.keep.answers import SHOP, Said, saving_now
from standtrue.work.keep.versions import Saved, note_saved
from standtrue.work.where import STORE_FILE, Where

Seen = Mapping[str, int]
"""By KIND/NAME or path: the version that whoever saves has seen, where the folder does not know."""


@frozen
class TakenIn:
    """What became of each document of a folder. Where some are stale nothing was taken in."""

    store: str
    by: str
    steps: tuple[Step, ...]
    faulty: int
    """How many files of the folder have faults: they are kept like any other."""
    saved: tuple[Saved, ...] = ()
    """The versions that the entry of this import tells of."""

    @property
    def stale(self) -> tuple[Step, ...]:
        return self.of("stale")

    def of(self, *what: str) -> tuple[Step, ...]:
        """The documents that stand so."""
        return tuple(step for step in self.steps if step.what in what)


@frozen
class WrittenOut:
    """The files that were written, and those that were taken away; and how many were as they are stored."""

    store: str
    written: tuple[str, ...]
    taken_away: tuple[str, ...]
    same: int


def take_in(folder: Path, where: Where, by: str, seen: Seen, said: Callable[[TakenIn], Said]) -> TakenIn:
    """Take what is new, changed or removed in a folder into its store as versions: all of it, or nothing. That it was
    is an entry of the shop, as `said` writes it down.

    Raises UnansweredError for files that cannot be read, and where the store cannot be written.
    """
    found = _readable(folder)
    faults = gather(load_text(data, path) for path, data in found.items()).faults
    faulty = len({fault.file for fault in faults})
    place = where.place(folder) or str(folder / STORE_FILE)
    with open_store(place, make=True) as store:
        saving = saving_now(by)
        with store.writing() as connection:
            name = identified(connection, saving)
            steps = _compared(connection, folder, found, name, seen)
            kept = {} if any(step.what == "stale" for step in steps) else _saved(connection, steps, saving)
            saved = _told(connection, steps, kept)
            taken = TakenIn(store.where, by, steps, faulty, saved)
            if saved:
                note_saved(connection, saved, said(taken), saving)
            notes = [] if not kept else _noted(steps, kept, read_notes(folder, name))
        if kept:
            _note(folder, name, notes)
    return taken


def write_out(folder: Path, out: Path, where: Where) -> WrittenOut:
    """Write every document of a folder's store into another folder, or the same, byte for byte.

    Raises UnansweredError, and writes nothing, where a file there was changed and not taken in; and for no store.
    """
    place = where.place(folder)
    if place is None:
        what, remedy = because("store-empty"), because("import-first", command="standtrue import")
        raise UnansweredError([Fault("store-unreachable", what, str(folder), "", "", remedy)])
    with open_store(place) as store:
        with store.reading() as connection:
            versions, name = latest_versions(connection), identity(connection)
        found = _readable(out) if out.is_dir() else {}
        steps = compare(files_of(found, versions), versions, read_notes(out, name))
        _refuse_changed(steps, out)
        live = {one.path: one.content for one in versions if one.content is not None}
        written = tuple(path for path, content in live.items() if found.get(path) != content)
        gone = tuple(s.path for s in steps if s.what == "newer" and s.path not in live)
        for path in written:
            _write(out, path, live[path])
        for path in gone:
            (out / path).unlink(missing_ok=True)
        _note(out, name, [note_of(one) for one in versions if one.content is not None])
    return WrittenOut(store.where, written, gone, len(live) - len(written))


def history_of(folder: Path, where: Where, kind: str | None, name: str | None) -> tuple[Version, ...]:
    """Every version of the documents of this kind and name, in the order of time. Raises UnansweredError."""
    place = where.place(folder)
    with open_store(place if place is not None else folder) as store, store.reading() as connection:
        return history(connection, kind, name)


def _readable(folder: Path) -> dict[str, bytes]:
    """The documents of a folder, byte for byte. Raises UnansweredError if one cannot be read or named."""
    try:
        found, broken = sources(folder)
    except (OSError, ValueError) as error:
        found, broken = {}, [unreadable_folder(folder, error)]
    faults = [fault for one in broken for fault in one.faults]
    for path in found:
        if "\\" in path and not (folder / path).exists():  # how a name that is not UTF-8 is shown
            faults.append(_fault(path, because("name-not-utf8"), because("rename-in-utf8")))
    if faults:
        raise UnansweredError(faults)
    return found


def _compared(
    connection: Connection, folder: Path, found: Mapping[str, bytes], name: str, seen: Seen
) -> tuple[Step, ...]:
    versions = latest_versions(connection)
    steps = compare(files_of(found, versions), versions, read_notes(folder, name))
    return tuple(based_anew(step, _seen(step, seen)) for step in steps)


def _seen(step: Step, seen: Seen) -> int:
    if step.latest is None:
        return 0
    return seen.get(f"{step.latest.kind}/{step.latest.name}", seen.get(step.path, 0))


def _saved(connection: Connection, steps: Iterable[Step], saving: Saving) -> dict[str, Version]:
    """The versions by path: those that were saved now, and those that were there already."""
    kept: dict[str, Version] = {}
    for step in steps:
        draft = step.draft
        if draft is not None:
            kept[step.path] = save(connection, draft, saving)
        elif step.what == "same" and step.latest is not None:
            kept[step.path] = step.latest
    return kept


def _told(connection: Connection, steps: Iterable[Step], kept: Mapping[str, Version]) -> tuple[Saved, ...]:
    """The versions that were saved now; with the first import those that were there before, too."""
    saved = [Saved(step.what, kept[step.path]) for step in steps if step.draft is not None and step.path in kept]
    if not kept or last_of(connection, SHOP, "import") is not None:
        return tuple(saved)
    own = {(one.version.document, one.version.version) for one in saved}
    before = (one for one in history(connection) if (one.document, one.version) not in own)
    return (*(Saved("found", one) for one in before), *saved)


def _noted(steps: Iterable[Step], kept: Mapping[str, Version], before: Iterable[Note]) -> list[Note]:
    """What the folder's files are copies of from now on; those that are older than the store stay so."""
    old = {step.path for step in steps if step.what == "newer"}
    notes = [note_of(one) for one in kept.values() if one.content is not None]
    return [*notes, *(note for note in before if note.path in old)]


def _refuse_changed(steps: Iterable[Step], out: Path) -> None:
    """Raises UnansweredError for files that would be lost: changed there, and in no store."""
    lost = [s for s in steps if isinstance(s.file, File) and s.what in ("changed", "moved", "stale")]
    taken = {s.latest.path for s in steps if s.latest is not None and s.latest.content is not None}
    lost += [s for s in steps if s.what == "new" and s.path in taken]
    remedy = because("import-or-name-new-folder", command="standtrue import")
    if lost:
        raise UnansweredError([_fault(str(out / s.path), because("file-not-taken-in"), remedy) for s in lost])


def _write(out: Path, path: str, content: bytes) -> None:
    try:
        write_file(out / path, content)
    except OSError as error:
        raise UnansweredError([_unwritable(out / path, error)]) from error


def _note(folder: Path, name: str, notes: Iterable[Note]) -> None:
    try:
        write_notes(folder, name, notes)
    except OSError as error:
        raise UnansweredError([_unwritable(folder / NOTES_FILE, error)]) from error


def _unwritable(file: Path, error: OSError) -> Fault:
    why = Term((error.strerror or os.strerror(error.errno or 0)).lower())
    return _fault(str(file), because("folder-unwritable", why=why), because("name-new-folder"))


def _fault(file: str, what: Reason, remedy: Reason) -> Fault:
    return Fault("unwritable", what, file, "", "", remedy)

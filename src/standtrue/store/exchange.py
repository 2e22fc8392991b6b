"""Folder and store, two ways: which files are taken in as versions, and which versions are written out as files.

A file comes back byte for byte, its comments too, and one with faults like any other: a shop loses nothing by a fault.

A document is the same in both where kind and name say so, else where the path does. In the folder a hidden file notes
which version each file was last taken from or given to: that is what a change in the folder is based on.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Literal, TypeVar

from attrs import evolve, frozen

from standtrue.documents.loading import load_text
from standtrue.store.documents import Draft, Version

NOTES_FILE = ".standtrue.json"
"""Hidden files are no documents: see `documents.loading`."""

What = Literal["same", "new", "changed", "moved", "removed", "newer", "elsewhere", "stale"]
"""How a document stands in folder and store; `newer`: changed in the store only; `elsewhere`: never in this folder."""


@frozen
class File:
    """A file of a folder: its bytes, and what can be told of it."""

    path: str
    kind: str
    name: str
    content: bytes
    mark: str


@frozen
class Note:
    """Which version a file of a folder is a copy of, or was changed from; `digest` is that of the bytes it had then."""

    document: int
    version: int
    path: str
    digest: str


@frozen
class Step:
    """A document in both: the file, the latest version, and on which version what is is there is based (0: none)."""

    what: What
    file: File | None
    latest: Version | None
    based_on: int = 0

    @property
    def path(self) -> str:
        """Where it lies in the folder; where it does not, where it lay."""
        return self.file.path if self.file is not None else self.latest.path if self.latest is not None else ""

    @property
    def draft(self) -> Draft | None:
        """What of it is to be saved; None where nothing is."""
        if self.what not in ("new", "changed", "moved", "removed"):
            return None
        number = None if self.latest is None else self.latest.document
        if self.file is not None:
            f = self.file
            return Draft(number, self.based_on, f.kind, f.name, f.path, f.content, f.mark)
        assert self.latest is not None
        return Draft(number, self.based_on, self.latest.kind, self.latest.name, self.latest.path, None, "")


def files_of(sources: Mapping[str, bytes], stored: Iterable[Version]) -> tuple[File, ...]:
    """The files, by path: those that are as they are stored need not be read again."""
    known = {one.path: one for one in stored if one.content is not None}
    return tuple(_file(path, data, known.get(path)) for path, data in sources.items())


def compare(files: Iterable[File], stored: Iterable[Version], notes: Iterable[Note]) -> tuple[Step, ...]:
    """How each document stands in a folder and in a store, in the order of their paths."""
    files, latest = tuple(files), {one.document: one for one in stored}
    noted = {note.document: note for note in notes if note.document in latest}
    found = _matched(files, latest, noted)
    steps = [_step(file, None if number is None else latest[number], noted.get(number or 0)) for file, number in found]
    matched = {number for _, number in found}
    gone = [one for one in latest.values() if one.document not in matched and one.content is not None]
    steps.extend(_step(None, one, noted.get(one.document)) for one in gone)
    return tuple(sorted(steps, key=lambda step: step.path))


def based_anew(step: Step, said: int) -> Step:
    """A step that is stale, by somebody who has seen version `said`: no longer so where that is the latest."""
    if step.what != "stale" or step.latest is None or step.latest.version != said:
        return step
    return evolve(step, what="removed" if step.file is None else "changed", based_on=said)


def read_notes(folder: Path, store: str) -> tuple[Note, ...]:
    """What a folder notes of a store (by its identity); nothing where it notes another, or nothing that can be read."""
    try:
        said = json.loads((folder / NOTES_FILE).read_text(encoding="utf-8"))
        if said["store"] != store:
            return ()
        return tuple(Note(int(n), int(v), str(path), str(digest)) for path, (n, v, digest) in said["files"].items())
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return ()


def write_notes(folder: Path, store: str, notes: Iterable[Note]) -> None:
    """Note anew what a folder's files are copies of. Raises OSError."""
    files = {note.path: [note.document, note.version, note.digest] for note in notes}
    write_file(folder / NOTES_FILE, json.dumps({"store": store, "files": files}, indent=1).encode() + b"\n")


def write_file(file: Path, content: bytes) -> None:
    """Write a file whole or not at all. Raises OSError."""
    file.parent.mkdir(parents=True, exist_ok=True)
    beside = file.with_name(f".{file.name}.{os.getpid()}")
    try:
        with beside.open("wb") as out:
            out.write(content)
            out.flush()
            os.fsync(out.fileno())
        beside.replace(file)
    except OSError:
        beside.unlink(missing_ok=True)
        raise


def note_of(one: Version) -> Note:
    """What a folder notes of a file that is this version."""
    return Note(one.document, one.version, one.path, _digest(one.content or b""))


def _file(path: str, data: bytes, same: Version | None) -> File:
    if same is not None and same.content == data:
        return File(path, same.kind, same.name, data, same.mark)
    read = load_text(data, path)
    if read.mark is not None:
        return File(path, read.mark.kind, read.mark.name, data, read.mark.digest)
    return File(path, read.head.get("kind", ""), read.head.get("name", ""), data, "")


def _matched(
    files: tuple[File, ...], latest: Mapping[int, Version], noted: Mapping[int, Note]
) -> list[tuple[File, int | None]]:
    """Each file, and the document that it is a version of: by kind and name, then by path; first those not removed."""
    there = {number: one for number, one in latest.items() if one.content is not None}
    removed = {number: one for number, one in latest.items() if one.content is None}
    left, found = dict.fromkeys(files), dict[File, int]()

    def match(stored: Mapping[int, Version], key: Callable[[File | Version], object]) -> None:
        free = {number: one for number, one in stored.items() if number not in found.values()}
        known = _once((key(one), number) for number, one in free.items())
        for said, file in _once((key(file), file) for file in left).items():
            if said in known:
                found[file] = known[said]
                del left[file]

    for stored in (there, {number: one for number, one in removed.items() if number in noted}):
        match(stored, _called)
        match(stored, lambda one: one.path)
    match(removed, _called)
    return [(file, found.get(file)) for file in files]


def _called(one: File | Version) -> tuple[str, str] | None:
    return (one.kind, one.name) if one.kind and one.name else None


Key = TypeVar("Key")
Found = TypeVar("Found")


def _once(pairs: Iterable[tuple[Key, Found]]) -> dict[Key, Found]:
    """What is called by a key, for keys that call one thing only."""
    all_of = list(pairs)
    count = Counter(key for key, _ in all_of)
    return {key: found for key, found in all_of if key is not None and count[key] == 1}


def _step(file: File | None, latest: Version | None, note: Note | None) -> Step:
    if latest is None:
        return Step("new", file, None)
    if file is not None and (file.content, file.path) == (latest.content, latest.path):
        return Step("same", file, latest, latest.version)
    based_on = 0 if note is None else note.version
    if latest.content is None:
        assert file is not None
        if note is None:
            return Step("new", file, latest, latest.version)
        untouched = _digest(file.content) == note.digest
        return Step("newer" if untouched else "stale", file, latest, based_on)
    if note is None:
        return Step("elsewhere" if file is None else "stale", file, latest)
    if file is not None and (_digest(file.content), file.path) == (note.digest, note.path):
        return Step("newer", file, latest, based_on)
    if note.version != latest.version:
        return Step("stale", file, latest, based_on)
    if file is None:
        return Step("removed", None, latest, based_on)
    return Step("moved" if file.content == latest.content else "changed", file, latest, based_on)


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()

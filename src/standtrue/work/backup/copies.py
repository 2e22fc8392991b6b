"""Backup, restore and move: a store is copied, and both are proven before the copy is told to be one."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

from attrs import frozen

from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import Reason, because
from standtrue.seal import Head
from standtrue.store.copies import copy_store, move_store
from standtrue.store.database import FILE, Store, open_store, shown
from standtrue.work.records.verifying import Verified, verify_store


@frozen
class Copied:
    """What was copied from where to where, the head that both have, and what is wrong with it, which was so before."""

    what: str
    source: str
    target: str
    head: Head
    files: int
    versions: int
    wrong: tuple[Reason, ...] = ()


def back_up(place: str, out: Path) -> Copied:
    """Copy a store into a new file, while others go on writing. Raises UnansweredError.

    A store that is not whole is copied too, as there may be no other; what is wrong with it is told.
    """
    if out.exists():
        raise _there(out)
    part = out.with_name(f".{out.name}.part")
    part.unlink(missing_ok=True)
    with open_store(place) as source:
        try:
            head = _copied(source, str(part), copy_store)
            proven = verify_store(str(part))
            _keep(part, out)
        finally:
            for left in (part, *(part.with_name(part.name + end) for end in ("-wal", "-shm"))):
                left.unlink(missing_ok=True)
        return _told("backup", source.where, str(out), head, proven)


def restore(file: Path, target: str) -> Copied:
    """Make a store of a backup, where there is none yet. Raises UnansweredError: it is not whole, or there is one."""
    proven = _proven(str(file))
    if "://" not in target:
        place = Path(target)
        if not place.suffix:
            place.mkdir(parents=True, exist_ok=True)
        if (there := place / FILE if place.is_dir() else place).exists():
            raise _there(there)
    with open_store(str(file)) as source:
        head = _copied(source, target, copy_store)
    return _told("restore", str(file), target, head, _same(target, proven))


def move(place: str, target: str) -> Copied:
    """Move a store to another place, where there is none yet; nothing is written into the old one any more.

    Raises UnansweredError: it is not whole, or there is something at the other place.
    """
    proven = _proven(place)
    with open_store(place) as source:
        head = _copied(source, target, move_store)
        return _told("move", source.where, target, head, _same(target, proven))


def _copied(source: Store, target: str, how: Callable[[Store, Store], Head]) -> Head:
    with open_store(target, make=True) as made:
        return how(source, made)


def _proven(place: str) -> Verified:
    """A store that is whole. Raises UnansweredError."""
    proven = verify_store(place)
    if proven.wrong:
        remedy = because("verify-then-copy", command="standtrue verify")
        raise UnansweredError([Fault("store-damaged", one, place, "", "", remedy) for one in proven.wrong])
    return proven


def _same(target: str, proven: Verified) -> Verified:
    """The copy, proven to begin as what was copied did."""
    copy = verify_store(target)
    if copy.wrong or copy.head.size < proven.head.size:
        remedy = because("try-store-again")
        raise UnansweredError([Fault("store-damaged", because("copy-differs"), target, "", "", remedy)])
    return copy


def _keep(part: Path, out: Path) -> None:
    """Give the finished file its name, which nobody has taken meanwhile."""
    try:
        with part.open("rb") as written:
            os.fsync(written.fileno())
        os.link(part, out)
    except FileExistsError:
        raise _there(out) from None
    except OSError as error:
        why = because("file-unwritable", error=error.strerror or str(error))
        raise UnansweredError([Fault("unwritable", why, str(out), "", "", because("name-a-writable-file"))]) from error


def _there(file: Path) -> UnansweredError:
    what, remedy = because("store-there-already"), because("name-a-new-file")
    return UnansweredError([Fault("unwritable", what, str(file), "", "", remedy)])


def _told(what: str, source: str, target: str, head: Head, proven: Verified) -> Copied:
    return Copied(what, source, shown(target), head, proven.files, proven.versions, proven.wrong)

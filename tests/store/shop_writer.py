"""Writers that are processes of their own, to be killed or to be many: each round is a whole job or nothing of it."""

from __future__ import annotations

import multiprocessing
import random
import resource
import signal
import time
from collections.abc import Iterator
from contextlib import contextmanager
from multiprocessing.connection import Connection as Pipe
from pathlib import Path
from typing import Any

from sqlalchemy import Connection

from standtrue.model.basics import UnansweredError
from standtrue.seal import canonical, diagnose
from standtrue.store import attachments, journal
from standtrue.store.attachments import State
from standtrue.store.database import Store, open_store
from standtrue.store.documents import Draft, Saving, StaleError, history, latest_versions, save, wrong_with

PROCESSES = multiprocessing.get_context("forkserver")
PROCESSES.set_forkserver_preload(["shop_writer", "sqlalchemy.dialects.sqlite", "psycopg", "alembic.command"])

AT = "2026-03-02T10:11:12.000Z"
PHOTO_BYTES = 20_000
PARTS = ("order", "set-up")
"""The documents of a round; with them goes an entry that names a file."""


def write_round(store: Store, file: Path, size: int = PHOTO_BYTES) -> int:
    """Write the next round in one transaction, with a file of so many bytes; its number, from 1."""
    with store.writing() as connection:
        there = {one.name: one for one in latest_versions(connection)}
        number = 1
        for name in PARTS:
            before = there.get(name)
            number = 1 if before is None else before.version + 1
            document = None if before is None else before.document
            content = f"# round {number}\n".encode() * 50
            draft = Draft(document, number - 1, "job", name, f"{name}.toml", content, "")
            save(connection, draft, Saving("Ana", AT, "test"))
        file.write_bytes(random.Random(number).randbytes(size))  # what no database makes smaller
        photo = attachments.keep(connection, file, "order")
        kept = journal.Draft("order", "scan", 1, "Ana", "test", canonical({"round": number}), attachments=(photo,))
        journal.append(connection, kept, AT)
    return number


def rounds_of(store: Store) -> int:
    """How many rounds are kept: every one of them whole, none in part. Waits for whoever is still writing."""
    with store.writing() as connection:
        assert list(wrong_with(connection)) == []
        versions = {name: [one.version for one in history(connection, "job", name)] for name in PARTS}
        entries = list(journal.entries(connection))
        found = diagnose(entries, *journal.read_head(connection))
        for one in entries:
            (photo,) = attachments.named(one.entry.attachments)
            assert attachments.state(connection, photo) is State.WHOLE
        assert not list(attachments.unnamed(connection, [attachments.named(e.entry.attachments)[0] for e in entries]))
    assert found.broken == ()
    assert [one.content for one in entries] == [canonical({"round": i + 1}) for i in range(len(entries))]
    assert set(map(tuple, versions.values())) == {tuple(range(1, len(entries) + 1))}
    return len(entries)


def write_on(place: str, folder: Path, limit: int | None, size: int, tell: Pipe) -> None:
    """Write round after round, and tell the number of each once it is kept; at the end what it was refused for.

    With a `limit` no file may grow beyond so many bytes.
    """
    if limit is not None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
    try:
        with open_store(place, make=True) as store:
            while True:
                tell.send(write_round(store, folder / "photo.jpg", size))
    except UnansweredError as refused:
        tell.send(refused.faults[0].code)


def count_up(place: str, name: str, seconds: float, begin: Any, tell: Pipe) -> None:
    """Add one to the number in a document that all writers share, again and again; tell how many were kept, and stale.

    All begin together.
    """
    kept = stale = 0
    with open_store(place) as store:
        begin.wait(60)
        until = time.time() + seconds
        while time.time() < until:
            with store.reading() as connection:
                (seen,) = latest_versions(connection)
            assert seen.content is not None
            draft = Draft(seen.document, seen.version, "mix", "count", "m.toml", b"%d" % (int(seen.content) + 1), "")
            try:
                with store.writing() as connection:
                    _save_and_note(connection, draft, name)
                kept += 1
            except StaleError:
                stale += 1
    tell.send((kept, stale))


def _save_and_note(connection: Connection, draft: Draft, name: str) -> None:
    made = save(connection, draft, Saving(name, AT, "test"))
    entry = journal.Draft(f"job of {name}", "note", 1, name, "test", canonical({"version": made.version}))
    journal.append(connection, entry, AT)


@contextmanager
def writer(target: Any, *arguments: Any) -> Iterator[tuple[Any, Pipe]]:
    """A process that runs `target` with a pipe behind these arguments, and our end of the pipe. Killed at the end."""
    ours, theirs = PROCESSES.Pipe(duplex=False)
    process = PROCESSES.Process(target=target, args=(*arguments, theirs))
    process.start()
    theirs.close()
    try:
        yield process, ours
    finally:
        process.kill()
        process.join()
        process.close()
        ours.close()


def told(pipe: Pipe) -> Iterator[Any]:
    """All that a writer still tells, until its end of the pipe is closed."""
    try:
        while True:
            yield pipe.recv()
    except (EOFError, ConnectionResetError):
        return

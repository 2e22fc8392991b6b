"""What was taken out is written over, however whoever took it out ended; and none wait for ever on others who read."""

from __future__ import annotations

import os
import signal
from pathlib import Path
from typing import Any

import pytest

from removing_shop import SECRET, fill, take_out
from shop_writer import writer
from standtrue.store import rewriting
from standtrue.store.database import Store, open_store
from standtrue.work.records.verifying import verify_store
from store_fixtures import Server


def end_before_it_is_written_over(place: str, _pipe: Any) -> None:
    """Take a job out, and be killed as soon as that is acknowledged."""

    def killed(*_: object) -> bool:
        os.kill(os.getpid(), signal.SIGKILL)
        return True

    setattr(rewriting, "write_over", killed)  # noqa: B010
    take_out(place, "job 1")


def held(place: str, request: pytest.FixtureRequest) -> bytes:
    """All bytes of a store's files; of the server's tables, once all is on disk."""
    if "://" not in place:
        return b"".join(file.read_bytes() for file in sorted(Path(place).parent.glob("standtrue.db*")))
    server: Server = request.getfixturevalue("postgresql")
    server.say("CHECKPOINT")
    return b"".join(file.read_bytes() for file in (server.folder / "data" / "base").glob("*/[0-9]*"))


def marks(place: str) -> tuple[str, ...]:
    with open_store(place) as store, store.reading() as connection:
        return rewriting.marks(connection)


def test_whoever_opens_the_store_next_writes_over_what_a_killed_one_left(
    place: str, store: Store, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    fill(store, tmp_path)
    store.close()
    with writer(end_before_it_is_written_over, place) as (process, _):
        process.join()
        assert process.exitcode == -signal.SIGKILL
    assert f"{SECRET} job 1".encode() in held(place, request), "the test shows nothing"
    open_store(place).close()
    after = held(place, request)
    assert (f"{SECRET} job 1".encode() in after, f"{SECRET} job 0".encode() in after) == (False, True)
    assert marks(place) == ()
    assert verify_store(place).wrong == ()


def test_while_somebody_reads_it_waits_for_the_next_time(
    place: str, store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(rewriting, "PATIENCE_MS", 50)
    fill(store, tmp_path)
    with store.reading() as connection:
        assert rewriting.marks(connection) == ()  # it reads from now on
        assert not take_out(place, "job 1").written_over
        assert len(marks(place)) == 1
        assert len(verify_store(place).wrong) == 0
    assert marks(place) == ()
    assert take_out(place, "job 0").written_over

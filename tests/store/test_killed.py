"""Killed while writing, client and server: nothing that was acknowledged is lost, nothing is there in part.

The next start needs no repair: the store is opened as ever.
"""

from __future__ import annotations

import random
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from shop_writer import PHOTO_BYTES, rounds_of, told, write_on, writer
from standtrue.store.database import open_store
from store_fixtures import Server

IN_CI, AT_LENGTH, OF_A_BLOCK = 15, 300, 20


def numbers(pipe: Any) -> Iterator[int]:
    return (one for one in told(pipe) if isinstance(one, int))


def kill_again_and_again(place: str, folder: Path, times: int, seed: int, server: Server | None = None) -> None:
    """Kill a writer, or in turn the server, after none to five rounds and some milliseconds more."""
    draw, kept = random.Random(seed), 0
    for turn in range(times):
        with writer(write_on, place, folder, None, PHOTO_BYTES) as (process, pipe):
            for _ in range(draw.randrange(6)):
                kept = pipe.recv()
            time.sleep(draw.uniform(0.0, 0.03))
            if server is not None and turn % 2:
                server.kill()
            else:
                process.kill()
            process.join()
            kept = max((kept, *numbers(pipe)))
        if server is not None and turn % 2:
            server.start()
        with open_store(place, make=True) as store:
            found = rounds_of(store)
        assert found in (kept, kept + 1), "one may have been kept and not yet acknowledged"
        kept = found
    assert kept > times


def test_a_killed_writer_loses_nothing_that_was_acknowledged(tmp_path: Path) -> None:
    kill_again_and_again(str(tmp_path / "standtrue.db"), tmp_path, IN_CI, seed=1)


def test_a_killed_client_or_server_loses_nothing_that_was_acknowledged(
    tmp_path: Path, database: str, postgresql: Server
) -> None:
    kill_again_and_again(database, tmp_path, IN_CI, seed=2, server=postgresql)


@pytest.mark.long
@pytest.mark.parametrize("block", range(AT_LENGTH // OF_A_BLOCK))
def test_killed_at_length(tmp_path: Path, place: str, block: int, request: pytest.FixtureRequest) -> None:
    server = request.getfixturevalue("postgresql") if place.startswith("postgresql") else None
    kill_again_and_again(place, tmp_path, OF_A_BLOCK, seed=100 + block, server=server)

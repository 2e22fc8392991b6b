"""Sixteen writers at once: no update is lost, no lock comes out as an error, and whoever is stale is refused."""

from __future__ import annotations

from contextlib import ExitStack

import pytest

from shop_writer import AT, PROCESSES, count_up, told, writer
from standtrue.seal import diagnose
from standtrue.store.database import Store
from standtrue.store.documents import Draft, Saving, history, save, wrong_with
from standtrue.store.journal import entries, read_head

WRITERS, IN_CI_S, AT_LENGTH_S = 16, 3.0, 60.0


def count_together(store: Store, place: str, seconds: float) -> None:
    """Let all of them count up one number in one document, each resting on what it read."""
    with store.writing() as connection:
        save(connection, Draft(None, 0, "mix", "count", "m.toml", b"0", ""), Saving("Ana", AT, "test"))
    with ExitStack() as stack:
        begin = PROCESSES.Barrier(WRITERS)
        names = [f"Person {i}" for i in range(WRITERS)]
        started = [stack.enter_context(writer(count_up, place, name, seconds, begin)) for name in names]
        counts = [list(told(pipe)) for _, pipe in started]
    assert all(len(count) == 1 for count in counts), "a writer ended by an error"
    kept = [count[0][0] for count in counts]
    stale = sum(count[0][1] for count in counts)
    with store.reading() as connection:
        versions = history(connection, "mix", "count")
        noted = list(entries(connection))
        assert list(wrong_with(connection)) == []
        assert diagnose(noted, *read_head(connection)).broken == ()
    assert [int(one.content or b"-1") for one in versions] == list(range(sum(kept) + 1))
    assert [one.based_on for one in versions[1:]] == list(range(1, sum(kept) + 1))
    assert [sum(one.saved_by == name for one in versions) for name in names] == kept
    assert [sum(one.entry.who == name for one in noted) for name in names] == kept
    assert sum(kept) > 1
    assert stale > 0, "nobody was ever in another's way: this tests nothing"


def test_many_writers(store: Store, place: str) -> None:
    count_together(store, place, IN_CI_S)


@pytest.mark.long
def test_many_writers_at_length(store: Store, place: str) -> None:
    count_together(store, place, AT_LENGTH_S)

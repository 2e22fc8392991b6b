"""A request that comes again is done once, and answered as it was; all of it is kept, or nothing."""

from __future__ import annotations

import pytest
from attrs import evolve
from sqlalchemy import Connection, select, update

from standtrue.model.basics import UnansweredError
from standtrue.seal import canonical
from standtrue.store.database import open_store
from standtrue.store.journal import Draft, append, count_of
from standtrue.store.removal import take_out
from standtrue.store.tables import answered
from standtrue.work.keep.answers import now
from standtrue.work.keep.once import Given, Request, once

ASKED = Request("Ana", "key 1", "order 1", b"a reading of 1.2 mm")


def reading(connection: Connection) -> tuple[int, bytes]:
    """What the request asks for: an entry is appended, and told by its number."""
    draft = Draft("order 1", "note", 1, "Ana", "test", canonical({}))
    return 201, b"entry %d" % append(connection, draft, now()).entry.number


def entries_of(place: str) -> int:
    with open_store(place) as store, store.reading() as connection:
        return count_of(connection, "order 1")


@pytest.fixture
def kept(place: str) -> str:
    """A store in which the request was answered once."""
    open_store(place, make=True).close()
    assert once(place, ASKED, reading) == Given(201, b"entry 0")
    return place


def test_the_same_again_is_answered_as_it_was_and_kept_once(kept: str) -> None:
    assert once(kept, ASKED, reading) == Given(201, b"entry 0", again=True)
    assert entries_of(kept) == 1


def test_another_key_or_another_person_is_another_request(kept: str) -> None:
    assert once(kept, evolve(ASKED, key="key 2"), reading) == Given(201, b"entry 1")
    assert once(kept, evolve(ASKED, who="Bo"), reading) == Given(201, b"entry 2")


def test_another_request_with_the_same_key_is_refused(kept: str) -> None:
    with pytest.raises(UnansweredError) as refused:
        once(kept, evolve(ASKED, asked=b"a reading of 1.3 mm"), reading)
    assert [one.code for one in refused.value.faults] == ["key-taken"]
    assert entries_of(kept) == 1


def test_what_fails_is_not_remembered(kept: str) -> None:
    def fail(connection: Connection) -> tuple[int, bytes]:
        reading(connection)
        raise LookupError

    with pytest.raises(LookupError):
        once(kept, evolve(ASKED, key="key 2"), fail)
    assert entries_of(kept) == 1
    assert once(kept, evolve(ASKED, key="key 2"), reading) == Given(201, b"entry 1")


def test_answers_go_after_a_while_and_with_what_is_taken_out_of_their_job(kept: str) -> None:
    with open_store(kept) as store, store.writing() as connection:
        connection.execute(update(answered).values(at="2020-01-01T00:00:00.000Z"))
    once(kept, evolve(ASKED, key="key 2"), reading)
    with open_store(kept) as store:
        with store.reading() as connection:
            assert connection.execute(select(answered.c.key)).scalars().all() == ["key 2"]
        with store.writing() as connection:
            take_out(connection, "order 1", ())
            assert connection.execute(select(answered.c.key)).all() == []

"""A store of either kind is made, opened again, migrated; and says what is wrong with it."""

from __future__ import annotations

from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import insert, select, text
from sqlalchemy.exc import IntegrityError

from standtrue.model.basics import UnansweredError
from standtrue.store import database
from standtrue.store.database import Store, open_store
from standtrue.store.tables import metadata, setting


def refusal(place: str | Path, *, make: bool = False) -> str:
    with pytest.raises(UnansweredError) as refused:
        open_store(place, make=make)
    return refused.value.faults[0].what.code


def test_what_is_written_is_there_when_it_is_opened_again(place: str) -> None:
    with open_store(place, make=True) as made, made.writing() as connection:
        connection.execute(insert(setting).values(name="a", value="b"))
    with open_store(place) as again, again.reading() as connection:
        assert connection.execute(select(setting.c.value)).scalar() == "b"


def test_a_transaction_that_fails_leaves_nothing(store: Store) -> None:
    def write_half() -> None:
        with store.writing() as connection:
            connection.execute(insert(setting).values(name="a", value="b"))
            connection.execute(insert(setting).values(name="c", value=None))

    with pytest.raises(IntegrityError):
        write_half()
    with store.reading() as connection:
        assert connection.execute(select(setting)).all() == []


def test_migrations_make_the_tables_as_they_are_described(store: Store) -> None:
    with store.reading() as connection:
        context = MigrationContext.configure(connection, opts={"version_table": "schema_version"})
        assert compare_metadata(context, metadata) == []


def test_a_store_of_a_newer_release_is_refused(place: str) -> None:
    with open_store(place, make=True) as made, made.writing() as connection:
        connection.execute(text("UPDATE schema_version SET version_num = '900'"))
    assert refusal(place) == "store-newer"


def test_none_is_made_unless_asked(tmp_path: Path, database: str) -> None:
    assert refusal(tmp_path) == "store-unreachable"
    assert not list(tmp_path.iterdir())
    assert refusal(database) == "store-empty"


def test_sqlite_is_set_to_keep_what_it_acknowledged(tmp_path: Path) -> None:
    with open_store(tmp_path, make=True) as made, made.reading() as connection:
        said = {name: connection.execute(text(f"PRAGMA {name}")).scalar() for name in ("journal_mode", "synchronous")}
        tables = connection.execute(text("SELECT name, strict FROM pragma_table_list WHERE schema = 'main'")).all()
        assert connection.execute(text("PRAGMA foreign_keys")).scalar() == 1
    assert said == {
        "journal_mode": "wal",
        "synchronous": 2,
    }  # 2: FULL, https://sqlite.org/pragma.html#pragma_synchronous
    assert {name for name, strict in tables if strict} == set(metadata.tables)


def test_whoever_waits_too_long_is_told_and_may_ask_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(database, "PATIENCE_S", 0)
    with open_store(tmp_path, make=True) as one, open_store(tmp_path) as other:
        with one.writing(), pytest.raises(UnansweredError) as refused, other.writing():
            pass
        assert [fault.code for fault in refused.value.faults] == ["store-busy"]
        with other.writing() as connection:
            connection.execute(insert(setting).values(name="a", value="b"))


def test_servers_of_other_kinds_and_files_that_are_no_store_are_refused(tmp_path: Path) -> None:
    (tmp_path / "standtrue.db").write_bytes(b"no database at all, but long enough to be looked at" * 40)
    assert refusal("mysql://nobody@nowhere/shop") == "no-such-store"
    assert refusal(tmp_path) == "store-damaged"
    assert refusal("postgresql://nobody@/shop?host=/nowhere") == "store-unreachable"

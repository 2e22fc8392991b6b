"""A store of every released schema opens today, with all that was kept in it; each is kept here as text."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest
from alembic.config import Config
from alembic.script import ScriptDirectory
from sqlalchemy import MetaData, text

from standtrue.seal import diagnose
from standtrue.store.database import SCHEMA, Store, connected, migrate, open_store
from standtrue.store.documents import history, wrong_with
from standtrue.store.journal import entries, read_head
from standtrue.store.tables import metadata

RELEASED = Path(__file__).parent / "released"
"""A file for each schema, as `.dump` of sqlite3 writes it; made by `python -m released_schema` in tests/store."""


def schemas() -> list[str]:
    config = Config()
    config.set_main_option("script_location", "standtrue.store:migrations")
    return [step.revision for step in ScriptDirectory.from_config(config).walk_revisions()]


def of_sqlite(schema: str, folder: Path) -> Store:
    """The store that is kept of a schema."""
    with sqlite3.connect(folder / "standtrue.db") as made:
        made.executescript((RELEASED / f"schema-{schema}.sql").read_text(encoding="utf-8"))
    made.close()
    return open_store(folder)


def test_the_newest_step_makes_the_schema_of_this_release() -> None:
    assert schemas()[0] == SCHEMA


@pytest.mark.parametrize("schema", schemas())
def test_what_was_kept_by_an_older_release_is_there(schema: str, tmp_path: Path) -> None:
    with of_sqlite(schema, tmp_path) as store, store.reading() as connection:
        assert connection.execute(text("SELECT version_num FROM schema_version")).scalar() == SCHEMA
        assert [(one.version, one.saved_by) for one in history(connection, "mix")] == [(1, "Ana"), (2, "Bo")]
        assert list(wrong_with(connection)) == []
        kept = list(entries(connection))
        assert [one.entry.kind for one in kept] == ["needs", "scan"]
        assert diagnose(kept, *read_head(connection)).broken == ()
        strict = connection.execute(text("SELECT name FROM pragma_table_list WHERE schema = 'main' AND strict = 1"))
        assert set(strict.scalars()) == set(metadata.tables)


@pytest.mark.parametrize("schema", schemas())
def test_it_is_migrated_in_postgresql_too(schema: str, tmp_path: Path, database: str) -> None:
    """The rows of the older schema, in tables that its own steps made there."""
    with sqlite3.connect(tmp_path / "old.db") as old, connected(database, make=True) as store:
        old.executescript((RELEASED / f"schema-{schema}.sql").read_text(encoding="utf-8"))
        with store.alone() as connection:
            migrate(connection, store.where, schema)
            there = MetaData()
            there.reflect(connection)
            for table in there.sorted_tables:
                names = [column.name for column in table.columns]
                rows = old.execute(f"SELECT {', '.join(names)} FROM {table.name}").fetchall()
                if rows and table.name != "schema_version":
                    connection.execute(table.insert(), [dict(zip(names, row, strict=True)) for row in rows])
    old.close()
    with open_store(database) as store, store.reading() as connection:
        assert [(one.version, one.saved_by) for one in history(connection, "mix")] == [(1, "Ana"), (2, "Bo")]
        assert list(wrong_with(connection)) == []
        assert diagnose(list(entries(connection)), *read_head(connection)).broken == ()

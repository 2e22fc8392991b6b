"""What was taken out, written over: SQLite's file is made anew and its log emptied, PostgreSQL's tables are rewritten.

That cannot be part of the transaction that takes it out. So the transaction leaves a mark in the store, which goes once
all is written over; until then whoever opens the store next does it. Of PostgreSQL its write-ahead log still holds what
was taken out until that is recycled; of either, every backup taken before.
"""

from __future__ import annotations

import secrets
from typing import Any

from sqlalchemy import Connection, Engine, delete, insert, select
from sqlalchemy.exc import DBAPIError

from standtrue.store.tables import setting

REWRITTEN = ("entry", "attachment", "attachment_piece", "document_version", "sought", "answered")

MARK = "to-be-written-over "
"""How the settings begin that say it is still to be done: one a removal, so that none hides another."""

PATIENCE_MS = 2000
"""How long it waits for others: it is done the next time otherwise."""


_STILL_SEEN = f"""
SELECT count(*) FROM setting, pg_stat_activity WHERE starts_with(setting.name, '{MARK}')
AND datname = current_database() AND pid <> pg_backend_pid() AND age(backend_xmin) >= age(setting.xmin)
"""
"""Who reads PostgreSQL as it was before: for them VACUUM keeps what was taken out (its manual, "Routine Vacuuming")."""


def leave_mark(connection: Connection) -> None:
    """Say that something was taken out, in the transaction that takes it out."""
    connection.execute(insert(setting).values(name=MARK + secrets.token_hex(8), value=""))


def marks(connection: Connection) -> tuple[str, ...]:
    """What is still to be written over."""
    found = connection.execute(select(setting.c.name).where(setting.c.name.startswith(MARK)))
    return tuple(found.scalars())


def write_over(engine: Engine, there: tuple[str, ...]) -> bool:
    """Write over what was taken out when these marks were left, and let them go. Whether it could be done now."""
    refused = (DBAPIError, engine.dialect.loaded_dbapi.Error)
    try:
        if not _rewritten(engine):
            return False
        with engine.connect() as connection, connection.begin():
            connection.execute(delete(setting).where(setting.c.name.in_(there)))
    except refused:  # it may only be read, or somebody is at work
        return False
    return True


def _rewritten(engine: Engine) -> bool:
    raw: Any = engine.raw_connection()
    try:
        cursor = raw.cursor()
        if engine.name == "postgresql":
            raw.dbapi_connection.autocommit = True
            if cursor.execute(_STILL_SEEN).fetchone()[0]:
                return False
            said = [f"SET lock_timeout = {PATIENCE_MS}", *(f"VACUUM (FULL) {table}" for table in REWRITTEN)]
            for one in said:
                cursor.execute(one)
            return True
        cursor.execute(f"PRAGMA busy_timeout = {PATIENCE_MS}")
        cursor.execute("VACUUM")
        busy, _, _ = cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
        return not busy  # else somebody still reads what the log holds
    finally:
        raw.invalidate()

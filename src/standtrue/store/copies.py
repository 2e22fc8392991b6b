"""A store copied, row by row, from any kind of store into any other: backup, restore, and the move to a server.

A copy is of one moment: it is read in one transaction, whatever is written meanwhile, and nobody waits for it. SQLite's
own backup begins anew with every write of another process, and copies damaged pages as they are; this does neither, and
is the same for PostgreSQL.
"""

from __future__ import annotations

from sqlalchemy import Connection, Table, func, insert, select

from standtrue.model.basics import UnansweredError
from standtrue.model.reason import because
from standtrue.seal import Head
from standtrue.store import journal, tables
from standtrue.store.database import MOVED, Store
from standtrue.store.troubles import refused

AT_ONCE = 500
"""So many rows are carried at once; of files, which lie in pieces of 1 MB, so few that they fit into memory."""

PIECES_AT_ONCE = 8


def copy_store(source: Store, target: Store) -> Head:
    """Copy everything into an empty store; the head of the log that was copied. Raises UnansweredError."""
    with source.reading() as read, target.writing() as write:
        return copy_rows(read, write, target.where)


def move_store(source: Store, target: Store) -> Head:
    """The same, with nobody writing meanwhile; from then on the source refuses whatever would be written."""
    with source.writing() as read, target.writing() as write:
        head = copy_rows(read, write, target.where)
        read.execute(insert(tables.setting).values(name=MOVED, value=target.where))
        return head


def copy_rows(read: Connection, write: Connection, where: str) -> Head:
    """Every row of every table. Raises UnansweredError where the target holds anything already."""
    for table in tables.metadata.sorted_tables:
        if write.execute(select(func.count()).select_from(table)).scalar_one():
            what, remedy = because("store-not-empty"), because("name-empty-store")
            raise UnansweredError([refused("store-not-empty", what, where, remedy)])
    for table in tables.metadata.sorted_tables:
        _copy(table, read, write)
    return journal.read_head(write)[0]


def _copy(table: Table, read: Connection, write: Connection) -> None:
    at_once = PIECES_AT_ONCE if table is tables.attachment_piece else AT_ONCE
    wanted = select(table).order_by(*table.primary_key.columns)
    if table is tables.setting:
        wanted = wanted.where(table.c.name != MOVED)
    found = read.execute(wanted.execution_options(yield_per=at_once))
    for rows in found.mappings().partitions():
        write.execute(insert(table), [dict(row) for row in rows])

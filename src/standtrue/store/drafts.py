"""What is being changed of a document and not yet saved: kept beside the documents, digested by nothing."""

from __future__ import annotations

from sqlalchemy import Connection, delete, insert, select, update

from standtrue.store.tables import setting

PREFIX = "draft "
"""How the settings begin that hold one."""


def read_draft(connection: Connection, kind: str, name: str) -> str | None:
    """The text of a draft, if there is one."""
    found: str | None = connection.execute(select(setting.c.value).where(setting.c.name == _key(kind, name))).scalar()
    return found


def keep_draft(connection: Connection, kind: str, name: str, text: str) -> None:
    """Keep a draft in place of the one before."""
    key = _key(kind, name)
    changed = connection.execute(update(setting).where(setting.c.name == key).values(value=text))
    if not changed.rowcount:
        connection.execute(insert(setting).values(name=key, value=text))


def drop_draft(connection: Connection, kind: str, name: str) -> None:
    """Let a draft go."""
    connection.execute(delete(setting).where(setting.c.name == _key(kind, name)))


def _key(kind: str, name: str) -> str:
    return f"{PREFIX}{kind} {name}"

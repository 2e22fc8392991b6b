"""A store, opened: a file of SQLite or a database of PostgreSQL, by one code. A store of an older schema is migrated.

Whoever writes is alone: SQLite's BEGIN IMMEDIATE, or a lock of the whole store in PostgreSQL. A shop writes seldom, and
what one at a time writes can be reasoned about. Whoever reads sees the store as it was when the reading began.
"""

from __future__ import annotations

import os
import random
import sqlite3
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import quote

from attrs import field, frozen
from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url, text
from sqlalchemy.exc import ArgumentError
from sqlalchemy.pool import QueuePool

from standtrue.model.basics import UnansweredError
from standtrue.model.reason import because
from standtrue.store import rewriting
from standtrue.store.troubles import refused, told, trouble

FILE = "standtrue.db"
"""What the store in a shop folder is called."""

SCHEMA = "3"
"""The schema of this release: the newest of `store/migrations`."""

PATIENCE_S = 30
"""How long one waits for whoever is writing."""

TRIES_S = 0.02
"""How long it waits at most until it tries again."""

LOCK = 0x5354414E4454
"""The number of PostgreSQL's advisory lock that a writer holds."""

WRITES = "standtrue_writes"

MOVED = "moved-to"
"""The setting that says where a store was moved: from then on nothing is written into it."""


@frozen(eq=False)
class Store:
    """An open store. `where` is how it is called, without a password."""

    where: str
    engine: Engine
    _turn: threading.Lock = field(factory=threading.Lock, repr=False)
    """Who writes within this process: the others wait without a connection, and so never for each other's."""

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A transaction of the only writer: all of it is kept, or nothing. Raises UnansweredError."""
        with self.alone() as connection:
            moved = connection.execute(text("SELECT value FROM setting WHERE name = :moved"), {"moved": MOVED}).scalar()
            if moved is not None:
                what, remedy = because("store-moved", where=moved), because("name-the-new-store", option="--store")
                raise UnansweredError([refused("store-read-only", what, self.where, remedy)])
            yield connection

    @contextmanager
    def alone(self) -> Iterator[Connection]:
        """The same of a store that may have no tables yet."""
        with told(self.where), self._in_turn(), self.engine.connect() as opened:
            connection = opened.execution_options(**{WRITES: True})
            with connection.begin():
                if self.engine.name == "postgresql":
                    connection.execute(text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": LOCK})
                yield connection

    @contextmanager
    def _in_turn(self) -> Iterator[None]:
        if not self._turn.acquire(timeout=PATIENCE_S):
            raise UnansweredError([trouble("store-busy", TimeoutError("database is locked"), self.where)])
        try:
            yield
        finally:
            self._turn.release()

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """The store as it is now, whatever is written meanwhile. Raises UnansweredError."""
        with told(self.where), self.engine.connect() as opened:
            options: dict[str, Any] = {}
            if self.engine.name == "postgresql":
                options = {"isolation_level": "REPEATABLE READ", "postgresql_readonly": True}
            with opened.execution_options(**options).begin():
                yield opened

    def close(self) -> None:
        """End every connection."""
        self.engine.dispose()

    def __enter__(self) -> Store:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def open_store(place: str | os.PathLike[str], *, make: bool = False) -> Store:
    """The store at a place: a file, a folder that holds one, or `postgresql://...`. `make` one where there is none.

    Raises UnansweredError: there is none, it cannot be opened or reached, or it is of a newer release.
    """
    store = connected(place, make=make)
    try:
        _bring_up_to_date(store, make)
    except BaseException:
        store.close()
        raise
    return store


@contextmanager
def opened(place: str | os.PathLike[str] | Store) -> Iterator[Store]:
    """The store at a place for a while. One that is open already stays so: its statements are prepared, too."""
    if isinstance(place, Store):
        yield place
        return
    with open_store(place) as store:
        yield store


def shown(place: str) -> str:
    """How a place is called, without a password."""
    url = _url(place)
    return str(_file(Path(place))) if url is None else url.render_as_string(hide_password=True)


def connected(place: str | os.PathLike[str], *, make: bool) -> Store:
    """The store at a place before it is looked at: whatever schema it has. Raises UnansweredError for no place."""
    url = _url(place)
    if url is not None:
        engine = create_engine(url, connect_args={"connect_timeout": 10, "client_encoding": "utf8"})
        event.listen(engine, "connect", _set_up_postgresql)
        return Store(url.render_as_string(hide_password=True), engine)
    file = _file(Path(place))
    mode = "rwc" if make else "rw"
    engine = create_engine("sqlite://", creator=lambda: _connect_sqlite(file, mode), poolclass=QueuePool)
    event.listen(engine, "begin", _begin)
    return Store(str(file), engine)


def _file(place: Path) -> Path:
    return place / FILE if place.is_dir() else place


def _url(place: str | os.PathLike[str]) -> URL | None:
    """The address of a server; None for a file. Raises UnansweredError for another kind of server."""
    if "://" not in (said := os.fspath(place)):
        return None
    try:
        url = make_url(said)
    except ArgumentError:
        url = None
    if url is None or url.drivername not in ("postgresql", "postgresql+psycopg"):
        shown = said.partition("://")[0] + "://"
        what, remedy = (
            because("no-such-store"),
            because("name-file-or-postgresql", example="postgresql://NAME@HOST/DATABASE"),
        )
        raise UnansweredError([refused("store-unreachable", what, shown, remedy)])
    verified = _VERIFIED if _is_elsewhere(url) and "sslmode" not in url.query else {}
    return url.set(drivername="postgresql+psycopg").update_query_dict({**verified, **url.query})


_VERIFIED = {"sslmode": "verify-full", "sslrootcert": "system"}
"""For a server on another machine whose address says nothing else: its certificate must be for its name, and from an
authority that this machine trusts (manual of PostgreSQL, libpq, "SSL Support")."""


def _is_elsewhere(url: URL) -> bool:
    host = url.query.get("host", url.host)
    return bool(host) and not str(host).startswith(("/", "localhost", "127.0.0.1", "::1"))


def _connect_sqlite(file: Path, mode: str) -> sqlite3.Connection:
    settings = ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON", "secure_delete=ON")
    try:
        return _connected(file, f"mode={mode}", settings)
    except sqlite3.OperationalError:
        if not file.is_file() or (os.access(file, os.W_OK) and os.access(file.parent, os.W_OK)):
            raise
    # On a disk that may only be read SQLite cannot share its log with others: the file is taken as one that nobody
    # changes. Where part of it still stands in that log, it cannot be read there at all.
    log = file.with_name(f"{file.name}-wal")
    if log.is_file() and log.stat().st_size:
        what, remedy = because("store-log-read-only"), because("let-store-be-written")
        raise UnansweredError([refused("store-read-only", what, str(file), remedy)])
    return _connected(file, "mode=ro&immutable=1", settings[2:3])


def _connected(file: Path, how: str, settings: tuple[str, ...]) -> sqlite3.Connection:
    # Whose transactions begin when is said in this module alone: sqlite3 begins none of its own.
    address = f"file:{quote(str(file.absolute()))}?{how}"
    made = sqlite3.connect(address, uri=True, timeout=PATIENCE_S, isolation_level=None, check_same_thread=False)
    try:
        for pragma in settings:
            made.execute(f"PRAGMA {pragma}").close()
    except BaseException:
        made.close()
        raise
    return made


def _begin(connection: Connection) -> None:
    if connection.get_execution_options().get(WRITES, False):
        _begin_alone(connection)
    else:
        connection.exec_driver_sql("BEGIN")


def _begin_alone(connection: Connection) -> None:
    """Begin as the only writer. All who wait try again alike: SQLite's own waiting lets those try most often who came
    last, so that of many writers one may wait for ever."""
    raw: Any = connection.connection.dbapi_connection
    until = time.monotonic() + PATIENCE_S
    raw.execute("PRAGMA busy_timeout = 0").close()
    try:
        while time.monotonic() < until:
            try:
                raw.execute("BEGIN IMMEDIATE").close()
            except sqlite3.OperationalError as error:
                if error.sqlite_errorcode != sqlite3.SQLITE_BUSY:
                    break
                time.sleep(random.uniform(0.0, TRIES_S))
            else:
                return
        connection.exec_driver_sql("BEGIN IMMEDIATE")  # what it complains of now is told
    finally:
        raw.execute(f"PRAGMA busy_timeout = {1000 * PATIENCE_S}").close()


def _set_up_postgresql(made: Any, _record: object) -> None:
    """What is acknowledged is on disk, however the server was set; and nobody waits for ever."""
    with made.cursor() as cursor:
        cursor.execute("SET synchronous_commit = on")
        cursor.execute(f"SET lock_timeout = {1000 * PATIENCE_S}")
    made.commit()


def _bring_up_to_date(store: Store, make: bool) -> None:
    with store.reading() as connection:
        schema = _schema(connection)
        left = rewriting.marks(connection) if schema == SCHEMA else ()
    if schema is None and not make:
        what, remedy = because("store-empty"), because("import-first", command="standtrue import")
        raise UnansweredError([refused("store-unreachable", what, store.where, remedy)])
    if schema != SCHEMA:
        with store.alone() as connection:
            migrate(connection, store.where)
    if left:  # whoever took something out ended before it was written over
        rewriting.write_over(store.engine, left)


def _schema(connection: Connection) -> str | None:
    """The schema of what is there; None where nothing is."""
    if not connection.dialect.has_table(connection, "schema_version"):
        return None
    found = connection.execute(text("SELECT version_num FROM schema_version")).scalar()
    return None if found is None else str(found)


def migrate(connection: Connection, where: str, to: str = SCHEMA) -> None:
    """Bring the tables to a schema, within the writer's transaction. Raises UnansweredError for a newer one."""
    from alembic import command  # loading it takes longer than most commands do
    from alembic.config import Config
    from alembic.script import ScriptDirectory

    config = Config()
    config.set_main_option("script_location", "standtrue.store:migrations")
    config.attributes["connection"] = connection
    schema = _schema(connection)
    known = {step.revision for step in ScriptDirectory.from_config(config).walk_revisions()}
    if schema is not None and schema not in known:
        what, remedy = because("store-newer", schema=schema), because("take-newer-program")
        raise UnansweredError([refused("store-newer", what, where, remedy)])
    command.upgrade(config, to)

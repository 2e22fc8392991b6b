"""What a database complains of, as faults: full, read-only, busy, out of reach, damaged. Never a traceback."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError, InternalError, OperationalError

from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import Reason, Term, because

_SQLITE = {
    "SQLITE_FULL": "store-full",
    "SQLITE_READONLY": "store-read-only",
    "SQLITE_BUSY": "store-busy",
    "SQLITE_LOCKED": "store-busy",
    "SQLITE_CORRUPT": "store-damaged",
    "SQLITE_NOTADB": "store-damaged",
}
"""By the primary result codes of SQLite: https://sqlite.org/rescode.html."""

_POSTGRESQL = {
    "53100": "store-full",
    "25006": "store-read-only",
    "42501": "store-read-only",
    "55P03": "store-busy",
    "40001": "store-busy",
    "40P01": "store-busy",
    "XX001": "store-damaged",
    "XX002": "store-damaged",
    "28P01": "store-refused",
    "28000": "store-refused",
}
"""By SQLSTATE: Appendix A of the manual of PostgreSQL, "PostgreSQL Error Codes"."""

_REMEDIES = {
    "store-full": "make-room-on-disk",
    "store-read-only": "let-store-be-written",
    "store-busy": "try-store-again",
    "store-damaged": "restore-from-backup",
    "store-refused": "mend-name-and-password",
    "store-unreachable": "mend-address-of-store",
}


@contextmanager
def told(where: str) -> Iterator[None]:
    """Meanwhile what the database refuses is raised as UnansweredError; `where` names the store, without a password."""
    try:
        yield
    except DBAPIError as error:
        code = _code(error.orig) or (
            "store-unreachable" if isinstance(error, OperationalError | InternalError) else None
        )
        if code is None:  # a mistake in this program
            raise
        raise UnansweredError([trouble(code, error.orig, where)]) from error
    except UnicodeDecodeError as error:  # what is kept is text: it was damaged
        raise UnansweredError([trouble("store-damaged", error, where)]) from error


def trouble(code: str, error: BaseException | None, where: str) -> Fault:
    """What one complaint of a database means."""
    return refused(code, because(code, why=Term(_first_line(error))), where, because(_REMEDIES[code]))


def refused(code: str, what: Reason, where: str, remedy: Reason) -> Fault:
    """A fault of a store."""
    return Fault(code, what, where, "", "", remedy)


def _code(error: BaseException | None) -> str | None:
    if isinstance(error, sqlite3.Error):
        name = getattr(error, "sqlite_errorname", "")
        return next((code for start, code in _SQLITE.items() if name.startswith(start)), None)
    state = getattr(error, "sqlstate", None)
    if state is None and "password" in str(error):  # before a connection is made no code is told
        return "store-refused"
    return _POSTGRESQL.get(state or "")


def _first_line(error: BaseException | None) -> str:
    lines = str(error).strip().splitlines()
    return lines[0][:200] if lines else type(error).__name__

"""Who is signed in: by a random number of 256 bits that the browser keeps, and of which only the digest is stored.

A session ends when it was not used for a working day, and after a week in any case.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from attrs import frozen
from sqlalchemy import Connection

from standtrue.store import accounts
from standtrue.store.accounts import Account, Session
from standtrue.store.database import Store
from standtrue.work.accounts.people import ENDED
from standtrue.work.accounts.roles import Role, role_of
from standtrue.work.accounts.secrets_kept import digest_of, key_of, new_number
from standtrue.work.accounts.tries import Who, moment

IDLE = timedelta(hours=10)
LONGEST = timedelta(days=7)

SEEN_EVERY = timedelta(minutes=1)
"""How often it is noted that a session is used: every time would be a write for each request."""

SIGNED_OUT = "signed out"


@frozen
class SignedIn:
    """Somebody who is signed in, with the role of now."""

    name: str
    role: Role


def signed_in(store: Store, number: str, at: datetime) -> SignedIn | None:
    """Whose session this is; None where it ended or there never was one. Raises UnansweredError for the store."""
    digest = digest_of(number)
    with store.reading() as connection:
        found = accounts.find_session(connection, digest)
    if found is None:
        return None
    session, account = found
    seen = datetime.fromisoformat(session.seen_at)
    if at >= datetime.fromisoformat(session.ends_at) or at >= seen + IDLE:
        return None
    if at >= seen + SEEN_EVERY:
        with store.writing() as connection:
            accounts.see_session(connection, digest, moment(at))
    return SignedIn(account.name, role_of(account))


def begin(connection: Connection, account: Account, before: str, at: datetime, address: str) -> str:
    """A new session; the number for the browser. The one that it had `before` ("": none) ends, whoever's it was."""
    if before:
        accounts.end_session(connection, digest_of(before))
    number = new_number()
    ends = moment((at + LONGEST).astimezone(UTC))
    accounts.add_session(connection, Session(digest_of(number), account.key, moment(at), moment(at), ends, address))
    return number


def sign_out(store: Store, number: str, at: datetime, address: str = "") -> None:
    """End a session."""
    with store.writing() as connection:
        found = accounts.find_session(connection, digest_of(number))
        if found is not None:
            account = found[1]
            accounts.end_session(connection, digest_of(number))
            accounts.note(connection, Who(account.key, account.name, address).event(SIGNED_OUT, at, account.name))


def sign_out_others(store: Store, name: str, number: str, at: datetime, address: str = "") -> None:
    """End every session of a person but this one."""
    with store.writing() as connection:
        own = digest_of(number)
        for one in accounts.sessions_of(connection, key_of(name)):
            if one.digest != own:
                accounts.end_session(connection, one.digest)
        accounts.note(connection, Who(key_of(name), name, address).event(ENDED, at, name))

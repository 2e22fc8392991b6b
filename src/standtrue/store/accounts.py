"""The people of a shop, who of them is signed in, the codes that they sign up with, and who came in or tried to.

No secret is kept: of passwords and PINs there are hashes, of sessions and codes digests. Moments are UTC, ISO 8601.
"""

from __future__ import annotations

from typing import Any

from attrs import asdict, frozen
from sqlalchemy import Connection, delete, func, insert, select, update

from standtrue.store.tables import account, code, session, sign_in


@frozen
class Account:
    """A person; `password` and `pin` are hashes, "" where there is none."""

    key: str
    name: str
    role: str
    password: str
    pin: str
    made_at: str


@frozen
class Session:
    """Somebody signed in, by the digest of the number that the browser keeps."""

    digest: str
    account: str
    begun_at: str
    seen_at: str
    ends_at: str
    address: str


@frozen
class Code:
    """A code by its digest; `account` "" makes the first owner, `used_at` "" is not used."""

    digest: str
    account: str
    ends_at: str
    used_at: str = ""


@frozen
class Event:
    """Something that happened: to whom, by whom, from where. `key` is the digest of the account's key."""

    at: str
    what: str
    key: str
    name: str = ""
    by: str = ""
    address: str = ""


def accounts(connection: Connection) -> tuple[Account, ...]:
    """Everybody, by name."""
    return tuple(Account(*row) for row in connection.execute(select(account).order_by(account.c.key)))


def find_account(connection: Connection, key: str) -> Account | None:
    """Whoever has this key."""
    row = connection.execute(select(account).where(account.c.key == key)).first()
    return None if row is None else Account(*row)


def add_account(connection: Connection, one: Account) -> None:
    """A further person."""
    connection.execute(insert(account).values(**asdict(one)))


def change_account(connection: Connection, key: str, **fields: str) -> None:
    """Other values of some of the fields."""
    connection.execute(update(account).where(account.c.key == key).values(**fields))


def remove_account(connection: Connection, key: str) -> None:
    """A person who is there no more, with sessions and codes."""
    end_sessions(connection, key)
    connection.execute(delete(code).where(code.c.account == key))
    connection.execute(delete(account).where(account.c.key == key))


def add_session(connection: Connection, one: Session) -> None:
    """Somebody signed in; sessions that have ended by then go."""
    connection.execute(delete(session).where(session.c.ends_at <= one.begun_at))
    connection.execute(insert(session).values(**asdict(one)))


def find_session(connection: Connection, digest: str) -> tuple[Session, Account] | None:
    """A session, and whose it is."""
    found = select(session, account).join(account, account.c.key == session.c.account)
    row = connection.execute(found.where(session.c.digest == digest)).first()
    if row is None:
        return None
    split = len(session.columns)
    return Session(*row[:split]), Account(*row[split:])


def sessions_of(connection: Connection, key: str) -> tuple[Session, ...]:
    """The sessions of a person, the latest first."""
    found = select(session).where(session.c.account == key).order_by(session.c.seen_at.desc())
    return tuple(Session(*row) for row in connection.execute(found))


def see_session(connection: Connection, digest: str, at: str) -> None:
    """It was used at this moment."""
    connection.execute(update(session).where(session.c.digest == digest).values(seen_at=at))


def end_session(connection: Connection, digest: str) -> None:
    """Signed out."""
    connection.execute(delete(session).where(session.c.digest == digest))


def end_sessions(connection: Connection, key: str) -> None:
    """Signed out everywhere."""
    connection.execute(delete(session).where(session.c.account == key))


def put_code(connection: Connection, one: Code) -> None:
    """A code, in place of every earlier one for the same person."""
    connection.execute(delete(code).where(code.c.account == one.account))
    connection.execute(insert(code).values(**asdict(one)))


def find_code(connection: Connection, digest: str) -> Code | None:
    """The code of this digest, used or not."""
    row = connection.execute(select(code).where(code.c.digest == digest)).first()
    return None if row is None else Code(*row)


def use_code(connection: Connection, digest: str, at: str) -> None:
    """It was used."""
    connection.execute(update(code).where(code.c.digest == digest).values(used_at=at))


def note(connection: Connection, one: Event) -> int:
    """Keep what happened; the number it got."""
    number = int(connection.execute(select(func.coalesce(func.max(sign_in.c.number), -1))).scalar_one()) + 1
    connection.execute(insert(sign_in).values(number=number, **asdict(one)))
    return number


def rename_event(connection: Connection, number: int, what: str) -> None:
    """What a try turned out to be."""
    connection.execute(update(sign_in).where(sign_in.c.number == number).values(what=what))


def forget_event(connection: Connection, number: int) -> None:
    """A try that was none."""
    connection.execute(delete(sign_in).where(sign_in.c.number == number))


def tries_since(connection: Connection, key: str, tried: str, ended_by: tuple[str, ...]) -> tuple[int, str]:
    """How often this was tried since it was last ended by one of these, and when last ("": never)."""
    last = select(func.coalesce(func.max(sign_in.c.number), -1)).where(sign_in.c.key == key)
    ended = last.where(sign_in.c.what.in_(ended_by)).scalar_subquery()
    since = select(func.count(), func.coalesce(func.max(sign_in.c.at), "")).where(
        sign_in.c.key == key, sign_in.c.what == tried, sign_in.c.number > ended
    )
    count, at = connection.execute(since).one()
    return int(count), str(at)


def tries_from(connection: Connection, address: str, tried: tuple[str, ...], since: str) -> tuple[str, ...]:
    """When one of these was tried from an address since a moment, the latest first."""
    at = select(sign_in.c.at).where(sign_in.c.address == address, sign_in.c.at > since, sign_in.c.what.in_(tried))
    return tuple(connection.execute(at.order_by(sign_in.c.at.desc())).scalars())


def forget_nameless(connection: Connection, before: str) -> None:
    """Let go of tries of names that nobody has, made before a moment."""
    connection.execute(delete(sign_in).where(sign_in.c.name == "", sign_in.c.at < before))


def events(connection: Connection, most: int) -> tuple[Event, ...]:
    """What happened, the latest first."""
    told: list[Any] = [sign_in.c[name] for name in ("at", "what", "key", "name", "by", "address")]
    rows = connection.execute(select(*told).order_by(sign_in.c.number.desc()).limit(most))
    return tuple(Event(*row) for row in rows)

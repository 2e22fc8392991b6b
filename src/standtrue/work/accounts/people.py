"""The people of a shop: added, given another role, unlocked, removed. Who may do that is for the caller to say."""

from __future__ import annotations

from datetime import datetime

from attrs import frozen
from sqlalchemy import Connection

from standtrue.model.basics import UnansweredError
from standtrue.model.reason import because
from standtrue.store import accounts
from standtrue.store.accounts import Account, Event
from standtrue.store.database import Store
from standtrue.work.accounts import tries
from standtrue.work.accounts.roles import ROLES, Role, role_of
from standtrue.work.accounts.secrets_kept import key_of, refused
from standtrue.work.accounts.tries import Who, moment

MOST_NAME = 80

ADDED, ROLE, REMOVED, ENDED, PIN_REMOVED = "added", "role changed", "removed", "signed out everywhere", "PIN removed"

SHOWN = 50
"""So many of the latest events are shown."""


@frozen
class Person:
    """A person as an owner sees them. `seen`: when each session was last used, the latest first, UTC."""

    key: str
    name: str
    role: Role
    has_password: bool
    has_pin: bool
    is_locked: bool
    pin_is_locked: bool
    seen: tuple[str, ...]


def people(store: Store) -> tuple[Person, ...]:
    """Everybody, by name. Raises UnansweredError where the store cannot be read."""
    with store.reading() as connection:
        return tuple(_person(connection, one) for one in accounts.accounts(connection))


def person(store: Store, name: str) -> Person | None:
    """Whoever has this name."""
    with store.reading() as connection:
        found = accounts.find_account(connection, key_of(name))
        return None if found is None else _person(connection, found)


def has_owner(store: Store) -> bool:
    """Whether there is an owner who can sign in."""
    return any(one.role == "owner" and one.has_password for one in people(store))


def happened(store: Store, most: int = SHOWN) -> tuple[Event, ...]:
    """Who came in, who tried to, and what was done to the accounts, the latest first."""
    with store.reading() as connection:
        return accounts.events(connection, most)


def add_person(store: Store, name: str, role: str, at: datetime, by: str, address: str = "") -> Person:
    """A further person, without password and PIN. Raises UnansweredError."""
    with store.writing() as connection:
        return _person(connection, add(connection, name, role, at, by, address))


def add(connection: Connection, name: str, role: str, at: datetime, by: str, address: str) -> Account:
    """The same within a transaction of the store."""
    told, key = " ".join(name.split()), key_of(name)
    if not key or len(told) > MOST_NAME or not told.isprintable():
        raise UnansweredError([refused(because("name-missing-here", most=MOST_NAME), "name")])
    if role not in ROLES:
        raise UnansweredError([refused(because("unknown-role"), "role")])
    if accounts.find_account(connection, key) is not None:
        raise UnansweredError([refused(because("person-there-already", name=told), "name")])
    made = Account(key, told, role, "", "", moment(at))
    accounts.add_account(connection, made)
    accounts.note(connection, Who(key, told, address).event(ADDED, at, by))
    return made


def change_role(store: Store, name: str, role: str, at: datetime, by: str, address: str = "") -> None:
    """Another role, and every session of the person ends: a new one begins with what the role may do.

    Raises UnansweredError.
    """
    if role not in ROLES:
        raise UnansweredError([refused(because("unknown-role"), "role")])
    with store.writing() as connection:
        found = named(connection, name)
        if found.role == role:
            return
        _keep_an_owner(connection, found)
        accounts.change_account(connection, found.key, role=role)
        accounts.end_sessions(connection, found.key)
        accounts.note(connection, Who(found.key, found.name, address).event(ROLE, at, by))


def remove_person(store: Store, name: str, at: datetime, by: str, address: str = "") -> None:
    """A person is there no more; what they did keeps their name. Raises UnansweredError."""
    with store.writing() as connection:
        found = named(connection, name)
        _keep_an_owner(connection, found)
        accounts.remove_account(connection, found.key)
        accounts.note(connection, Who(found.key, found.name, address).event(REMOVED, at, by))


def lift_locks(store: Store, name: str, at: datetime, by: str, address: str = "") -> None:
    """Somebody who typed wrong too often may try again: password and PIN. Raises UnansweredError."""
    with store.writing() as connection:
        found = named(connection, name)
        who = Who(found.key, found.name, address)
        if tries.is_locked(connection, found.key):
            accounts.note(connection, who.event(tries.LIFTED, at, by))
        if not tries.pins_left(connection, found.key):
            accounts.note(connection, who.event(tries.PIN_LIFTED, at, by))


def remove_pin(store: Store, name: str, at: datetime, by: str, address: str = "") -> None:
    """A PIN that was forgotten: the person gives themselves another. Raises UnansweredError."""
    with store.writing() as connection:
        found = named(connection, name)
        accounts.change_account(connection, found.key, pin="")
        accounts.note(connection, Who(found.key, found.name, address).event(PIN_REMOVED, at, by))


def end_sessions(store: Store, name: str, at: datetime, by: str, address: str = "") -> None:
    """Sign a person out everywhere. Raises UnansweredError."""
    with store.writing() as connection:
        found = named(connection, name)
        accounts.end_sessions(connection, found.key)
        accounts.note(connection, Who(found.key, found.name, address).event(ENDED, at, by))


def named(connection: Connection, name: str) -> Account:
    """The account of this name. Raises UnansweredError where there is none."""
    found = accounts.find_account(connection, key_of(name))
    if found is None:
        raise UnansweredError([refused(because("nobody-by-that-name", name=name), "name")])
    return found


def _keep_an_owner(connection: Connection, one: Account) -> None:
    """Raises UnansweredError where nobody else could sign in as an owner."""
    owners = [other.key for other in accounts.accounts(connection) if other.role == "owner" and other.password]
    if owners == [one.key]:
        raise UnansweredError([refused(because("last-owner", name=one.name), "role")])


def _person(connection: Connection, one: Account) -> Person:
    return Person(
        key=one.key,
        name=one.name,
        role=role_of(one),
        has_password=one.password != "",
        has_pin=one.pin != "",
        is_locked=tries.is_locked(connection, one.key),
        pin_is_locked=one.pin != "" and not tries.pins_left(connection, one.key),
        seen=tuple(held.seen_at for held in accounts.sessions_of(connection, one.key)),
    )

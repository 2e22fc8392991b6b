"""A person who vouches for something on a tablet that many share: told apart by a PIN."""

from __future__ import annotations

from datetime import datetime

from attrs import frozen

from standtrue.model.basics import UnansweredError
from standtrue.model.reason import Reason, because
from standtrue.store import accounts
from standtrue.store.database import Store
from standtrue.work.accounts import tries
from standtrue.work.accounts.people import named
from standtrue.work.accounts.roles import SIGNS, Role, role_of
from standtrue.work.accounts.secrets_kept import hashed, is_of, key_of, refused, wrong_with_pin
from standtrue.work.accounts.tries import Who


@frozen
class Allowed:
    """Who it was, by the name that the shop has, told apart by the PIN."""

    name: str
    role: Role


@frozen
class Refused:
    """Why nobody is let through."""

    why: Reason


def check_pin(store: Store, name: str, pin: str, at: datetime, address: str = "") -> Allowed | Refused:
    """Whether a PIN is that of a person who may sign; three wrong ones lock it. Raises UnansweredError for the store.

    `at` is now, with its zone; `address` that of the tablet.
    """
    with store.writing() as connection:
        found = accounts.find_account(connection, key_of(name))
        if found is None:
            return Refused(because("nobody-by-that-name", name=name))
        if role_of(found) not in SIGNS:
            return Refused(because("role-does-not-sign", name=found.name))
        if not found.pin:
            return Refused(because("pin-missing", name=found.name))
        who = Who(found.key, found.name, address)
        tried = tries.begin_pin(connection, who, at)
        if isinstance(tried, Reason):
            return Refused(tried)
        left = tries.pins_left(connection, found.key)
    if not is_of(pin, found.pin):
        return Refused(tries.pin_wrong(left, found.name))
    with store.writing() as connection:
        accounts.rename_event(connection, tried, tries.PIN_RIGHT)
    return Allowed(found.name, role_of(found))


def check(pin: str) -> None:
    """Raises UnansweredError for what cannot be a PIN."""
    wrong = wrong_with_pin(pin)
    if wrong is not None:
        raise UnansweredError([refused(wrong, "pin")])


def set_pin(store: Store, name: str, pin: str, at: datetime, by: str, address: str = "") -> None:
    """Give a person a PIN, in place of an earlier one. Who may is for the caller to say. Raises UnansweredError."""
    check(pin)
    kept = hashed(pin)
    with store.writing() as connection:
        found = named(connection, name)
        accounts.change_account(connection, found.key, pin=kept)
        accounts.note(connection, Who(found.key, found.name, address).event(tries.PIN_SET, at, by))

"""Coming in: by name and password, or for the first time by a code that an owner gave, that is good once.

Whether a name is known is told by nothing: not by what is said, and not by how long it takes.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from attrs import frozen
from sqlalchemy import Connection

from standtrue.model.basics import UnansweredError
from standtrue.model.reason import Reason, because
from standtrue.store import accounts
from standtrue.store.accounts import Account, Code
from standtrue.store.database import Store
from standtrue.work.accounts import people, sessions, tries
from standtrue.work.accounts.secrets_kept import (
    code_digest,
    hashed,
    is_of,
    key_of,
    new_code,
    refused,
    wrong_with_password,
)
from standtrue.work.accounts.tries import Who, moment

FIRST_FOR = timedelta(days=1)
CODE_FOR = timedelta(days=3)

PASSWORD_SET, CODE_MADE = "password set", "code made"


@frozen
class Caller:
    """From where somebody comes in, with which session until then ("": none), and now."""

    at: datetime
    address: str = ""
    before: str = ""


@frozen
class Entered:
    """Somebody came in: the number of the session, for the browser alone."""

    name: str
    number: str


@frozen
class Invited:
    """Whom a code lets in: `name` "" becomes the first owner by the name that is chosen."""

    name: str
    has_pin: bool


def sign_in(store: Store, name: str, password: str, caller: Caller) -> Entered | Reason:
    """Sign in by name and password; why not, else. Raises UnansweredError for the store."""
    key = key_of(name)
    with store.writing() as connection:
        found = accounts.find_account(connection, key)
        who = Who(key, "" if found is None else found.name, caller.address)
        tried = tries.begin_password(connection, who, caller.at)
    if isinstance(tried, Reason):
        return tried
    right = is_of(password, "" if found is None else found.password)
    if found is None or not right:
        return because("sign-in-wrong")
    with store.writing() as connection:
        still = accounts.find_account(connection, key)
        if still is None or still.password != found.password:  # changed meanwhile
            return because("sign-in-wrong")
        accounts.rename_event(connection, tried, tries.SIGNED_IN)
        return Entered(still.name, sessions.begin(connection, still, caller.before, caller.at, caller.address))


def first_code(store: Store, at: datetime) -> str | None:
    """A code that makes the first owner, in place of any before it; None where there is an owner who can sign in."""
    if people.has_owner(store):
        return None
    made = new_code()
    with store.writing() as connection:
        accounts.put_code(connection, Code(code_digest(made), "", moment(at + FIRST_FOR)))
    return made


def invite(store: Store, name: str, at: datetime, by: str, address: str = "") -> str:
    """A code by which a person chooses a password, new or again; earlier ones end. Raises UnansweredError."""
    made = new_code()
    with store.writing() as connection:
        found = people.named(connection, name)
        accounts.put_code(connection, Code(code_digest(made), found.key, moment(at + CODE_FOR)))
        accounts.note(connection, Who(found.key, found.name, address).event(CODE_MADE, at, by))
    return made


def invited(store: Store, code: str, caller: Caller) -> Invited | Reason:
    """Whom a code lets in; why nobody, else. Looking counts as a try, until it is a right one."""
    with store.writing() as connection:
        found = _looked_up(connection, code, caller)
        if isinstance(found, Reason):
            return found
        if not found.account:
            return Invited("", has_pin=False)
        account = accounts.find_account(connection, found.account)
        return because("code-wrong") if account is None else Invited(account.name, has_pin=account.pin != "")


def sign_up(store: Store, code: str, name: str, password: str, caller: Caller) -> Entered | Reason:
    """Choose a password by a code, and be signed in; why not, else. `name` counts for the first owner only.

    Raises UnansweredError for what cannot be taken: the code stays good.
    """
    found = invited(store, code, caller)
    if isinstance(found, Reason):
        return found
    own = found.name or name
    kept = _hashed(password, own)
    with store.writing() as connection:
        still = _looked_up(connection, code, caller)
        if isinstance(still, Reason):  # used meanwhile
            return still
        account = _account(connection, still, own, caller)
        accounts.use_code(connection, still.digest, moment(caller.at))
        return _with_password(connection, account, kept, tries.CODE_USED, caller)


def change_password(store: Store, name: str, old: str, new: str, caller: Caller) -> Entered | Reason:
    """Choose another password; why not, else. Raises UnansweredError for one that cannot be taken."""
    entered = sign_in(store, name, old, caller)
    if isinstance(entered, Reason):
        return entered
    kept = _hashed(new, name)
    with store.writing() as connection:
        return _with_password(connection, people.named(connection, name), kept, PASSWORD_SET, caller)


def _hashed(password: str, name: str) -> str:
    """What is kept of a new password. Raises UnansweredError for one that cannot be taken."""
    why = wrong_with_password(password, name)
    if why is not None:
        raise UnansweredError([refused(why, "password")])
    return hashed(password)


def _with_password(connection: Connection, account: Account, kept: str, what: str, caller: Caller) -> Entered:
    """Another password: every session of the person ends, and a new one begins."""
    accounts.change_account(connection, account.key, password=kept)
    accounts.end_sessions(connection, account.key)
    accounts.note(connection, Who(account.key, account.name, caller.address).event(what, caller.at, account.name))
    return Entered(account.name, sessions.begin(connection, account, caller.before, caller.at, caller.address))


def _looked_up(connection: Connection, code: str, caller: Caller) -> Code | Reason:
    """A code that is good now; a wrong one counts as a try of the address."""
    tried = tries.begin_code(connection, Who("", "", caller.address), caller.at)
    if isinstance(tried, Reason):
        return tried
    found = accounts.find_code(connection, code_digest(code))
    if found is None or found.used_at or moment(caller.at) >= found.ends_at:
        return because("code-wrong")
    if not found.account and any(one.role == "owner" and one.password for one in accounts.accounts(connection)):
        return because("code-wrong")  # there is a first owner by now
    accounts.forget_event(connection, tried)
    return found


def _account(connection: Connection, code: Code, name: str, caller: Caller) -> Account:
    """Whose the code is; the first owner's is made, or becomes one where the name is there already."""
    if code.account:
        return people.named(connection, code.account)
    found = accounts.find_account(connection, key_of(name))
    if found is None:
        return people.add(connection, name, "owner", caller.at, name, caller.address)
    accounts.change_account(connection, found.key, role="owner")
    return found

"""Guessing made slow: each try is noted before it is looked at, so that many at once count, too.

By a person: after three wrong passwords one waits, longer each time; after ten nobody gets in by that name until an
owner lifts it. A name that nobody has is treated alike. After three wrong PINs that PIN is locked. From an address:
twenty wrong tries in a quarter of an hour, then one waits.
"""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta

from attrs import frozen
from sqlalchemy import Connection

from standtrue.model.reason import Duration, Reason, because
from standtrue.store import accounts
from standtrue.store.accounts import Event
from standtrue.work.accounts.secrets_kept import digest_of
from standtrue.work.keep.answers import written_at

TRIED, CODE_TRIED, PIN_TRIED = "password tried", "code tried", "PIN tried"
SIGNED_IN, CODE_USED, PIN_RIGHT = "signed in", "signed up", "PIN right"
LIFTED, PIN_LIFTED, PIN_SET = "sign-in lifted", "PIN lifted", "PIN set"

MOST_PASSWORDS, MOST_PINS, MOST_FROM_ADDRESS = 10, 3, 20

FREE = 3
"""So many wrong passwords make nobody wait."""

FIRST_WAIT = timedelta(seconds=5)
"""After those; it doubles with every further one."""

WINDOW = timedelta(minutes=15)

NAMELESS_KEPT = timedelta(days=30)


@frozen
class Who:
    """Who tries, and from where: a person's key, the name if there is such a person, an address ("": this program)."""

    key: str
    name: str = ""
    address: str = ""

    def event(self, what: str, at: datetime, by: str = "") -> Event:
        """Something that happened."""
        return Event(moment(at), what, digest_of(self.key), self.name, by, self.address)


def moment(at: datetime) -> str:
    """A moment as the store has it."""
    return written_at(at.astimezone(UTC))


def begin_password(connection: Connection, who: Who, at: datetime) -> int | Reason:
    """Note that a password is tried; the number of the note, or why it is not looked at."""
    wrong, last = accounts.tries_since(connection, digest_of(who.key), TRIED, (SIGNED_IN, CODE_USED, LIFTED))
    if wrong >= MOST_PASSWORDS:
        return because("sign-in-locked", count=MOST_PASSWORDS)
    if wrong >= FREE:
        left = datetime.fromisoformat(last) + FIRST_WAIT * 2 ** (wrong - FREE) - at
        if left > timedelta():
            return because("sign-in-wait", wait=_wait(left))
    return _begin(connection, who, TRIED, at)


def begin_code(connection: Connection, who: Who, at: datetime) -> int | Reason:
    """The same for a code."""
    return _begin(connection, who, CODE_TRIED, at)


def begin_pin(connection: Connection, who: Who, at: datetime) -> int | Reason:
    """The same for a PIN."""
    return _begin(connection, who, PIN_TRIED, at) if pins_left(connection, who.key) else pin_locked(who.name)


def pin_locked(name: str) -> Reason:
    """Why a PIN is not looked at."""
    return because("pin-locked", name=name, count=MOST_PINS)


def pins_left(connection: Connection, key: str) -> int:
    """How many more wrong PINs a person may type."""
    wrong, _ = accounts.tries_since(connection, digest_of(key), PIN_TRIED, (PIN_RIGHT, PIN_LIFTED, PIN_SET))
    return max(0, MOST_PINS - wrong)


def is_locked(connection: Connection, key: str) -> bool:
    """Whether nobody gets in by this name until an owner lifts it."""
    wrong, _ = accounts.tries_since(connection, digest_of(key), TRIED, (SIGNED_IN, CODE_USED, LIFTED))
    return wrong >= MOST_PASSWORDS


def pin_wrong(left: int, name: str) -> Reason:
    """What is said of a wrong PIN."""
    return because("pin-wrong", left=left) if left else pin_locked(name)


def _begin(connection: Connection, who: Who, tried: str, at: datetime) -> int | Reason:
    earlier = accounts.tries_from(connection, who.address, (TRIED, CODE_TRIED, PIN_TRIED), moment(at - WINDOW))
    if who.address and len(earlier) >= MOST_FROM_ADDRESS:
        left = datetime.fromisoformat(earlier[MOST_FROM_ADDRESS - 1]) + WINDOW - at
        return because("address-wait", wait=_wait(left))
    accounts.forget_nameless(connection, moment(at - NAMELESS_KEPT))
    return accounts.note(connection, who.event(tried, at))


def _wait(left: timedelta) -> Duration:
    """How long still, never too short: times are said in whole seconds, or minutes."""
    step = 1 if left < timedelta(seconds=89) else 60
    return Duration(float(step * max(1, math.ceil(left.total_seconds() / step))))

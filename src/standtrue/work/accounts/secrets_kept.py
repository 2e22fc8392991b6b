"""Passwords, PINs and codes: what is kept of them, and what may be one.

Hashes are Argon2id with the parameters of RFC 9106, section 4, second choice (64 MiB, three passes), as the library has
them; the least length of a password follows NIST SP 800-63B-4, 3.1.1.2 (eight), a little more.
"""

from __future__ import annotations

import hashlib
import re
import secrets
import threading
import unicodedata
from functools import cache
from itertools import pairwise

from pwdlib import PasswordHash

from standtrue.model.basics import Fault
from standtrue.model.reason import Reason, because

LEAST_PASSWORD, MOST_PASSWORD = 10, 200

PIN = re.compile(r"[0-9]{4,8}", re.ASCII)

CODE_LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
"""Digits and letters that are not taken for each other; five bits each."""

CODE_LENGTH, CODE_GROUP = 16, 4

_HASHER = PasswordHash.recommended()

_AT_ONCE = threading.Semaphore(2)
"""A hash takes 64 MB: many who sign in at once wait for each other, so that the machine's memory holds them."""


def hashed(secret: str) -> str:
    """What is kept of a password or a PIN."""
    with _AT_ONCE:
        return _HASHER.hash(secret)


def is_of(secret: str, kept: str) -> bool:
    """Whether a secret is the one of which this is kept; where nothing is ("") it takes as long to say no."""
    with _AT_ONCE:
        return _HASHER.verify(secret, kept or _nobodys()) and kept != ""


@cache
def _nobodys() -> str:
    """A hash that nobody knows the secret of."""
    return _HASHER.hash(secrets.token_urlsafe(32))


def digest_of(secret: str) -> str:
    """What is kept of a secret that is long and random: no hash need be slow for it."""
    return hashlib.sha256(secret.encode()).hexdigest()


def new_number() -> str:
    """A random number of 256 bits, as a browser keeps it."""
    return secrets.token_urlsafe(32)


def new_code() -> str:
    """A code of 80 bits, in groups: `7K2M-90XB-...`."""
    letters = "".join(secrets.choice(CODE_LETTERS) for _ in range(CODE_LENGTH))
    return "-".join(letters[i : i + CODE_GROUP] for i in range(0, CODE_LENGTH, CODE_GROUP))


def code_digest(typed: str) -> str:
    """The digest of a code as somebody typed it: small letters, spaces, an O for a zero do no harm."""
    told = "".join(one for one in typed.upper() if one.isalnum())
    return digest_of(told.translate(str.maketrans("OIL", "011")))


def key_of(name: str) -> str:
    """By what a person is found: the same however the name is capitalized or spaced."""
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())


def wrong_with_password(password: str, name: str) -> Reason | None:
    """Why this cannot be a password; None where it can."""
    if not LEAST_PASSWORD <= len(password) <= MOST_PASSWORD:
        return because("password-length", least=LEAST_PASSWORD, most=MOST_PASSWORD)
    if key_of(password) == key_of(name) or len(set(password)) <= LEAST_PASSWORD // 3:
        return because("password-easy")
    return None


def wrong_with_pin(pin: str) -> Reason | None:
    """Why this cannot be a PIN; None where it can."""
    if not PIN.fullmatch(pin):
        return because("pin-form")
    steps = {int(b) - int(a) for a, b in pairwise(pin)}
    return because("pin-easy") if steps <= {0} or steps == {1} or steps == {-1} else None


def refused(what: Reason, field: str = "", remedy: Reason | None = None) -> Fault:
    """A fault of something that was typed."""
    return Fault(what.code, what, "", field, "", remedy or because("try-again"))

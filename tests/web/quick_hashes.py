"""Hashes that are quick: how slow a hash is, the library says, and `tests/accounts/test_secrets.py` holds it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from pwdlib import PasswordHash
from pwdlib.hashers.argon2 import Argon2Hasher

from standtrue.work.accounts import secrets_kept


@contextmanager
def quick_hashes() -> Iterator[None]:
    """Argon2 with little to do."""
    own = secrets_kept._HASHER
    secrets_kept._HASHER = PasswordHash((Argon2Hasher(1, 8, 1),))
    secrets_kept._nobodys.cache_clear()
    yield
    secrets_kept._HASHER = own
    secrets_kept._nobodys.cache_clear()

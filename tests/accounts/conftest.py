"""Hashes that are quick: how slow a hash is, the library says."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from pwdlib import PasswordHash
from pwdlib.hashers.argon2 import Argon2Hasher

from standtrue.work.accounts import secrets_kept


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Argon2 with little to do."""
    monkeypatch.setattr(secrets_kept, "_HASHER", PasswordHash((Argon2Hasher(1, 8, 1),)))
    secrets_kept._nobodys.cache_clear()
    yield
    secrets_kept._nobodys.cache_clear()

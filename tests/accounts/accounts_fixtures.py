"""The stores of the tests, and hashes that are quick."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from quick_hashes import quick_hashes
from standtrue.store.database import Store, open_store


@pytest.fixture
def quick(request: pytest.FixtureRequest) -> Iterator[None]:
    """Argon2 with little to do, but for a test of how much it has."""
    if "slow_hashes" in request.fixturenames:
        yield
        return
    with quick_hashes():
        yield


@pytest.fixture
def slow_hashes() -> None:
    """The hashes of the program."""


@pytest.fixture(params=["sqlite"])
def own_store(tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[Store]:
    """A new, empty store: SQLite's, or the other kind where a test asks for both."""
    where = request.getfixturevalue("database") if request.param == "postgresql" else tmp_path / "standtrue.db"
    with open_store(where, make=True) as made:
        yield made

"""The generated reference is what the code says now."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from standtrue.cli import reference as written
from standtrue.door.typed import FILE, fields_text

HOW = "run: python -m standtrue.cli.reference docs/reference"

reference = cache(written.reference)
"""Made once for all of its files."""

DOCS = Path(__file__).parents[2] / "docs" / "reference"


@pytest.mark.parametrize("name", sorted(reference()))
def test_the_reference_is_current(name: str) -> None:
    assert (DOCS / name).read_text(encoding="utf-8") == reference()[name], (
        "run: python -m standtrue.cli.reference docs/reference"
    )


def test_nothing_is_left_over_in_the_reference() -> None:
    there = {file.relative_to(DOCS).as_posix() for file in DOCS.rglob("*") if file.suffix in (".json", ".md")}
    assert there == {name for name in reference() if not name.endswith(".toml")}


def test_the_types_of_fields_are_current() -> None:
    assert FILE.read_text(encoding="utf-8") == fields_text(), "run: python -m standtrue.door.typed"

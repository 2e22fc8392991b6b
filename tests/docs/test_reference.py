"""The generated reference is what the code says now."""

from __future__ import annotations

from pathlib import Path

import pytest

from standtrue.cli.reference import reference

DOCS = Path(__file__).parents[2] / "docs" / "reference"


@pytest.mark.parametrize("name", sorted(reference()))
def test_the_reference_is_current(name: str) -> None:
    written = (DOCS / name).read_text(encoding="utf-8")
    assert written == reference()[name], "run: python -m standtrue.cli.reference docs/reference"

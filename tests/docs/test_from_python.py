"""The page that asks from Python prints and draws what it shows, block by block."""

from __future__ import annotations

import re

import pytest

from standtrue.door.page import DOCS, PAGE, page_run
from standtrue.show.words.preference import VARIABLES

HOW = "run: python -m standtrue.door.page"


def test_the_page_says_and_draws_what_it_shows(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", "nowhere")
    for variable in VARIABLES.values():
        monkeypatch.delenv(variable, raising=False)
    text = (DOCS / PAGE).read_text(encoding="utf-8")
    made = page_run(text)
    assert {"pictures/hundred-rooms.svg", "pictures/new-bay.svg"} < set(made)
    for name, now in made.items():
        assert (DOCS / name).read_text(encoding="utf-8") == now, HOW


def test_a_hundred_rooms_take_five_lines() -> None:
    first = re.findall(r"```python\n(.*?)```", (DOCS / PAGE).read_text(encoding="utf-8"), flags=re.DOTALL)[0]
    assert len([line for line in first.splitlines() if line]) == 5
    assert "range(10) for j in range(10)" in first

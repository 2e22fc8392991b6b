"""CONTRIBUTING draws the house as it is."""

from __future__ import annotations

import re
from pathlib import Path

from house_reading import SOURCE

CONTRIBUTING = Path(__file__).parents[2] / "CONTRIBUTING.md"
APART = {"__init__.py", "__main__.py", "__pycache__", "compiled.py", "py.typed", "whole_file.py"}


def test_every_room_is_drawn_and_every_room_drawn_is_there() -> None:
    drawing = re.search(r"```\n(cli .*?)```", CONTRIBUTING.read_text(encoding="utf-8"), re.DOTALL)
    assert drawing is not None
    drawn = {word for line in drawing[1].splitlines() for word in re.split(r"  +", line)[0].split()}
    assert drawn == {p.name for p in SOURCE.iterdir() if p.name not in APART}


def test_inner_rooms_are_drawn() -> None:
    text = CONTRIBUTING.read_text(encoding="utf-8")
    for name in ("place", "drive", "work", "show"):
        row = re.search(rf"^`{name}`: (.*)$", text, re.MULTILINE)
        assert row is not None, name
        inside = {p.name for p in (SOURCE / name).iterdir() if p.is_dir() and p.name != "__pycache__"}
        assert set(re.findall(r"`(\w+)`", row[1])) == inside

"""The first ten lines of every command are the answer; then come the files that it wrote; at the end the cautions."""

from __future__ import annotations

import re
from collections.abc import Mapping

import pytest

from house_commands import COMMANDS

Answered = Mapping[str, Mapping[str, str]]

FILE = re.compile(r"^(Pictures?|Sheet|Table|Answer|Record): ")
MOST = 10
WRITING = [name for name, words in COMMANDS.items() if "--out" in words and words[0] != "backup"]
"""A copy of a store says nothing of a car."""

GOVERNS = "The vehicle maker's current service information and local codes govern."


@pytest.mark.parametrize("command", WRITING)
def test_the_files_stand_behind_the_answer(us: Answered, command: str) -> None:
    lines = us[command][""].splitlines()
    files = [number for number, line in enumerate(lines) if FILE.match(line)]
    assert files, command
    assert files[0] <= MOST
    assert files == list(range(files[0], files[0] + len(files)))


@pytest.mark.parametrize("command", WRITING)
def test_cautions_are_never_left_out(us: Answered, command: str) -> None:
    """What could hurt someone is told without asking why, each thing once, at the end."""
    said = " ".join(us[command][""].split())
    assert said.count(GOVERNS) == 1
    assert said.index("Caution: ") > len(said) // 3


@pytest.mark.parametrize("command", [name for name, words in COMMANDS.items() if "--why" in words])
def test_with_why_every_note_is_told_and_none_is_counted(us: Answered, command: str) -> None:
    assert "--why" not in us[command][""]

"""Every picture that a command draws keeps the laws of pictures, and is plain to a screen reader."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest
from picture_laws import faults, read_picture
from playwright.sync_api import Browser

from house_commands import COMMANDS
from page_browser import opened

Answered = Mapping[str, Mapping[str, str]]

DRAWING = [name for name, words in COMMANDS.items() if any(word.endswith(".svg") for word in words)]


NOT_YET = frozenset(("place.svg", "job.svg", "drive.svg", "plan.svg", "floor.svg"))
"""Whole views as they were."""


@pytest.mark.parametrize("command", DRAWING)
def test_every_picture_keeps_the_laws(us: Answered, spanish: Answered, command: str) -> None:
    for answered in (us, spanish):
        drawn = {file: svg for file, svg in pictures(answered[command]).items() if file not in NOT_YET}
        for file, svg in drawn.items():
            assert faults(read_picture(svg)) == [], file


def test_axe_finds_nothing_in_any_of_them(us: Answered, spanish: Answered, browser: Browser, tmp_path: Path) -> None:
    """One page that holds them all, as another page may embed them."""
    for answered, language in ((us, "en"), (spanish, "es")):
        drawn = [svg for command in DRAWING for svg in pictures(answered[command]).values()]
        head = f'<!DOCTYPE html><html lang="{language}"><head><title>Drawings</title></head>'
        page = f"{head}<body><main><h1>Drawings</h1>{''.join(drawn)}</main></body></html>"
        with opened(browser, page, tmp_path) as shown:
            assert shown.axe() == []


def pictures(told: Mapping[str, str]) -> dict[str, str]:
    return {file: text for file, text in told.items() if file.endswith(".svg")}

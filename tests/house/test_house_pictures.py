"""Every picture that a command draws keeps the laws of pictures, and is plain to a screen reader."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest
from picture_laws import faults, read_picture
from playwright.sync_api import Browser

from house_commands import COMMANDS, answered_once
from page_browser import opened
from standtrue.draw.lettering import width_mm

Answered = Mapping[str, Mapping[str, str]]

DRAWING = [name for name, words in COMMANDS.items() if any(word.endswith(".svg") for word in words)]


@pytest.mark.parametrize("command", DRAWING)
def test_every_picture_keeps_the_laws(us: Answered, spanish: Answered, command: str) -> None:
    for answered in (us, spanish):
        keep_the_laws(answered[command])


@pytest.mark.long
@pytest.mark.parametrize(("units", "language"), [("metric", "en"), ("us", "es")])
def test_every_picture_keeps_the_laws_for_the_other_readers(of_this_run: Path, units: str, language: str) -> None:
    answered = answered_once(of_this_run, units, language)
    for command in DRAWING:
        keep_the_laws(answered[command])


def keep_the_laws(told: Mapping[str, str]) -> None:
    drawn = pictures(told)
    assert drawn
    for file, svg in drawn.items():
        assert faults(read_picture(svg)) == [], file


MEASURED = """() => {
  document.querySelectorAll('svg').forEach(svg => svg.style.fontFamily = '"DejaVu Sans"');
  document.querySelectorAll('svg svg').forEach(svg => svg.removeAttribute('font-family'));
  return [...document.querySelectorAll('svg text')].map(t => {
    const style = getComputedStyle(t);
    return [t.textContent, t.getComputedTextLength(), parseFloat(style.fontSize), Number(style.fontWeight) > 500];
  });
}"""


def test_axe_finds_nothing_and_letters_are_no_wider_than_counted(
    us: Answered, spanish: Answered, browser: Browser, tmp_path: Path
) -> None:
    """One page that holds them all, as another page may embed them, in the widest font that a reader may have."""
    for answered, language in ((us, "en"), (spanish, "es")):
        drawn = [svg for command in DRAWING for svg in pictures(answered[command]).values()]
        head = f'<!DOCTYPE html><html lang="{language}"><head><title>Drawings</title></head>'
        page = f"{head}<body><main><h1>Drawings</h1>{''.join(drawn)}</main></body></html>"
        with opened(browser, page, tmp_path) as shown:
            assert shown.axe() == []
            measured = shown.page.evaluate(MEASURED)
        assert len(measured) > 100
        wide = [words for words, long, size, bold in measured if long > width_mm(words, size, bold) + 0.1]
        assert wide == []


def pictures(told: Mapping[str, str]) -> dict[str, str]:
    return {file: text for file, text in told.items() if file.endswith(".svg")}

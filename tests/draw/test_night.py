"""On a dark screen every picture is read as well as on paper, and no meaning is lost.

Contrast is that of WCAG 2.2 ("relative luminance", "contrast ratio"): text 7:1 or better, marks 3:1.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from page_browser import opened
from standtrue.draw.backends.svg import document
from standtrue.draw.night import NIGHT, page_css, picture_css
from standtrue.draw.styles import BLACK, FAINT_INK, GRAY, ORANGE, STYLES, WHITE, YELLOW

FILLS = frozenset({WHITE, *(style.fill for style in STYLES.values() if style.fill != BLACK)})
"""What lines and words stand on."""

INKS = frozenset(
    {
        *(style.stroke for style in STYLES.values()),
        *(style.hatch.color for style in STYLES.values() if style.hatch is not None),
    }
) - {"none"}


def luminance(color: str) -> float:
    parts = [int(color[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def at_night(color: str) -> str:
    return NIGHT.get(color, color)


def test_contrast_is_reckoned_as_published() -> None:
    """Black on white is 21:1 and #767676 is the lightest gray of 4.5:1 on it."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


def test_words_are_read_on_every_ground() -> None:
    for ground in (WHITE, YELLOW, *(fill for fill in FILLS if fill != "none" and fill.startswith("#f"))):
        assert contrast(at_night(BLACK), at_night(ground)) >= 7.0, ground
    assert contrast(at_night(GRAY), at_night(WHITE)) >= 7.0


@pytest.mark.parametrize("ink", sorted({*INKS, FAINT_INK, ORANGE}))
def test_marks_are_seen(ink: str) -> None:
    assert contrast(at_night(ink), at_night(WHITE)) >= 3.0


def test_what_differs_by_day_differs_at_night() -> None:
    inks = sorted({*INKS, FAINT_INK, WHITE})
    assert len({at_night(ink) for ink in inks}) == len(inks)


def test_only_a_screen_is_dark() -> None:
    for css in (picture_css(), page_css()):
        assert set(re.findall(r"@media [^{]*", css)) == {"@media screen and (prefers-color-scheme:dark)"}


FILL = "() => getComputedStyle(document.querySelector('text')).fill"


@pytest.mark.parametrize(("dark", "ink"), [(False, "rgb(0, 0, 0)"), (True, "rgb(239, 236, 228)")])
def test_the_readers_system_decides(browser: Browser, tmp_path: Path, dark: bool, ink: str) -> None:
    svg = document((50.0, 20.0), ['<text x="5" y="9">A</text>'], title="A", told="A", language="en", mark="a")
    page = f'<!DOCTYPE html><html lang="en"><head><title>A</title></head><body>{svg}</body></html>'
    with opened(browser, page, tmp_path, dark=dark) as shown:
        assert shown.page.evaluate(FILL) == ink

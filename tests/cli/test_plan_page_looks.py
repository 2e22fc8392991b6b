"""How the page of a plan looks: to axe-core, on a telephone, a tablet and a desk, and on paper."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from page_browser import DESK, PHONE, TABLET, opened, page_text, planned
from standtrue.demo import MAIN_JOB
from standtrue.model.reader_units import System
from standtrue.work.plan_pictures import plan_chart, plan_strip
from standtrue.work.plan_words import told_steps

UNMOVED = "nib windshield"
"""A job whose car stays where it is driven in."""


@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize(("job", "units"), [(MAIN_JOB, "metric"), (MAIN_JOB, "us"), (UNMOVED, "metric")])
def test_axe_finds_nothing(browser: Browser, tmp_path: Path, job: str, units: System, dark: bool) -> None:
    with opened(browser, page_text(job, units), tmp_path, PHONE if dark else DESK, touch=dark, dark=dark) as shown:
        assert shown.axe() == []


def test_axe_finds_nothing_in_the_drawings_that_another_page_embeds(browser: Browser, tmp_path: Path) -> None:
    answer = planned(UNMOVED)
    drawings = plan_strip(answer) + plan_chart(answer)
    head = '<!DOCTYPE html><html lang="en"><head><title>Drawings</title></head><body><main><h1>Drawings</h1>'
    with opened(browser, f"{head}{drawings}</main></body></html>", tmp_path) as shown:
        assert shown.axe() == []


@pytest.mark.parametrize("size", [PHONE, TABLET, DESK])
def test_nothing_is_cut_and_nothing_scrolls_sideways(browser: Browser, tmp_path: Path, size: tuple[int, int]) -> None:
    """WCAG 2.2 success criterion 1.4.10, reflow; the time chart alone may be wider than a telephone."""
    with opened(browser, page_text(MAIN_JOB), tmp_path, size, touch=size != DESK) as shown:
        assert shown.number("document.documentElement.scrollWidth") <= size[0]
        wide = shown.page.evaluate(
            """[...document.querySelectorAll('body *:not(svg *)')].filter(e => !e.closest('.chart')
               && e.getBoundingClientRect().right > innerWidth + 0.5).map(e => e.outerHTML.slice(0, 80))"""
        )
        assert wide == []


def test_it_prints_every_step_and_no_picture_is_cut(browser: Browser, tmp_path: Path) -> None:
    answer = planned(MAIN_JOB)
    assert answer.plan is not None
    with opened(browser, page_text(MAIN_JOB), tmp_path) as shown:
        shown.page.pdf(path=tmp_path / "page.pdf", format="Letter")
    words = ["pdftotext", "-layout", str(tmp_path / "page.pdf"), "-"]
    said = subprocess.run(words, capture_output=True, text=True, check=True).stdout
    flat = re.sub(r"\W+", "", said)
    for told in told_steps(answer.ordered, answer.plan, answer.site):
        assert re.sub(r"\W+", "", told.what) in flat or told.what.split()[0] in said
    assert "Play" not in said

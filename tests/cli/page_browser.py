"""The page of a plan in Debian's Chromium, used as people use it: by finger, mouse and key. Playwright drives it.

No browser is downloaded, and a missing one is a failure.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from functools import cache
from importlib import resources
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Literal

from attrs import field, frozen
from playwright.sync_api import Browser, CDPSession, Locator, Page, sync_playwright

from kept_answers import kept
from standtrue.demo import write_demo
from standtrue.documents import read_folder
from standtrue.model.reader_units import System
from standtrue.show.pictures.plan import page_steps, plan_html
from standtrue.show.words.plan import step_words
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.plans import find_plan

PHONE, TABLET, DESK = (390, 844), (820, 1180), (1280, 900)
"""Widths and heights in CSS pixels."""

AXE = (resources.files("axe_playwright_python") / "axe.min.js").read_text(encoding="utf-8")


@cache
def planned(job: str) -> PlanAnswer:
    """The plan of a job of the demonstration shop."""
    with TemporaryDirectory() as folder:
        write_demo(Path(folder))
        found = read_folder(Path(folder))
        return kept(find_plan)(found.shop(), found.jobs[job], alternatives=False)


@cache
def page_text(job: str, units: System = "metric", language: str = "en") -> str:
    """Its page."""
    return plan_html(planned(job), Reader(units, language))


def count_steps(job: str) -> int:
    """How many pictures its page has."""
    answer = planned(job)
    assert answer.plan is not None
    return len(page_steps(step_words(answer.ordered, answer.plan, answer.site, ENGLISH)))


@contextmanager
def chromium() -> Iterator[Browser]:
    """The browser, until the tests are through with it."""
    program = shutil.which("chromium")
    assert program is not None, "tools/setup dev installs chromium"
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=program, args=["--no-sandbox"])
        yield browser
        browser.close()


@frozen
class Opened:
    """A page that is open. `asked` are the addresses that it asked for, `faults` what went wrong in it."""

    page: Page
    asked: list[str] = field(factory=list)
    faults: list[str] = field(factory=list)

    def all(self, what: str) -> list[Locator]:
        return self.page.locator(what).all()

    @property
    def said(self) -> str:
        """The first line of what it says of the step that it shows."""
        return self.page.locator(".now strong").inner_text()

    @property
    def step(self) -> int:
        """The step that it shows, from 0, if slider, list and picture agree on one."""
        told: list[int] = self.page.evaluate(
            """() => [
              [...document.querySelectorAll('.steps button')].findIndex(b => b.getAttribute('aria-current') === 'step'),
              Number(document.querySelector('input').value),
              [...document.querySelectorAll('.floor .scene')].findIndex(g => !g.classList.contains('off')),
            ]"""
        )
        assert len(set(told)) == 1, told
        return told[0]

    @property
    def car(self) -> str | None:
        """Where the car is drawn; None while it is not in the shop."""
        car = self.page.locator(".car")
        return None if "off" in (car.get_attribute("class") or "") else car.get_attribute("transform")

    def number(self, script: str) -> float:
        return float(self.page.evaluate(script))

    def swipe(self, start: tuple[float, float], end: tuple[float, float]) -> None:
        """One finger set down, drawn along and lifted."""
        self._touch([[(start[k] + i / 10 * (end[k] - start[k])) for k in (0, 1)]] for i in range(11))

    def pinch(self, at: tuple[float, float]) -> float:
        """Two fingers drawn apart; how much larger the page is then."""
        self._touch([[at[0] - d, at[1]], [at[0] + d, at[1]]] for d in range(15, 90, 6))
        self.page.wait_for_function("visualViewport.scale > 1")
        return self.number("visualViewport.scale")

    def _touch(self, moments: Iterable[Sequence[Sequence[float]]]) -> None:
        devtools: CDPSession = self.page.context.new_cdp_session(self.page)
        kind = "touchStart"
        for fingers in moments:
            points = [{"x": x, "y": y, "id": number} for number, (x, y) in enumerate(fingers)]
            devtools.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
            kind = "touchMove"
        devtools.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})

    def axe(self) -> list[str]:
        """What axe-core finds wrong, each with the places."""
        self.page.evaluate(AXE)
        found: list[dict[str, Any]] = self.page.evaluate(
            "axe.run(document, {resultTypes: ['violations']}).then(r => r.violations)"
        )
        return [f"{v['id']}: {v['help']} {[n['target'] for n in v['nodes']]}" for v in found]


@contextmanager
def opened(
    browser: Browser,
    text: str,
    folder: Path,
    size: tuple[int, int] = DESK,
    *,
    touch: bool = False,
    dark: bool = False,
    motion: Literal["reduce"] | None = None,
) -> Iterator[Opened]:
    """A page's text open in a window, or on a telephone or tablet. Nothing may go wrong in it."""
    file = folder / "page.html"
    file.write_text(text, encoding="utf-8")
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]},
        has_touch=touch,
        is_mobile=touch,
        color_scheme="dark" if dark else "light",
        reduced_motion=motion,
    )
    shown = Opened(context.new_page())
    shown.page.on("request", lambda request: shown.asked.append(request.url))
    shown.page.on("pageerror", lambda fault: shown.faults.append(str(fault)))
    shown.page.on("console", lambda told: shown.faults.append(told.text))
    shown.page.goto(file.as_uri())
    yield shown
    context.close()
    assert shown.faults == []
    assert shown.asked == [file.as_uri()]

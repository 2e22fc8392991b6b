"""The page that plays a plan: what it holds, and what it shows when it is played."""

from __future__ import annotations

import base64
import hashlib
import html
import json
import re
from pathlib import Path

import pytest
from attrs import evolve
from playwright.sync_api import Browser

from page_browser import count_steps, opened, page_text, planned
from standtrue.demo import MAIN_JOB
from standtrue.model.ground import Grounds
from standtrue.show.pictures.page import OrderPage, PageScene, order_page
from standtrue.show.pictures.place import site_drawing
from standtrue.show.pictures.plan import plan_html
from standtrue.show.words.plan import step_words
from standtrue.show.words.reader import ENGLISH

MOST_BYTES = 500_000


def test_it_stands_alone() -> None:
    page = page_text(MAIN_JOB)
    assert len(page.encode()) < MOST_BYTES
    assert not re.search(r"""(src|href)\s*=|@import|url\((?!"data:font/woff2;base64,)|fetch\(|XMLHttpRequest""", page)
    assert set(re.findall(r"https?://[^\"' ]+", page)) <= {"http://www.w3.org/2000/svg"}
    assert "default-src 'none'" in page


def test_only_its_own_script_runs() -> None:
    page = page_text(MAIN_JOB)
    (script,) = re.findall(r"<script>(.*?)</script>", page, re.DOTALL)
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    assert f"script-src 'sha256-{digest}'" in page


def test_no_name_ends_or_opens_its_data() -> None:
    answer = planned(MAIN_JOB)
    names = ("<!--<script>", "</script><b>", "]]>")
    scenes = tuple(PageScene(name, name, (name,), (name,), None, ()) for name in names)
    floor = site_drawing(Grounds(answer.site).at_rest())
    page = order_page(OrderPage(names[0], (), (), answer.needs.vehicle, floor, scenes, (), ""), ENGLISH)
    (data,) = re.findall(r'<script type="application/json">(.*?)</script>', page, re.DOTALL)
    assert "<" not in data
    assert [scene["title"] for scene in json.loads(data)["scenes"]] == list(names)
    assert "<!--" not in page


def test_it_says_every_step_in_words() -> None:
    page, answer = page_text(MAIN_JOB), planned(MAIN_JOB)
    assert answer.plan is not None
    for told in step_words(answer.ordered, answer.plan, answer.site, ENGLISH):
        assert f">{html.escape(told.what)}</td>" in page
    assert "INVENTED DEMONSTRATION DATA" in page


def test_what_others_do_at_the_same_time_is_told(browser: Browser, tmp_path: Path) -> None:
    answer = planned("nib windshield")
    assert answer.plan is not None
    steps = list(answer.plan.steps)
    k = next(i for i, s in enumerate(steps) if s.kind == "set up")
    steps[k - 1] = evolve(steps[k - 1], end_s=steps[k].end_s)
    front = evolve(answer.ordered.front, plans=(evolve(answer.plan, steps=tuple(steps)),))
    both = evolve(answer, ordered=evolve(answer.ordered, front=front))
    with opened(browser, plan_html(both, ENGLISH), tmp_path) as shown:
        shown.page.get_by_role("button", name=f"{k} replace the windshield").click()
        assert f"At the same time: {k + 1} set up the target frame" in shown.page.inner_text(".now")
    assert "At the same time" not in page_text("nib windshield")


def test_it_plays_by_itself_to_the_end(browser: Browser, tmp_path: Path) -> None:
    """The car moves along its way, then stands; the last step stops the play."""
    with opened(browser, page_text(MAIN_JOB), tmp_path) as shown:
        page = shown.page
        page.clock.install()
        page.reload()
        assert re.search(r"push in to place \d$", shown.said)
        stood = shown.car
        page.locator(".play").click()
        assert page.locator(".play").inner_text() == "Pause"
        page.clock.run_for(1000)
        assert shown.step == 0
        assert shown.car not in (None, stood)
        page.clock.run_for(6000)
        assert shown.step > 0
        page.clock.run_for(120_000)
        assert shown.step == count_steps(MAIN_JOB) - 1
        assert page.locator(".play").inner_text() == "Play"
        assert shown.car is None
        shown.asked.pop()


@pytest.mark.parametrize("motion", ["reduce", "no-preference"])
def test_without_motion_it_goes_from_step_to_step(browser: Browser, tmp_path: Path, motion: str) -> None:
    """Whoever asks for reduced motion sees the car only where it stands."""
    with opened(browser, page_text(MAIN_JOB), tmp_path, motion="reduce" if motion == "reduce" else None) as shown:
        page = shown.page
        page.clock.install()
        page.reload()
        stood = shown.car
        page.locator(".play").click()
        places = set()
        for _ in range(10):
            page.clock.run_for(100)
            places.add(shown.car)
        assert shown.step == 0
        assert (places == {stood}) == (motion == "reduce")
        page.clock.run_for(6000)
        assert shown.step > 0
        shown.asked.pop()

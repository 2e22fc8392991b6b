"""How the page of a plan looks: to axe-core, on a telephone, a tablet and a desk, and on paper."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest
from attrs import evolve
from playwright.sync_api import Browser

from page_browser import DESK, PHONE, TABLET, opened, page_text, planned
from standtrue.demo import MAIN_JOB
from standtrue.model.reader_units import System
from standtrue.show.pictures.plan import plan_html, plan_strip
from standtrue.show.pictures.plan_chart import plan_chart
from standtrue.show.words.plan import step_words
from standtrue.show.words.reader import ENGLISH

UNMOVED = "nib windshield"
"""A job whose car stays where it is driven in."""


@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize(("job", "units"), [(MAIN_JOB, "metric"), (MAIN_JOB, "us"), (UNMOVED, "metric")])
def test_axe_finds_nothing(browser: Browser, tmp_path: Path, job: str, units: System, dark: bool) -> None:
    with opened(browser, page_text(job, units), tmp_path, PHONE if dark else DESK, touch=dark, dark=dark) as shown:
        shown.page.locator(".steps button").nth(2).click()
        assert shown.axe() == []


def test_a_plan_without_any_step_is_told_in_words(browser: Browser, tmp_path: Path) -> None:
    answer = planned(MAIN_JOB)
    nothing = evolve(answer, ordered=evolve(answer.ordered, front=evolve(answer.ordered.front, plans=())))
    with opened(browser, plan_html(nothing, ENGLISH), tmp_path) as shown:
        assert "There is no order" in shown.page.inner_text("header")
        assert "Not done here" in shown.page.inner_text("main")
        assert shown.axe() == []


def test_axe_finds_nothing_in_the_drawings_that_another_page_embeds(browser: Browser, tmp_path: Path) -> None:
    answer = planned(UNMOVED)
    drawings = "".join([*plan_strip(answer, ENGLISH), plan_chart(answer, ENGLISH)])
    head = '<!DOCTYPE html><html lang="en"><head><title>Drawings</title></head><body><main><h1>Drawings</h1>'
    with opened(browser, f"{head}{drawings}</main></body></html>", tmp_path) as shown:
        assert shown.axe() == []


@pytest.mark.parametrize("size", [(320, 640), PHONE, TABLET, DESK])
def test_nothing_is_cut_and_nothing_scrolls_sideways(browser: Browser, tmp_path: Path, size: tuple[int, int]) -> None:
    """WCAG 2.2 success criterion 1.4.10, reflow at 320 px; the time chart alone may be wider than a telephone."""
    with opened(browser, page_text(MAIN_JOB), tmp_path, size, touch=size != DESK) as shown:
        assert shown.number("document.documentElement.scrollWidth") <= size[0]
        wide = shown.page.evaluate(
            """[...document.querySelectorAll('body *:not(svg *)')].filter(e => !e.closest('.chart')
               && e.getBoundingClientRect().right > innerWidth + 0.5).map(e => e.outerHTML.slice(0, 80))"""
        )
        assert wide == []


NAMES = """() => {
  const frame = document.querySelector('.floor').getBoundingClientRect();
  const names = [...document.querySelectorAll('.floor .name')].filter(g => getComputedStyle(g).display !== 'none'
    && g.closest('.off') === null);
  const boxes = names.map(g => [...g.querySelectorAll('text')].map(t => t.getBoundingClientRect()).reduce((a, b) => ({
    left: Math.min(a.left, b.left), top: Math.min(a.top, b.top),
    right: Math.max(a.right, b.right), bottom: Math.max(a.bottom, b.bottom) })));
  const cut = boxes.filter(b => b.left < frame.left || b.right > frame.right || b.top < frame.top
    || b.bottom > frame.bottom);
  const on = [];
  boxes.forEach((a, i) => boxes.slice(i + 1).forEach((b, k) => {
    const w = Math.min(a.right, b.right) - Math.max(a.left, b.left);
    const h = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
    if (w > 1 && h > 1) on.push([names[i].textContent, names[i + 1 + k].textContent]);
  }));
  const high = names.map(g => Math.min(...[...g.querySelectorAll('text')].map(t => t.getBoundingClientRect().height)));
  return { cut: cut.length, on, count: names.length, least: Math.min(99, ...high) };
}"""
"""Which names are cut at the edge or lie on one another, how many there are, and the height of the smallest letters."""


@pytest.mark.parametrize("job", [MAIN_JOB, UNMOVED, "dromond alignment"])
@pytest.mark.parametrize("size", [PHONE, DESK])
def test_names_are_few_and_large_enough_to_read_and_none_is_cut_or_lies_on_another(
    browser: Browser, tmp_path: Path, job: str, size: tuple[int, int]
) -> None:
    """At every step, of the whole floor as on a desk, and near the car as on a telephone."""
    with opened(browser, page_text(job), tmp_path, size, touch=size == PHONE) as shown:
        near = shown.page.locator(".near")
        assert near.get_attribute("aria-pressed") == ("true" if size == PHONE else "false")
        for button in shown.all(".steps button"):
            button.evaluate("e => e.click()")
            found = shown.page.evaluate(NAMES)
            assert (found["cut"], found["on"]) == (0, [])
            assert found["count"] <= 7
            assert found["least"] >= 14
        near.click()
        assert near.get_attribute("aria-pressed") == ("false" if size == PHONE else "true")
        assert shown.page.evaluate(NAMES)["cut"] == 0


def test_near_the_car_shows_it_larger_and_whole_with_what_is_set_up(browser: Browser, tmp_path: Path) -> None:
    with opened(browser, page_text(MAIN_JOB), tmp_path) as shown:
        size = "document.querySelector('.car').getBoundingClientRect().width"
        edges = """() => { const c = document.querySelector('.car').getBoundingClientRect(),
          f = document.querySelector('.floor').getBoundingClientRect();
          return c.left >= f.left && c.right <= f.right && c.top >= f.top && c.bottom <= f.bottom; }"""
        before = shown.number(size)
        shown.page.locator(".near").click()
        assert shown.number(size) > 1.3 * before
        names = """() => [...document.querySelectorAll('.floor .name')].filter(g => g.closest('.off, .cut') === null)
          .map(g => [...g.querySelectorAll('text')].map(t => t.textContent).join(' '))"""
        assert "lift bay door: must stand open" in shown.page.evaluate(names)
        told = []
        for button in shown.all(".steps button"):
            button.evaluate("e => e.click()")
            assert shown.car is None or shown.page.evaluate(edges)
            told += shown.page.evaluate(names)
        set_up = {"wheel aligner, in use", "headlamp aimer for aimer", "corner reflector stand for reflector"}
        assert {*set_up, "target frame for wide board", "from here"} <= set(told)


def test_equipment_that_is_set_up_stands_where_it_is_wanted(browser: Browser, tmp_path: Path) -> None:
    with opened(browser, page_text(UNMOVED), tmp_path) as shown:
        said = shown.page.locator(".now")
        for button in shown.all(".steps button"):
            button.click()
            if "set up the target frame" in said.inner_text():
                break
        scene = shown.page.locator(".floor .scene:not(.off)")
        assert "target frame for board" in (scene.text_content() or "")


def test_it_prints_every_step_and_no_picture_is_cut(browser: Browser, tmp_path: Path) -> None:
    answer = planned(MAIN_JOB)
    assert answer.plan is not None
    with opened(browser, page_text(MAIN_JOB), tmp_path) as shown:
        page = shown.page
        page.pdf(path=tmp_path / "page.pdf", format="Letter")
        page.set_viewport_size({"width": 740, "height": 980})
        page.emulate_media(media="print")
        pictures = [picture.bounding_box() for picture in shown.all(".floor, .chart svg")]
        assert all(p is not None and p["x"] >= 0 and p["x"] + p["width"] <= 740 for p in pictures)
        assert all(p is not None and p["height"] < 900 for p in pictures), "each fits on a page, and is not broken"
    words = ["pdftotext", "-layout", str(tmp_path / "page.pdf"), "-"]
    said = subprocess.run(words, capture_output=True, text=True, check=True).stdout
    numbers = {int(n) for n in re.findall(r"^ *(\d+)  +\S", said, re.MULTILINE)}
    assert numbers >= {told.number for told in step_words(answer.ordered, answer.plan, answer.site, ENGLISH)}
    assert "Every step in words" in said
    assert "Play" not in said


FOLD = """() => [...document.querySelectorAll('.undone, .now strong, .bar .next')].map(e =>
  e.getBoundingClientRect().bottom <= innerHeight)"""


@pytest.mark.parametrize("size", [(360, 740), (1024, 768), (1920, 1080)])
@pytest.mark.parametrize("job", [MAIN_JOB, "dromond alignment"])
def test_what_is_not_done_and_what_to_do_stand_above_the_fold(
    browser: Browser, tmp_path: Path, job: str, size: tuple[int, int]
) -> None:
    with opened(browser, page_text(job), tmp_path, size, touch=size[0] < 500) as shown:
        assert "Not done" in shown.page.inner_text("header")
        above = shown.page.evaluate(FOLD)
        assert above[0]
        assert all(above) or size[0] < 500, "on a phone what to do comes right below all that is not done"


def test_a_step_tells_at_the_car_all_that_it_needs(browser: Browser, tmp_path: Path) -> None:
    """Figures, tolerances, conditions, what must be first and cautions; the calibration is a step of its own."""
    with opened(browser, page_text(MAIN_JOB, "us"), tmp_path) as shown:
        titles = [button.inner_text() for button in shown.all(".steps button")]
        assert sum("calibrate" in t or "look first" in t for t in titles) >= 10
        shown.page.get_by_role("button", name=re.compile("calibrate front radar$")).click()
        said = shown.page.inner_text(".now")
        assert re.search(r"\d ft .* ahead of the car's front", said)
        assert re.search(r"At most off: along .* in, across .* in", said)
        assert "First: " in said
        assert "Before it starts: emblem and bumper cover fitted and dry" in said
        assert "To spare: " in said
        assert "radar transmits" in shown.page.inner_text(".now .caution >> nth=-1")
        shown.page.get_by_role("button", name=re.compile("drive over$")).click()
        assert re.search(r"ft .*changes? of direction", shown.page.inner_text(".now"))
        assert "Clear people" in shown.page.inner_text(".now")

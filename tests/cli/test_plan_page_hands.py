"""The page of a plan worked by finger and by key, as at the car."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from page_browser import DESK, PHONE, Opened, count_steps, opened, page_text
from standtrue.demo import MAIN_JOB

LEAST_PX = 44.0
"""How high a thing to touch is at the least: WCAG 2.2 success criterion 2.5.5, target size (enhanced)."""


@pytest.fixture
def phone(browser: Browser, tmp_path: Path) -> Iterator[Opened]:
    with opened(browser, page_text(MAIN_JOB), tmp_path, PHONE, touch=True) as shown:
        yield shown


@pytest.fixture
def desk(browser: Browser, tmp_path: Path) -> Iterator[Opened]:
    with opened(browser, page_text(MAIN_JOB), tmp_path, DESK) as shown:
        yield shown


def count() -> int:
    return count_steps(MAIN_JOB)


def test_a_finger_goes_to_a_step(phone: Opened) -> None:
    phone.page.locator(".steps button").nth(3).tap()
    assert phone.step == 3
    phone.page.locator(".next").tap()
    assert phone.step == 4
    phone.page.locator(".back").tap()
    phone.page.locator(".back").tap()
    assert phone.step == 2
    phone.page.locator(".play").tap()
    assert phone.page.locator(".play").inner_text() == "Pause"
    phone.page.locator(".play").tap()
    assert phone.page.locator(".play").inner_text() == "Play"


def test_a_finger_taps_and_drags_the_slider(phone: Opened) -> None:
    slider = phone.page.locator("input")
    slider.scroll_into_view_if_needed()
    box = slider.bounding_box()
    assert box is not None
    middle = box["y"] + box["height"] / 2
    phone.page.touchscreen.tap(box["x"] + box["width"] / 2, middle)
    assert abs(phone.step - (count() - 1) / 2) <= 1
    phone.swipe((box["x"] + box["width"] / 2, middle), (box["x"] + box["width"] - 4, middle))
    assert phone.step == count() - 1


def middle_of(shown: Opened, what: str) -> tuple[float, float]:
    shown.page.locator(what).evaluate("e => e.scrollIntoView()")
    box = shown.page.locator(what).bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def test_a_finger_drawn_across_the_picture_turns_to_the_next_step(phone: Opened) -> None:
    x, y = middle_of(phone, ".floor")
    phone.swipe((x + 80, y), (x - 80, y + 10))
    assert phone.step == 1
    phone.swipe((x + 80, y), (x - 80, y - 10))
    assert phone.step == 2
    phone.swipe((x - 80, y), (x + 80, y))
    assert phone.step == 1
    phone.swipe((x, y), (x + 20, y))
    assert phone.step == 1


def test_the_picture_does_not_hinder_scrolling_and_zooming(phone: Opened) -> None:
    x, y = middle_of(phone, ".floor")
    before = phone.number("scrollY")
    phone.swipe((x, y), (x + 10, y - 90))
    phone.page.wait_for_function(f"scrollY > {before} + 40")
    assert phone.step == 0
    x, y = middle_of(phone, ".floor")
    assert phone.pinch((x, y)) > 1.2
    phone.swipe((x + 80, y), (x - 80, y))
    assert phone.step == 0
    assert phone.page.locator(".floor").evaluate("e => getComputedStyle(e).touchAction") == "auto"


def test_everything_to_touch_is_large_enough(phone: Opened) -> None:
    boxes = [thing.bounding_box() for thing in phone.all("button, input, a, summary")]
    assert len(boxes) >= 4 + count()
    assert all(b is not None and b["height"] >= LEAST_PX and b["width"] >= LEAST_PX for b in boxes)


def test_keys_reach_everything_and_show_where_they_are(desk: Opened) -> None:
    """Tab goes to every control in the order in which they are read; each shows that it has the focus."""
    wanted = desk.page.evaluate(
        "[...document.querySelectorAll('button, input, [tabindex=\"0\"]')].map(e => e.className + e.textContent)"
    )
    reached = []
    for _ in wanted:
        desk.page.keyboard.press("Tab")
        now = desk.page.evaluate(
            """() => { const e = document.activeElement, s = getComputedStyle(e), r = e.getBoundingClientRect();
              return [e.className + e.textContent, s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 2,
                      r.top < innerHeight && r.bottom > 0]; }"""
        )
        reached.append(now[0])
        assert now[1:] == [True, True], now
    assert reached == wanted


def test_keys_work_the_buttons_and_the_arrows_the_steps(desk: Opened) -> None:
    press = desk.page.keyboard.press
    desk.page.locator(".next").focus()
    press("Enter")
    press("Space")
    assert desk.step == 2
    press("ArrowRight")
    assert desk.step == 3
    press("ArrowLeft")
    press("ArrowLeft")
    assert desk.step == 1
    desk.page.locator("input").focus()
    press("ArrowRight")
    assert desk.step == 2
    press("End")
    assert desk.step == count() - 1
    desk.page.locator(".steps button").first.focus()
    press("Enter")
    assert desk.step == 0
    press("ArrowLeft")
    assert desk.step == 0
    desk.page.locator(".play").focus()
    press("Space")
    assert desk.page.locator(".play").inner_text() == "Pause"
    press("ArrowRight")
    assert desk.step == 1
    assert desk.page.locator(".play").inner_text() == "Play"


def test_arrow_keys_work_before_anything_is_pressed(desk: Opened) -> None:
    """Nothing has the focus; in the time chart, which they scroll, they go to no other step."""
    assert desk.page.evaluate("document.activeElement === document.body")
    desk.page.keyboard.press("ArrowRight")
    desk.page.keyboard.press("ArrowRight")
    assert desk.step == 2
    desk.page.keyboard.press("ArrowLeft")
    assert desk.step == 1
    desk.page.locator("div.chart").focus()
    desk.page.keyboard.press("ArrowRight")
    assert desk.step == 1

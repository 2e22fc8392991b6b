"""At the car in a browser: by touch, by keys alone, without a network, with the server killed, on two tablets."""

from __future__ import annotations

import json
import re
import time
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Error, Page

from car_makers import JOBS, PIN, open_orders, told_of, typed, write_orders
from web_fixtures import Server, Visit, serving, visiting

TABLET, PHONE = (820, 1180), (390, 844)

PATIENCE_S = 60.0

MEASURE = """() => {
  const seen = (e) => e.offsetParent !== null && e.textContent.trim() && !e.closest(".caution");
  const all = (which) => [...document.querySelectorAll(which)].filter(seen);
  const told = (e) => e.textContent.trim().slice(0, 40);
  const figures = "h1, .big, .pad button, .answer, .work p:not(.over, .note), .bar .btn, .un";
  const buttons = "main button, main a.btn, main summary.btn, main label.btn";
  return {
    small: all(figures).filter((e) => parseFloat(getComputedStyle(e).fontSize) < 20).map(told),
    low: all(buttons).filter((e) => e.getBoundingClientRect().height < 51.5).map(told),
  };
}"""
"""Figures and instructions that are set smaller than 20 px, and what is to be pressed and lower than 52 px."""


NAMES = """() => [...document.querySelectorAll("figure")].filter((f) => f.offsetParent).flatMap((f) => {
  const edge = f.querySelector(".plate").getBoundingClientRect();
  const names = [...f.querySelectorAll(".names li")].filter((e) => e.offsetParent);
  const boxes = names.map((e) => [e.textContent, e.getBoundingClientRect()]);
  const wide = ([, b]) => b.left < edge.left - 1 || b.right > edge.right + 1;
  const out = (one) => wide(one) || one[1].top < edge.top - 1 || one[1].bottom > edge.bottom + 1;
  const meet = (a, b) => a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 1 && b.top < a.bottom - 1;
  const hit = (one, i) => out(one) || boxes.some((two, j) => j > i && meet(one[1], two[1]));
  return boxes.filter(hit).map(([text]) => text);
})"""
"""The names of the drawings that are shown that meet another, or leave their drawing."""


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    folder = tmp_path_factory.mktemp("car-browser") / "shop"
    write_orders(folder)
    open_orders(folder).served.close()
    with serving(folder) as found:
        yield found


def until(true: Callable[[], object], told: Callable[[], object] = lambda: None) -> None:
    """Wait for something that comes without a word."""
    end = time.monotonic() + PATIENCE_S
    while not true():
        assert time.monotonic() < end, told()
        time.sleep(0.1)


def heading(page: Page) -> str:
    """What the page asks; nothing while another is on its way."""
    try:
        return page.locator("section:not([hidden]) h1").inner_text(timeout=1000)
    except Error:
        return ""


def asks(page: Page, question: str) -> None:
    """Wait until the page asks this, and its script is there."""
    until(lambda: question in heading(page), lambda: page.locator("main").inner_text()[:1500])
    page.wait_for_selector("html[data-ready]", timeout=PATIENCE_S * 1000)


def items(page: Page, which: str = "read") -> list[dict[str, Any]]:
    text = page.locator(f"#st-{which} script.items").text_content()
    assert text is not None
    found: list[dict[str, Any]] = json.loads(text)["items"]
    return found


def looked_at(visit: Visit) -> None:
    """Nothing wrong by axe, nothing to scroll, figures and buttons large enough for an arm's length and gloves."""
    assert visit.axe() == []
    assert visit.sideways == 0
    assert visit.page.evaluate("document.documentElement.scrollHeight - innerHeight") <= 0
    assert visit.page.evaluate(MEASURE) == {"small": [], "low": []}
    assert visit.page.evaluate(NAMES) == []


def fits_a_phone(page: Page) -> None:
    """A reading on a phone is above the fold, whole."""
    page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
    assert page.evaluate("document.documentElement.scrollHeight - innerHeight") <= 0, heading(page)
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0, heading(page)
    covered = page.evaluate(
        "() => { const b = document.querySelector('section:not([hidden]) .bar').getBoundingClientRect().top;"
        " return [...document.querySelectorAll('section:not([hidden]) .pad button')].filter("
        "e => e.offsetParent && e.getBoundingClientRect().bottom > b + 1).length }"
    )
    assert covered == 0, heading(page)
    page.set_viewport_size({"width": TABLET[0], "height": TABLET[1]})


def tap(page: Page, name: str) -> None:
    page.locator("section:not([hidden])").get_by_role("button", name=name, exact=True).tap()


def tap_figure(page: Page, figure: str) -> None:
    for digit in figure:
        page.locator(f'section:not([hidden]) [data-key="{digit}"]').tap()


def come(visit: Visit, number: str, who: str = "technician A") -> None:
    visit.go(f"/car/{number}")
    asks(visit.page, "Who is at the car?")
    visit.page.get_by_role("button", name=who).click()


def drive_in(page: Page) -> None:
    asks(page, "Where does the car go?")
    page.get_by_role("button", name="It stands at 1").click()
    page.locator("#st-leg-2:not([hidden])").wait_for()
    page.get_by_role("button", name="It stands at 2").click()


def find_conditions(page: Page) -> None:
    asks(page, "How much is it: tire pressure?")
    for key in ("2", ".", "5", "Enter"):
        page.keyboard.press(key)
    asks(page, "Is it so: load: empty, no luggage?")
    page.locator("section:not([hidden])").get_by_role("button", name="It is so", exact=True).click()
    page.locator("section:not([hidden]) [data-keep]").click()
    asks(page, "How much is it: light?")
    for key in ("5", "1", "0", "Enter"):
        page.keyboard.press(key)
    asks(page, "Where does the wide board go?")
    page.get_by_role("button", name="It stands").click()


def read_by_keys(page: Page, which: list[dict[str, Any]]) -> None:
    for item in which:
        page.locator("section:not([hidden]) h1", has_text=item["question"]).wait_for()
        for key in typed(item):
            page.keyboard.press(key)
        if item["sides"]:
            tab_to(page, item["sides"][0][0])
            page.keyboard.press("Space")
            tab_to(page, "Keep ", whole=False)
        page.keyboard.press("Enter")


def tab_to(page: Page, text: str, whole: bool = True) -> None:
    """Go by Tab to what has this text."""
    for _ in range(60):
        page.keyboard.press("Tab")
        here = str(page.evaluate("document.activeElement.textContent.trim() || document.activeElement.value || ''"))
        if here == text if whole else here.startswith(text):
            return
    raise AssertionError(text)


def test_a_journey_by_touch_to_a_signature(server: Server, browser: Browser) -> None:
    with visiting(browser, server.address, TABLET, touch=True) as visit:
        page = visit.page
        visit.go(f"/car/{JOBS[0]}")
        asks(page, "Who is at the car?")
        looked_at(visit)
        tap(page, "technician A")
        asks(page, "Where does the car go?")
        looked_at(visit)
        tap(page, "It stands at 1")
        tap(page, "It stands at 2")
        asks(page, "How much is it: tire pressure?")
        looked_at(visit)
        tap_figure(page, "2.5")
        tap(page, "Keep 2.5 bar")
        tap(page, "It is so")
        tap(page, "Keep It is so")
        tap_figure(page, "510")
        tap(page, "Keep 510 lux")
        asks(page, "Where does the wide board go?")
        looked_at(visit)
        tap(page, "It stands")
        every = items(page)
        for n, item in enumerate(every):
            page.locator("section:not([hidden]) h1", has_text=item["question"]).wait_for()
            assert page.locator("section:not([hidden]) [aria-pressed=true]").count() == 0
            if n in (0, 6, 12):
                looked_at(visit)
            if n == 1:
                tap_figure(page, typed(item) + "0")
                page.locator("section:not([hidden]) [data-keep]").tap()
                page.get_by_text("Did you mean").wait_for()
                fits_a_phone(page)
                page.locator("section:not([hidden]) [data-meant]").tap()
                continue
            tap_figure(page, typed(item))
            if item["sides"]:
                assert page.locator("section:not([hidden]) [data-keep]").inner_text() == "Say which side"
                tap(page, item["sides"][0][0])
            fits_a_phone(page)
            page.locator("section:not([hidden]) [data-keep]").tap()
        asks(page, "In tolerance")
        looked_at(visit)
        tap(page, "It finished")
        asks(page, "Is there a photo of the set-up?")
        looked_at(visit)
        page.get_by_label("Why there is none").fill("The tablet has no camera")
        tap(page, "Go on without a photo")
        asks(page, "Who measured this?")
        looked_at(visit)
        page.locator("label", has_text="technician A").tap()
        tap_figure(page, PIN)
        tap(page, "Sign and go on")
        asks(page, "What is done now?")
        step = told_of(server.state, JOBS[0]).steps[1]
        assert step.signed is not None
        assert (step.signed.by, len(step.readings)) == ("technician A", len(every))
        page.get_by_role("link", name="Stop").tap()
        asks(page, "Why do you stop?")
        assert visit.axe() == []
        page.get_by_role("button", name="Dark", exact=True).tap()
        assert page.locator("html").get_attribute("data-paper") == "dark"


def test_a_journey_by_keys_alone_to_a_signature(server: Server, browser: Browser) -> None:
    with visiting(browser, server.address, (1180, 820), language="es") as visit:
        page = visit.page
        visit.go(f"/car/{JOBS[1]}")
        asks(page, "¿Quién está junto al auto?")
        tab_to(page, "technician A")
        page.keyboard.press("Enter")
        for number in ("1", "2"):
            asks(page, "¿Adónde va el auto?")
            tab_to(page, f"Está en {number}")
            page.keyboard.press("Enter")
        asks(page, "¿Cuánto es: tire pressure?")
        for key in ("2", ".", "5", "Enter"):
            page.keyboard.press(key)
        tab_to(page, "Es así")
        page.keyboard.press("Space")
        tab_to(page, "Guardar Es así")
        page.keyboard.press("Enter")
        page.locator("section:not([hidden]) h1", has_text=re.compile("light|luz")).wait_for()
        for key in ("5", "1", "0", "Enter"):
            page.keyboard.press(key)
        asks(page, "¿Dónde va el wide board?")
        tab_to(page, "Está en su lugar")
        page.keyboard.press("Enter")
        for item in items(page):
            page.locator("section:not([hidden]) h1", has_text=item["question"]).wait_for()
            assert page.evaluate("document.documentElement.scrollHeight - innerHeight") <= 0
            for key in typed(item):
                page.keyboard.press(key)
            if item["sides"]:
                tab_to(page, item["sides"][0][0])
                page.keyboard.press("Space")
                tab_to(page, "Guardar ", whole=False)
            page.keyboard.press("Enter")
        asks(page, "En tolerancia")
        tab_to(page, "Terminó")
        page.keyboard.press("Enter")
        asks(page, "¿Hay una foto del montaje?")
        page.get_by_label("Por qué no la hay").focus()
        page.keyboard.type("Sin cámara")
        page.keyboard.press("Enter")
        asks(page, "¿Quién midió esto?")
        tab_to(page, "technician A")
        page.keyboard.press("Space")
        page.locator("[name=pin]").focus()
        page.keyboard.type(PIN)
        page.keyboard.press("Enter")
        asks(page, "¿Qué se hace ahora?")
        assert told_of(server.state, JOBS[1]).steps[1].signed is not None


def test_nothing_typed_is_lost_without_network_or_server(server: Server, browser: Browser) -> None:
    number = JOBS[2]

    def count() -> int:
        step = told_of(server.state, number).steps[1]
        assert step.aside == ()
        return len(step.readings)

    with visiting(browser, server.address, TABLET) as visit:
        page = visit.page
        come(visit, number)
        drive_in(page)
        find_conditions(page)
        every = items(page)
        read_by_keys(page, every[:2])
        until(lambda: count() == 2)
        page.goto(f"{server.address}/car/{number}")
        page.wait_for_selector("html[data-ready]")
        visit.context.set_offline(True)
        read_by_keys(page, every[2:5])
        page.get_by_text("3 entries kept here, sent later, once").wait_for()
        assert count() == 2
        page.reload()
        page.wait_for_selector("html[data-ready]")
        page.get_by_text("3 entries kept here, sent later, once").wait_for()
        read_by_keys(page, every[5:6])
        visit.context.set_offline(False)
        until(lambda: count() == 6)
        server.stop()
        read_by_keys(page, every[6:8])
        page.get_by_text("2 entries kept here, sent later, once").wait_for()
        page.get_by_role("link", name="Stop").click()
        asks(page, "Why do you stop?")
        page.locator("#st-stop").get_by_role("link", name="Back").click()
        server.start()
        until(lambda: count() == 8)
        page.locator("#net:not(.off)").wait_for(timeout=PATIENCE_S * 1000)
        visit.faults[:] = [one for one in visit.faults if "net::ERR_" not in one]


def test_two_tablets_on_one_step(server: Server, browser: Browser) -> None:
    number = JOBS[3]
    with visiting(browser, server.address, TABLET) as one, visiting(browser, server.address, TABLET) as two:
        come(one, number)
        drive_in(one.page)
        find_conditions(one.page)
        every = items(one.page)
        read_by_keys(one.page, every[:1])
        come(two, number, "technician B")
        asks(two.page, "Who has this step?")
        assert two.axe() == []
        two.page.get_by_role("button", name="Ask for it").click()
        two.page.get_by_text("You asked for it").wait_for(timeout=PATIENCE_S * 1000)
        one.page.get_by_text("technician B asks for this step.").wait_for(timeout=PATIENCE_S * 1000)
        one.page.get_by_role("button", name="Hand it over").click()
        asks(one.page, "Who has this step?")
        asks(two.page, "Has anything moved?")
        assert two.axe() == []
        two.page.get_by_role("button", name="Nothing has moved").click()
        asks(two.page, every[1]["question"])
        step = told_of(server.state, number).steps[1]
        assert step.holder is not None
        assert step.holder[1] == "technician B"
        assert {reading.by for reading in step.readings.values()} == {"technician A"}

"""SQL and HTML typed into the text fields of every page: seen in the browser as they were typed, and run nowhere."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any
from urllib.parse import quote

import pytest
from playwright.sync_api import Browser

from car_makers import JOBS, open_orders, write_orders
from test_hostile_text import HOSTILE
from web_fixtures import Server, Visit, serving, visiting

ORDER, CARD = JOBS[0], quote("forward camera wide board")

PAGES = (
    "/people",
    "/orders",
    f"/orders/{ORDER}",
    f"/car/{ORDER}",
    f"/car/{ORDER}?screen=failed",
    "/records",
    "/",
)
"""Pages that people of a shop type on every day, and that show what was typed."""

SELDOM = (
    "/records/corrow%20windshield",
    f"/car/{ORDER}?screen=stop",
    "/sign-up",
    "/sign-in",
    "/settings",
    "/start",
    "/cards",
    f"/cards/write/{CARD}",
    f"/cards/second/{CARD}?by=A",
    "/cars",
    "/floor",
    "/draw/Tanbark%20Row",
    "/draw/Tanbark%20Row?where=doors&name_of=entrance",
    "/room",
    f"/car/{ORDER}?screen=signed",
    "/instruments",
    "/me",
    "/trust",
)

TEXTS = """(form) => [...form.elements].filter((one) => one.name && (one.tagName === "TEXTAREA" ||
  (one.tagName === "INPUT" && ["text", "search", "password"].includes(one.type))))"""

FORMS = f"""() => [...document.forms].map((form, number) => [number, form.getAttribute("action") || "",
  ({TEXTS})(form).map((one) => one.name)])"""

SUBMIT = f"""([number, text, all]) => {{
  const form = document.forms[number];
  for (const one of ({TEXTS})(form)) if (all || !one.value) one.value = text;
  HTMLFormElement.prototype.submit.call(form);
}}"""
"""As whoever goes round what a page would refuse by itself."""


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    folder = tmp_path_factory.mktemp("fields") / "shop"
    write_orders(folder)
    open_orders(folder).served.close()
    with serving(folder) as found:
        yield found


def shows(visit: Visit, where: str) -> bool:
    """Whether what was typed stands on the page, as text or in a field; as anything else it must not."""
    assert visit.page.evaluate("window.ran") is None, where
    assert visit.page.locator("img[src='x'], [onerror]").count() == 0, where
    fields = "[...document.querySelectorAll('input, textarea, option')].map((one) => one.value).join()"
    return HOSTILE in str(visit.page.evaluate(f"document.body.innerText + {fields}"))


def fill(visit: Visit, path: str, done: set[Any]) -> None:
    """Every form of a page that was not filled elsewhere: first all of its texts, then those that are empty alone."""
    for whole in (True, False):
        answer = visit.page.goto(f"{visit.address}{path}")
        assert answer is not None
        assert answer.status == 200, path
        for number, action, names in visit.page.evaluate(FORMS):
            key = action.partition("?")[0], *names, whole
            if not names or key in done:
                continue
            done.add(key)
            visit.go(path)
            with visit.page.expect_navigation(wait_until="domcontentloaded"):
                visit.page.evaluate(SUBMIT, [number, HOSTILE, whole])
            shows(visit, f"{path}: {key}")


def hold(server: Server, browser: Browser, pages: tuple[str, ...]) -> set[str]:
    """Type into all of them, then look at all; the pages on which it stands."""
    done: set[Any] = set()
    with visiting(browser, server.address) as visit:
        visit.context.add_cookies([{"name": "at_car", "value": quote("A person"), "url": server.address}])
        for path in pages:
            fill(visit, path, done)
        found = set()
        for path in pages:
            visit.go(path)
            if shows(visit, path):
                found.add(path)
        refused = [fault for fault in visit.faults if fault.startswith("Failed to load resource")]
        assert not [fault for fault in refused if "status of 5" in fault]
        visit.faults[:] = [fault for fault in visit.faults if fault not in refused]
    return found


def test_what_is_typed_is_a_text_on_every_page(server: Server, browser: Browser) -> None:
    assert {"/people", f"/orders/{ORDER}"} <= hold(server, browser, PAGES)


@pytest.mark.long
def test_what_is_typed_seldom_is_a_text_on_every_page_long(server: Server, browser: Browser) -> None:
    hold(server, browser, (*SELDOM, *PAGES))

"""A foreman at the desk, in a browser: by mouse, by keyboard alone, with the server gone and back in the middle."""

from __future__ import annotations

import socket
import threading
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from standtrue.model.asking import Asking
from standtrue.model.job import Job
from standtrue.model.shop import Shop
from standtrue.store.journal import entries
from standtrue.web import planning
from standtrue.work.orders.asked import Planning, Way, plan_as
from standtrue.work.plan.answer import PlanAnswer
from web_fixtures import Server, visiting

ORDER = "/orders/TR-4101"
PLANNED = 60_000
"""A plan of the demonstration takes seconds; on a busy machine more."""


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with socket.socket() as own:  # a port that no other test's server takes while this one is down
        own.bind(("127.0.0.1", 0))
        port = own.getsockname()[1]
    found = Server(tmp_path_factory.mktemp("desk") / "shop", port)
    found.start()
    yield found
    found.stop()


def kept(server: Server) -> list[str]:
    with server.state.served.store.reading() as connection:
        return [one.entry.kind for one in entries(connection, "nib windshield")]


def until_drawn(page: Page) -> None:
    expect(page.locator("svg.floor .car:not(.off)")).to_be_attached(timeout=PLANNED)


def tab_to(page: Page, name: str) -> None:
    """Press Tab until what is focused is called so."""
    for _ in range(120):
        page.keyboard.press("Tab")
        if page.evaluate(_FOCUSED) == name:
            return
    raise AssertionError(f"no way by Tab to {name}")


_FOCUSED = """() => {
  const e = document.activeElement;
  return e.ariaLabel ?? (e.labels?.length ? e.labels[0].textContent : e.textContent).trim();
}"""


def test_a_foreman_plans_an_order_and_hands_it_over_by_mouse(server: Server, browser: Browser) -> None:
    with visiting(browser, server.address, (1280, 900)) as visit:
        page = visit.page
        visit.go("/")
        assert (visit.axe(), visit.sideways) == ([], 0)
        page.get_by_role("link", name="Plan it: TR-4101 Oskerra Nib").click()
        until_drawn(page)
        assert (visit.axe(), visit.sideways) == ([], 0)
        page.get_by_role("button", name="Next").click()
        expect(page.locator(".now")).to_contain_text("2 of 8. Pre-scan")
        expect(page.locator(".thread > li[aria-current=step]")).to_contain_text("Pre-scan")
        page.get_by_text("On the road").click()
        page.get_by_role("button", name="Drive out").click()
        expect(page.locator(".now")).to_contain_text("8 of 8. Drive out")
        page.get_by_label("What else was done?").fill("battery disconnected")
        page.get_by_role("button", name="Add it").click()
        expect(page.locator(".notice.caution")).to_contain_text("Out of date: nib windshield changed")
        expect(page.locator("#done-list")).to_contain_text("Battery disconnected")
        assert visit.axe() == []
        page.get_by_role("button", name="Plan again").click()
        expect(page.locator(".notice.caution")).to_have_count(0, timeout=PLANNED)
        page.get_by_role("button", name="Hand to technician A").click(timeout=PLANNED)
        expect(page.get_by_text("Handed to technician A, 13:40.")).to_be_visible(timeout=PLANNED)
        assert kept(server) == ["plan", "car-steps", "handed"]
        visit.go("/")
        expect(page.locator("#cars")).to_contain_text("late: pre-scan")


def test_a_foreman_decides_and_overrules_by_keyboard_alone(server: Server, browser: Browser) -> None:
    with visiting(browser, server.address, (360, 780)) as visit:
        page = visit.page
        visit.go("/")
        assert (visit.axe(), visit.sideways) == ([], 0)
        tab_to(page, "Open the order: TR-4101 Oskerra Nib")
        page.keyboard.press("Enter")
        until_drawn(page)
        assert (visit.axe(), visit.sideways) == ([], 0)
        tab_to(page, "Overrule one of these, with a reason")
        page.keyboard.press("Enter")
        tab_to(page, "Because")
        page.keyboard.type("the old glass stays")
        tab_to(page, "Your name")
        page.keyboard.type("foreman F")
        tab_to(page, "Leave it out")
        page.keyboard.press("Enter")
        expect(page.locator("#why")).to_contain_text("Dropped by foreman F on 2026-03-02")
        page.evaluate("scrollTo(0, 0)")
        page.locator(".skip").focus()
        tab_to(page, "Take back: forward camera")
        page.keyboard.press("Enter")
        expect(page.locator("#why")).not_to_contain_text("Dropped by")
        page.locator(".skip").focus()
        tab_to(page, "Plan again")
        page.keyboard.press("Enter")
        expect(page.get_by_text("Hand it over again.")).to_be_visible(timeout=PLANNED)
        until_drawn(page)
        page.locator(".skip").focus()
        tab_to(page, "Hand to technician A")
        page.keyboard.press("Enter")
        expect(page.get_by_text("Handed to technician A, 13:40.")).to_be_visible(timeout=PLANNED)


def test_the_server_is_gone_while_a_plan_is_worked_out(
    server: Server, browser: Browser, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is planned again when the server is back, what was typed is still there, and what was sent arrives once."""
    begun = threading.Event()

    def slow(shop: Shop, job: Job, way: Way, known: PlanAnswer | None, asking: Asking) -> Planning:
        begun.set()
        while not asking.stopped():
            threading.Event().wait(0.05)
        return plan_as(shop, job, way, known, asking)

    with visiting(browser, server.address, (1280, 900)) as visit:
        page = visit.page
        monkeypatch.setattr(planning, "plan_as", slow)
        visit.go("/orders/TR-4112")
        assert begun.wait(30)
        expect(page.get_by_text("The order of work is being worked out.")).to_be_visible()
        expect(page.get_by_role("button", name="Stop")).to_be_visible()
        assert (visit.axe(), visit.sideways) == ([], 0)
        field = page.get_by_label("What else was done?")
        field.fill("airbag deployed")
        server.stop()
        expect(page.get_by_text("No network: what you typed is still here.")).to_be_visible(timeout=PLANNED)
        page.get_by_role("button", name="Add it").click()
        begun.clear()
        server.start()
        expect(page.locator("#done-list")).to_contain_text("Airbag deployed", timeout=PLANNED)
        expect(page.get_by_text("No network: what you typed is still here.")).to_be_hidden()
        assert begun.wait(30), "it is planned again"
        events = server.state.served.shop().written.jobs["brask rear"].events
        assert [one.event for one in events].count("airbag deployed") == 1
        page.get_by_role("button", name="Stop").click()
        expect(page.get_by_text("It was stopped")).to_be_visible(timeout=PLANNED)
        visit.faults[:] = [fault for fault in visit.faults if "ERR_CONNECTION_REFUSED" not in fault]

"""Drawing a floor in a browser: by mouse, by finger, by keys alone; with another at it, and a server that goes away."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, expect

from standtrue.work.floor.floors import Draft, draft_of_floor
from web_fixtures import Server, Visit, serving, visiting

SITE = "Tanbark Row"
HELD = "/draw/Tanbark%20Row?where=lifts&name=flush%20lift&car=Oskerra%20Nib&support=lift%20down"
LIFT = '.hold[data-name="flush lift"]'


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with serving(tmp_path_factory.mktemp("drawn") / "shop") as found:
        yield found


def draft(server: Server) -> Draft:
    found = draft_of_floor(server.state.served, SITE)
    assert found is not None
    return found


def at(server: Server) -> tuple[float, float]:
    x, y = draft(server).document().form.lifts[0].at  # type: ignore[union-attr] # a sound floor has a form
    return (x, y)


UPON = """(group) => {
  const box = group.querySelector(".pick").getBoundingClientRect();
  for (let i = 1; i < 40; i += 1) for (let j = 1; j < 40; j += 1) {
    const [x, y] = [box.x + (i * box.width) / 40, box.y + (j * box.height) / 40];
    if (document.elementFromPoint(x, y)?.closest(".hold") === group) return [x, y];
  }
}"""
"""A point of a thing that nothing lies over."""


def drag(visit: Visit, right: float, up: float) -> None:
    visit.page.locator(LIFT).scroll_into_view_if_needed()
    x, y = visit.page.locator(LIFT).evaluate(UPON)
    visit.page.mouse.move(x, y)
    visit.page.mouse.down()
    visit.page.mouse.move(x + right / 2, y - up / 2, steps=4)
    visit.page.mouse.move(x + right, y - up, steps=4)


def clean(visit: Visit) -> None:
    assert visit.axe() == []
    assert visit.sideways == 0


def test_a_lift_is_dragged_and_what_fits_follows(server: Server, browser: Browser) -> None:
    with visiting(browser, server.address) as visit:
        visit.go(HELD)
        clean(visit)
        before, page = at(server), visit.page
        expect(page.locator("#verdict")).to_contain_text("Fits")
        drag(visit, -200, 0)
        expect(page.locator("#verdict")).to_contain_text("Does not fit")
        expect(page.locator("#drag")).to_contain_text("Toward the left")
        assert at(server) == before, "nothing is changed while it is held"
        page.mouse.up()
        expect(page.locator("figcaption")).to_contain_text("technician A moved the flush lift")
        assert at(server)[0] < before[0] - 1.0
        clean(visit)
        page.get_by_role("button", name="Undo").click()
        expect(page.locator("#verdict")).to_contain_text("Fits")
        assert at(server) == before


def test_the_same_by_keys_alone_and_kept(server: Server, browser: Browser) -> None:
    with visiting(browser, server.address, (360, 740), units="us") as visit:
        visit.go(HELD)
        clean(visit)
        before, page = at(server), visit.page
        page.locator(LIFT).focus()
        for key in ("Shift+ArrowLeft", "ArrowLeft", "ArrowUp", "Escape"):
            page.keyboard.press(key)
        page.wait_for_load_state("networkidle")
        assert at(server) == before, "Escape lets it go"
        page.locator(LIFT).focus()
        for key in ("Shift+ArrowRight", "ArrowRight", "Enter"):
            page.keyboard.press(key)
        expect(page.locator("figcaption")).to_contain_text("moved the flush lift")
        assert at(server)[0] == pytest.approx(before[0] + 11 * 0.0254, abs=1e-4)
        expect(page.locator(LIFT)).to_be_focused()
        page.locator("#f-x").fill("47 ft 6 in")
        page.keyboard.press("Enter")
        expect(page.locator("#f-x")).to_have_value("47 ft 6 in")
        page.get_by_role("button", name="Keep this floor").focus()
        page.keyboard.press("Enter")
        expect(page.get_by_role("button", name="Keep this floor")).to_have_count(0)
        assert server.state.served.shop().sites[SITE].lifts[0].at[0] == pytest.approx(47.5 * 0.3048, abs=1e-5)


def test_by_finger_with_another_at_the_same_floor_and_a_killed_server(server: Server, browser: Browser) -> None:
    with (
        visiting(browser, server.address, (820, 1180), touch=True) as visit,
        visiting(browser, server.address) as other,
    ):
        visit.go(HELD)
        other.go("/draw/Tanbark%20Row?where=lifts&name=post%20lift")
        other.page.locator("#f-y").fill("11.6 m")
        other.page.keyboard.press("Enter")
        expect(other.page.locator("figcaption")).to_contain_text("moved the post lift")
        visit.page.get_by_text("Add", exact=True).tap()
        visit.page.get_by_role("button", name="Column", exact=True).tap()
        expect(visit.page.locator("#held h2")).to_contain_text("new column")
        assert {step.name for step in draft(server).steps} == {"post lift", "new column"}
        steps = len(draft(server).steps)
        drag(visit, 60, 0)
        server.stop()
        visit.page.mouse.up()
        expect(visit.page.locator("#drag")).to_contain_text("No answer")
        server.start()
        expect(visit.page.locator("figcaption")).to_contain_text("moved the flush lift", timeout=15_000)
        assert len(draft(server).steps) == steps + 1, "sent once"
        visit.faults.clear()  # the browser tells of every request that nobody answered


def test_in_spanish_and_dark(server: Server, browser: Browser) -> None:
    with visiting(browser, server.address, (360, 740), language="es", dark=True) as visit:
        visit.go(HELD)
        clean(visit)
        visit.go("/draw/Tanbark%20Row?where=&name=corner%202")
        clean(visit)

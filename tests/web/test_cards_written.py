"""A card written as sentences with blanks, and read a second time, blind: by form, and in a browser."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from playwright.sync_api import Browser, expect

from standtrue.documents import load_text
from standtrue.web.app import make_app
from standtrue.web.state import State
from standtrue.work.drafts.blanks import filled, value_of
from web_fixtures import client_of, new_state, serving, visiting

NAME = "side camera board"
PAGE = "/cards/write/side%20camera%20board"
SECOND = "/cards/second/side%20camera%20board"

BLANKS = {
    "source.edition": "7",
    "sensor.kind": "surround-view camera",
    "vehicles": "Tavlin",
    "method": "static",
    "supports": "floor",
    "minutes.run.0": "10",
    "minutes.run.1": "15",
    "light": "400",
    "floor_level.within": "8 mm",
}
ZONE = {
    "zones.0.name": "board floor",
    "zones.0.needs": "stand",
    "zones.0.anchor": "left",
    "zones.0.box.0": "-500",
    "-zones.0.box.1": "-1000",
    "zones.0.box.2": "500",
    "zones.0.box.3": "2 m",
    "zones.0.top": "1,5 m",
}
TARGET = {
    "targets.0.name": "board",
    "targets.0.anchor": "left",
    "targets.0.at.0": "0",
    "targets.0.at.1": "1500",
    "targets.0.at.2": "900",
    "targets.0.facing": "-90",
    "targets.0.tolerance.along": "10",
}


@pytest.fixture(scope="module")
def state(tmp_path_factory: pytest.TempPathFactory) -> State:
    """The demonstration's own documents say that they are: a card of another kind stands alone here."""
    folder = tmp_path_factory.mktemp("cards") / "shop"
    folder.mkdir()
    (folder / "rules.toml").write_text('kind = "rules"\nschema = 1\nname = "rules"\n', encoding="utf-8")
    return new_state(folder)


@pytest.fixture
def client(state: State) -> Iterator[TestClient]:
    with client_of(make_app(state)) as found:
        yield found


def fill(client: TestClient, page: str, fields: dict[str, str], **query: str) -> None:
    for name, value in fields.items():
        sent = client.post(page, params=query, data={"do": "fill", name: value}, follow_redirects=False)
        assert sent.status_code == 303, (name, value)


def write(client: TestClient, page: str, **query: str) -> None:
    fill(client, page, BLANKS, **query)
    for where in ("zones", "targets"):
        sent = client.post(page, params=query, data={"do": "add", "where": where}, follow_redirects=False)
        assert sent.status_code == 303
    fill(client, page, {**ZONE, **TARGET}, **query)


def test_a_card_is_written_kept_and_verified_by_a_second_person(state: State, client: TestClient) -> None:
    begun = client.post("/cards/new", data={"name": NAME, "title": "Body manual 4"}, follow_redirects=False)
    assert begun.headers["location"] == PAGE
    assert "Still to be filled or mended" in client.get(PAGE).text
    assert client.post(f"{PAGE}/keep", follow_redirects=False).status_code == 422, "nothing unfinished is kept"
    write(client, PAGE)
    assert client.post(PAGE, data={"do": "finish"}, follow_redirects=False).status_code == 303
    kept = client.post(f"{PAGE}/keep", follow_redirects=False)
    assert kept.status_code == 303, re.findall("<p>(.*?)</p>", kept.text)
    (card,) = state.served.shop().procedures
    assert card.source.status == "transcribed"
    assert card.source.transcribed_by == "technician A"
    (zone,) = card.zones
    assert zone.outline == ((-0.5, 1.0), (0.5, 1.0), (0.5, 2.0), (-0.5, 2.0))
    assert zone.top_m == 1.5
    assert card.targets[0].tolerance.along_m == pytest.approx(0.010)

    by = {"by": "technician B"}
    blank = client.get(SECOND, params=by).text
    for said in ("Body manual 4", "board floor", "1500", "400"):
        assert said not in blank, "a second reader sees nothing of the first"
    write(client, SECOND, **by)
    fill(client, SECOND, {"source.title": "Body manual 4", "light": "450"}, **by)
    differs = client.post(f"{SECOND}/compare", params=by)
    assert "The two readings differ in 1 field." in differs.text
    assert "400" in differs.text
    assert "450" in differs.text
    fill(client, SECOND, {"light": "400"}, **by)
    assert "The two readings are the same: the card is verified." in client.post(f"{SECOND}/compare", params=by).text
    (card,) = state.served.shop().procedures
    assert (card.source.status, card.source.verified_by) == ("verified", "technician B")


def test_nobody_verifies_what_they_wrote(client: TestClient) -> None:
    by = {"by": "technician A"}
    client.get(SECOND, params=by)
    write(client, SECOND, **by)
    fill(client, SECOND, {"source.title": "Body manual 4"}, **by)
    assert client.post(f"{SECOND}/compare", params=by).status_code == 422


def test_what_is_no_figure_stays_and_is_marked_and_undone(state: State, client: TestClient) -> None:
    fill(client, PAGE, {"zones.0.box.2": "a bit more"})
    shown = client.get(PAGE).text
    assert 'value="a bit more"' in shown
    assert "aria-invalid" in shown
    assert client.post(f"{PAGE}/keep", follow_redirects=False).status_code == 422
    assert client.post(PAGE, data={"do": "undo"}, follow_redirects=False).status_code == 303
    assert 'value="a bit more"' not in client.get(PAGE).text
    for way in ("circle", "sector", "box", "corner"):
        sent = client.post(PAGE, data={"do": "way", "number": "0", "way": way}, follow_redirects=False)
        assert sent.status_code == 303
    assert client.post(PAGE, data={"do": "remove", "where": "zones", "number": "0"}).status_code == 200
    assert client.post(PAGE, data={"do": "remove", "where": "zones", "number": "9"}).status_code == 422
    client.post(f"{PAGE}/back", follow_redirects=False)
    assert len(state.served.shop().procedures) == 1


@pytest.mark.parametrize(
    ("path", "text", "value"),
    [
        (("light",), "350", 350),
        (("zones", 0, "top"), "2,5", 2.5),
        (("zones", 0, "top"), "2 ft 3 in", "2 ft 3 in"),
        (("vehicles",), "Tavlin, Oskerra ", ["Tavlin", "Oskerra"]),
        (("targets", 0, "equipment"), "target frame", "target frame"),
        (("light",), "  ", None),
    ],
)
def test_a_blank_means_what_people_write(path: tuple[str | int, ...], text: str, value: object) -> None:
    assert value_of(path, text) == value


def test_ranges_and_short_forms_are_taken_up_as_they_stand() -> None:
    content = {"minutes": 12, "sensor": "lidar", "zones": [{"name": "a", "box": [1, 2, 3, 4]}]}
    assert filled(content, {"minutes.run.1": "15"}) == {"minutes": {"run": [12, 15]}}
    assert filled(content, {"sensor.side": "left"}) == {"sensor": {"kind": "lidar", "side": "left"}}
    assert filled(content, {"-zones.0.box.1": "7"}) == {"zones": [{"name": "a", "box": [1, -7, 3, 4]}]}
    assert filled({"light": 3}, {"light": ""}) == {"light": None}
    assert load_text(b"{}", "a.json").faults


def test_it_is_written_in_a_browser(browser: Browser, tmp_path: Path) -> None:
    with serving(tmp_path / "shop") as server, visiting(browser, server.address) as visit:
        visit.go("/cards/write/forward%20camera%20wide%20board?car=Tavlin%20Corrow")
        assert visit.axe() == []
        assert visit.sideways == 0
        page = visit.page
        before = page.locator("path.z-stand").last.get_attribute("d")
        page.locator("[id='b-zones.0.box.2']").fill("3400")
        page.keyboard.press("Tab")
        expect(page.locator("#keeping")).to_contain_text("Keep this card")
        expect(page.locator("[id='b-zones.0.anchor']")).to_be_focused()
        assert page.locator("path.z-stand").last.get_attribute("d") != before, "the drawing follows"
        page.get_by_role("button", name="Add a condition").click()
        expect(page.locator("[id='b-conditions.2.what']")).to_have_count(1)
        page.reload()
        expect(page.locator("[id='b-zones.0.box.2']")).to_have_value("3400")
    with serving(tmp_path / "shop") as server, visiting(browser, server.address, (360, 740), language="es") as visit:
        visit.go("/cards/write/forward%20camera%20wide%20board")
        assert visit.axe() == []
        assert visit.sideways == 0
        visit.go("/cards/second/forward%20camera%20wide%20board?by=technician%20B")
        assert visit.axe() == []
        assert visit.sideways == 0

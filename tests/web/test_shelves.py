"""Floor, cards and cars as documents: read, brought in, replaced by a file, taken off, their versions."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from httpx2 import Response
from playwright.sync_api import Browser

from standtrue.web.app import make_app
from web_fixtures import client_of, new_state, serving, visiting

CARD = "/documents/procedure/ultrasonic learning"


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    with client_of(make_app(new_state(tmp_path / "shop"))) as found:
        yield found


def text_of(client: TestClient) -> str:
    return client.get(CARD, params={"file": "1"}).text


def send(client: TestClient, text: str, seen: str) -> Response:
    sent: Response = client.post(
        CARD, data={"seen": seen}, files={"file": ("card.toml", text.encode())}, follow_redirects=False
    )
    return sent


def tag(client: TestClient) -> str:
    return client.get(CARD).text.partition('name="seen" value="')[2].partition('"')[0]


@pytest.mark.parametrize(
    ("sheet", "named"),
    [("floor", "Tanbark Row"), ("cards", "ultrasonic learning"), ("cars", "Tavlin Corrow"), ("room", "kind")],
)
def test_a_shelf_shows_what_is_there(client: TestClient, sheet: str, named: str) -> None:
    shown = client.get(f"/{sheet}")
    assert shown.status_code == 200
    assert named in shown.text


def test_a_document_is_replaced_by_a_file_and_its_versions_stay(client: TestClient) -> None:
    before, seen = text_of(client), tag(client)
    assert send(client, before + "# read again\n", seen).status_code == 303
    assert text_of(client).endswith("# read again\n")
    assert client.get(CARD, params={"file": "1", "version": "1"}).text == before
    assert client.get(CARD).text.count("version=1") >= 1


def test_a_stale_one_is_refused_with_both_shown(client: TestClient) -> None:
    before, seen = text_of(client), tag(client)
    send(client, before + "# theirs\n", seen)
    refused = send(client, before + "# yours\n", seen)
    assert refused.status_code == 412
    assert "# theirs" in refused.text
    assert "# yours" in refused.text
    assert text_of(client).endswith("# theirs\n")


def test_one_with_faults_is_refused_with_all_of_them(client: TestClient) -> None:
    before, seen = text_of(client), tag(client)
    refused = send(client, before.replace("schema = 1", "schema = 99") + "\nnonsense = <b>\n", seen)
    assert refused.status_code == 422
    assert "notice stop" in refused.text
    assert "= <b>" not in refused.text
    assert text_of(client) == before


def test_one_is_taken_off_and_can_still_be_read(client: TestClient) -> None:
    before, seen = text_of(client), tag(client)
    gone = client.post(CARD, data={"seen": seen}, follow_redirects=False)
    assert gone.status_code == 303
    assert "ultrasonic learning" not in client.get("/cards").text
    assert client.get(CARD, params={"file": "1", "version": "1"}).text == before


def test_a_new_one_is_brought_in_and_one_of_the_same_name_is_not_overwritten(client: TestClient) -> None:
    text = text_of(client)
    new = text.replace('"ultrasonic learning"', '"ultrasonic learning, again"')
    led = client.post("/documents", files={"file": ("x.toml", new.encode())}, follow_redirects=False)
    assert (led.status_code, led.headers["location"]) == (303, "/documents/procedure/ultrasonic%20learning%2C%20again")
    again = client.post("/documents", files={"file": ("x.toml", text.encode())}, follow_redirects=False)
    assert again.status_code == 409
    assert text_of(client) == text


def test_nothing_that_is_not_there_is_shown(client: TestClient) -> None:
    assert client.get("/documents/procedure/none").status_code == 404
    assert client.get("/documents/nothing/../../etc/passwd").status_code == 404
    assert client.get("/floor/none/picture.svg").status_code == 404


@pytest.mark.parametrize("width", [360, 1280])
def test_the_pages_are_clean(tmp_path: Path, browser: Browser, width: int) -> None:
    with serving(tmp_path / "shop") as server, visiting(browser, server.address, (width, 800)) as visit:
        for path in ("/floor", "/cards", "/cars", "/room", CARD, "/help"):
            visit.go(path)
            assert visit.axe() == [], path
            assert visit.sideways == 0, path

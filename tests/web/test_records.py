"""The records as pages: looked for, opened, proven, printed, handed out."""

from __future__ import annotations

import contextlib
import io
import sqlite3
import zipfile
from collections.abc import Iterator
from pathlib import Path
from unittest import mock

import pytest
from fastapi.testclient import TestClient
from playwright.sync_api import Browser

from standtrue.cli import main
from standtrue.web.app import make_app
from web_fixtures import Server, client_of, copied, new_state, serving, visiting

JOB = "/records/corrow%20front"


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop with two records: of one order a set-up was read twice, of the other only the needs were asked."""
    folder = tmp_path_factory.mktemp("records") / "shop"
    new_state(folder).served.close()
    for command in (
        ("needs", str(folder), "--job", "corrow front"),
        ("measured", str(folder), "--setup", "corrow camera"),
        ("measured", str(folder), "--setup", "corrow camera, moved"),
        ("keep", str(folder), "--job", "corrow front", "--what", "note", "--text", "<b>The owner</b> waits"),
        ("needs", str(folder), "--job", "nib windshield"),
    ):
        with mock.patch("sys.argv", ["standtrue", *command, "--by", "technician A"]), contextlib.suppress(SystemExit):
            main()
    return folder


@pytest.fixture(scope="module")
def client(kept: Path) -> Iterator[TestClient]:
    with client_of(make_app(new_state(kept))) as found:
        yield found


@pytest.fixture(scope="module")
def server(kept: Path) -> Iterator[Server]:
    with serving(kept) as found:
        yield found


def test_the_page_says_what_was_measured_and_what_was_not(client: TestClient) -> None:
    """One of ten calibrations was measured: nothing of the others may look done."""
    text = client.get(JOB).text
    assert "1 of 10 were measured, and stood within what their cards ask; the others were not measured." in text
    assert "Nobody has signed it off." in text
    assert 'class="v unsure">1 of 10' in text
    assert "It does not say that the vehicle is safe." in text


def test_what_was_typed_is_text(client: TestClient) -> None:
    text = client.get(JOB).text
    assert "&lt;b&gt;The owner&lt;/b&gt; waits" in text
    assert "<b>The owner" not in text


@pytest.mark.parametrize(("words", "found"), [("corrow", 1), ("4101", 1), ("DEMO", 2), ("nothing of it", 0)])
def test_a_record_is_found_by_its_words(client: TestClient, words: str, found: int) -> None:
    assert client.get("/records", params={"words": words}).text.count('<th scope="row">') == found


def test_days_that_are_none_are_told(client: TestClient) -> None:
    told = client.get("/records", params={"first": "2026-02-31"})
    assert (told.status_code, told.json()["code"]) == (422, "faults")


def test_it_is_printed_and_handed_out(client: TestClient) -> None:
    assert client.get(f"{JOB}/record.pdf").content.startswith(b"%PDF")
    handed = client.get(f"{JOB}/record.zip")
    assert "attachment" in handed.headers["content-disposition"]
    assert "record.json" in zipfile.ZipFile(io.BytesIO(handed.content)).namelist()


def test_an_unknown_order_is_told(client: TestClient) -> None:
    assert client.get("/records/nothing").status_code in (404, 422)


def test_a_broken_seal_stands_first(kept: Path, tmp_path: Path) -> None:
    folder = copied(kept, tmp_path / "shop")
    with sqlite3.connect(folder / "standtrue.db") as store:
        store.execute("UPDATE entry SET who = 'somebody else' WHERE job = 'corrow front' AND number = 1")
    store.close()
    with client_of(make_app(new_state(folder))) as client:
        text = client.get(JOB).text
    assert 'class="v no">The record is not whole. What stands here cannot be relied on.' in text
    assert "not all fit" in text


@pytest.mark.parametrize("width", [360, 1280])
def test_the_pages_are_clean(server: Server, browser: Browser, width: int) -> None:
    with visiting(browser, server.address, (width, 800)) as visit:
        for path in ("/records", JOB):
            visit.go(path)
            assert visit.axe() == [], path
            assert visit.sideways == 0, path


def test_one_is_found_and_opened_by_keyboard(server: Server, browser: Browser) -> None:
    with visiting(browser, server.address, language="es") as visit:
        visit.go("/records")
        visit.page.get_by_role("searchbox").or_(visit.page.locator("#words")).first.focus()
        visit.page.keyboard.type("corrow")
        visit.page.keyboard.press("Enter")
        visit.page.get_by_role("link", name="TR-4107").focus()
        visit.page.keyboard.press("Enter")
        visit.page.wait_for_url(f"**{JOB}")
        assert visit.page.locator("h1").inner_text().startswith("¿Qué")
        assert visit.sideways == 0

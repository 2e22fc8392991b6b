"""The pictures of pages in the documentation: made by the long run, there and named always."""

from __future__ import annotations

import contextlib
import re
from pathlib import Path
from unittest import mock

import pytest
from playwright.sync_api import Browser, Page

from standtrue.cli import main
from web_fixtures import new_state, serving, visiting

DOCS = Path(__file__).parents[2] / "docs"
PICTURES = DOCS / "pictures" / "app"
NAMES = ("start", "today", "order", "car", "floor", "record")


def test_every_picture_is_there_and_shown() -> None:
    text = (DOCS / "how-to" / "use-the-app.md").read_text(encoding="utf-8")
    assert re.findall(r"pictures/app/([a-z]+)\.png", text) == list(NAMES)
    assert sorted(one.stem for one in PICTURES.glob("*.png")) == sorted(NAMES)


@pytest.mark.long
def test_they_are_made_anew(tmp_path: Path, browser: Browser) -> None:
    PICTURES.mkdir(parents=True, exist_ok=True)
    (tmp_path / "empty").mkdir()
    (tmp_path / "empty" / "note.txt").write_text("no document", encoding="utf-8")
    with serving(tmp_path / "empty") as server, visiting(browser, server.address, (1280, 900)) as visit:
        visit.go("/start")
        _keep(visit.page, "start")
    folder = tmp_path / "shop"
    new_state(folder).served.close()
    for command in (("needs", "--job", "corrow front"), ("measured", "--setup", "corrow camera, moved")):
        words = ["standtrue", command[0], str(folder), *command[1:], "--by", "technician A"]
        with mock.patch("sys.argv", words), contextlib.suppress(SystemExit):
            main()
    with serving(folder) as server, visiting(browser, server.address, (1280, 900)) as visit:
        for name, path in (("floor", "/floor"), ("record", "/records/corrow%20front")):
            visit.go(path)
            _keep(visit.page, name)
        visit.go("/orders/TR-4107")
        hand = visit.page.get_by_role("button", name="Hand to technician A")
        hand.wait_for(timeout=240_000)
        visit.page.wait_for_timeout(3000)
        _keep(visit.page, "order")
        hand.click()
        visit.go("/")
        _keep(visit.page, "today")
        visit.page.set_viewport_size({"width": 1180, "height": 820})
        visit.go("/car/TR-4107")
        visit.page.get_by_role("button", name="technician A", exact=True).click()
        visit.page.get_by_role("heading", name="Where does the car go?").wait_for()
        _keep(visit.page, "car")


def _keep(page: Page, name: str) -> None:
    page.wait_for_load_state("networkidle")
    page.screenshot(path=PICTURES / f"{name}.png")

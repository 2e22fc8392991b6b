"""The first start: two sentences, an answer that follows them, and a floor to go on with."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient
from playwright.sync_api import Browser
from record_makers import import_said

from standtrue.documents import gather, load_text
from standtrue.documents.typical import BODIES, LIFTS, WALLS, LiftKind, Room, Wall, first_documents
from standtrue.model.fits import Fits
from standtrue.model.reader_units import System
from standtrue.web.app import make_app
from standtrue.web.state import State
from standtrue.work.served import serve_folder
from standtrue.work.start import answer_first, defaults
from standtrue.work.where import IN_FOLDER
from web_fixtures import Server, client_of, serving, visiting


@pytest.fixture
def empty(tmp_path: Path) -> FastAPI:
    folder = tmp_path / "shop"
    folder.mkdir()
    return make_app(State(serve_folder(folder, IN_FOLDER, "technician A", import_said)))


@pytest.fixture
def client(empty: FastAPI) -> Iterator[TestClient]:
    with client_of(empty) as found:
        yield found


@pytest.mark.parametrize("lift", LIFTS)
@pytest.mark.parametrize("wall", WALLS)
def test_every_typical_document_is_sound(lift: LiftKind, wall: Wall) -> None:
    for body in BODIES:
        room = Room('a "quoted" \\ name', 9.0, 12.0, 4.0, 3.0, wall, lift, 2.0)
        read = gather(load_text(text, path) for path, text in first_documents(room, body).items())
        assert read.faults == ()
        assert [doubt.what.code for doubt in read.doubts] == []
        assert list(read.sites) == [room.name]


def test_nothing_is_calibrated_by_a_typical_card() -> None:
    texts = first_documents(Room("x", 6.0, 12.0, 4.0, 3.0, "short", "none", 0.0), BODIES[0])
    read = gather(load_text(text, path) for path, text in texts.items())
    assert {card.source.status for card in read.procedures} == {"draft"}


def test_a_room_that_is_just_too_short_says_no() -> None:
    """The board stands 2.5 m ahead of the nose, its frame 0.35 m deep; the car is 4.88 m long; each end keeps 50 mm:
    7.78 m, as long as the room is too narrow for the car to stand askew. Closed form.
    """
    asked = defaults("metric")
    needed = 0.05 + 4.88 + 2.5 + 0.35
    for more, fits in ((0.03, Fits.YES), (-0.03, Fits.NO)):
        own = type(asked)(
            "3.15 m", f"{needed + more:.3f} m", "3.7 m", "3 m", "short", "none", "0", "mid-size sedan", "forward camera"
        )
        first = answer_first(own, "metric", "My shop")
        assert next(a.fits for a in first.places.answers if a.support == "floor") is fits, more


def test_an_empty_shop_begins_here_and_goes_on_with_the_floor(client: TestClient) -> None:
    assert client.get("/", follow_redirects=False).headers["location"] == "/start"
    assert "What have you got?" in client.get("/").text
    kept = client.post("/start", data={"wide": "5 m", "lift": "none"}, follow_redirects=False)
    assert (kept.status_code, kept.headers["location"]) == (303, "/")
    again = client.post("/start", data={"wide": "6 m"}, follow_redirects=False)
    assert again.status_code == 422
    assert again.json()["faults"][0]["what"] == "there is a floor already"


@pytest.mark.parametrize(
    ("field", "typed"),
    [("wide", "abc"), ("wide", "-3"), ("long", "9000"), ("door", "8 m"), ("body", "<b>"), ("gap", "1e999")],
)
def test_what_cannot_be_meant_is_told_where_it_stands(client: TestClient, field: str, typed: str) -> None:
    told = client.get("/start", params={field: typed})
    assert told.status_code == 200
    assert 'id="faults"' in told.text
    assert "&#34;<b>" not in told.text
    assert "<b>" not in told.text.partition('id="faults"')[2]


def test_the_answer_follows_the_blanks(tmp_path: Path, browser: Browser) -> None:
    folder = tmp_path / "shop"
    folder.mkdir()
    (folder / "note.txt").write_text("not a document", encoding="utf-8")
    with serving(folder) as server:
        for width in (360, 1280):
            _fill(server, browser, width)


def _fill(server: Server, browser: Browser, width: int) -> None:
    with visiting(browser, server.address, (width, 800)) as visit:
        visit.go("/start")
        first = visit.page.locator("#first li").first
        assert first.inner_text().startswith("Forward camera fits on the floor")
        assert visit.axe() == []
        visit.page.get_by_role("textbox", name="length of the room").fill("6 m")
        visit.page.keyboard.press("Tab")
        visit.page.get_by_text("Forward camera does not fit on the floor").first.wait_for()
        assert visit.sideways == 0
        assert "long=6+m" in visit.page.url


def test_lengths_as_people_write_them_mean_the_same() -> None:
    written = ("16 ft", "16'", "192 in", "4876.8 mm", "4,8768 m", "16 ft 0 in")
    answers = set()
    systems: tuple[System, ...] = ("us", "metric")
    for one, units in itertools.product(written, systems):
        asked = defaults("us")
        own = type(asked)(one, "30 ft", "12 ft", "10 ft", "short", "none", "0", "supermini", "rear camera")
        answers.add(round(answer_first(own, units, "x").room.wide_m, 6))
    assert answers == {4.8768}

"""A room's year as a page: it says what the study says, shows that it is at work, and stops."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator

import httpx2
import pytest
from playwright.sync_api import Browser, expect

from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.show.words.sheet_room import share_words
from standtrue.show.words.study_shop import two_shares
from standtrue.work.study.studies import find_study
from web_fixtures import Server, serving, visiting

PAGE = "/room/a%20year%20at%20Tanbark%20Row"
MIX = """kind = "mix"
schema = 1
name = "last year"
demonstration = true
vehicles = [{ name = "Oskerra Nib", share = 1.0 }]
"""


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """The demonstration with one car in its mix, and a second study of two of its bays."""
    from standtrue.demo import write_demo

    folder = tmp_path_factory.mktemp("room") / "shop"
    write_demo(folder)
    (folder / "mix.toml").write_text(MIX, encoding="utf-8")
    study = (folder / "study.toml").read_text(encoding="utf-8")
    other = study.replace('"a year at Tanbark Row"', '"two bays"').replace(
        'mix = "last year"', 'mix = "last year"\nbays = ["Tanbark Row/long bay", "Tanbark Row/lift bay"]'
    )
    (folder / "study-bays.toml").write_text(other, encoding="utf-8")
    with serving(folder) as found:
        yield found


def answered(server: Server, page: str) -> str:
    httpx2.get(f"{server.address}{page}")
    for task in list(server.state.tasks._all.values()):  # whatever is at work, until it is through
        task.future.result(60)
    return httpx2.get(f"{server.address}{page}").text


def test_it_says_what_the_study_says(server: Server) -> None:
    told = answered(server, PAGE)
    shop = server.state.served.shop()
    (room,) = find_study(shop, shop.studies["a year at Tanbark Row"]).rooms
    assert share_words(room.tally.whole.share, ENGLISH) in re.findall('class="head2">(.*?)<', told)
    for one in room.tally.by_order:
        assert f'<th scope="row">{one.name}</th>' in told
        assert f"{one.done:.0f} of {one.of:.0f}" in told
    for line in two_shares(room, Reader("metric", "en")):
        assert line in html.unescape(told)
    pdf = httpx2.get(f"{server.address}{PAGE}/sheet.pdf", timeout=60)
    assert pdf.content.startswith(b"%PDF")
    assert httpx2.get(f"{server.address}/room/none").status_code == 404


def test_rooms_stand_side_by_side_and_it_can_be_stopped(server: Server, browser: Browser) -> None:
    with visiting(browser, server.address) as visit:
        visit.go("/room/two%20bays")
        if visit.page.get_by_role("button", name="Stop").count():
            assert visit.axe() == []
        expect(visit.page.get_by_role("heading", name="Which room would do better?")).to_be_visible(timeout=30_000)
        assert visit.axe() == []
    for size, language in (((360, 740), "es"), ((1280, 900), "en")):
        with visiting(browser, server.address, size, language=language) as visit:  # type: ignore[arg-type] # two words
            visit.go("/room/two%20bays")
            assert visit.axe() == []
            assert visit.sideways == 0

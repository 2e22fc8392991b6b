"""Drawing a floor without a browser: every edit by its form, undone and kept; what fits while something is held."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from standtrue.documents.site import SiteForm
from standtrue.model.ground import Grounds
from standtrue.place.engine import best_stance
from standtrue.web.app import make_app
from standtrue.web.state import State
from standtrue.work.floor.asks import Held, moved_by
from standtrue.work.floor.floors import draft_of_floor
from web_fixtures import client_of, new_state

SITE = "Tanbark Row"
PAGE = "/draw/Tanbark%20Row"
LIFT = {"where": "lifts", "name_of": "flush lift"}


@pytest.fixture
def state(tmp_path: Path) -> State:
    return new_state(tmp_path / "shop")


@pytest.fixture
def client(state: State) -> Iterator[TestClient]:
    with client_of(make_app(state)) as found:
        yield found


def edit(client: TestClient, **fields: str) -> int:
    return int(client.post(PAGE, data=fields, follow_redirects=False).status_code)


def form_of(state: State) -> SiteForm:
    """The floor as drawn, which is sound."""
    draft = draft_of_floor(state.served, SITE)
    assert draft is not None
    form = draft.document().form
    assert isinstance(form, SiteForm)
    return form


def lift_of(state: State) -> tuple[float, float, float]:
    lift = form_of(state).lifts[0]
    return (*lift.at, lift.heading)


def test_a_thing_is_moved_undone_redone_and_kept(state: State, client: TestClient) -> None:
    before = lift_of(state)
    assert edit(client, do="move", **LIFT, right="0.5", up="-0.25") == 303
    moved = lift_of(state)
    assert moved == pytest.approx((before[0] + 0.5, before[1] - 0.25, before[2]), abs=2e-5)
    assert edit(client, do="undo") == 303
    assert lift_of(state) == before
    assert edit(client, do="redo") == 303
    assert lift_of(state) == moved
    saved = state.served.read().version("site", SITE)
    assert saved is not None
    assert state.served.shop().sites[SITE].lifts[0].at == before[:2], "nothing is the shop's before it is kept"
    assert client.post(f"{PAGE}/keep", follow_redirects=False).status_code == 303
    assert state.served.shop().sites[SITE].lifts[0].at == pytest.approx(moved[:2])
    latest = state.served.read().version("site", SITE)
    assert latest is not None
    assert latest.version == saved.version + 1
    assert b"# Brass studs in the floor." in (latest.content or b""), "comments of what stays, stay"


def test_figures_are_typed_as_people_write_them(state: State, client: TestClient) -> None:
    assert edit(client, do="put", **LIFT, x="45 ft 6 in", heading="90") == 303
    x, _, heading = lift_of(state)
    assert x == pytest.approx(45.5 * 0.3048, abs=2e-5)
    assert heading == pytest.approx(1.5707963, abs=1e-6)
    assert edit(client, do="put", **LIFT, x="about there") == 422
    assert lift_of(state)[0] == x, "what cannot be read changes nothing"


def test_a_figure_sent_back_as_it_was_told_changes_nothing(state: State, client: TestClient) -> None:
    before = lift_of(state)
    assert edit(client, do="put", **LIFT, x="14.326 m", y="6.934 m", heading="180") == 303
    assert lift_of(state) == pytest.approx(before, abs=1e-5)


def test_things_are_added_sized_named_and_taken_away(state: State, client: TestClient) -> None:
    assert edit(client, do="add", where="obstacles", name="compressor", right="3", up="8") == 303
    thing = {"where": "obstacles", "name_of": "compressor"}
    assert edit(client, do="size", **thing, width="900 mm", depth="700 mm") == 303
    assert edit(client, do="write", **thing, top="5 ft", movable="no", name="big compressor") == 303
    made = form_of(state).obstacles[-1]
    (x0, y0), _, (x1, y1), _ = made.shape.points
    assert (made.name, made.movable) == ("big compressor", False)
    assert made.top == pytest.approx(1.524)
    assert (x1 - x0, y1 - y0) == pytest.approx((0.9, 0.7), abs=2e-5)
    assert edit(client, do="remove", where="obstacles", name_of="big compressor") == 303
    assert 'value="obstacles/big compressor"' not in client.get(PAGE).text
    for where in ("doors", "voids", "bays", "marks"):
        assert edit(client, do="add", where=where, name=f"a new {where}", right="6", up="6") == 303
    assert edit(client, do="add", where="lifts", name="third lift", type="two-post", right="6", up="3") == 303
    form_of(state)


def test_a_door_stays_in_its_wall_and_a_cover_is_closed(state: State, client: TestClient) -> None:
    door = {"where": "doors", "name_of": "lift bay door"}
    assert edit(client, do="move", **door, right="-3", up="0.3") == 303
    assert edit(client, do="cover", where="voids", name_of="inspection pit", cover="middle cover", closed="yes") == 303
    form = form_of(state)
    assert form.doors[1].start == pytest.approx((63 * 0.3048, 17.5 * 0.3048 + 0.3), abs=2e-5)
    assert set(form.voids[0].closed) == {"near cover", "far cover", "middle cover"}


def test_corners_of_the_room_are_moved_added_and_taken_out(state: State, client: TestClient) -> None:
    assert edit(client, do="corner", name_of="corner 2", right="0", up="0.5") == 303
    assert edit(client, do="split", name_of="corner 0") == 303
    assert edit(client, do="corner", name_of="corner 1", x="9 m", y="0 m") == 303
    assert edit(client, do="join", name_of="corner 1") == 303
    points = form_of(state).shape.points
    assert len(points) == 6
    assert points[2] == pytest.approx((63 * 0.3048, 31 * 0.3048 + 0.5), abs=2e-5)


def test_a_floor_with_a_fault_is_told_not_kept_and_can_be_undone(client: TestClient) -> None:
    assert edit(client, do="move", where="obstacles", name_of="scrap bin", right="-40", up="0") == 303
    shown = client.get(PAGE).text
    assert "To be mended before this floor can be kept" in shown
    assert client.post(f"{PAGE}/keep", follow_redirects=False).status_code == 422
    assert edit(client, do="undo") == 303
    assert "To be mended before this floor can be kept" not in client.get(PAGE).text


def test_what_is_tried_is_what_place_says(state: State, client: TestClient) -> None:
    shop = state.served.shop()
    asked = {"where": "lifts", "name": "flush lift", "car": "Tavlin Corrow", "support": "lift down"}
    card = next(c for c in shop.procedures if c.key.startswith("forward camera wide board"))
    for right in (-1.0, 0.0, 1.5):
        told = client.get(f"{PAGE}/try", params={**asked, "card": card.key, "right": str(right)}).json()
        site = moved_by(shop.sites[SITE], Held("lifts", "flush lift"), (right, 0.0), 0.0)
        answer = best_stance(Grounds(site), shop.vehicles["Tavlin Corrow"], [card], "lift down")
        assert told["shape"] == {"yes": "yes", "no": "no", "undecided": "unsure"}[answer.fits.value]
    along = client.get(f"{PAGE}/along", params={**asked, "card": card.key, "right": "1.5", "count": "2"}).json()
    assert along["shapes"][-1] == told["shape"]
    assert "Toward the right" in along["said"]


def test_two_people_draw_one_floor_and_nothing_is_lost(state: State, client: TestClient) -> None:
    assert edit(client, do="move", **LIFT, right="0.5", up="0") == 303
    with client_of(make_app(state)) as other:
        assert edit(other, do="move", where="lifts", name_of="post lift", right="0", up="0.3") == 303
        assert "technician A moved the post lift" in client.get(PAGE).text
    draft = draft_of_floor(state.served, SITE)
    assert draft is not None
    assert [step.name for step in draft.steps] == ["flush lift", "post lift"]


def test_a_floor_saved_by_another_way_meanwhile_is_said_and_both_stay(state: State, client: TestClient) -> None:
    assert edit(client, do="move", **LIFT, right="0.5", up="0") == 303
    there = state.served.read().version("site", SITE)
    assert there is not None
    text = (there.content or b"") + b"# surveyed again\n"
    seen = client.get(f"/documents/site/{SITE}").text.partition('name="seen" value="')[2].partition('"')[0]
    sent = client.post(
        f"/documents/site/{SITE}", data={"seen": seen}, files={"file": ("site.toml", text)}, follow_redirects=False
    )
    assert sent.status_code == 303
    kept = client.post(f"{PAGE}/keep", follow_redirects=False)
    assert kept.status_code == 412
    assert "saved by another way" in kept.text
    assert client.post(f"{PAGE}/back", follow_redirects=False).status_code == 303
    assert "saved by another way" not in client.get(PAGE).text


@pytest.mark.parametrize("do", ["", "burn", "move"])
def test_what_is_not_there_is_refused(client: TestClient, do: str) -> None:
    sent = client.post(PAGE, data={"do": do, "where": "lifts", "name_of": "a third"}, follow_redirects=False)
    assert sent.status_code in (404, 422)
    assert client.get("/draw/Elsewhere").status_code == 404

"""Today and an order, asked without a browser: each state, what is saved, and what is refused."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from standtrue.demo import write_demo
from standtrue.model.asking import Asking
from standtrue.model.job import Job
from standtrue.model.shop import Shop
from standtrue.show.answers.kept import read_again
from standtrue.store.journal import entries
from standtrue.web import planning
from standtrue.web.app import make_app
from standtrue.web.state import State
from standtrue.work.orders.asked import Planning, Way, plan_as
from standtrue.work.plan.answer import PlanAnswer
from web_fixtures import client_of, new_state

ORDER = "/orders/TR-4101"


@pytest.fixture(scope="module")
def state(tmp_path_factory: pytest.TempPathFactory) -> State:
    return new_state(tmp_path_factory.mktemp("desk") / "shop")


@pytest.fixture(scope="module")
def client(state: State) -> Iterator[TestClient]:
    with client_of(make_app(state)) as found:
        yield found


def token(client: TestClient, order: str = ORDER) -> str:
    return str(client.get(f"{order}/state").json()["token"])


def until_planned(client: TestClient, order: str = ORDER) -> str:
    """The page once its plan is there, drawn or not."""
    while token(client, order).startswith("computing"):
        time.sleep(0.2)
    return client.get(order).text


def seen(page: str) -> str:
    found = re.search(r'name="seen" value="([0-9a-f]+)"', page)
    assert found is not None
    return found[1]


def kinds(state: State, job: str) -> list[str]:
    with state.served.store.reading() as connection:
        return [one.entry.kind for one in entries(connection, job)]


def test_an_order_that_nobody_planned_waits_on_today(client: TestClient) -> None:
    page = client.get("/").text
    assert "Late since 08:00" in page
    assert page.count('class="btn first"') == 1
    for number in ("TR-4101", "TR-4107", "TR-4112", "TR-4118"):
        assert f'href="/orders/{number}"' in page


def test_a_plan_is_handed_over_once_and_told_on_today(client: TestClient, state: State) -> None:
    page = until_planned(client)
    assert "Hand to technician A" in page
    assert "Ready Monday 10:52 at the earliest, Monday 13:33 at the latest" in page
    sent = {"to": "technician A", "key": "k1", "seen": seen(page)}
    for _ in range(2):
        assert client.post(f"{ORDER}/hand", data=sent, follow_redirects=False).status_code == 303
    assert kinds(state, "nib windshield") == ["plan", "car-steps", "handed"]
    with state.served.store.reading() as connection:
        for one in entries(connection, "nib windshield"):
            assert read_again(one.entry.kind, one.entry.shape, one.content or b"") is not None
    page = client.get(ORDER).text
    assert "Handed to technician A, 13:40." in page
    assert "Hand to somebody else" in page
    assert f'href="{ORDER.replace("/orders/", "/car/")}"' in page
    today = client.get("/").text
    assert "10:52 to 13:33" in today
    assert "Late since 08:12" in today, "nobody says that the first step is done"


def test_what_was_planned_on_other_documents_says_so_and_stays(client: TestClient) -> None:
    page = until_planned(client)
    mark = seen(page)
    added = {"event": "Battery  disconnected", "key": "k2", "seen": mark}
    for _ in range(2):
        assert client.post(f"{ORDER}/events", data=added, follow_redirects=False).status_code == 303
    page = client.get(ORDER).text
    assert page.count("<b>Battery disconnected</b>") == 1
    assert "Out of date: nib windshield changed since this was planned." in page
    assert "What was handed over is out of date" in page
    assert page.count('class="btn first"') == 1
    assert "Plan again" in page
    assert "What if?" not in page
    late = client.post(f"{ORDER}/hand", data={"to": "B", "key": "k3"})
    assert (late.status_code, "It was not handed over" in late.text) == (409, True)
    stale = client.post(f"{ORDER}/events", data={"event": "tires replaced", "key": "k4", "seen": mark})
    assert stale.status_code == 412
    assert "changed this order since you opened it" in stale.text
    assert "out of date" in client.get("/").text
    client.post(f"{ORDER}/plan")
    assert "Out of date: nib windshield changed since this was planned." not in until_planned(client)


def test_a_need_is_overruled_with_reason_and_name_and_taken_back(client: TestClient) -> None:
    page = client.get(ORDER).text
    told = {"what": "forward camera", "verdict": "drop", "because": "<b>no</b> glass", "seen": seen(page)}
    assert "wants a name" in client.post(f"{ORDER}/decide", data=told).text
    assert "wants a reason" in client.post(f"{ORDER}/decide", data={**told, "because": " ", "by": "A"}).text
    page = client.post(f"{ORDER}/decide", data={**told, "by": "A"}).text
    assert "Dropped by A on 2026-03-02" in page
    assert "“&lt;b&gt;no&lt;/b&gt; glass”" in page
    page = client.post(f"{ORDER}/take-back", data={"what": "forward camera", "seen": seen(page)}).text
    assert "Dropped by" not in page


def test_what_was_done_is_changed_and_taken_out(client: TestClient) -> None:
    page = client.get(ORDER).text
    number = page.count('class="change"') - 1
    told = {"event": "Batería desconectada", "where": "under", "note": "<script>alert(1)</script>", "seen": seen(page)}
    page = client.post(f"{ORDER}/events/{number}", data={**told, "event": "battery replaced"}).text
    assert "Battery replaced (under)" in page
    assert "<script>alert(1)" not in page
    page = client.post(f"{ORDER}/events/{number}", data={"remove": "1", "seen": seen(page)}).text
    assert "Battery" not in page.partition('id="add"')[0]
    assert client.post(f"{ORDER}/events", data={"event": " "}).status_code == 422


def test_an_order_is_put_aside_and_taken_up(client: TestClient) -> None:
    page = client.post(f"{ORDER}/aside", data={"because": "waits for the customer"}).text
    assert "Put aside: waits for the customer" in page
    assert "Put aside (1)" in client.get("/").text
    assert "Put aside: " not in client.post(f"{ORDER}/aside", data={"seen": seen(page)}).text


def test_a_car_that_left_is_on_no_floor_until_it_is_here_again(client: TestClient) -> None:
    page = client.post(f"{ORDER}/left", data={"seen": seen(client.get(ORDER).text), "key": "l1"}).text
    assert "Its car left: " in page
    assert "TR-4101" not in client.get("/").text
    page = client.post(f"{ORDER}/left", data={"here": "yes", "seen": seen(page)}).text
    assert "Its car left: " not in page
    assert "TR-4101" in client.get("/").text


def test_a_new_order_begins_with_what_was_done(client: TestClient) -> None:
    form = client.get("/orders").text
    assert "Oskerra Nib" in form
    twice = client.post("/orders", data={"order_number": "TR-4101", "vehicle": "Oskerra Nib"})
    assert (twice.status_code, "There is an order with the number TR-4101." in twice.text) == (422, True)
    assert client.post("/orders", data={"order_number": "X", "vehicle": "nobody's"}).status_code == 422
    page = client.post("/orders", data={"order_number": "TR 9", "vehicle": "Oskerra Nib", "key": "n1"}).text
    assert "Nothing is written yet of what was done to it" in page
    assert "In which order?" not in page
    assert page.count('class="btn first"') == 1
    assert token(client, "/orders/TR%209") == "nothing"


def test_looking_whether_a_sensor_is_fitted_is_kept(client: TestClient, state: State) -> None:
    page = client.get("/orders/TR-4107").text
    assert "Does it have this: surround-view camera?" in page
    client.post("/orders/TR-4107/stop")
    sent = {"sensor": "surround-view camera", "has": "no", "seen": seen(page)}
    page = client.post("/orders/TR-4107/fitted", data=sent).text
    assert "Does it have this: surround-view camera?" not in page
    assert [s.kind for s in state.served.shop().written.jobs["corrow front"].not_fitted] == ["surround-view camera"]
    client.post("/orders/TR-4107/stop")


def test_a_search_that_is_stopped_tells_the_best_so_far(client: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    def slow(shop: Shop, job: Job, way: Way, known: PlanAnswer | None, asking: Asking) -> Planning:
        while not asking.stopped():
            time.sleep(0.05)
        return plan_as(shop, job, way, known, asking)

    monkeypatch.setattr(planning, "plan_as", slow)
    page = client.get("/orders/TR-4112").text
    assert "The order of work is being worked out." in page
    assert 'http-equiv="refresh"' in page
    client.post("/orders/TR-4112/stop")
    page = until_planned(client, "/orders/TR-4112")
    assert "It was stopped: this is the best that was found by then." in page
    assert "No order was found so far." in page
    assert "Plan again" in page


def test_an_order_that_is_not_there_is_told(client: TestClient) -> None:
    assert client.get("/orders/TR-1").status_code == 404


@pytest.mark.long
def test_the_sheet_is_printed_by_the_plan(client: TestClient) -> None:
    until_planned(client)
    pdf = client.get(f"{ORDER}/sheet.pdf")
    assert (pdf.headers["content-type"], pdf.content[:5]) == ("application/pdf", b"%PDF-")


def test_thirty_orders_are_parted_folded_and_found(tmp_path: Path) -> None:
    write_demo(tmp_path / "shop")
    own = (tmp_path / "shop" / "job-nib-windshield.toml").read_text()
    for n in range(27):
        day = f"2026-03-0{2 + n % 4}T0{7 + n % 3}:00:00"
        own = own.replace("promised = 2026-03-02", "promised = 2026-03-09")
        told = own.replace("nib windshield", f"n{n}").replace("TR-4101", f"N-{n}").replace("DEMO 41", f"P {n}")
        (tmp_path / "shop" / f"n{n}.toml").write_text(told.replace("arrives = 2026-03-02T08:00:00", f"arrives = {day}"))
    old = told.replace("n26", "old").replace("N-26", "OLD-1").replace("2026-03-", "2025-11-").replace("P 26", "P 99")
    (tmp_path / "shop" / "old.toml").write_text(old)
    with client_of(make_app(new_state(tmp_path / "shop"))) as client:
        page = client.get("/").text
        assert "1 order of which nothing was heard for 30 days is not told here." in page
        assert "OLD-1" not in page
        assert 'data-find="OLD-1' in client.get("/", params={"find": "p 99"}).text
        assert "more wait for somebody" in page
        assert "Outside, " in page
        assert "Coming, " in page
        found = client.get("/", params={"find": "p 13"}).text
        assert 'data-find="N-13' in found
        assert found.count("data-find=") == 1
        assert "No order is called that." in client.get("/", params={"find": "nothing like it"}).text

"""The pages at the car without a browser: each answer as a plain form gives it, and entries as a browser sends them."""

from __future__ import annotations

import html as entities
import re
import time
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from car_makers import JOBS, PIN, items_of, open_orders, told_of, typed, write_orders
from picture_makers import jpeg, png
from standtrue.store.documents import Draft, latest_versions, save
from standtrue.web.app import make_app
from standtrue.web.state import State
from standtrue.work.keep.answers import saving_now
from web_fixtures import client_of


@pytest.fixture(scope="module")
def state(tmp_path_factory: pytest.TempPathFactory) -> State:
    folder = tmp_path_factory.mktemp("car") / "shop"
    write_orders(folder)
    return open_orders(folder)


@pytest.fixture(scope="module")
def app(state: State) -> Any:
    return make_app(state)


@pytest.fixture
def tablet(app: Any) -> TestClient:
    return client_of(app)


def question(page: str) -> str:
    """What the page asks: the heading of the screen that is shown."""
    shown = next(part for part in re.split(r"<section ", page)[1:] if not re.match(r"[^>]* hidden>", part))
    found = re.search(r"<h1[^>]*>(?:<span[^>]*>)?([^<]*)", shown)
    assert found is not None
    return entities.unescape(found.group(1))


def asks(client: TestClient, number: str, screen: str = "") -> tuple[str, str]:
    """The page of an order: what it asks, and all of it."""
    page = client.get(f"/car/{number}", params={"screen": screen} if screen else {})
    assert page.status_code == 200
    return question(page.text), page.text


def tells(client: TestClient, number: str, **fields: str) -> str:
    """What the page asks once something was told."""
    page = client.post(f"/car/{number}", data=fields)
    assert page.status_code == 200, page.text
    return question(page.text)


def come(client: TestClient, number: str, who: str = "technician A") -> str:
    assert asks(client, number)[0] == "Who is at the car?"
    return question(client.post(f"/car/{number}/who", data={"who": who}).text)


def read_all(client: TestClient, number: str, off_mm: float = 0.0) -> str:
    """Take every reading that is asked for, heights so much too high; what is asked then."""
    told, page = asks(client, number)
    for item in [one for one in items_of(page, "read") if one["kept"] is None]:
        assert told == item["question"]
        off = off_mm if item["name"].startswith('["height"') else 0.0
        sign = str(item["sides"][0][1] if item["sides"] else item["sign"])
        fields = {key: str(item[key]) for key in ("what", "name", "part", "unit", "planned", "far")}
        told = tells(client, number, typed=typed(item, off), sign=sign, **fields)
    return told


def to_readings(client: TestClient, number: str) -> str:
    """From the first leg to the first reading."""
    assert come(client, number) == "Where does the car go?"
    assert "leg 1 of 2" in asks(client, number)[1]
    tells(client, number, what="leg", value="1")
    assert "leg 2 of 2" in asks(client, number)[1]
    assert tells(client, number, what="done") == "How much is it: tire pressure?"
    assert "2.3 to 2.7" not in re.sub(r"<script.*?</script>", "", asks(client, number)[1], flags=re.DOTALL)
    tells(client, number, what="condition", name="tire pressure", typed="2.5", unit="bar")
    tells(client, number, what="condition", name="load: empty, no luggage", typed="yes")
    assert (
        tells(client, number, what="condition", name="light", typed="510", unit="lux")
        == "Where does the wide board go?"
    )
    return tells(client, number, what="stands")


def test_a_journey_by_plain_forms_to_a_signature(tablet: TestClient, state: State) -> None:
    number = JOBS[0]
    first = to_readings(tablet, number)
    item = items_of(asks(tablet, number)[1], "read")[0]
    assert first == item["question"]
    # A value that cannot be is asked back with a proposal, and taken if it is meant.
    wrong = typed(item) + "0"
    fields = {key: str(item[key]) for key in ("what", "name", "part", "unit", "planned", "far")}
    asked = tablet.post(f"/car/{number}", data={**fields, "typed": wrong})
    assert f"{wrong} mm cannot be. Did you mean {typed(item)} mm?" in asked.text
    assert told_of(state, number).steps[1].readings == {}
    assert read_all(tablet, number, off_mm=9.0) == "Is it in tolerance?"
    assert question(tablet.post(f"/car/{number}/judge").text) == "What must move?"
    page = asks(tablet, number)[1]
    assert re.search(r">The wide board, (9|10) mm<small>lower</small>", page)
    (count,) = re.findall(r"It is moved: read (\d+) again", page)
    of_target = [one for one in told_of(state, number).steps[1].readings.values() if one.part]
    assert len(of_target) == int(count) > 0
    # What hangs on the target is read again, and nothing else.
    tells(tablet, number, what="moved", name="target")
    unread = [one for one in items_of(asks(tablet, number)[1], "read") if one["kept"] is None]
    assert len(unread) == len(of_target)
    assert all(one["part"] for one in unread)
    read_all(tablet, number)
    assert question(tablet.post(f"/car/{number}/judge").text) == "In tolerance"
    # Nothing is vouched for beforehand: no signature before the tool's word, and none that only a browser says.
    early = tablet.post(f"/car/{number}/sign", data={"who": "technician A", "pin": PIN})
    assert question(early.text) != "What is done now?"
    forged = {"key": "forged-signature", "step": "1.2", "what": "signed", "by": "technician A"}
    taken = tablet.post(f"/car/{number}/kept", json={"now": int(1000 * time.time()), "entries": [forged]})
    assert taken.json()["refused"] == ["forged-signature"]
    assert tablet.post(f"/car/{number}", data={"what": "signed", "step": "1.2"}).status_code == 403
    assert told_of(state, number).steps[1].signed is None
    page = asks(tablet, number)[1]
    assert 'aria-disabled="true"' in page
    assert "screen=photo" not in page
    assert asks(tablet, number, "failed")[0] == "What did the tool say?"
    told = tells(tablet, number, what="tool", name="not finished", text="target not found", codes="C1A67 U0415")
    assert told == "What comes next?"
    assert "target not found" in asks(tablet, number)[1]
    assert tells(tablet, number, what="next", name="again") == "Has anything moved?"
    tells(tablet, number, what="moved", name="nothing")
    read_all(tablet, number)
    assert question(tablet.post(f"/car/{number}/judge").text) == "In tolerance"
    assert tells(tablet, number, what="tool", name="finished") == "Is there a photo of the set-up?"
    refused = tablet.post(f"/files/car/{number}/photo", files={"photo": ("a.png", b"<svg onload=1>", "image/png")})
    assert "no picture" in refused.text
    for bomb in (png(60_000, 60_000), jpeg((60_000, 60_000)), b"RIFF" + bytes(64)):
        refused = tablet.post(f"/files/car/{number}/photo", files={"photo": ("a.png", bomb, "image/png")})
        assert "no picture" in refused.text
    photo = tablet.post(f"/files/car/{number}/photo", files={"photo": ("a.png", png(1, 1), "image/png")})
    assert question(photo.text) == "Who measured this?"
    wrong_pin = tablet.post(f"/car/{number}/sign", data={"who": "technician A", "pin": "9999"})
    assert (wrong_pin.status_code, told_of(state, number).steps[1].signed) == (403, None)
    signed = tablet.post(f"/car/{number}/sign", data={"who": "technician A", "pin": PIN})
    assert question(signed.text) == "What is done now?"
    step = told_of(state, number).steps[1]
    assert [(one.said.text, one.said.codes) for one in step.attempts] == [("target not found", ("C1A67", "U0415"))]
    assert step.photo is not None
    assert step.photo.digest
    # The set-up that was read is a document of the shop, and taken back is only by a new entry with its reason.
    assert f"{number}, forward camera wide board" in state.served.shop().setups
    page = asks(tablet, number, "signed")[1]
    assert "signed by technician A" in page
    assert step.signed is not None
    told = tells(tablet, number, what="taken back", undoes=step.signed.key, step="1.2", text="wrong car")
    assert told == "Has anything moved?"


def test_two_tablets_on_one_step(app: Any, state: State) -> None:
    number = JOBS[1]
    one, two = client_of(app), client_of(app)
    to_readings(one, number)
    assert come(two, number, "technician B") == "Who has this step?"
    before = state_token(one, number)
    tells(two, number, what="asked")
    assert state_token(one, number) != before
    assert "technician B asks for this step." in asks(one, number)[1]
    asker = told_of(state, number).steps[1].asker
    assert asker is not None
    tells(one, number, what="given", to=asker[0], name=asker[1])
    assert asks(one, number)[0] == "Who has this step?"
    assert asks(two, number)[0] == "Has anything moved?"
    tells(two, number, what="moved", name="car")
    # The first is dead: it comes back by taking the step over, and is asked first.
    assert tells(one, number, what="taken") == "Has anything moved?"


def state_token(client: TestClient, number: str) -> str:
    return str(client.get(f"/car/{number}/state").json()["token"])


def test_what_a_browser_kept_is_taken_once_by_the_servers_clock(tablet: TestClient, state: State) -> None:
    number = JOBS[2]
    to_readings(tablet, number)
    items = items_of(asks(tablet, number)[1], "read")
    wrong_clock = int(time.time() * 1000) + 86_400_000 * 400
    entries = [
        {
            "key": f"key-of-a-reading-{n}",
            "at": wrong_clock - 60_000 + n * 1000,
            "by": "technician A",
            "step": "1.2",
            **{key: item[key] for key in ("what", "name", "part")},
            "typed": f"{typed(item)} {item['unit']}",
            "sign": 1,
        }
        for n, item in enumerate(items[:4])
    ]
    for _ in range(2):
        told = tablet.post(f"/car/{number}/kept", json={"now": wrong_clock, "entries": entries}).json()
        assert (len(told["kept"]), told["refused"]) == (4, [])
    readings = told_of(state, number).steps[1].readings
    assert len(readings) == 4
    assert {one.at[:16] for one in readings.values()} <= {"2026-03-02T19:39", "2026-03-02T19:40"}
    again = [{**entries[0], "typed": "1 mm"}]
    told = tablet.post(f"/car/{number}/kept", json={"now": wrong_clock, "entries": again}).json()
    assert told["refused"] == [entries[0]["key"]]


@pytest.mark.parametrize("why", ["called away", "other car"])
def test_whoever_comes_back_is_asked_first(app: Any, state: State, why: str) -> None:
    number = JOBS[3]
    one = client_of(app)
    if "forward camera" not in asks(one, number)[1]:
        come(one, number)
    if told_of(state, number).steps[0].over is False:
        one.cookies.clear()
        to_readings(one, number)
    elif told_of(state, number).steps[1].stopped is None:
        tells(one, number, what="taken")
        tells(one, number, what="moved", name="nothing")
    assert asks(one, number, "stop")[0] == "Why do you stop?"
    told = tells(one, number, what="stopped", name=why)
    assert told in ("Has anything moved?", "Do you go on here?")
    step = told_of(state, number).steps[1]
    assert step.stopped is not None
    assert (step.readings == {}) or why == "called away"


def test_an_order_that_is_not_there_is_not_found(tablet: TestClient) -> None:
    assert tablet.get("/car/nothing").status_code == 404


def test_an_order_without_steps_says_so(tablet: TestClient, state: State) -> None:
    jobs = [one.order_number for one in state.served.shop().written.jobs.values() if one.order_number not in JOBS]
    assert asks(tablet, jobs[0])[0] == "What is done at this car?"


def test_texts_are_shown_as_they_were_typed(app: Any, tmp_path: Path) -> None:
    del tmp_path
    client = client_of(app)
    come(client, JOBS[3], "<b>x</b>")
    assert "<b>x</b>" not in asks(client, JOBS[3])[1]


def test_an_order_of_work_on_changed_documents_says_so(state: State, app: Any) -> None:
    client, number = client_of(app), JOBS[0]
    come(client, number)
    assert "out of date" not in asks(client, number)[1]
    served = state.served
    with served.store.writing() as connection:
        version = next(one for one in latest_versions(connection) if one.kind == "vehicle")
        assert version.content is not None
        draft = Draft(version.document, version.version, version.kind, version.name, version.path,
                      version.content + b"\n# read again\n", version.mark)  # fmt: skip
        save(connection, draft, saving_now("owner A"))
    assert "out of date" in asks(client, number)[1]

"""At the car where something stands against going on: a card said to be wrong, a calibration that does not finish, a
step sent out; and whose entry it is that a browser kept."""

from __future__ import annotations

import time
import uuid
from typing import Any

import pytest
from fastapi.testclient import TestClient
from starlette.types import ASGIApp, Receive, Scope, Send

from car_makers import CARD, JOBS, PIN, entries_of, open_orders, told_of, write_orders
from standtrue.model.shop import Shop
from standtrue.show.answers.cards import of_cards
from standtrue.show.answers.kept import said_of
from standtrue.store.documents import latest_versions
from standtrue.store.journal import entries
from standtrue.web.app import make_app
from standtrue.web.routes.today import day_of
from standtrue.web.state import State, Visitor
from standtrue.work.card.kept import Keeper
from standtrue.work.card.second import compare_readings
from standtrue.work.today.values import Row
from test_car import asks, question, tells
from web_fixtures import NOW, client_of


@pytest.fixture(scope="module")
def state(tmp_path_factory: pytest.TempPathFactory) -> State:
    folder = tmp_path_factory.mktemp("held") / "shop"
    write_orders(folder)
    return open_orders(folder)


@pytest.fixture(scope="module")
def app(state: State) -> Any:
    return make_app(state)


@pytest.fixture
def tablet(app: Any) -> TestClient:
    return client_of(app)


def send(client: TestClient, number: str, *told: dict[str, Any]) -> None:
    """What a tablet kept, in one message."""
    told = tuple({"key": uuid.uuid4().hex, "by": "technician A", "step": "1.2", **one} for one in told)
    body = {"now": int(1000 * time.time()), "entries": told}
    assert client.post(f"/car/{number}/kept", json=body).json()["refused"] == []


def drive_in(client: TestClient, number: str) -> None:
    client.post(f"/car/{number}/who", data={"who": "technician A"}, follow_redirects=False)
    send(client, number, {"step": "1.1", "what": "leg", "typed": "1"}, {"step": "1.1", "what": "done"})


def fails(client: TestClient, number: str) -> str:
    """To a calibration that did not finish; what is asked then."""
    drive_in(client, number)
    return tells(client, number, what="tool", name="not finished", text="no light", codes="X1D20")


def reads(client: TestClient, number: str) -> None:
    """Everything found and read as planned, judged, finished, without a photo."""
    drive_in(client, number)
    found = (("tire pressure", "2.5 bar"), ("load: empty, no luggage", "yes"), ("light", "510 lux"))
    send(client, number, *({"what": "condition", "name": name, "typed": typed} for name, typed in found))
    send(client, number, {"what": "stands"})
    send(client, number, *entries_of(asks(client, number)[1]))
    client.post(f"/car/{number}/judge", follow_redirects=False)
    send(client, number, {"what": "tool", "name": "finished"}, {"what": "photo", "text": "no camera"})


def row_of(state: State, number: str) -> Row:
    return next(row for row in day_of(state).rows if row.number == number)


def planned(client: TestClient, number: str) -> str:
    """Plan from here, and hand over: what is asked once it is there."""
    page = client.post(f"/car/{number}/plan")
    while "is being planned" in page.text:
        time.sleep(0.1)
        page = client.get(f"/car/{number}", params={"screen": "planning"})
    return question(page.text)


def test_what_did_not_finish_lists_causes_waits_for_a_part_and_is_planned_around(
    tablet: TestClient, state: State
) -> None:
    """Each is pressed: it did not finish, wait for a part, plan from here; the part comes, plan from here."""
    number = JOBS[0]
    assert fails(tablet, number) == "What comes next?"
    page = asks(tablet, number)[1]
    for said in ("Why it may not finish, by the card", "Light from a window falls on the board.", "X1D20"):
        assert said in page
    tablet.cookies.set("reader", "metric.es.letter")
    assert "Entra luz de una ventana sobre el tablero." in asks(tablet, number)[1]
    tablet.cookies.delete("reader")
    assert tells(tablet, number, what="next", name="wait") == "What does this step wait for?"
    assert "Plan from here" in asks(tablet, number)[1]
    assert [wait.kind for wait in row_of(state, number).waits][-1] == "part"
    planned(tablet, number)
    told = told_of(state, number)
    assert (told.handed.number, [one.step.operation for one in told.waits]) == (2, [CARD])
    assert CARD not in [one.step.operation for one in told.steps]
    assert told.stands is None or told.stands.key.startswith("2.")
    # Nobody says that nothing is left while a calibration waits.
    for one in told.steps:
        if one.step.card:
            tells(tablet, number, what="next", name="send out", step=one.step.key)
        tells(tablet, number, what="done", step=one.step.key)
    assert told_of(state, number).current is None
    page = asks(tablet, number)[1]
    assert "waits for a part." in page
    assert "Every step is done" not in page
    tells(tablet, number, what="next", name="again", step="1.2")
    assert told_of(state, number).waits == ()
    planned(tablet, number)
    told = told_of(state, number)
    assert (told.handed.number, CARD in [one.step.operation for one in told.steps]) == (3, True)
    # Handed over as from the desk, each once: the plan that Today and the order tell is this one.
    with state.served.store.reading() as connection:
        kinds = [one.entry.kind for one in entries(connection, "corrow windshield")]
    assert [kinds.count(kind) for kind in ("plan", "car-steps", "handed")] == [2, 3, 2]


def test_what_is_sent_out_is_done_once_it_is_back(tablet: TestClient, state: State) -> None:
    number = JOBS[1]
    fails(tablet, number)
    assert tells(tablet, number, what="done") == "What comes next?", "a calibration is signed, not told to be done"
    tells(tablet, number, what="next", name="send out")
    assert [wait.kind for wait in row_of(state, number).waits][-1] == "out"
    assert tells(tablet, number, what="done") == "What is done now?"
    assert CARD in [one.what for one in told_of(state, number).done]


def verdict(shop: Shop) -> str:
    return next(one.source.status for one in shop.procedures if one.name == CARD)


def test_nothing_is_calibrated_by_a_card_that_is_said_to_be_wrong(tablet: TestClient, app: Any, state: State) -> None:
    """Everything was read and in tolerance on one car; at another somebody says that the card is wrong."""
    number, other = JOBS[2], JOBS[3]
    reads(tablet, number)
    assert asks(tablet, number)[0] == "Who measured this?"
    away = client_of(app)
    drive_in(away, other)
    told = {"what": "stopped", "name": "card wrong", "text": "the board is 300 mm too far", "key": "a-key-of-this"}
    for _ in range(2):
        tells(away, other, **told)
    assert verdict(state.served.shop()) == "questioned"
    with state.served.store.reading() as connection:
        versions = [one for one in latest_versions(connection) if (one.kind, one.name) == ("procedure", CARD)]
    assert [one.version for one in versions] == [2], "the same sent again questions it once"
    for client, at in ((tablet, number), (away, other)):
        if at == other:
            tells(client, at, what="back")
        asked, page = asks(client, at)
        assert asked == "What stands against the card?"
        assert "the board is 300 mm too far" in page
        assert "Let a second person read it again from its source." in page or "let a second person" in page
    signed = tablet.post(f"/car/{number}/sign", data={"who": "technician A", "pin": PIN})
    assert (question(signed.text), told_of(state, number).steps[1].signed) == ("What stands against the card?", None)
    # Whoever reads it again from its source settles it; what was read at the car still counts.
    served = state.served
    keeper = Keeper(served.folder, served.where, "technician B", lambda one: said_of(of_cards(one)))
    own = keeper.document("procedure", CARD)
    compare_readings(keeper, served.shop(), CARD, own, "technician B", NOW.date())
    assert verdict(state.served.shop()) == "demonstration"
    signed = tablet.post(f"/car/{number}/sign", data={"who": "technician A", "pin": PIN})
    assert question(signed.text) != "What stands against the card?"
    assert told_of(state, number).steps[1].signed is not None


class _As:
    """Whoever the request says is signed in."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "http":
            name = dict(scope["headers"]).get(b"x-test-name", b"").decode()
            scope.setdefault("state", {})["visitor"] = Visitor(name, "technician")
        await self.app(scope, receive, send)


def test_an_entry_is_whose_session_it_is_and_never_somebody_else_s(state: State) -> None:
    made = make_app(state)
    made.add_middleware(_As)
    client = client_of(made)
    number = JOBS[3]

    def send(by: str, key: str, name: str) -> dict[str, Any]:
        one = {"key": key, "step": "1.1", "what": "begun", "by": by}
        body = {"now": int(1000 * time.time()), "entries": [one]}
        found: dict[str, Any] = client.post(f"/car/{number}/kept", json=body, headers={"x-test-name": name}).json()
        return found

    said = send("technician A", "typed-by-a-1", "technician B")
    assert (said["kept"], said["refused"]) == ([], []), "it stays on the device until A signs in"
    assert send("technician A", "typed-by-a-1", "technician A")["kept"] == ["typed-by-a-1"]
    assert send("", "typed-by-b-1", "technician B")["kept"] == ["typed-by-b-1"]
    with state.served.store.reading() as connection:
        last = list(entries(connection, number))[-2:]
    assert [one.entry.who for one in last] == ["technician A", "technician B"]

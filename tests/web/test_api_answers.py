"""Answers by the API: those of the commands, kept as they keep them; long ones as tasks; the journal page by page."""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from fastapi.testclient import TestClient

from standtrue.model.asking import Asking, Progress
from standtrue.model.reason import because
from standtrue.show.answers.needs import NeedsAnswer
from standtrue.show.answers.place import PlaceAnswer
from standtrue.web.api.asked import JobAsked
from standtrue.web.api.questions import BY_NAME, Found, Question
from standtrue.web.app import make_app
from standtrue.web.limits import Buckets, Limits
from standtrue.web.long import ask_long
from standtrue.web.state import State
from standtrue.web.tasks import AT_ONCE, Task
from web_fixtures import client_of, new_state

NEEDS = "/api/v1/answers/needs"
CORROW = {"job": "corrow front"}


@pytest.fixture(scope="module")
def state(tmp_path_factory: pytest.TempPathFactory) -> State:
    return new_state(tmp_path_factory.mktemp("answers") / "shop")


@pytest.fixture(scope="module")
def client(state: State) -> Iterator[TestClient]:
    with client_of(make_app(state)) as found:
        yield found


def entries(client: TestClient, job: str) -> list[dict[str, Any]]:
    told = client.get("/api/v1/journal/entries", params={"job": job})
    return list(told.json()["entries"]) if told.status_code == 200 else []


def test_an_answer_is_that_of_the_command_and_kept_once(client: TestClient) -> None:
    asked = client.post(NEEDS, json=CORROW, headers={"idempotency-key": "one"})
    assert asked.status_code == 200
    NeedsAnswer.from_json(asked.json())
    before = entries(client, "corrow front")
    assert [(one["kind"], one["who"]) for one in before] == [("needs", "technician A")]
    again = client.post(NEEDS, json=CORROW, headers={"idempotency-key": "one"})
    assert (again.content, again.headers["idempotent-replayed"]) == (asked.content, "true")
    assert client.post(NEEDS, json=CORROW).status_code == 200
    assert entries(client, "corrow front") == before
    kept = client.get("/api/v1/journal/content", params={"job": "corrow front", "number": 0})
    assert kept.json() == asked.json()


def test_a_key_used_for_something_else_is_refused(client: TestClient) -> None:
    client.post(NEEDS, json=CORROW, headers={"idempotency-key": "two"})
    other = client.post(NEEDS, json={"job": "brask rear"}, headers={"idempotency-key": "two"})
    assert (other.status_code, other.json()["code"]) == (409, "used-otherwise")
    assert entries(client, "brask rear") == []


def test_nothing_is_kept_where_that_is_asked(client: TestClient) -> None:
    assert client.post(NEEDS, params={"keep": "no"}, json={"job": "dromond alignment"}).status_code == 200
    assert entries(client, "dromond alignment") == []


def test_what_is_asked_wrongly_is_told(client: TestClient) -> None:
    unknown = client.post(NEEDS, json={"job": "nobody's"})
    assert (unknown.status_code, unknown.json()["faults"][0]["code"]) == (422, "unknown-name")
    assert unknown.headers["content-type"] == "application/problem+json"
    odd = client.post(NEEDS, json={"job": 1, "odd": 2})
    assert odd.status_code == 422
    assert {tuple(one["at"]) for one in odd.json()["where"]} == {("body", "job"), ("body", "odd")}


def test_a_long_answer_is_a_task_that_is_listened_to(client: TestClient) -> None:
    asked = {"vehicle": "Oskerra Nib", "procedures": ["forward camera board"], "remedies": False}
    begun = client.post("/api/v1/answers/place", json=asked)
    assert begun.status_code == 202
    with client.stream("GET", begun.headers["location"] + "/events") as listened:
        assert listened.headers["content-type"].startswith("text/event-stream")
        told = list(events(listened.iter_lines()))
    assert {name for name, _ in told[:-1]} <= {"progress", "best"}
    name, last = told[-1]
    count = len(last["answer"]["answers"])
    assert last["best"] == f"{sum(one['fits'] is True for one in last['answer']['answers'])} of {count} looked at fit"
    assert (name, last["state"], last["stopped"]) == ("end", "answered", False)
    PlaceAnswer.from_json(last["answer"])
    assert client.get(begun.headers["location"]).json()["answer"] == last["answer"]
    assert client.post("/api/v1/answers/place", json=asked).json()["number"] == last["number"]


def events(lines: Iterator[str]) -> Iterator[tuple[str, dict[str, Any]]]:
    """Server-sent events, as the standard has them."""
    name = ""
    for line in lines:
        key, _, value = line.partition(": ")
        if key == "event":
            name = value
        elif key == "data":
            yield name, json.loads(value)


def test_a_task_is_stopped_and_gives_the_best_so_far(client: TestClient, state: State) -> None:
    begun = threading.Event()

    def answer(own: State, asked: JobAsked, asking: Asking) -> Found:
        asking.tell(Progress(because("finding-moves"), 0, 2, because("fitting-so-far", count=1, of=2)))
        asking.tell(Progress(because("finding-moves"), 1, 2))
        begun.set()
        while not asking.stopped():
            threading.Event().wait(0.01)
        return BY_NAME["needs"].answer(own, asked, asking)

    question = Question("plan", JobAsked, NeedsAnswer, answer, long=True)
    number = ask_long(state, question, JobAsked(job="nib windshield"), "Person A").number
    assert begun.wait(10)
    told = client.get(f"/api/v1/tasks/{number}").json()
    assert (told["state"], told["progress"]["done"], told["progress"]["total"]) == ("working", 1, 2)
    assert (told["best"], told["best_coded"]["code"]) == ("1 of 2 looked at fit", "fitting-so-far")
    told = client.delete(f"/api/v1/tasks/{number}").json()
    assert (told["state"], told["stopped"], told["answer"]["job"]["name"]) == ("answered", True, "nib windshield")
    assert [(one["kind"], one["who"]) for one in entries(client, "nib windshield")] == [("needs", "Person A")]


def test_a_task_that_is_refused_says_why(client: TestClient) -> None:
    told = client.post("/api/v1/answers/place", json={"vehicle": "nobody's"}).json()
    done = client.delete(f"/api/v1/tasks/{told['number']}").json()
    assert (done["state"], done["faults"][0]["code"]) == ("refused", "unknown-name")
    gone = client.get(f"/api/v1/tasks/{'0' * 32}")
    assert (gone.status_code, gone.json()["code"]) == (404, "no-such-task")


def test_a_key_is_of_one_task(client: TestClient) -> None:
    sent = {"idempotency-key": "three"}
    first = client.post("/api/v1/answers/verify", json={}, headers=sent)
    assert client.post("/api/v1/answers/verify", json={}, headers=sent).json()["number"] == first.json()["number"]
    assert client.post("/api/v1/answers/place", json={"vehicle": "x"}, headers=sent).status_code == 409


def test_what_was_answered_is_there_when_the_server_is_begun_again(client: TestClient, state: State) -> None:
    sent = {"idempotency-key": "four"}
    number = client.post("/api/v1/answers/verify", json={}, headers=sent).json()["number"]
    done = client.delete(f"/api/v1/tasks/{number}").json()
    assert done["state"] == "answered"
    with begun_again(state) as after:
        for told in (
            after.get(f"/api/v1/tasks/{number}"),
            after.post("/api/v1/answers/verify", json={}, headers=sent),
            after.delete(f"/api/v1/tasks/{number}"),
        ):
            assert {**told.json(), "progress": None} == {**done, "progress": None}
        with after.stream("GET", f"/api/v1/tasks/{number}/events") as listened:
            ((name, last),) = events(listened.iter_lines())
        assert (name, last["answer"]) == ("end", done["answer"])
        other = after.post("/api/v1/answers/place", json={"vehicle": "x"}, headers=sent)
        assert (other.status_code, other.json()["code"]) == (409, "used-otherwise")


def test_what_was_asked_of_a_server_that_was_killed_is_begun_again(client: TestClient, state: State) -> None:
    """Whoever waits for it is told, and sends the same again: it is one task, under the number that it had."""
    ends, sent = threading.Event(), {"idempotency-key": "five"}
    for number in range(AT_ONCE):
        state.tasks.ask(("busy", number), lambda _: ends.wait(60))
    begun = client.post("/api/v1/answers/verify", json={"against": []}, params={"keep": "no"}, headers=sent).json()
    assert begun["state"] == "waiting"
    with begun_again(state) as after:
        gone = after.get(f"/api/v1/tasks/{begun['number']}/events")
        assert (gone.status_code, gone.json()["code"]) == (404, "no-such-task")
        again = after.post("/api/v1/answers/verify", json={"against": []}, params={"keep": "no"}, headers=sent).json()
        assert again["number"] == begun["number"]
        assert after.delete(f"/api/v1/tasks/{begun['number']}").json()["state"] == "answered"
    ends.set()


@contextmanager
def begun_again(state: State) -> Iterator[TestClient]:
    """Another server of the same shop and store, that knows nothing of the one before."""
    with client_of(make_app(new_state(state.served.folder))) as found:
        yield found


def test_no_file_of_the_server_is_read_for_an_anchor(client: TestClient, state: State) -> None:
    file = state.served.folder / "anchor.txt"
    file.write_text(client.get("/api/v1/journal/anchor").json()["line"], encoding="utf-8")
    told = client.post("/api/v1/answers/verify", json={"against": [str(file)]}).json()
    assert client.delete(f"/api/v1/tasks/{told['number']}").json()["faults"][0]["code"] == "no-anchor"


def test_the_journal_is_read_page_by_page(client: TestClient) -> None:
    for job in ("corrow front", "brask rear"):
        for text in ("first", "second", "third"):
            asked = {"job": job, "what": "note", "text": f"{text} of {job}"}
            sent = {"idempotency-key": f"{job[:5]}{text}"}
            assert client.post("/api/v1/attachments", params=asked, headers=sent).status_code == 201
    whole = entries(client, "brask rear")
    found, address = [], "/api/v1/journal/entries?job=brask+rear&limit=2"
    while address:
        page = client.get(address)
        found += page.json()["entries"]
        address = page.links["next"]["url"] if "next" in page.links else ""
    assert found == whole
    assert len(whole) == 3
    first = client.get("/api/v1/journal", params={"limit": 1})
    second = client.get(first.links["next"]["url"])
    assert [one["job"] for page in (first, second) for one in page.json()["jobs"]] == ["brask rear", "corrow front"]
    looked = client.get("/api/v1/journal", params={"words": ["brask"], "from": "2020-01-01"})
    assert [one["job"] for one in looked.json()["jobs"]] == ["brask rear"]
    assert client.get("/api/v1/journal", params={"from": "soon"}).status_code == 422


def test_a_record_is_handed_out(client: TestClient) -> None:
    client.post(NEEDS, json=CORROW)
    told = client.get("/api/v1/journal/export", params={"job": "corrow front"})
    assert told.content.startswith(b"PK")
    assert told.headers["content-disposition"] == 'attachment; filename="record-corrow-front.zip"'
    assert client.get("/api/v1/journal/record", params={"job": "corrow front"}).json()["whole"] is True
    for job in ("../../etc/passwd", "..", "a\r\nx: y"):
        assert client.get("/api/v1/journal/export", params={"job": job}).status_code == 422


def test_who_asks_too_often_waits(tmp_path_factory: pytest.TempPathFactory) -> None:
    now = [0.0]
    buckets = Buckets(rate=2.0, burst=3.0, clock=lambda: now[0])
    assert [buckets.wait("a") for _ in range(4)] == [0.0, 0.0, 0.0, 0.5]
    assert buckets.wait("b") == 0.0
    now[0] = 0.5
    assert [buckets.wait("a") for _ in range(2)] == [0.0, 0.5]
    own = new_state(tmp_path_factory.mktemp("limited") / "shop")
    own.limits = Limits(addresses=Buckets(0.4, 2.0, clock=lambda: now[0]))
    with client_of(make_app(own)) as asked:
        told = [asked.get("/api/v1/health") for _ in range(3)]
        assert [one.status_code for one in told] == [200, 200, 429]
        assert (told[2].headers["retry-after"], told[2].json()["code"]) == ("3", "slow-down")
        now[0] = 3.5
        assert asked.get("/api/v1/health").status_code == 200


def test_a_task_that_nobody_took_up_waits() -> None:
    assert not Task("any").at_work

"""Documents by the API: read, saved by whoever has seen the latest version, removed; nothing faulty is kept."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest
from fastapi.testclient import TestClient

from standtrue.web.app import make_app
from web_fixtures import client_of, new_state

JOBS = "/api/v1/documents/job/"
CARS = "/api/v1/documents/vehicle/"
CAR = CARS + "Tavlin Corrow"
"""What no test changes; each that changes a car has its own."""


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    with client_of(make_app(new_state(tmp_path_factory.mktemp("documents") / "shop"))) as found:
        yield found


def test_what_is_saved_is_read_again_and_comments_stay(client: TestClient) -> None:
    car = CARS + "Merrivo Ondal"
    written = client.get(car, params={"as": "file"})
    assert written.headers["content-type"] == "application/toml"
    content = written.content.replace(b"units", b"# as taped\nunits", 1)
    first = client.put(
        car, content=content, headers={"content-type": "application/toml", "if-match": written.headers["etag"]}
    )
    assert (first.status_code, first.json()["version"]) == (200, 2)
    said = client.get(car).json()["content"]
    second = client.put(car, json={**said, "trim": "touring"}, headers={"if-match": first.headers["etag"]})
    assert second.status_code == 200
    now = client.get(car, params={"as": "file"})
    assert b"# as taped\nunits" in now.content
    assert client.get(car).json()["content"]["trim"] == "touring"
    assert client.get(car, params={"version": 2}).content == content
    kept = client.get("/api/v1/journal/entries").json()["entries"][-1]
    assert (kept["kind"], kept["who"], len(kept["told"])) == ("saved", "technician A", 2)
    verified = client.post("/api/v1/answers/verify", json={}).json()["number"]
    assert client.delete(f"/api/v1/tasks/{verified}").json()["answer"]["wrong"] == []
    versions = client.get("/api/v1/history/vehicle/Merrivo Ondal").json()["versions"]
    assert [(one["version"], one["saved_by"]) for one in versions] == [(n, "technician A") for n in (1, 2, 3)]


def test_who_saw_an_older_version_is_shown_both(client: TestClient) -> None:
    car = CARS + "Merrivo Sefra"
    read = client.get(car)
    said, tag = read.json()["content"], read.headers["etag"]
    assert client.put(car, json={**said, "trim": "first"}, headers={"if-match": tag}).status_code == 200
    stale = client.put(car, json={**said, "trim": "second"}, headers={"if-match": tag})
    assert (stale.status_code, stale.json()["code"]) == (412, "stale")
    assert json.loads(stale.json()["yours"])["trim"] == "second"
    assert 'trim = "first"' in stale.json()["theirs"]["text"]
    assert (stale.json()["theirs"]["version"], stale.headers["etag"]) == (2, tag.replace(".1", ".2"))
    assert client.delete(car, headers={"if-match": tag}).status_code == 412
    assert client.get(car).json()["content"]["trim"] == "first"


@pytest.mark.parametrize("match", [{}, {"if-match": "*"}, {"if-none-match": '"1.1"'}])
def test_who_says_no_version_is_asked_for_it(client: TestClient, match: dict[str, str]) -> None:
    said = client.get(CAR).json()["content"]
    assert client.put(CAR, json=said, headers=match).status_code == 428
    assert client.delete(CAR, headers=match).status_code == 428
    assert client.put(CAR, json=said, headers={"if-none-match": "*"}).status_code == 412


def test_a_new_document_is_made_once_and_removed(client: TestClient) -> None:
    said = {**client.get(JOBS + "nib windshield").json()["content"], "name": "another one"}
    made = client.put(JOBS + "another one", json=said, headers={"if-none-match": "*"})
    assert (made.status_code, made.json()["path"]) == (201, "job-another-one.toml")
    assert client.put(JOBS + "another one", json=said, headers={"if-none-match": "*"}).status_code == 412
    assert "another one" in [job["name"] for job in client.get("/api/v1/jobs").json()["jobs"]]
    gone = client.delete(JOBS + "another one", headers={"if-match": made.headers["etag"]})
    assert gone.status_code == 200
    assert client.get(JOBS + "another one").status_code == 404
    again = client.put(JOBS + "another one", json=said, headers={"if-none-match": "*"})
    assert (again.status_code, again.json()["version"]) == (201, 3)


def test_every_fault_is_told_and_nothing_kept(client: TestClient) -> None:
    read = client.get(JOBS + "nib windshield")
    wrong = {**read.json()["content"], "vehicle": "nobody's", "odd": 1, "arrives": "yesterday"}
    told = client.put(JOBS + "nib windshield", json=wrong, headers={"if-match": read.headers["etag"]})
    assert told.status_code == 422
    faults = told.json()["faults"]
    assert {one["field"] for one in faults} >= {"odd", "arrives"}
    assert all(one["what"] and one["remedy"] for one in faults)
    unknown = {**read.json()["content"], "vehicle": "nobody's"}
    told = client.put(JOBS + "nib windshield", json=unknown, headers={"if-match": read.headers["etag"]})
    assert [one["code"] for one in told.json()["faults"]] == ["unknown-reference"]
    assert client.get(JOBS + "nib windshield").headers["etag"] == read.headers["etag"]


def test_what_another_document_needs_is_not_removed(client: TestClient) -> None:
    refused = client.delete(CAR, headers={"if-match": client.get(CAR).headers["etag"]})
    assert refused.status_code == 422
    assert "job-corrow-front.toml" in {one["file"] for one in refused.json()["faults"]}


def test_a_document_is_saved_under_its_own_name(client: TestClient) -> None:
    read = client.get(CAR)
    other = {**read.json()["content"], "name": "another"}
    refused = client.put(CAR, json=other, headers={"if-match": read.headers["etag"]})
    assert [one["code"] for one in refused.json()["faults"]] == ["another-document"]


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=a"])
def test_only_documents_are_taken(client: TestClient, kind: str) -> None:
    sent = {"content-type": kind, "if-match": client.get(CAR).headers["etag"]}
    assert client.put(CAR, content=b"a=b", headers=sent).status_code == 415


@pytest.mark.parametrize(
    "body",
    [
        b"{" * 5000,
        b'{"kind": ' + b"[" * 5000,
        b"a = " + b"[" * 5000,
        b"\xff\xfe{",
        b'{"kind": "job", "kind": "job"}',
        b"",
    ],
)
@pytest.mark.parametrize("kind", ["application/json", "application/toml"])
def test_no_text_breaks_the_reading(client: TestClient, body: bytes, kind: str) -> None:
    sent = {"content-type": kind, "if-match": client.get(CAR).headers["etag"]}
    told = client.put(CAR, content=body, headers=sent)
    assert told.status_code == 422
    assert told.json()["faults"]


def test_a_list_is_read_page_by_page(client: TestClient) -> None:
    whole = [(one["kind"], one["name"]) for one in client.get("/api/v1/documents").json()["documents"]]
    found, address = [], "/api/v1/documents?limit=20"
    while address:
        page = client.get(address)
        found += [(one["kind"], one["name"]) for one in page.json()["documents"]]
        address = page.links["next"]["url"] if "next" in page.links else ""
    assert found == whole == sorted(whole)
    assert len(found) >= 47


def test_what_did_not_change_is_not_sent_again(client: TestClient) -> None:
    tag = client.get(CAR).headers["etag"]
    again = client.get(CAR, headers={"if-none-match": tag})
    assert (again.status_code, again.content) == (304, b"")


@pytest.mark.parametrize("name", ["..%2f..%2fetc%2fpasswd", "../../etc/passwd", "%2e%2e/site", "a%00b", "\u202e"])
def test_no_name_leads_out(client: TestClient, name: str) -> None:
    assert client.get(f"/api/v1/documents/site/{name}").status_code == 404
    said = {"kind": "mix", "schema": 1, "name": name, "vehicles": [{"name": "Tavlin Corrow", "share": 1}]}
    made = client.put(f"/api/v1/documents/mix/{name}", json=said, headers={"if-none-match": "*"})
    if made.status_code == 201:
        assert "/" not in made.json()["path"]
        assert ".." not in made.json()["path"]

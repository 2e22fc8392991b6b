"""SQL and HTML in every text field of what a shop writes: each page shows it as it is, and runs nothing."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any
from urllib.parse import quote

import pytest
from fastapi.testclient import TestClient
from playwright.sync_api import Browser

from standtrue.web.app import make_app
from test_roles import routes_of
from web_fixtures import Server, client_of, serving, visiting

HOSTILE = """"><img src=x onerror="window.ran=1"><b>{{7*7}}'; DROP TABLE entry; --"""
SCRIPT = "<script>window.ran=1</script>" + HOSTILE
"""The same with what a document's name may not hold."""

COPIED = {
    "job": ("corrow front", ("name",)),
    "vehicle": ("Oskerra Nib", ()),
    "procedure": ("lidar wall", ()),
    "site": ("Tanbark Row", ()),
    "survey": ("hall floor, winter", ()),
}
"""Of each kind one document, all texts of which are made hostile; and what of it is its own name."""

KEPT = {"kind", "schema", "units", "demonstration"}


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with serving(tmp_path_factory.mktemp("hostile") / "shop") as found:
        yield found


@pytest.fixture(scope="module")
def client(server: Server) -> TestClient:
    """Asks the same shop beside the server."""
    return client_of(make_app(server.state))


@pytest.fixture(scope="module")
def told(client: TestClient) -> dict[str, int]:
    """Of each kind how many texts are hostile now."""
    counts = {kind: spoil(client, kind, name, fresh) for kind, (name, fresh) in COPIED.items()}
    notes = {"job": HOSTILE, "what": "file", "text": SCRIPT, "name": HOSTILE.replace("/", "")}
    kept = client.post("/api/v1/attachments", params=notes, content=b"x", headers={"idempotency-key": "hostile"})
    assert kept.status_code == 201
    client.post("/api/v1/answers/needs", json={"job": HOSTILE})
    return counts


def spoil(client: TestClient, kind: str, name: str, fresh: tuple[str, ...]) -> int:
    """Make every text of a document hostile that may be any text; how many."""
    read = client.get(f"/api/v1/documents/{kind}/{quote(name)}")
    content = read.json()["content"]
    left = [path for path in texts(content, ()) if path[0] not in KEPT and (path != ("name",) or "name" in fresh)]
    match = {"if-none-match": "*"} if fresh else {"if-match": read.headers["etag"]}
    while left:
        said, called = content, HOSTILE if fresh else name
        for path in left:
            said = with_text(said, path, HOSTILE if path[-1] == "name" else SCRIPT)
        answer = client.put(f"/api/v1/documents/{kind}/{quote(called, safe='')}", json=said, headers=match)
        if answer.status_code in (200, 201):
            return len(left)
        wrong = {fault["field"] for fault in answer.json()["faults"]}
        kept = [path for path in left if not any(shown(path).startswith(field) for field in wrong)]
        # A name inside that something else calls stays: the fault stands there, not at the name.
        left = kept if len(kept) < len(left) else [path for path in left if path[-1] != "name"]
    return 0


def texts(at: Any, path: tuple[str | int, ...]) -> Iterator[tuple[str | int, ...]]:
    if isinstance(at, str):
        yield path
    for key, part in at.items() if isinstance(at, dict) else enumerate(at) if isinstance(at, list) else ():
        yield from texts(part, (*path, key))


def with_text(at: Any, path: tuple[str | int, ...], text: str) -> Any:
    if not path:
        return text
    if isinstance(at, dict):
        return {key: with_text(part, path[1:], text) if key == path[0] else part for key, part in at.items()}
    return [with_text(part, path[1:], text) if key == path[0] else part for key, part in enumerate(at)]


def shown(path: tuple[str | int, ...]) -> str:
    """A path as faults tell it."""
    return "".join(f"[{part}]" if isinstance(part, int) else f".{part}" for part in path)[1:]


def test_hostile_texts_are_taken_as_texts(told: dict[str, int], client: TestClient) -> None:
    assert all(told.values()), told
    number = client.post("/api/v1/answers/verify", json={}).json()["number"]
    assert client.delete(f"/api/v1/tasks/{number}").json()["answer"]["wrong"] == []
    found = client.get("/api/v1/journal", params={"words": ["drop table"]}).json()["jobs"]
    assert [one["job"] for one in found] == [HOSTILE]


PARTS = {"job": HOSTILE, "name": HOSTILE, "kind": "job", "site": "Tanbark Row"}
SEEN = {"/records", "/records/{job:path}", "/documents/{kind}/{name:path}"}
"""Pages that show at least the job's name."""


@pytest.mark.usefixtures("told")
def test_every_page_shows_them_and_runs_nothing(server: Server, browser: Browser) -> None:
    pages = sorted(route[4:] for route in routes_of(make_app(server.state)) if route.startswith("GET /"))
    pages = [path for path in pages if not re.match(r"/(api|static|reader|help)|.*\.(svg|pdf|zip|json)$", path)]
    seen = set()
    with visiting(browser, server.address) as visit:
        visit.page.on("dialog", lambda dialog: visit.faults.append(f"dialog: {dialog.message}"))
        for path in pages:
            filled = re.sub(r"\{(\w+)(:path)?\}", lambda part: quote(PARTS.get(part[1], "1"), safe=""), path)
            answer = visit.page.goto(f"{server.address}{filled}")
            assert answer is not None
            assert answer.status < 500, path
            assert visit.page.evaluate("window.ran") is None, path
            assert visit.page.locator("img[src='x']").count() == 0, path
            if HOSTILE in visit.page.locator("body").inner_text():
                seen.add(path)
        visit.faults[:] = [fault for fault in visit.faults if "404" not in fault and "422" not in fault]
    assert seen >= SEEN

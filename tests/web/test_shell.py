"""What stands around every page, and what every request passes."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from fastapi.testclient import TestClient
from playwright.sync_api import Browser

from standtrue.web.app import make_app
from standtrue.web.guard import MOST_BYTES
from web_fixtures import Server, client_of, new_state, serving, visiting


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with serving(tmp_path_factory.mktemp("served") / "shop") as found:
        yield found


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    with client_of(make_app(new_state(tmp_path_factory.mktemp("client") / "shop"))) as found:
        yield found


@pytest.mark.parametrize("width", [360, 1280])
def test_a_page_is_clean(server: Server, browser: Browser, width: int) -> None:
    with visiting(browser, server.address, (width, 800)) as visit:
        visit.go("/")
        assert visit.page.locator("h1").inner_text() == "What waits for whom today?"
        assert visit.axe() == []
        assert visit.sideways == 0


def test_a_reader_chooses_language_and_comes_back(server: Server, browser: Browser) -> None:
    with visiting(browser, server.address) as visit:
        visit.go("/")
        visit.page.get_by_role("link", name="Español").click()
        assert visit.page.locator("html").get_attribute("lang") == "es"
        assert visit.page.locator("h1").inner_text() == "¿Qué espera a quién hoy?"


def test_another_name_is_refused(client: TestClient) -> None:
    refused = client.get("/", headers={"host": "elsewhere.example"})
    assert (refused.status_code, refused.json()["code"]) == (421, "wrong-host")


@pytest.mark.parametrize(
    "sent", [{"sec-fetch-site": "cross-site"}, {"origin": "http://elsewhere.example"}, {"origin": "null"}]
)
def test_another_site_is_refused(client: TestClient, sent: dict[str, str]) -> None:
    refused = client.post("/", headers=sent)
    assert (refused.status_code, refused.json()["code"]) == (403, "cross-site")


def test_too_much_is_refused_before_it_is_read(client: TestClient) -> None:
    refused = client.post("/", headers={"content-length": str(MOST_BYTES + 1)})
    assert refused.status_code == 413


def test_no_inline_script_runs(client: TestClient) -> None:
    policy = client.get("/").headers["content-security-policy"]
    assert "script-src 'self';" in policy
    assert "'unsafe-inline'" not in policy.replace("style-src-attr 'unsafe-inline'", "")


@pytest.mark.parametrize("path", ["/static/x/../../pyproject.toml", "/static/x/%2e%2e%2fapp.py", "/nothing"])
def test_what_is_not_there_is_told(client: TestClient, path: str) -> None:
    told = client.get(path)
    assert (told.status_code, told.headers["content-type"]) == (404, "application/problem+json")


@pytest.mark.parametrize("back", ["//elsewhere.example", "/\\elsewhere.example", "https://elsewhere.example"])
def test_choosing_leads_nowhere_else(client: TestClient, back: str) -> None:
    led = client.get("/reader/es", params={"back": back}, follow_redirects=False)
    assert led.headers["location"] == "/"


def test_a_person_is_told_on_a_page(client: TestClient) -> None:
    told = client.get("/nothing", headers={"accept": "text/html,*/*", "cookie": "reader=metric.en"})
    assert told.status_code == 404
    assert "<h1>There is nothing at this address.</h1>" in told.text
    spanish = client.get("/records", params={"first": "x"}, headers={"accept": "text/html", "cookie": "reader=us.es"})
    assert spanish.status_code == 422
    assert "notice stop" in spanish.text
    assert client.get("/api/v1/nothing", headers={"accept": "text/html"}).json()["code"] == "not-found"

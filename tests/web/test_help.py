"""The documentation served with the app: every page of it, its links, and nothing beside it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from standtrue.show.pages.help import documentation, found, help_page, slug
from standtrue.web.app import make_app
from standtrue.web.pages import HELP
from web_fixtures import client_of, new_state

DOCS = Path(str(documentation()))


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    with client_of(make_app(new_state(tmp_path_factory.mktemp("help") / "shop"))) as served:
        yield served


@pytest.mark.parametrize(
    "path", sorted(str(p.relative_to(DOCS)) for p in DOCS.rglob("*.md") if p.parent.name != "reference")
)
def test_every_page_is_served_and_its_links_lead_somewhere(client: TestClient, path: str) -> None:
    text = client.get(f"/help/{path}").text
    links = re.findall(r'(?:href|src)="([^"#:?]+)"', text.partition("<article")[2].partition("</article>")[0])
    inside = [one for one in links if (DOCS / path).parent.joinpath(one).resolve().is_relative_to(DOCS.resolve())]
    gone = [one for one in inside if client.get(f"/help/{path}/../{one}").status_code != 200]
    assert gone == []


@pytest.mark.parametrize("page", sorted(set(HELP.values())))
def test_each_sheet_has_its_how_to(page: str) -> None:
    assert found(page) is not None


@pytest.mark.parametrize(
    "path", ["../pyproject.toml", "%2e%2e/pyproject.toml", "..%2fpyproject.toml", "how-to/../../LICENSE", "/etc/passwd"]
)
def test_nothing_beside_it_is_served(client: TestClient, path: str) -> None:
    assert client.get(f"/help/{path}").status_code == 404
    assert found(path) is None


def test_html_in_a_page_is_text() -> None:
    assert "<script>" not in help_page("# A\n\n<script>alert(1)</script>").body


def test_a_heading_has_the_address_that_links_use() -> None:
    """As GitHub Flavored Markdown's renderers make it: lower case, hyphens for spaces, no other signs."""
    assert slug("Where the car goes, and why?") == "where-the-car-goes-and-why"

"""Photos: told by their bytes, of no more pixels than they say and a tablet can show; given back as files that run
nowhere; not one byte of them read from whoever may not send them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from picture_makers import jpeg, png, webp
from standtrue.web.app import make_app
from standtrue.web.state import State
from standtrue.work.keep.kinds import is_photo
from test_api_files import FILES, keep, run
from web_fixtures import client_of, new_state, posted

PAGE = b"<html><script>alert(1)</script></html>"


@pytest.fixture(scope="module")
def state(tmp_path_factory: pytest.TempPathFactory) -> State:
    return new_state(tmp_path_factory.mktemp("photos") / "shop")


@pytest.fixture(scope="module")
def client(state: State) -> Iterator[TestClient]:
    with client_of(make_app(state)) as found:
        yield found


@pytest.mark.parametrize(
    ("content", "taken"),
    [
        (png(4000, 3000), True),
        (png(60_000, 60_000), False),
        (png(0, 10), False),
        (png(10, 10)[:20], False),
        (jpeg((4000, 3000)), True),
        (jpeg((4000, 3000), thumbnail=jpeg((60_000, 60_000))), True),
        (jpeg((60_000, 60_000)), False),
        (jpeg((10, 10), (60_000, 60_000)), False),
        (jpeg(), False),
        (jpeg((10, 0)), False),
        (b"\xff\xd8" + b"\xff" * 100_000, False),
        (b"\xff\xd8\xff\xe0\0\0", False),
        (webp("VP8X", 4000, 3000), True),
        (webp("VP8 ", 4000, 3000), True),
        (webp("VP8L", 4000, 3000), True),
        (webp("VP8X", 60_000, 60_000), False),
        (webp("VP8L", 16_384, 16_384), False),
        (webp("VP8X", 10, 10) + webp("VP8 ", 16_000, 16_000)[12:], False),
        (b"RIFF\0\0\0\0WAVEfmt ", False),
        (PAGE, False),
        (b"%PDF-1.7", False),
    ],
)
def test_a_photo_says_how_large_it_is_before_anybody_unpacks_it(tmp_path: Path, content: bytes, taken: bool) -> None:
    file = tmp_path / "photo"
    file.write_bytes(content)
    assert is_photo(file) is taken


@pytest.mark.parametrize(
    ("picture", "kind", "ending"),
    [
        (png(1, 1), "image/png", "png"),
        (jpeg((1, 1)), "image/jpeg", "jpg"),
        (webp("VP8L", 1, 1), "image/webp", "webp"),
        (b"%PDF-1.7 /OpenAction << /S /JavaScript >>", "application/pdf", "pdf"),
    ],
    ids=["png", "jpeg", "webp", "pdf"],
)
def test_a_file_that_is_a_picture_and_a_page_is_given_as_a_picture(
    client: TestClient, picture: bytes, kind: str, ending: str
) -> None:
    """Whatever of it a browser might run stands behind a type that it may not doubt, a sandbox, and `attachment`."""
    content = picture + PAGE
    kept = keep(client, content, f"both-{ending}", name="a.html").json()["files"][0]["digest"]
    told = client.get(f"{FILES}/{kept}", headers={"accept": "text/html"})
    assert told.content == content
    assert told.headers["content-type"] == kind
    assert told.headers["content-disposition"] == f'attachment; filename="{kept[:12]}.{ending}"'
    assert told.headers["x-content-type-options"] == "nosniff"
    assert told.headers["content-security-policy"] == "default-src 'none'; sandbox"
    assert told.headers["cross-origin-resource-policy"] == "same-origin"


def test_nothing_is_read_from_whoever_may_not_send_it(state: State) -> None:
    """Forms with files are read by a library before a route is asked whether it may be used; a photo's is not."""
    app, asked, told = make_app(state), 0, list[dict[str, Any]]()
    state.sign_in = True

    async def receive() -> dict[str, Any]:
        nonlocal asked
        asked += 1
        return {"type": "http.request", "body": bytes(1_000_000), "more_body": True}

    async def send(message: Any) -> None:
        told.append(dict(message))

    scope = posted("/files/car/1/photo", {"content-type": "multipart/form-data; boundary=x"})
    try:
        run(app, scope, receive, send)
    finally:
        state.sign_in = False
    assert (told[0]["status"], asked) == (401, 0)

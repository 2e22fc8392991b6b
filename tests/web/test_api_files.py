"""Files by the API: whole and in pieces, once each, given back as files that run nowhere; too much is refused early."""

from __future__ import annotations

import gzip
import io
import time
import tracemalloc
import zipfile
import zlib
from collections.abc import AsyncIterator, Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import anyio
import pytest
from fastapi.testclient import TestClient

from picture_makers import png
from standtrue.store.database import PATIENCE_S
from standtrue.web.app import make_app
from standtrue.web.guard import MOST_FILE_BYTES
from standtrue.web.problems import RefusedError
from standtrue.web.state import State
from standtrue.web.uploads import KEPT_S, MOST_BYTES, MOST_OPEN, Uploads
from web_fixtures import client_of, new_state, posted

FILES, JOB = "/api/v1/attachments", "corrow front"


@pytest.fixture(scope="module")
def state(tmp_path_factory: pytest.TempPathFactory) -> State:
    return new_state(tmp_path_factory.mktemp("files") / "shop")


@pytest.fixture(scope="module")
def client(state: State) -> Iterator[TestClient]:
    with client_of(make_app(state)) as found:
        yield found


def keep(client: TestClient, content: bytes, key: str, **asked: str) -> Any:
    told = {"job": JOB, "what": "file", **asked}
    return client.post(FILES, params=told, content=content, headers={"idempotency-key": key})


def run(what: Callable[..., Any], *given: Any) -> None:
    """Run what is asynchronous, in a thread of its own: a browser of another test may be at work in this one."""
    with ThreadPoolExecutor(1) as alone:
        alone.submit(anyio.run, what, *given).result()


def test_a_file_comes_back_byte_for_byte_and_is_kept_once(client: TestClient) -> None:
    content = bytes(range(256)) * 5000
    first = keep(client, content, "whole", name="scan before.bin", text="brought by hand")
    again = keep(client, content, "whole", name="scan before.bin", text="brought by hand")
    assert (first.status_code, again.content) == (201, first.content)
    assert keep(client, b"other", "whole", name="scan before.bin", text="brought by hand").status_code == 409
    (told,) = first.json()["files"]
    assert (told["name"], told["size"]) == ("scan before.bin", len(content))
    assert client.get(f"{FILES}/{told['digest']}").content == content
    kept = client.get("/api/v1/journal/entries", params={"job": JOB}).json()["entries"]
    assert [one["kind"] for one in kept] == ["keep"]
    assert keep(client, content, "").status_code == 422
    assert client.post(FILES, params={"job": JOB, "what": "file"}, content=b"x").status_code == 428


def test_a_file_in_pieces_goes_on_where_it_broke_off(client: TestClient, state: State) -> None:
    whole, address = b"0123456789" * 1000, "/api/v1/uploads/a-tablet-1"
    assert client.put(address, params={"size": 10_000}, content=whole[:4000]).json()["received"] == 4000
    assert keep(client, b"", "pieces", upload="a-tablet-1").json()["received"] == 4000
    twice = client.put(address, params={"size": 10_000, "offset": 0}, content=whole[:4000])
    assert (twice.status_code, twice.json()["received"]) == (409, 4000)
    assert client.put(address, params={"size": 9_999, "offset": 4000}, content=whole[4000:]).status_code == 409
    over = client.put(address, params={"size": 10_000, "offset": 4000}, content=whole[4000:] + b"more")
    assert over.status_code == 413
    received = client.get(address).json()["received"]
    client.put(address, params={"size": 10_000, "offset": received}, content=whole[received:])
    told = keep(client, b"", "pieces", upload="a-tablet-1", name="photo.bin")
    assert told.status_code == 201
    assert client.get(f"{FILES}/{told.json()['files'][0]['digest']}").content == whole
    assert client.get(address).status_code == 404
    assert keep(client, b"", "pieces", upload="a-tablet-1", name="photo.bin").content == told.content
    folder = state.uploads._folder
    assert folder is not None
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize(
    "content",
    [
        b"<html><script>alert(1)</script>",
        b'<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"/>',
        b"GIF89a<script>alert(1)</script>",
        b"\x00\x00 <!DOCTYPE html><script>alert(1)</script>",
    ],
)
def test_what_a_browser_might_run_is_given_as_bytes(client: TestClient, content: bytes) -> None:
    kept = keep(client, content, f"run{hash(content)}", name="picture.svg").json()["files"][0]["digest"]
    told = client.get(f"{FILES}/{kept}")
    assert told.headers["content-type"] == "application/octet-stream"
    assert told.headers["content-disposition"] == f'attachment; filename="{kept[:12]}.bin"'
    assert told.headers["x-content-type-options"] == "nosniff"
    assert told.headers["content-security-policy"] == "default-src 'none'; sandbox"
    assert keep(client, content, f"photo{hash(content)}", what="photo").status_code == 415


def test_a_photo_is_one_by_its_bytes(client: TestClient) -> None:
    picture = png(1, 1, zlib.compress(b"\0\0"))
    kept = keep(client, picture, "photo", what="photo", name="a.html").json()["files"][0]["digest"]
    told = client.get(f"{FILES}/{kept}")
    assert (told.headers["content-type"], told.content) == ("image/png", picture)


@pytest.mark.parametrize("name", ["../../up.bin", "a/b", "a\\b", "a\0b", "a\r\nSet-Cookie: x", "x" * 121])
def test_no_name_of_a_file_leads_out(client: TestClient, name: str) -> None:
    assert keep(client, b"x", "name", name=name).status_code == 422


@pytest.mark.parametrize("name", ["..", "."])
def test_a_name_that_is_a_folder_is_not_used(client: TestClient, name: str) -> None:
    assert keep(client, b"x", f"dots{name}", name=name).json()["files"][0]["name"] == "file.bin"


@pytest.mark.parametrize("digest", ["..%2f..%2fstandtrue.db", "../standtrue.db", "0" * 63, "0" * 63 + "g", "%00" * 64])
def test_no_digest_leads_out(client: TestClient, digest: str) -> None:
    assert client.get(f"{FILES}/{digest}").status_code in (404, 422)


def test_a_picture_of_a_billion_pixels_is_no_photo(client: TestClient) -> None:
    packed = zlib.compress(bytes(10_000_000), 9)
    assert keep(client, png(60_000, 60_000, packed), "bomb", what="photo").status_code == 415


def test_what_unpacks_to_much_is_never_unpacked(client: TestClient) -> None:
    """A gzip body is refused or kept as it is; a zip is bytes; a photo that says less than it holds is not printed."""
    zeros = bytes(50_000_000)
    packed, inside = gzip.compress(zeros, 9), io.BytesIO()
    with zipfile.ZipFile(inside, "w", zipfile.ZIP_DEFLATED) as made:
        made.writestr("record.json", zeros)
    lying = png(10, 10, zlib.compress(zeros, 9))
    del zeros
    tracemalloc.start()
    try:
        sent = {"content-encoding": "gzip", "content-type": "application/json"}
        asked = client.post("/api/v1/answers/needs", content=packed, headers=sent)
        sent |= {"if-match": '"1.1"'}
        document = client.put("/api/v1/documents/site/Tanbark Row", content=packed, headers=sent)
        assert (asked.status_code, document.status_code) == (415, 415)
        assert keep(client, inside.getvalue(), "zip").status_code == 201
        assert keep(client, lying, "lying", what="photo").status_code == 201
        made_pdf = client.get("/api/v1/journal/record", params={"job": JOB, "as": "pdf"})
        assert made_pdf.status_code == 200
        assert tracemalloc.get_traced_memory()[1] < 30_000_000
    finally:
        tracemalloc.stop()


HUGE = 200_000_000


def test_too_much_is_refused_by_what_it_says(client: TestClient) -> None:
    for path in (FILES, "/api/v1/uploads/a-tablet-2"):
        told = client.request("PUT" if "uploads" in path else "POST", path, headers={"content-length": str(HUGE)})
        assert (told.status_code, told.json()["code"]) == (413, "too-large")
    told = client.put("/api/v1/uploads/a-tablet-2", params={"size": MOST_BYTES + 1}, content=b"x")
    assert told.status_code == 413
    wrong = client.put("/api/v1/uploads/a-tablet-2", content=b"", headers={"content-length": "-1"})
    assert wrong.status_code == 400


def test_too_much_is_refused_while_it_comes(state: State) -> None:
    """A body without a length is cut off as soon as it is too long: the rest is never asked for."""
    app, sent, told = make_app(state), 0, list[dict[str, Any]]()
    piece = bytes(1_000_000)

    async def receive() -> dict[str, Any]:
        nonlocal sent
        sent += len(piece)
        return {"type": "http.request", "body": piece, "more_body": sent < HUGE}

    async def send(message: Any) -> None:
        told.append(dict(message))

    scope = posted(FILES, {"idempotency-key": "stream"}, "job=corrow+front&what=file")
    run(app, scope, receive, send)
    assert told[0]["status"] == 413
    assert sent <= MOST_FILE_BYTES + 2 * len(piece)
    folder = state.uploads._folder
    assert folder is None or list(folder.iterdir()) == []


def test_a_file_that_breaks_off_leaves_nothing_behind() -> None:
    now = [0.0]
    uploads = Uploads(clock=lambda: now[0])

    async def broken() -> AsyncIterator[bytes]:
        yield b"abc"
        raise ConnectionError

    upload = uploads.begin("a", "key", 10)
    with pytest.raises(ConnectionError):
        run(uploads.take, upload, 0, broken())
    assert (upload.received, upload.busy, upload.file.read_bytes()) == (3, False, b"abc")
    for number in range(MOST_OPEN - 1):
        uploads.begin("a", f"more {number}", 10)
    with pytest.raises(RefusedError):
        uploads.begin("a", "one too many", 10)
    uploads.begin("b", "somebody else's", 10)
    now[0] = KEPT_S + 1
    uploads.begin("a", "after an hour", 10)
    assert not upload.file.exists()
    uploads.close()


def test_one_piece_at_a_time(client: TestClient, state: State) -> None:
    upload = state.uploads.begin("technician A", "a-tablet-3", 10)
    upload.busy = True
    told = client.put("/api/v1/uploads/a-tablet-3", params={"size": 10}, content=b"x")
    assert told.status_code == 409
    upload.busy = False
    assert client.delete("/api/v1/uploads/a-tablet-3").status_code == 204


def test_whoever_writes_and_reads_meanwhile_waits_for_nobodys_connection(state: State) -> None:
    """More writers than the store has connections, each of which reads while it writes: none waits for ever."""

    def write(_: int) -> int:
        with state.served.store.writing():
            return state.served.read().revision

    begun = time.monotonic()
    with ThreadPoolExecutor(40) as pool:
        assert len(set(pool.map(write, range(80)))) == 1
    assert time.monotonic() - begun < PATIENCE_S

"""Files that are brought to a job: sent whole or in pieces, kept as an entry, given back as files and never shown."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path
from typing import Annotated, Any

from attrs import frozen
from fastapi import Path as InPath
from fastapi import Query, Request, Response
from fastapi.concurrency import run_in_threadpool

from standtrue.show.answers.keep import KeepAnswer, of_brought
from standtrue.show.answers.kept import said_of
from standtrue.show.answers.served import UploadAnswer
from standtrue.web.api.once import do_once
from standtrue.web.api.shared import Key, Name, answered, as_bytes, by_of, new_router, responses, told
from standtrue.web.problems import RefusedError
from standtrue.web.roles import require
from standtrue.web.state import state_of
from standtrue.web.uploads import MOST_BYTES, Upload, digest_of
from standtrue.work.keep.files import What, keep_files_in
from standtrue.work.keep.kinds import FIRST, is_photo, kind_of
from standtrue.work.records.gathering import read_whole

router = new_router("attachments")

FileName = Annotated[str, Query(pattern=r"^[^/\\\x00-\x1f\x7f]{1,120}$", description="What the file is called.")]
UploadKey = Annotated[str, InPath(pattern="^[A-Za-z0-9_-]{8,64}$", description="Made by whoever sends, one a file.")]
Digest = Annotated[str, InPath(pattern="^[0-9a-f]{64}$")]
_ANY = {"content": {"application/octet-stream": {"schema": {"type": "string", "format": "binary"}}}}
_TAKES_FILE: dict[str, Any] = {"requestBody": {"required": False, **_ANY}}
_REFUSED = ("too-large", "cross-site", "another-kind", "used-otherwise", "say-which-request", "not-found")

MOST_NAME = 200
"""A longer name, in bytes, is one that many disks do not take."""

INERT = {
    "X-Content-Type-Options": "nosniff",
    "Content-Security-Policy": "default-src 'none'; sandbox",
    "Cache-Control": "private, no-cache",
}
"""A file is somebody else's: a browser saves it, or shows it as a picture in a page, and runs nothing in it."""


@router.post(
    "/attachments",
    responses=answered(KeepAnswer, *_REFUSED, status=201),
    status_code=201,
    openapi_extra=_TAKES_FILE,
    dependencies=[require("technician")],
)
async def keep_attachment(
    request: Request,
    job: Name,
    what: What,
    name: FileName | None = None,
    text: Annotated[str, Query(max_length=2000)] = "",
    upload: Annotated[str | None, Query(max_length=64, description="What was sent in pieces under this key.")] = None,
    key: Key = None,
) -> Response:
    """Keep a file with a job: the body as it is, or what was sent in pieces. A note is a `text` without a file."""
    if key is None:
        raise RefusedError("say-which-request")
    sent = await _sent(request, upload)
    brought = _Brought(job, what, name, text, sent)
    try:
        return await run_in_threadpool(_keep, request, brought, key, upload)
    finally:
        if upload is None and sent is not None:
            state_of(request).uploads.end(sent)


@frozen
class _Brought:
    job: str
    what: What
    name: str | None
    text: str
    sent: Upload | None
    """None: it was sent in pieces, and is here no more."""


async def _sent(request: Request, upload: str | None) -> Upload | None:
    """What came with the request, or in pieces before. Raises RefusedError."""
    uploads, who = state_of(request).uploads, by_of(request)
    if upload is not None:
        return uploads.known(who, upload)
    made = uploads.alone(who)
    try:
        await uploads.take(made, 0, request.stream())
    except BaseException:
        uploads.end(made)
        raise
    made.size = made.received
    return made


def _keep(request: Request, brought: _Brought, key: str, upload: str | None) -> Response:
    """Keep it, once. What was sent in pieces is told apart by its key, since it goes as soon as it is kept."""
    served, by, sent = state_of(request).served, by_of(request), brought.sent
    if sent is not None and sent.received < sent.size:
        raise RefusedError("out-of-turn", received=sent.received)

    shop = served.shop()

    def do(connection: Any) -> tuple[int, bytes]:
        if sent is None:
            raise RefusedError("not-found")
        with tempfile.TemporaryDirectory(prefix="standtrue-") as folder:
            files = [_file(brought, sent.file, Path(folder))] if sent.size else []
            kept, _ = keep_files_in(
                connection,
                shop,
                brought.job,
                brought.what,
                files,
                brought.text,
                by,
                lambda one: said_of(of_brought(one)),
            )
        return 201, as_bytes(of_brought(kept))

    asked = digest_of(sent.file) if upload is None and sent is not None else (upload or "").encode()
    given = do_once(request, key, brought.job, asked, do)
    if sent is not None:
        state_of(request).uploads.end(sent)
    return given


def _file(brought: _Brought, sent: Path, folder: Path) -> Path:
    """The file under its own name. Raises RefusedError for a photo that is none."""
    with sent.open("rb") as opened:
        first = opened.read(FIRST)
    if brought.what == "photo" and not is_photo(sent):
        raise RefusedError("another-kind")
    file = folder / _called(brought.name, first)
    shutil.copyfile(sent, file)
    return file


def _called(name: str | None, first: bytes) -> str:
    if name is None or name in (".", "..") or len(name.encode("utf-8", "replace")) > MOST_NAME:
        return f"file.{_ending(first)}"
    return name


def _ending(first: bytes) -> str:
    ends = {"image/png": "png", "image/jpeg": "jpg", "image/webp": "webp", "application/pdf": "pdf"}
    return ends.get(kind_of(first), "bin")


@router.get(
    "/attachments/{digest}",
    responses={**responses("not-found"), 200: {"description": "The file as it was kept.", **_ANY}},
    dependencies=[require("reader")],
)
def get_attachment(request: Request, digest: Digest) -> Response:
    """A file that an entry names, byte for byte: to be saved, or shown as a picture by a page of this server."""
    found = read_whole(state_of(request).served.store, [digest], MOST_BYTES).get(digest)
    if found is None:
        raise RefusedError("not-found")
    called = f'attachment; filename="{digest[:12]}.{_ending(found[:FIRST])}"'
    return Response(found, media_type=kind_of(found[:FIRST]), headers={**INERT, "Content-Disposition": called})


@router.put(
    "/uploads/{key}",
    responses=answered(UploadAnswer, *_REFUSED),
    openapi_extra=_TAKES_FILE,
    dependencies=[require("technician")],
)
async def send_piece(
    request: Request,
    key: UploadKey,
    size: Annotated[int, Query(ge=1, description="Of the whole file, bytes.")],
    offset: Annotated[int, Query(ge=0, description="Where this piece begins.")] = 0,
) -> Response:
    """Send the next piece of a file. A piece that broke off is here as far as it came: ask, and go on from there."""
    uploads = state_of(request).uploads
    upload = uploads.begin(by_of(request), key, size)
    await uploads.take(upload, offset, request.stream())
    return told(_of_upload(upload))


@router.get("/uploads/{key}", responses=answered(UploadAnswer, "not-found"), dependencies=[require("technician")])
def get_upload(request: Request, key: UploadKey) -> Response:
    """How much of a file is here."""
    return told(_of_upload(state_of(request).uploads.find(by_of(request), key)))


@router.delete(
    "/uploads/{key}",
    responses={**responses("not-found", "cross-site"), 204: {"description": "It is gone."}},
    status_code=204,
    dependencies=[require("technician")],
)
def drop_upload(request: Request, key: UploadKey) -> Response:
    """Let a file go that is on its way."""
    uploads = state_of(request).uploads
    uploads.end(uploads.find(by_of(request), key))
    return Response(status_code=204)


def _of_upload(upload: Upload) -> UploadAnswer:
    return UploadAnswer(key=upload.key, size=upload.size, received=upload.received)

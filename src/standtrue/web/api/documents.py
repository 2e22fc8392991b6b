"""Documents, one by one: read, saved by whoever has seen the latest version, removed; and their versions."""

from __future__ import annotations

import re
from typing import Annotated, Literal

from fastapi import Header, Query, Request, Response
from fastapi.concurrency import run_in_threadpool

from standtrue.show.answers.exchange import HistoryAnswer, of_history, of_saved_alone
from standtrue.show.answers.kept import said_of
from standtrue.show.answers.served import (
    DocumentAnswer,
    DocumentLine,
    DocumentsAnswer,
    document_line,
    of_document,
    of_stale,
    of_versions,
)
from standtrue.web.api.shared import Limit, answered, by_of, new_router, next_page, told
from standtrue.web.problems import RefusedError
from standtrue.web.roles import require
from standtrue.web.state import state_of
from standtrue.work.exchange.saving import (
    Change,
    StaleError,
    Version,
    change_as_said,
    checked,
    history_in,
    save_in,
    version_in,
)

router = new_router("documents")

Match = Annotated[str | None, Header(alias="If-Match", max_length=200, description="The ETag that was read.")]
NoneMatch = Annotated[str | None, Header(alias="If-None-Match", max_length=200, description="`*`: it is to be new.")]

TOML = "application/toml"
_KINDS = {"application/json": "json", TOML: "toml"}
_BODY = {
    "requestBody": {
        "required": True,
        "content": {"application/json": {"schema": {"type": "object"}}, TOML: {"schema": {"type": "string"}}},
    }
}
_STALE = ("stale", "say-which-version", "another-kind", "too-large", "cross-site", "not-found")


@router.get("/documents", responses=answered(DocumentsAnswer), dependencies=[require("reader")])
def list_documents(
    request: Request,
    kind: Annotated[str, Query(max_length=40, description="Of this kind only.")] = "",
    limit: Limit = 100,
    after: Annotated[str, Query(max_length=300, description="KIND/NAME: those behind it.")] = "",
) -> Response:
    """Every document there is, or those of a kind."""
    versions = state_of(request).served.read().versions
    keyed = sorted((f"{one.kind}/{one.name}", one) for one in versions if kind in ("", one.kind))
    behind = [(key, one) for key, one in keyed if key > after]
    found = behind[:limit]
    more = found[-1][0] if len(behind) > limit else None
    return told(of_versions(one for _, one in found), headers=next_page(request, more))


@router.get(
    "/documents/{kind}/{name:path}",
    responses={
        **answered(DocumentAnswer, "not-found"),
        200: {"model": DocumentAnswer, "content": {TOML: {"schema": {"type": "string"}}}},
        304: {"description": "It is as it was."},
    },
    dependencies=[require("reader")],
)
def get_document(
    request: Request,
    kind: str,
    name: str,
    form: Annotated[Literal["json", "file"], Query(alias="as", description="As data, or as it was written.")] = "json",
    version: Annotated[int | None, Query(ge=1, le=2**31, description="One that was there before.")] = None,
    if_none_match: NoneMatch = None,
) -> Response:
    """A document as data, or byte for byte as it was written."""
    served = state_of(request).served
    read = served.read()
    found = read.version(kind, name) if version is None else version_in(served, kind, name, version)
    if found is None or found.content is None:
        raise RefusedError("not-found")
    headers = {"ETag": tag_of(found)}
    if if_none_match == headers["ETag"]:
        return Response(status_code=304, headers=headers)
    if form == "file" or version is not None:
        ending = "application/json" if found.path.lower().endswith(".json") else TOML
        return Response(found.content, headers=headers, media_type=ending)
    return told(of_document(read, found), headers=headers)


@router.put(
    "/documents/{kind}/{name:path}",
    responses={**answered(DocumentLine, *_STALE), 201: {"model": DocumentLine}},
    openapi_extra=_BODY,
    dependencies=[require("planner")],
)
async def put_document(
    request: Request, kind: str, name: str, if_match: Match = None, if_none_match: NoneMatch = None
) -> Response:
    """Save a document: what it says as JSON, or as TOML byte for byte.

    Send the `ETag` that was read as `If-Match`, or for a new one `If-None-Match: *`. What is saved as JSON keeps the
    comments of all fields that did not change.
    """
    sent = _KINDS.get(request.headers.get("content-type", "").partition(";")[0].strip().lower())
    if sent is None:
        raise RefusedError("another-kind")
    seen = _seen(if_match, if_none_match)
    body = await request.body()
    return await run_in_threadpool(_save, request, kind, name, body, seen, sent == "json")


@router.delete(
    "/documents/{kind}/{name:path}",
    responses=answered(DocumentLine, *_STALE),
    dependencies=[require("planner")],
)
def delete_document(request: Request, kind: str, name: str, if_match: Match = None) -> Response:
    """Remove a document. Its versions stay."""
    seen = _seen(if_match, None)
    if state_of(request).served.read().version(kind, name) is None:
        raise RefusedError("not-found")
    return _save(request, kind, name, None, seen, False)


@router.get("/history/{kind}/{name:path}", responses=answered(HistoryAnswer), dependencies=[require("reader")])
def get_history(
    request: Request,
    kind: str,
    name: str,
    limit: Limit = 100,
    after: Annotated[int, Query(ge=0, le=2**31, description="So many are passed over.")] = 0,
) -> Response:
    """Every version of a document, in the order in which they were saved."""
    versions = history_in(state_of(request).served, kind, name)
    found, more = versions[after : after + limit], len(versions) > after + limit
    return told(of_history(found), headers=next_page(request, after + limit if more else None))


def tag_of(version: Version) -> str:
    """The ETag of a version."""
    return f'"{version.document}.{version.version}"'


def _seen(match: str | None, none_match: str | None) -> tuple[int, int]:
    """Which document and version was read; zeros: it is to be new. Raises RefusedError."""
    if match is None and none_match == "*":
        return 0, 0
    found = re.fullmatch(r'"([0-9]{1,9})\.([0-9]{1,9})"', match or "")
    if match is None or match == "*":
        raise RefusedError("say-which-version")
    return (int(found[1]), int(found[2])) if found else (-1, -1)


def _save(request: Request, kind: str, name: str, body: bytes | None, seen: tuple[int, int], is_json: bool) -> Response:
    served = state_of(request).served
    read = served.read()
    there = read.version(kind, name)
    if there is not None and (there.document, there.version) != seen:
        raise _stale(body, there)
    if there is None and seen != (0, 0):
        raise RefusedError("stale", yours=_text(body))
    as_said = is_json and (there is None or not there.path.lower().endswith(".json"))
    change = (
        change_as_said(read, kind, name, body, seen[1])
        if as_said and body is not None
        else Change(kind, name, body, seen[1])
    )
    change = checked(read, change)
    try:
        with served.store.writing() as connection:
            saved = save_in(connection, change, by_of(request), lambda one: said_of(of_saved_alone(one)))
    except StaleError as error:
        raise _stale(body, error.latest) from error
    return told(document_line(saved), 200 if seen[0] else 201, {"ETag": tag_of(saved)})


def _stale(body: bytes | None, latest: Version) -> RefusedError:
    """Both are shown: what was to be saved, and what is there."""
    return RefusedError("stale", {"ETag": tag_of(latest)}, yours=_text(body), theirs=of_stale(latest).to_json())


def _text(body: bytes | None) -> str:
    return (body or b"").decode("utf-8", "replace")

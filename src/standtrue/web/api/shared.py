"""What the API's routes share: where they are, what each may be refused with, paging, and answers as bytes."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import APIRouter, Header, Query, Request, Response
from fastapi.responses import JSONResponse

from standtrue.show.answers.parts import Shape
from standtrue.web.problems import STATUS
from standtrue.web.state import state_of, visitor_of

ADDRESS = "/api/v1"

MOST = 200
"""So many things at once, at most."""

Limit = Annotated[int, Query(ge=1, le=MOST, description="So many at once.")]
Name = Annotated[str, Query(min_length=1, max_length=200)]
Key = Annotated[
    str | None,
    Header(
        alias="Idempotency-Key",
        pattern=r"^[!-~]{1,200}$",
        description="The same request with the same key is done once, and answered as it was.",
    ),
]


ALWAYS = ("bad-length", "sign-in-first", "may-not", "wrong-host", "faults", "slow-down", "another-kind", "store-away")
"""What every route may be refused with."""


def responses(*codes: str) -> dict[int | str, dict[str, Any]]:
    """What a route may be refused with, for the description of the API: these problems, and those of every route."""
    told: dict[int | str, dict[str, Any]] = {}
    for code in (*ALWAYS, *codes):
        told[STATUS[code]] = {
            "description": "Refused",
            "content": {"application/problem+json": {"schema": {"$ref": "#/components/schemas/ProblemAnswer"}}},
        }
    return told


def answered(shape: type[Shape], *codes: str, status: int = 200) -> dict[int | str, dict[str, Any]]:
    """What a route answers with, and may be refused with."""
    return {status: {"model": shape}, **responses(*codes)}


def new_router(subject: str) -> APIRouter:
    """Routes of one subject."""
    return APIRouter(prefix=ADDRESS, tags=[subject])


def told(shape: Shape, status: int = 200, headers: Mapping[str, str] | None = None) -> JSONResponse:
    """An answer; it was made as its shape, and is not looked at again."""
    return JSONResponse(shape.to_json(), status, headers)


def as_bytes(shape: Shape) -> bytes:
    """The same as bytes, to be kept for whoever asks again."""
    return json.dumps(shape.to_json(), ensure_ascii=False, allow_nan=False).encode()


def next_page(request: Request, after: str | int | None) -> dict[str, str]:
    """The header that leads to the next page (RFC 8288); nothing where there is none."""
    if after is None:
        return {}
    asked = {**request.query_params, "after": after}
    return {"Link": f'<{request.url.path}?{urlencode(asked)}>; rel="next"'}


def by_of(request: Request) -> str:
    """Who does it, by name: who signed in, else whoever serves the shop at this machine."""
    return visitor_of(request).name or state_of(request).served.by


def json_bytes(content: bytes, status: int, headers: Mapping[str, str] | None = None) -> Response:
    """JSON that is written already."""
    return Response(content, status, headers, "application/json")

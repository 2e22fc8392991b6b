"""A request that keeps something and may come again: done once, answered twice."""

from __future__ import annotations

from collections.abc import Callable

from fastapi import Request, Response
from sqlalchemy import Connection

from standtrue.web.api.shared import by_of, json_bytes
from standtrue.web.state import state_of
from standtrue.work.keep.once import Request as Asked
from standtrue.work.keep.once import once_in

Do = Callable[[Connection], tuple[int, bytes]]


def do_once(request: Request, key: str | None, job: str, body: bytes, do: Do) -> Response:
    """Do it in one transaction of the store; with a `key` once, however often it is sent."""
    store = state_of(request).served.store
    if key is None:
        with store.writing() as connection:
            status, content = do(connection)
        return json_bytes(content, status)
    asked = f"{request.method} {request.url.path}?{request.url.query}\n".encode() + body
    given = once_in(store, Asked(by_of(request), key, job, asked), do)
    return json_bytes(given.content, given.status, {"Idempotent-Replayed": "true"} if given.again else None)

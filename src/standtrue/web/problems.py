"""What is refused, as one shape: problem details (RFC 9457), for a program; as a page for a person."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from http import HTTPStatus
from typing import Any

from fastapi.responses import JSONResponse

from standtrue.model.basics import Fault
from standtrue.show.answers.faults import of_faults
from standtrue.show.words.pages.problems import PROBLEMS

STATUS = {
    "wrong-host": 421,
    "cross-site": 403,
    "bad-length": 400,
    "too-large": 413,
    "not-found": 404,
    "no-such-task": 404,
    "not-allowed": 405,
    "sign-in-first": 401,
    "may-not": 403,
    "stale": 412,
    "say-which-version": 428,
    "slow-down": 429,
    "faults": 422,
    "used-otherwise": 409,
    "another-kind": 415,
    "say-which-request": 428,
    "out-of-turn": 409,
    "store-away": 503,
    "broken": 500,
}
"""The status of each problem by its code."""


def problem(code: str, faults: Sequence[Fault] = (), **more: Any) -> dict[str, Any]:
    """A problem as an object; sentences are US English, as in every answer as data."""
    told: dict[str, Any] = {
        "type": f"about:blank#{code}",
        "code": code,
        "status": STATUS[code],
        "title": PROBLEMS[code],
    }
    if faults:
        told["faults"] = of_faults(faults).to_json()["faults"]
    return {**told, **more}


def problem_response(code: str, faults: Sequence[Fault] = (), **more: Any) -> JSONResponse:
    """The same as a response."""
    return JSONResponse(problem(code, faults, **more), STATUS[code], media_type="application/problem+json")


class RefusedError(Exception):
    """A request is refused: the code of the problem, what else is told of it, and headers of the answer."""

    def __init__(self, code: str, headers: Mapping[str, str] | None = None, **more: Any) -> None:
        super().__init__(code)
        self.code, self.headers, self.more = code, headers or {}, more


def code_of(status: int) -> str:
    """The problem of a status that a library answers with; a body that it cannot read is a fault of what was sent."""
    if status == HTTPStatus.BAD_REQUEST:
        return "faults"
    found = next((code for code, own in STATUS.items() if own == status), None)
    return found or ("faults" if status < HTTPStatus.INTERNAL_SERVER_ERROR else "broken")

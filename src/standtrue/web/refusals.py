"""What goes wrong, told in one shape: to a program as problem details, to a person as a page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any
from urllib.parse import urlencode

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import RedirectResponse, Response
from starlette.exceptions import HTTPException

from standtrue.model.basics import Fault, UnansweredError
from standtrue.show.pages.problem import problem_page
from standtrue.web.guard import TooLargeError
from standtrue.web.pages import page
from standtrue.web.problems import STATUS, RefusedError, code_of, problem_response
from standtrue.web.state import reader_of

API = "/api/"


def answer_refusals(app: FastAPI) -> None:
    """Tell everything that a route raises."""

    @app.exception_handler(UnansweredError)
    def unanswered(request: Request, error: UnansweredError) -> Response:
        return _told(request, _code_of_faults(error.faults), error.faults)

    @app.exception_handler(RefusedError)
    def not_done(request: Request, error: RefusedError) -> Response:
        if error.code == "sign-in-first" and request.method == "GET" and _is_for_a_person(request):
            return RedirectResponse(f"/sign-in?{urlencode({'back': request.url.path})}", 303)
        return _told(request, error.code, headers=error.headers, **error.more)

    @app.exception_handler(HTTPException)
    def refused(request: Request, error: HTTPException) -> Response:
        return _told(request, code_of(error.status_code), headers=error.headers)

    @app.exception_handler(RequestValidationError)
    def invalid(request: Request, error: RequestValidationError) -> Response:
        where = [{"at": [str(part) for part in one["loc"]], "what": one["msg"]} for one in error.errors()]
        return _told(request, "faults", where=where)

    @app.exception_handler(TooLargeError)
    def too_large(request: Request, error: TooLargeError) -> Response:
        del error
        return _told(request, "too-large")

    @app.exception_handler(500)
    def broken(_: Request, error: Exception) -> Response:
        del error  # what is broken may be what a page is made of
        return problem_response("broken")


def _told(
    request: Request,
    code: str,
    faults: Sequence[Fault] = (),
    headers: Mapping[str, str] | None = None,
    **more: Any,
) -> Response:
    found = _page(request, code, faults) if _is_for_a_person(request) else None
    if found is None:
        found = problem_response(code, faults, **more)
    found.headers.update(headers or {})
    return found


def _page(request: Request, code: str, faults: Sequence[Fault]) -> Response | None:
    """The problem as a page; None where the shop cannot be read, of which every page tells."""
    try:
        shown = problem_page(code, faults, reader_of(request))
        return page(request, "problem.html", status=STATUS[code], problem=shown)
    except UnansweredError:
        return None


def _is_for_a_person(request: Request) -> bool:
    """Whether a browser goes to a page, or sends a form of one."""
    return "text/html" in request.headers.get("accept", "") and not request.url.path.startswith(API)


def _code_of_faults(faults: Sequence[Fault]) -> str:
    """What faults come to as a problem: of the store, of a key, or of what was sent."""
    codes = {fault.code for fault in faults}
    if any(code.startswith("store-") for code in codes):
        return "store-away"
    return "used-otherwise" if "key-taken" in codes else "faults"

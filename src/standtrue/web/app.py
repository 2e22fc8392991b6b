"""The app, put together."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from urllib.parse import urlencode

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import RedirectResponse, Response
from starlette.exceptions import HTTPException

from standtrue.model.basics import Fault, UnansweredError
from standtrue.web import static
from standtrue.web.api.description import describe
from standtrue.web.api.routers import api_routers
from standtrue.web.guard import Guard, TooLargeError
from standtrue.web.pages import own_path
from standtrue.web.problems import RefusedError, code_of, problem, problem_response
from standtrue.web.routes import all_routers
from standtrue.web.state import State, keep_preference, preference_of
from standtrue.web.visitors import Visitors

FILES = ("/api/v1/attachments", "/api/v1/uploads/", "/files/")
"""Paths that may be sent files."""


def make_app(state: State) -> FastAPI:
    """The app that serves a shop."""

    @asynccontextmanager
    async def lives(_: FastAPI) -> AsyncIterator[None]:
        yield
        state.tasks.close()
        state.uploads.close()
        state.served.close()

    app = FastAPI(title="Standtrue", docs_url=None, redoc_url=None, openapi_url="/api/v1/openapi.json", lifespan=lives)
    app.state.own = state
    app.include_router(static.router)
    for router in (*all_routers(), *api_routers()):
        app.include_router(router)
    app.add_middleware(Visitors, state=state)
    app.add_middleware(Guard, hosts=state.hosts, files=FILES)
    _answer_faults(app)
    describe(app)

    @app.get("/reader/{what}", include_in_schema=False)
    def choose_reader(request: Request, what: str, back: str = "/") -> Response:
        """Units, language or paper, kept by the browser; then back to where it was chosen."""
        told = preference_of(request)
        parts = {"units": told.units, "language": told.language, "paper": told.paper}
        for name, words in (("units", ("metric", "us")), ("language", ("en", "es")), ("paper", ("letter", "a4"))):
            if what in words:
                parts[name] = what
        response = RedirectResponse(own_path(back), 303)
        keep_preference(response, parts.values())
        return response

    return app


def _is_for_a_page(request: Request) -> bool:
    """Whether a browser goes to a page."""
    return request.method == "GET" and "text/html" in request.headers.get("accept", "")


def _code_of_faults(faults: tuple[Fault, ...]) -> str:
    """What faults come to as a problem: of the store, of a key, or of what was sent."""
    codes = {fault.code for fault in faults}
    if any(code.startswith("store-") for code in codes):
        return "store-away"
    return "used-otherwise" if "key-taken" in codes else "faults"


def _answer_faults(app: FastAPI) -> None:
    """What goes wrong is told in one shape."""

    @app.exception_handler(UnansweredError)
    def unanswered(_: Request, error: UnansweredError) -> Response:
        return problem_response(_code_of_faults(error.faults), error.faults)

    @app.exception_handler(RefusedError)
    def not_done(request: Request, error: RefusedError) -> Response:
        if error.code == "sign-in-first" and _is_for_a_page(request):
            return RedirectResponse(f"/sign-in?{urlencode({'back': request.url.path})}", 303)
        found = problem_response(error.code, **error.more)
        found.headers.update(error.headers)
        return found

    @app.exception_handler(HTTPException)
    def refused(_: Request, error: HTTPException) -> Response:
        found = problem_response(code_of(error.status_code))
        found.headers.update(error.headers or {})
        return found

    @app.exception_handler(RequestValidationError)
    def invalid(_: Request, error: RequestValidationError) -> Response:
        where = [{"at": [str(part) for part in one["loc"]], "what": one["msg"]} for one in error.errors()]
        return problem_response("faults", where=where)

    @app.exception_handler(TooLargeError)
    def too_large(_: Request, error: TooLargeError) -> Response:
        del error
        return problem_response("too-large")

    @app.exception_handler(500)
    def broken(_: Request, error: Exception) -> Response:
        del error
        return problem_response("broken")


__all__ = ["make_app", "problem"]

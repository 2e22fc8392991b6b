"""The app, put together."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from fastapi import FastAPI, Request
from fastapi.responses import RedirectResponse, Response

from standtrue.web import static
from standtrue.web.api.description import describe
from standtrue.web.api.routers import api_routers
from standtrue.web.guard import Guard
from standtrue.web.pages import own_path
from standtrue.web.problems import problem
from standtrue.web.refusals import answer_refusals
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
    app.add_middleware(Guard, hosts=lambda: state.hosts, files=FILES)
    answer_refusals(app)
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


__all__ = ["make_app", "problem"]

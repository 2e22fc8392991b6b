"""Each role against each route: a route that is added without a decision fails here."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient
from starlette.types import ASGIApp, Receive, Scope, Send

from standtrue.web.app import make_app
from standtrue.web.limits import Buckets, Limits
from standtrue.web.roles import ROLES
from standtrue.web.state import Visitor
from web_fixtures import client_of, new_state

DECIDED = {
    # The least role that may ask: reader, technician, planner, owner; "nobody": also who did not sign in.
    "GET /": "reader",
    "POST /api/v1/answers/alignment": "technician",
    "POST /api/v1/answers/drive": "technician",
    "POST /api/v1/answers/floor": "technician",
    "POST /api/v1/answers/job": "technician",
    "POST /api/v1/answers/loads": "technician",
    "POST /api/v1/answers/measured": "technician",
    "POST /api/v1/answers/needs": "technician",
    "POST /api/v1/answers/place": "technician",
    "POST /api/v1/answers/plan": "technician",
    "POST /api/v1/answers/read": "technician",
    "POST /api/v1/answers/sizes": "technician",
    "POST /api/v1/answers/study": "technician",
    "POST /api/v1/answers/targets": "technician",
    "POST /api/v1/answers/verify": "technician",
    "POST /api/v1/attachments": "technician",
    "GET /api/v1/attachments/{digest}": "reader",
    "GET /api/v1/documents": "reader",
    "DELETE /api/v1/documents/{kind}/{name:path}": "planner",
    "GET /api/v1/documents/{kind}/{name:path}": "reader",
    "PUT /api/v1/documents/{kind}/{name:path}": "planner",
    "GET /api/v1/health": "nobody",
    "GET /api/v1/history/{kind}/{name:path}": "reader",
    "GET /api/v1/jobs": "reader",
    "GET /api/v1/journal": "reader",
    "GET /api/v1/journal/anchor": "reader",
    "GET /api/v1/journal/content": "reader",
    "GET /api/v1/journal/entries": "reader",
    "GET /api/v1/journal/export": "reader",
    "GET /api/v1/journal/record": "reader",
    "GET /api/v1/openapi.json": "nobody",
    "GET /car/worker.js": "nobody",
    "POST /orders/{number}/left": "planner",
    "GET /car/{number}": "reader",
    "GET /orders/{number}/at-the-car": "reader",
    "POST /car/{number}": "technician",
    "POST /car/{number}/judge": "technician",
    "POST /car/{number}/kept": "technician",
    "POST /car/{number}/plan": "technician",
    "POST /car/{number}/sign": "technician",
    "GET /car/{number}/state": "reader",
    "POST /car/{number}/who": "technician",
    "POST /files/car/{number}/photo": "technician",
    "GET /cards": "reader",
    "GET /cars": "reader",
    "GET /floor": "reader",
    "GET /floor/{site:path}/picture.svg": "reader",
    "GET /room": "reader",
    "POST /documents": "planner",
    "GET /documents/{kind}/{name:path}": "reader",
    "POST /documents/{kind}/{name:path}": "planner",
    "GET /help": "nobody",
    "GET /help/{path:path}": "nobody",
    "GET /room/{study}": "reader",
    "POST /room/{study}/stop": "technician",
    "GET /room/{study}/sheet.pdf": "reader",
    "POST /cards/new": "planner",
    "GET /cards/write/{name}": "planner",
    "POST /cards/write/{name}": "planner",
    "POST /cards/write/{name}/keep": "planner",
    "POST /cards/write/{name}/back": "planner",
    "GET /cards/second/{name}": "technician",
    "POST /cards/second/{name}": "technician",
    "POST /cards/second/{name}/compare": "technician",
    "GET /draw/{site}": "planner",
    "POST /draw/{site}": "planner",
    "POST /draw/{site}/keep": "planner",
    "POST /draw/{site}/back": "planner",
    "GET /draw/{site}/try": "planner",
    "GET /draw/{site}/along": "planner",
    "GET /draw/{site}/length": "planner",
    "GET /start": "planner",
    "GET /start/picture.svg": "planner",
    "POST /start": "planner",
    "DELETE /api/v1/tasks/{number}": "technician",
    "GET /api/v1/tasks/{number}": "reader",
    "GET /api/v1/tasks/{number}/events": "reader",
    "DELETE /api/v1/uploads/{key}": "technician",
    "GET /api/v1/uploads/{key}": "technician",
    "PUT /api/v1/uploads/{key}": "technician",
    "GET /orders": "planner",
    "POST /orders": "planner",
    "GET /orders/{number}": "reader",
    "POST /orders/{number}/aside": "planner",
    "POST /orders/{number}/compare": "planner",
    "POST /orders/{number}/decide": "planner",
    "POST /orders/{number}/events": "planner",
    "POST /orders/{number}/events/{at}": "planner",
    "POST /orders/{number}/fitted": "planner",
    "POST /orders/{number}/hand": "planner",
    "POST /orders/{number}/plan": "planner",
    "GET /orders/{number}/sheet.pdf": "reader",
    "GET /orders/{number}/state": "reader",
    "POST /orders/{number}/stop": "planner",
    "POST /orders/{number}/take-back": "planner",
    "GET /records": "reader",
    "GET /records/{job:path}": "reader",
    "GET /records/{job:path}/record.pdf": "reader",
    "GET /records/{job:path}/record.zip": "reader",
    "GET /reader/{what}": "nobody",
    "GET /instruments": "reader",
    "GET /me": "reader",
    "POST /me/password": "reader",
    "POST /me/pin": "reader",
    "POST /me/sign-out-others": "reader",
    "GET /people": "owner",
    "POST /people/add": "owner",
    "POST /people/code": "owner",
    "POST /people/end": "owner",
    "POST /people/lift": "owner",
    "POST /people/pin": "owner",
    "POST /people/pin-off": "owner",
    "POST /people/remove": "owner",
    "POST /people/role": "owner",
    "GET /settings": "reader",
    "POST /settings/mine": "reader",
    "POST /settings/shop": "owner",
    "GET /sign-in": "nobody",
    "POST /sign-in": "nobody",
    "POST /sign-out": "nobody",
    "GET /sign-up": "nobody",
    "POST /sign-up": "nobody",
    "POST /sign-up/password": "nobody",
    "GET /trust": "nobody",
    "GET /trust/authority.crt": "nobody",
    "GET /static/{digest}/{name}": "nobody",
}


class _As:
    """Whoever the request says; what signing in does otherwise."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "http":
            role = dict(scope["headers"])[b"x-test-role"].decode()
            scope.setdefault("state", {})["visitor"] = Visitor("" if role == "nobody" else f"Person {role}", role)
        await self.app(scope, receive, send)


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> FastAPI:
    state = new_state(tmp_path_factory.mktemp("roles") / "shop")
    state.limits = Limits(Buckets(1e6, 1e6), Buckets(1e6, 1e6))  # the whole table at once
    made = make_app(state)
    made.add_middleware(_As)
    return made


@pytest.fixture(scope="module")
def client(app: FastAPI) -> Iterator[TestClient]:
    with client_of(app) as found:
        yield found


def routes_of(app: Any) -> Iterator[str]:
    """Every route as METHOD and path."""
    for route in app.routes:
        if hasattr(route, "methods") and hasattr(route, "path"):
            yield from (f"{method} {route.path}" for method in route.methods if method != "HEAD")
        else:
            yield from routes_of(route.original_router if hasattr(route, "original_router") else route)


def test_every_route_is_decided(app: FastAPI) -> None:
    there = set(routes_of(app))
    assert sorted(there - set(DECIDED)) == [], "add the least role that may ask"
    assert sorted(set(DECIDED) - there) == [], "no longer there"


@pytest.mark.parametrize("role", ROLES)
def test_a_role_gets_what_it_may(client: TestClient, role: str) -> None:
    told = {}
    for route, least in DECIDED.items():
        method, path = route.split(" ")
        filled = "/".join("1" if part.startswith("{") else part for part in path.split("/"))
        answer = client.request(method, filled, headers={"x-test-role": role}, follow_redirects=False)
        allowed = ROLES.index(role) >= ROLES.index(least)
        refused = 401 if role == "nobody" else 403
        if (answer.status_code in (401, 403)) == allowed or (not allowed and answer.status_code != refused):
            told[route] = answer.status_code
    assert told == {}


def test_a_role_that_is_not_known_gets_nothing(client: TestClient) -> None:
    assert client.get("/", headers={"x-test-role": "guest"}).status_code == 403

"""Who asks, by the session that the browser keeps: looked up for every request but those of the server's own files."""

from __future__ import annotations

from ipaddress import IPv6Address, ip_address, ip_network

from fastapi import Request
from fastapi.responses import Response
from starlette.concurrency import run_in_threadpool
from starlette.requests import HTTPConnection
from starlette.types import ASGIApp, Receive, Scope, Send

from standtrue.web.state import State, Visitor, state_of
from standtrue.work.accounts.entering import Caller
from standtrue.work.accounts.sessions import LONGEST, signed_in

COOKIE = "session"
SAFE_COOKIE = "__Host-session"
"""Under TLS: no other host, no other path and no page without TLS can set it (RFC 6265bis, 4.1.3.2)."""

NOBODY = Visitor("", "nobody")


class Visitors:
    """Fills `request.state.visitor`: whoever is signed in; else the owner at this machine, over the network nobody."""

    def __init__(self, app: ASGIApp, state: State) -> None:
        self.app, self.state = app, state

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "http" and not str(scope["path"]).startswith("/static/"):
            told = scope.setdefault("state", {})
            if "visitor" not in told:
                told["visitor"] = await self._visitor(HTTPConnection(scope))
        await self.app(scope, receive, send)

    async def _visitor(self, connection: HTTPConnection) -> Visitor:
        number = session_of(connection)
        if number:
            found = await run_in_threadpool(signed_in, self.state.served.store, number, self.state.now())
            if found is not None:
                return Visitor(found.name, found.role)
        return NOBODY if self.state.sign_in else Visitor()


def session_of(connection: HTTPConnection) -> str:
    """The number of the session that the browser keeps; "" for none."""
    return connection.cookies.get(_cookie(connection), "")


def caller_of(request: Request) -> Caller:
    """Who comes in: now, from where, and with which session until then."""
    return Caller(state_of(request).now(), address_of(request), session_of(request))


def address_of(request: Request) -> str:
    """From which address somebody asks; of IPv6 its network, in which one device has many."""
    if request.client is None:
        return ""
    try:
        found = ip_address(request.client.host.partition("%")[0])
    except ValueError:
        return request.client.host
    if isinstance(found, IPv6Address):
        return str(found.ipv4_mapped or ip_network((found, 64), strict=False))
    return str(found)


def keep_session(request: Request, response: Response, number: str) -> None:
    """Let the browser keep a session: for this host only, for no script, for no request that another site began."""
    age = round(LONGEST.total_seconds())
    response.set_cookie(
        _cookie(request), number, max_age=age, path="/", secure=_is_tls(request), httponly=True, samesite="strict"
    )


def drop_session(request: Request, response: Response) -> None:
    """Let the browser forget it."""
    response.delete_cookie(_cookie(request), path="/", secure=_is_tls(request), httponly=True, samesite="strict")


def _cookie(connection: HTTPConnection) -> str:
    return SAFE_COOKIE if _is_tls(connection) else COOKIE


def _is_tls(connection: HTTPConnection) -> bool:
    return bool(connection.scope["scheme"] == "https")

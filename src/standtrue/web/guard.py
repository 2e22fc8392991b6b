"""What every request passes: by which name the server is called, from where it is sent, how much it may bring.

Source of the rules on cross-site requests: W3C, Fetch Metadata Request Headers; of `421`: RFC 9110, 15.5.20.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from standtrue.web.problems import problem_response

READING = frozenset({"GET", "HEAD", "OPTIONS"})

MOST_BYTES = 2_000_000
"""What a request may bring, unless its path is one for files."""

MOST_FILE_BYTES = 40_000_000
"""What a request that brings files may."""

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; style-src-attr 'unsafe-inline'; "
    "img-src 'self' data: blob:; font-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'; manifest-src 'self'; worker-src 'self'"
)
"""No script but the server's own files; attributes of drawings may place and size things."""

HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "X-Frame-Options": "DENY",
}


class Guard:
    """The outermost layer of the app."""

    def __init__(self, app: ASGIApp, hosts: Callable[[], Container[str]], files: Iterable[str] = ()) -> None:
        self.app, self.hosts, self.files = app, hosts, tuple(files)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        most = MOST_FILE_BYTES if str(scope["path"]).startswith(self.files) else MOST_BYTES
        refused = self._refused(scope, headers, most)
        if refused is not None:
            await problem_response(refused)(scope, receive, _with_headers(send))
            return
        await self.app(scope, _at_most(receive, most), _with_headers(send))

    def _refused(self, scope: Scope, headers: Headers, most: int) -> str | None:
        """The code of the problem; None if nothing is against it."""
        host = headers.get("host", "")
        if _name(host) not in self.hosts():
            return "wrong-host"
        if scope["method"] not in READING and not _is_own(headers, host):
            return "cross-site"
        if headers.get("content-encoding", "identity") != "identity":
            return "another-kind"  # nothing that is sent is unpacked
        length = headers.get("content-length", "0")
        if not length.isdigit():
            return "bad-length"
        return "too-large" if int(length) > most else None


def _name(host: str) -> str:
    """A host without its port."""
    name, colon, port = host.rpartition(":")
    return name if colon and port.isdigit() and not host.endswith("]") else host


def _is_own(headers: Headers, host: str) -> bool:
    """Whether a request that changes something comes from a page of this server, or from no browser at all."""
    site = headers.get("sec-fetch-site")
    if site is not None and site not in ("same-origin", "none"):
        return False
    origin = headers.get("origin")
    return origin is None or origin.partition("://")[2] == host


class TooLargeError(Exception):
    """A request without a length brought more than it may."""


def _at_most(receive: Receive, most: int) -> Receive:
    taken = 0

    async def counted() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > most:
            raise TooLargeError
        return message

    return counted


def _with_headers(send: Send) -> Send:
    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            told = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                told.setdefault(name, value)
            told.setdefault("Cache-Control", "no-store")
        await send(message)

    return sent

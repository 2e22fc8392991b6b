"""Serving the app from the shop's own machine."""

from __future__ import annotations

import os
import socket
import ssl
from collections.abc import Callable

import uvicorn
from fastapi import FastAPI

from standtrue.web.certificates import Pair

LOOPBACK = "127.0.0.1"

EVERYWHERE = "::"
"""Every address of this machine, of either kind; `EVERYWHERE_4` where it has but the older."""

EVERYWHERE_4 = "0.0.0.0"

PORT = 8574
"""Where the app is looked for, if nothing else is said."""

TRIED = 20


def free_socket(host: str, port: int, tried: int = TRIED) -> tuple[socket.socket, int]:
    """A socket that listens at the port, or at the next one that is free. Raises OSError if none of them is."""
    last: OSError | None = None
    for number in range(port, port + tried):
        own = socket.socket(socket.AF_INET6 if ":" in host else socket.AF_INET, socket.SOCK_STREAM)
        if os.name == "posix":  # elsewhere it would let two programs have one port
            own.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        if host == EVERYWHERE:
            own.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_V6ONLY, 0)
        try:
            own.bind((host, number))
            own.listen()
        except OSError as error:
            own.close()
            last = error
            continue
        return own, own.getsockname()[1]
    raise last or OSError


def socket_everywhere(port: int) -> tuple[socket.socket, int]:
    """The same on every address of this machine."""
    if socket.has_dualstack_ipv6():
        return free_socket(EVERYWHERE, port)
    return free_socket(EVERYWHERE_4, port)


def config_of(app: FastAPI, tls: Pair | None = None) -> uvicorn.Config:
    """How it is served."""
    return uvicorn.Config(
        app,
        log_level="error",
        access_log=False,
        server_header=False,
        proxy_headers=False,  # nobody stands between: who asks says neither from where nor whether by TLS
        timeout_graceful_shutdown=3,
        ssl_certfile=None if tls is None else tls.certificate,
        ssl_keyfile=None if tls is None else tls.key,
    )


def serve(
    app: FastAPI,
    own: socket.socket,
    begun: Callable[[], None] = lambda: None,
    tls: Pair | None = None,
    follow: Callable[[ssl.SSLContext], None] | None = None,
) -> None:
    """Serve until it is told to end (Ctrl-C), by TLS if there is a certificate; `begun` is called once requests are
    answered, `follow` with what the certificate is shown by."""
    server = _Telling(config_of(app, tls), begun, follow)
    server.run(sockets=[own])


class _Telling(uvicorn.Server):
    def __init__(
        self, config: uvicorn.Config, begun: Callable[[], None], follow: Callable[[ssl.SSLContext], None] | None
    ) -> None:
        super().__init__(config)
        self._begun, self._follow = begun, follow

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        if self._follow is not None and self.config.ssl is not None:
            self._follow(self.config.ssl)
        self._begun()

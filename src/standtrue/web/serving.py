"""Serving the app from the shop's own machine."""

from __future__ import annotations

import socket
from collections.abc import Callable

import uvicorn
from fastapi import FastAPI

LOOPBACK = "127.0.0.1"

PORT = 8574
"""Where the app is looked for, if nothing else is said."""

TRIED = 20


def free_socket(host: str, port: int, tried: int = TRIED) -> tuple[socket.socket, int]:
    """A socket that listens at the port, or at the next one that is free. Raises OSError if none of them is."""
    last: OSError | None = None
    for number in range(port, port + tried):
        own = socket.socket(socket.AF_INET6 if ":" in host else socket.AF_INET, socket.SOCK_STREAM)
        own.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            own.bind((host, number))
        except OSError as error:
            own.close()
            last = error
            continue
        return own, own.getsockname()[1]
    raise last or OSError


def serve(app: FastAPI, own: socket.socket, begun: Callable[[], None] = lambda: None) -> None:
    """Serve until it is told to end (Ctrl-C); `begun` is called once requests are answered."""
    config = uvicorn.Config(app, log_level="error", access_log=False, server_header=False, timeout_graceful_shutdown=3)
    server = _Telling(config, begun)
    server.run(sockets=[own])


class _Telling(uvicorn.Server):
    def __init__(self, config: uvicorn.Config, begun: Callable[[], None]) -> None:
        super().__init__(config)
        self._begun = begun

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        self._begun()

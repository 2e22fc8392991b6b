"""The app served to a browser: the demonstration shop in a store of its own, on a port of this machine."""

from __future__ import annotations

import shutil
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import Any, Literal

import uvicorn
from attrs import define, field, frozen
from fastapi import FastAPI
from fastapi.testclient import TestClient
from playwright.sync_api import Browser, BrowserContext, Page
from record_makers import import_said

from page_browser import AXE, DESK
from standtrue.demo import write_demo
from standtrue.web.app import make_app
from standtrue.web.serving import config_of, free_socket
from standtrue.web.state import State
from standtrue.work.served import serve_folder
from standtrue.work.where import IN_FOLDER

NOW = datetime.fromisoformat("2026-03-02T13:40-06:00")
"""The moment at which the demonstration is looked at: its first order came at ten that morning."""


def new_state(folder: Path, now: Callable[[], datetime] = lambda: NOW) -> State:
    """The demonstration shop in a new folder, in a store."""
    if not folder.is_dir() or not any(folder.iterdir()):
        write_demo(folder)
    return State(serve_folder(folder, IN_FOLDER, "technician A", import_said), now=now)


def client_of(app: FastAPI) -> TestClient:
    """What asks the app without a browser or a network; faults of the program come back as status 500."""
    return TestClient(app, base_url="http://127.0.0.1", raise_server_exceptions=False)


def posted(path: str, headers: dict[str, str], query: str = "") -> dict[str, Any]:
    """A request as the server hands it to the app, whose body nobody has read yet."""
    told = {"host": "127.0.0.1", **headers}
    return {
        "type": "http",
        "method": "POST",
        "path": path,
        "raw_path": path.encode(),
        "query_string": query.encode(),
        "headers": [(name.encode(), value.encode()) for name, value in told.items()],
        "client": ("127.0.0.1", 1),
        "server": ("127.0.0.1", 80),
        "scheme": "http",
        "http_version": "1.1",
        "root_path": "",
    }


@define
class Server:
    """The app on a port. `kill` ends it at once; `start` begins another on the same port and store."""

    folder: Path
    port: int = 0
    state: State = field(init=False)
    _server: uvicorn.Server = field(init=False)
    _thread: threading.Thread = field(init=False)

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        self.state = new_state(self.folder)
        own, self.port = free_socket("127.0.0.1", self.port or 18574, 400)
        self._server = uvicorn.Server(config_of(make_app(self.state)))
        self._thread = threading.Thread(target=self._server.run, kwargs={"sockets": [own]}, daemon=True)
        self._thread.start()
        while not self._server.started:
            assert self._thread.is_alive()

    def stop(self) -> None:
        self._server.should_exit = True
        self._thread.join(10)


@contextmanager
def serving(folder: Path) -> Iterator[Server]:
    """The app, until the tests are through with it."""
    server = Server(folder)
    server.start()
    yield server
    server.stop()


@frozen(eq=False)
class Visit:
    """A browser's page on the app. Nothing may go wrong in it, and nothing may be asked of another machine."""

    page: Page
    context: BrowserContext
    address: str
    faults: list[str] = field(factory=list)

    def go(self, path: str) -> None:
        self.page.goto(f"{self.address}{path}")

    def axe(self) -> list[str]:
        """What axe-core finds wrong, each with the places."""
        self.page.evaluate(AXE)
        found: list[dict[str, Any]] = self.page.evaluate(
            "axe.run(document, {resultTypes: ['violations']}).then(r => r.violations)"
        )
        return [f"{v['id']}: {v['help']} {[n['target'] for n in v['nodes']]}" for v in found]

    @property
    def sideways(self) -> int:
        """By how many pixels the page is wider than the window."""
        return int(self.page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth"))


@contextmanager
def visiting(
    browser: Browser,
    address: str,
    size: tuple[int, int] = DESK,
    *,
    touch: bool = False,
    dark: bool = False,
    language: Literal["en", "es"] = "en",
    units: Literal["metric", "us"] = "metric",
    forced: bool = False,
    reduced: bool = False,
) -> Iterator[Visit]:
    """A window on the app."""
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]},
        has_touch=touch,
        color_scheme="dark" if dark else "light",
        forced_colors="active" if forced else "none",
        reduced_motion="reduce" if reduced else "no-preference",
        bypass_csp=False,
        ignore_https_errors=False,
    )
    context.add_cookies([{"name": "reader", "value": f"{units}.{language}.letter", "url": address}])
    visit = Visit(context.new_page(), context, address)
    visit.page.on("pageerror", lambda fault: visit.faults.append(str(fault)))
    visit.page.on("console", lambda told: visit.faults.append(told.text) if told.type == "error" else None)
    visit.page.on("request", lambda asked: _only_own(asked.url, address, visit.faults))
    yield visit
    context.close()
    assert visit.faults == []


def _only_own(url: str, address: str, faults: list[str]) -> None:
    if not url.startswith((address, "data:", "blob:")):
        faults.append(f"asked elsewhere: {url}")


def copied(folder: Path, to: Path) -> Path:
    """A shop with its store, to be changed."""
    shutil.copytree(folder, to)
    return to

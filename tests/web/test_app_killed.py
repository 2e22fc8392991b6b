"""The server is killed, as by a power cut, while readings are typed and while a long plan is worked out."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from attrs import define, field
from playwright.sync_api import Browser, expect

from car_makers import JOBS, open_orders, told_of, write_orders
from standtrue.web.state import State
from test_car_browser import come, drive_in, find_conditions, items, read_by_keys, until
from web_fixtures import new_state, visiting

AWAY = ("net::ERR_", "Failed to fetch", "NetworkError")
"""What a browser tells of requests while the server is gone."""

PLANNED = 90_000


@define
class Process:
    """The app as a process of its own, as a shop runs it."""

    folder: Path
    port: int
    _process: subprocess.Popen[bytes] = field(init=False)

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        command = [sys.executable, "-m", "standtrue", "serve", str(self.folder), "--port", str(self.port)]
        self._process = subprocess.Popen(
            [*command, "--as-of", "2026-03-02T13:40"], stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL
        )
        until(self._answers, lambda: self._process.poll())

    def _answers(self) -> bool:
        try:
            with urllib.request.urlopen(f"{self.address}/api/v1/health", timeout=2) as answer:
                return bool(answer.status == 200)
        except OSError:
            time.sleep(0.1)
            return False

    def kill(self) -> None:
        """No signal that it could catch: as where the power goes."""
        os.kill(self._process.pid, signal.SIGKILL)
        assert self._process.wait(10) == -signal.SIGKILL


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("killed") / "shop"
    write_orders(made)
    open_orders(made).served.close()
    return made


@pytest.fixture(scope="module")
def server(folder: Path) -> Iterator[Process]:
    with socket.socket() as own:  # a port that no other test's server takes while this one is down
        own.bind(("127.0.0.1", 0))
        port = own.getsockname()[1]
    found = Process(folder, port)
    found.start()
    yield found
    found.kill()


@pytest.fixture(scope="module")
def state(folder: Path, server: Process) -> Iterator[State]:
    """The same store, read from here."""
    del server
    made = new_state(folder)
    yield made
    made.served.close()


def test_a_server_killed_while_readings_are_typed_loses_none(server: Process, state: State, browser: Browser) -> None:
    def count() -> int:
        step = told_of(state, JOBS[0]).steps[1]
        assert step.aside == (), "nothing was kept twice"
        return len(step.readings)

    with visiting(browser, server.address, (820, 1180)) as visit:
        page = visit.page
        come(visit, JOBS[0])
        drive_in(page)
        find_conditions(page)
        every = items(page)
        read_by_keys(page, every[:2])
        page.keyboard.press("1")  # one digit of the next
        server.kill()
        page.keyboard.press("Backspace")
        read_by_keys(page, every[2:4])
        page.get_by_text("kept here, sent later, once").wait_for()
        server.start()
        read_by_keys(page, every[4:5])
        until(lambda: count() == 5)
        page.locator("#net:not(.off)").wait_for()
        visit.faults[:] = [one for one in visit.faults if not any(told in one for told in AWAY)]


def test_a_server_killed_during_a_long_plan_begins_it_again(server: Process, state: State, browser: Browser) -> None:
    with visiting(browser, server.address, (1280, 900)) as visit:
        page = visit.page
        visit.go("/orders/TR-4107")
        expect(page.get_by_text("The order of work is being worked out.")).to_be_visible()
        page.get_by_label("What else was done?").fill("airbag deployed")
        server.kill()
        expect(page.get_by_text("No network: what you typed is still here.")).to_be_visible(timeout=PLANNED)
        page.get_by_role("button", name="Add it").click()
        server.start()
        expect(page.locator("#done-list")).to_contain_text("Airbag deployed", timeout=PLANNED)
        expect(page.get_by_text("No network: what you typed is still here.")).to_be_hidden()
        events = state.served.shop().written.jobs["corrow front"].events
        assert [one.event for one in events].count("airbag deployed") == 1
        page.get_by_role("button", name="Stop").click(timeout=PLANNED)
        expect(page.get_by_text("It was stopped")).to_be_visible(timeout=PLANNED)
        visit.faults[:] = [one for one in visit.faults if not any(told in one for told in AWAY)]

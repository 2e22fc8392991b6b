"""The app: what a page takes cold, and fifty tablets that poll and save at once, on this machine's loopback alone."""

from __future__ import annotations

import asyncio
import os
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Awaitable, Iterator
from contextlib import contextmanager
from pathlib import Path

import httpx2
from attrs import field, frozen
from playwright.sync_api import Browser, sync_playwright

from standtrue.demo import write_demo

Row = tuple[str, str]

PAGE_MS, PAGE_KB = 250, 250
"""What was aimed at for a page that a browser never saw."""

TABLETS, MINUTES, P95_MS = 50, 5.0, 200
"""What was aimed at for tablets at work."""

POLLED_S, SAVED_S = 2.0, 6.0
"""How often a tablet asks what is new, and sends a reading."""

JOBS = ("corrow front", "nib windshield", "brask rear", "dromond alignment")
PAGES = ("/", "/records", "/start", "/api/v1/health")
COLD = 5
"""So many times is each page loaded by a new browser; the median counts."""


@frozen
class Running:
    """The app as its own process."""

    address: str
    pid: int

    def memory_mb(self) -> float:
        """What it holds in memory."""
        return self._status("VmRSS") / 1000

    def processor_s(self) -> float:
        """Processor time that it took so far."""
        told = Path(f"/proc/{self.pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
        return (int(told[11]) + int(told[12])) / os.sysconf("SC_CLK_TCK")

    def _status(self, name: str) -> int:
        lines = Path(f"/proc/{self.pid}/status").read_text(encoding="ascii").splitlines()
        return int(next(line for line in lines if line.startswith(name)).split()[1])


@frozen
class Times:
    """How long requests took, seconds, and those that went wrong."""

    polls: list[float] = field(factory=list)
    saves: list[float] = field(factory=list)
    wrong: list[str] = field(factory=list)


def measure(minutes: float = MINUTES) -> list[Row]:
    """The table's rows."""
    with running() as app:
        rows = list(_pages(app.address))
        rows += _tablets(app, minutes)
    return rows


@contextmanager
def running() -> Iterator[Running]:
    """The demonstration, served by a process of its own."""
    with tempfile.TemporaryDirectory() as folder:
        shop = Path(folder) / "shop"
        write_demo(shop)
        port = _free_port()
        command = [sys.executable, "-m", "standtrue", "serve", str(shop), "--port", str(port)]
        process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        try:
            address = f"http://127.0.0.1:{port}"
            _wait_for(address)
            yield Running(address, process.pid)
        finally:
            process.terminate()
            process.wait(10)


def _free_port() -> int:
    with socket.socket() as own:
        own.bind(("127.0.0.1", 0))
        return int(own.getsockname()[1])


def _wait_for(address: str) -> None:
    until = time.monotonic() + 60
    while time.monotonic() < until:
        try:
            if httpx2.get(f"{address}/api/v1/health").status_code == 200:
                return
        except httpx2.HTTPError:
            time.sleep(0.2)
    raise TimeoutError(address)


def _pages(address: str) -> Iterator[Row]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox"])
        for path in PAGES[:-1]:
            loads = sorted(_cold(browser, f"{address}{path}") for _ in range(COLD))
            took, size = loads[COLD // 2]
            yield (
                f"page {path} cold, in a browser",
                f"{took:.0f} ms, {size:.0f} kB ({PAGE_MS} ms, {PAGE_KB} kB aimed at)",
            )
        browser.close()
    taken = sorted(httpx2.get(f"{address}/").elapsed.total_seconds() for _ in range(20))
    yield "page /, the server alone, median", f"{1000 * taken[10]:.0f} ms"


def _cold(browser: Browser, address: str) -> tuple[float, float]:
    """How long a page takes that this browser never saw, ms, and how much of it came, kB."""
    context = browser.new_context()
    page = context.new_page()
    page.goto(address, wait_until="load")
    told: tuple[float, float] = tuple(
        page.evaluate(
            "(() => { const all = [...performance.getEntriesByType('navigation'),"
            " ...performance.getEntriesByType('resource')];"
            " return [all[0].loadEventStart, all.reduce((sum, one) => sum + one.transferSize, 0) / 1000] })()"
        )
    )
    context.close()
    return told


def _tablets(app: Running, minutes: float) -> list[Row]:
    times = Times()
    asyncio.run(_at_work(app, 0.2, Times()))  # everything was loaded once
    before, busy = app.memory_mb(), app.processor_s()
    asyncio.run(_at_work(app, minutes, times))
    busy, after = app.processor_s() - busy, app.memory_mb()
    count = len(times.polls) + len(times.saves)
    what = f"{TABLETS} tablets for {minutes:g} minutes"
    return [
        (f"{what}: requests, of which went wrong", f"{count:,}, {len(times.wrong)} {sorted(set(times.wrong))}"),
        (f"{what}: asked what is new, 95 of 100 at most", f"{_p95(times.polls):.0f} ms ({P95_MS} ms aimed at)"),
        (f"{what}: a reading kept, 95 of 100 at most", f"{_p95(times.saves):.0f} ms ({P95_MS} ms aimed at)"),
        (f"{what}: the server's memory before and after", f"{before:.0f} MB, {after:.0f} MB"),
        (f"{what}: the server's processor time a request", f"{1000 * busy / max(1, count):.1f} ms"),
    ]


async def _at_work(app: Running, minutes: float, times: Times) -> None:
    until = time.monotonic() + 60 * minutes
    await asyncio.gather(*(_tablet(app.address, number, until, times) for number in range(TABLETS)))


async def _tablet(address: str, number: int, until: float, times: Times) -> None:
    """One tablet, with an address of its own: it asks what is new of its job, and sends a reading now and then."""
    job, sent, next_save = JOBS[number % len(JOBS)], 0, time.monotonic() + SAVED_S * (number / TABLETS)
    transport = httpx2.AsyncHTTPTransport(local_address=f"127.0.0.{2 + number}")
    async with httpx2.AsyncClient(base_url=address, transport=transport, timeout=30) as client:
        await asyncio.sleep(POLLED_S * number / TABLETS)
        while time.monotonic() < until:
            begun = time.monotonic()
            await _timed(client.get("/api/v1/journal/entries", params={"job": job, "limit": 5}), times.polls, times)
            if time.monotonic() >= next_save:
                next_save, sent = next_save + SAVED_S, sent + 1
                asked = {"job": job, "what": "note", "text": f"tablet {number}: reading {sent} is {sent / 7:.4f} m"}
                key = {"Idempotency-Key": f"tablet-{number}-{sent}-{int(until)}"}
                await _timed(client.post("/api/v1/attachments", params=asked, headers=key), times.saves, times)
            await asyncio.sleep(max(0.0, POLLED_S - (time.monotonic() - begun)))


async def _timed(asked: Awaitable[httpx2.Response], into: list[float], times: Times) -> None:
    begun = time.monotonic()
    try:
        answer = await asked
        if answer.status_code not in (200, 201, 422):  # 422: nothing is kept of that job yet
            times.wrong.append(str(answer.status_code))
    except httpx2.HTTPError as error:
        times.wrong.append(repr(error))
    into.append(time.monotonic() - begun)


def _p95(taken: list[float]) -> float:
    return 1000 * sorted(taken)[int(0.95 * len(taken))] if taken else 0.0

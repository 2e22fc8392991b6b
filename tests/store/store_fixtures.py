"""A PostgreSQL server of the tests' own: one a process, in a folder of its own, and a new place in it for each test.

A machine without PostgreSQL fails these tests: `./check` installs it. Nothing of a server that may run already is
touched: the tests' own listens on a socket in its folder and nowhere else.
"""

from __future__ import annotations

import ctypes
import os
import pwd
import resource
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from itertools import count
from pathlib import Path
from typing import Any

import psycopg
import pytest
from attrs import define, field

from standtrue.store.database import Store, open_store

UNPRIVILEGED = ("postgres", "nobody")
"""As whom the server runs where the tests are run by root, under whom it refuses to."""

WITH_PARENT = 1
"""PR_SET_PDEATHSIG of Linux's prctl(2): the server ends when the tests do, however they end."""

PORT = 20_000 + os.getpid() % 12_000
"""What its socket is called by; on the network it listens in one test only."""

SETTINGS = {
    "port": str(PORT),
    "listen_addresses": "",
    "log_min_messages": "panic",
    "max_connections": "60",
    "shared_buffers": "16MB",
    # After a kill: the whole file system at once, not each of a thousand files.
    "recovery_init_sync_method": "syncfs",
}


@define
class Server:
    """The server: where its programs and its folder are, and as whom it runs."""

    programs: Path
    folder: Path
    user: str
    process: subprocess.Popen[Any] | None = None
    most: int | None = None
    _numbers: Iterator[int] = field(factory=count, init=False)

    def start(self, **more: str) -> None:
        """Start it, with more settings if need be, and wait until it answers."""
        said = [f"-c{name}={value}" for name, value in {**SETTINGS, **more}.items()]
        command = [str(self.programs / "postgres"), "-D", str(self.folder / "data"), "-k", str(self.folder), *said]
        started = self.process = subprocess.Popen(command, preexec_fn=self._prepare, **self._as_user())
        end = time.monotonic() + 30
        while not self._answers():
            assert started.poll() is None, "the server ended while it was starting"
            assert time.monotonic() < end, "the server does not answer"
            time.sleep(0.02)

    def stop(self, how: signal.Signals = signal.SIGINT) -> None:
        """End it: in order (SIGINT), or at once (SIGQUIT)."""
        assert self.process is not None
        self.process.send_signal(how)
        self.process.wait(60)

    def kill(self) -> None:
        """Kill all of it at once, as a machine that loses power would."""
        assert self.process is not None
        children = [int(p.parent.name) for p in Path("/proc").glob("[0-9]*/stat") if _parent(p) == self.process.pid]
        for process in (self.process.pid, *children):
            with suppress(ProcessLookupError):
                os.kill(process, signal.SIGKILL)
        self.process.wait(60)
        end = time.monotonic() + 30
        while any(_lives(child) for child in children):
            assert time.monotonic() < end, "a process of the server does not end"
            time.sleep(0.005)

    def limit_files(self, most: int | None) -> None:
        """Start it again, so that none of its files may grow beyond so many bytes; None: any size."""
        self.stop()
        self.most = most
        self.start()

    def new_place(self) -> str:
        """The address of a new schema with nothing in it: that is made in a tenth of the time of a database."""
        name = f"shop_{next(self._numbers)}"
        self.say(f"CREATE SCHEMA {name}")
        return f"{self.url('postgres')}&options=-csearch_path%3D{name}"

    def drop(self, place: str) -> None:
        """Remove what `new_place` made, and all that is in it."""
        self.say(f"DROP SCHEMA {place.rpartition('%3D')[2]} CASCADE")

    def url(self, name: str) -> str:
        return f"postgresql://{self.user}@/{name}?host={self.folder}&port={PORT}"

    def initialize(self) -> None:
        """Make the cluster, with checksums of all its pages."""
        command = [
            str(self.programs / "initdb"),
            "-D",
            str(self.folder / "data"),
            "-k",
            "-A",
            "trust",
            "-E",
            "UTF8",
            "--no-sync",
        ]
        subprocess.run([*command, "--locale=C"], check=True, **self._as_user())

    def say(self, command: str) -> None:
        """Let the server do something, each command by itself."""
        with psycopg.connect(self.url("postgres"), autocommit=True) as connection:
            connection.execute(command.encode())

    def _answers(self) -> bool:
        try:
            psycopg.connect(self.url("postgres")).close()
        except psycopg.OperationalError:
            return False
        return True

    def _prepare(self) -> None:
        """What the new process does before it becomes the server."""
        ctypes.CDLL(None).prctl(WITH_PARENT, signal.SIGQUIT)
        if self.most is not None:
            resource.setrlimit(resource.RLIMIT_FSIZE, (self.most, resource.getrlimit(resource.RLIMIT_FSIZE)[1]))

    def _as_user(self) -> dict[str, Any]:
        quiet: dict[str, Any] = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, "cwd": self.folder}
        return {**quiet, "user": self.user, "group": pwd.getpwnam(self.user).pw_gid} if os.getuid() == 0 else quiet


def _parent(stat: Path) -> int:
    """The parent of a process, by the fourth field of its proc(5) stat file; 0 if it ended meanwhile."""
    try:
        return int(stat.read_text(encoding="utf-8").rpartition(")")[2].split()[1])
    except (OSError, IndexError):
        return 0


def _lives(process: int) -> bool:
    """Whether a process runs; one that ended and that nobody waited for does not."""
    try:
        return Path(f"/proc/{process}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


def _programs() -> Path:
    """The folder of Debian's newest PostgreSQL, or of the one on the path."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin"), key=lambda p: int(p.parent.name))
    on_path = shutil.which("initdb")
    if on_path is not None:
        return Path(on_path).resolve().parent
    assert found, "these tests need PostgreSQL: apt-get install postgresql"
    return found[-1]


def _user() -> str:
    me = pwd.getpwuid(os.getuid()).pw_name
    return me if os.getuid() else next(p.pw_name for name in UNPRIVILEGED for p in pwd.getpwall() if p.pw_name == name)


@contextmanager
def new_server() -> Iterator[Server]:
    """A server, started; it is stopped and removed behind it."""
    server = Server(_programs(), Path(tempfile.mkdtemp(prefix="standtrue-")), _user())
    shutil.chown(server.folder, server.user)
    try:
        server.initialize()
        server.start()
        yield server
        server.stop(signal.SIGQUIT)
    finally:
        if server.process is not None and server.process.poll() is None:
            server.process.kill()
            server.process.wait(60)
        shutil.rmtree(server.folder)


@pytest.fixture(scope="session")
def postgresql() -> Iterator[Server]:
    """The server of this process of the tests."""
    with new_server() as server:
        yield server


@pytest.fixture
def database(postgresql: Server) -> Iterator[str]:
    """The address of a place in PostgreSQL where nothing is yet."""
    url = postgresql.new_place()
    yield url
    postgresql.drop(url)


@pytest.fixture(params=["sqlite", "postgresql"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Where a new store may be made: a file of SQLite, then a place in PostgreSQL."""
    url = request.getfixturevalue("database") if request.param == "postgresql" else str(tmp_path / "standtrue.db")
    return str(url)


@pytest.fixture
def store(place: str) -> Iterator[Store]:
    """A new, empty store, of either kind."""
    with open_store(place, make=True) as made:
        yield made

"""What every test of a command is given; and long tests that go on where they were cut off.

With `--resume FILE` those that passed are noted there, and left out the next time.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from accounts_fixtures import own_store, quick, slow_hashes
from command_runner import Run, runner
from house_fixtures import of_this_run, spanish, us
from kept_answers import commands_ask_once, keep_in
from page_browser import chromium
from standtrue.demo import write_demo
from store_fixtures import database, place, postgresql, store

__all__ = [
    "database",
    "of_this_run",
    "own_store",
    "place",
    "postgresql",
    "quick",
    "slow_hashes",
    "spanish",
    "store",
    "us",
]
"""Fixtures of the house: a folder of tests can have no conftest of its own beside this one and be type-checked."""


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--resume", type=Path, help="note what passed in this file, and leave out what it notes")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out what is noted already."""
    kept: Path | None = config.getoption("--resume")
    done = set(kept.read_text(encoding="utf-8").splitlines()) if kept is not None and kept.exists() else set()
    gone = [item for item in items if item.nodeid in done]
    if gone:
        config.hook.pytest_deselected(items=gone)
        items[:] = [item for item in items if item.nodeid not in done]


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> Iterator[None]:
    """Note a test as soon as it has passed, so that a kill loses the running ones only."""
    report = yield
    kept: Path | None = item.config.getoption("--resume")
    if kept is not None and report is not None and report.when == "call" and report.passed:
        with kept.open("a", encoding="utf-8") as file:
            file.write(f"{item.nodeid}\n")
    return report


@pytest.fixture(scope="session", autouse=True)
def nobody_set_anything(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Whoever runs the tests may have set units and language for themselves: that counts for no test."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CONFIG_HOME", str(tmp_path_factory.mktemp("config")))
        yield


@pytest.fixture(scope="session", autouse=True)
def answers_of_this_run(of_this_run: Path) -> None:
    """Where `kept_answers` keeps them."""
    keep_in(of_this_run / "answers")


@pytest.fixture
def asked_once() -> Iterator[None]:
    """The test looks at what is made of answers: where another was answered the same already, commands take that."""
    with commands_ask_once():
        yield


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    return runner(capsys, monkeypatch)


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demonstration shop: a test that changes it does so in a copy."""
    folder = tmp_path_factory.mktemp("shop")
    write_demo(folder)
    return folder


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with chromium() as started:
        yield started

"""What every test of a command is given."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from command_runner import Run, runner
from page_browser import chromium
from standtrue.demo import write_demo


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

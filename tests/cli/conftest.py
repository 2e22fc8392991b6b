"""What every test of a command is given."""

from __future__ import annotations

from pathlib import Path

import pytest

from command_runner import Run, runner
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

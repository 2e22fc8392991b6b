"""Long tests can be resumed: with `--resume FILE` those that passed are noted there, and left out the next time."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest


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

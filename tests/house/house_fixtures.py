"""What every command answers, for whichever test of the house asks: once for all processes of a run."""

from __future__ import annotations

from pathlib import Path

import pytest

from house_commands import answered_once


@pytest.fixture(scope="session")
def of_this_run(tmp_path_factory: pytest.TempPathFactory, request: pytest.FixtureRequest) -> Path:
    """A folder that all processes of this run of the tests have in common."""
    own = tmp_path_factory.getbasetemp()
    return own.parent if hasattr(request.config, "workerinput") else own


@pytest.fixture(scope="session")
def us(of_this_run: Path) -> dict[str, dict[str, str]]:
    """Everything that every command says to a reader of feet and inches."""
    return answered_once(of_this_run, units="us", language="en")


@pytest.fixture(scope="session")
def spanish(of_this_run: Path) -> dict[str, dict[str, str]]:
    """Everything that every command says to a reader of Spanish."""
    return answered_once(of_this_run, units="metric", language="es")

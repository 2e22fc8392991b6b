"""The tutorial, run: every command in a console block of it ends as told, in the order in which it stands there.

With exit status 0, or with the one that the comment behind it names: `# exit status 4`. Files are changed with `sed`,
copied with `cp`.
"""

from __future__ import annotations

import re
import shlex
import shutil
import subprocess
from pathlib import Path

import pytest

from command_runner import runner
from kept_answers import commands_ask_once
from standtrue.cli.pages import at_home, page_files, shown
from standtrue.show.words.command_pages import PAGES

DOCS = Path(__file__).parents[2] / "docs"
TUTORIALS = [*sorted((DOCS / "tutorial").glob("*.md")), DOCS / "how-to" / "card.md"]
HOW = "run: python -m standtrue.cli.pages docs"


@pytest.fixture(scope="session")
def demonstration(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """The folder that the command of its page writes, planned and drawn once for all tutorials; and what it says."""
    home = tmp_path_factory.mktemp("demonstration")
    page = next(page for page in PAGES if page.name == "demo")
    with at_home(home), commands_ask_once():
        return home / "shop", shown(page)


def test_the_page_of_the_demonstration_is_current(demonstration: tuple[Path, str]) -> None:
    page = next(page for page in PAGES if page.name == "demo")
    for name, text in page_files(page, demonstration[1]).items():
        assert (DOCS / name).read_text(encoding="utf-8") == text, HOW


@pytest.mark.usefixtures("asked_once")
def dedented(text: str) -> str:
    """A page with what stands within a list moved out to the left."""
    return re.sub(r"^ +(?=```|\$ )", "", text, flags=re.MULTILINE)


@pytest.mark.parametrize("page", TUTORIALS, ids=lambda page: page.stem)
def test_the_tutorial_runs(
    page: Path,
    demonstration: tuple[Path, str],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(tmp_path)
    run = runner(capsys, monkeypatch)
    blocks = re.findall(r"```console\n(.*?)```", dedented(page.read_text(encoding="utf-8")), flags=re.DOTALL)
    lines = [line[2:] for block in blocks for line in block.replace("\\\n", " ").splitlines() if line.startswith("$ ")]
    assert lines
    for line in lines:
        program, *words = shlex.split(line, comments=True)
        told = re.search(r"# exit status (\d)$", line)
        if program in ("sed", "cp"):
            subprocess.run([program, *words], check=True)
            continue
        assert program == "standtrue", line
        if words == ["demo", "shop"]:
            shutil.copytree(demonstration[0], "shop")
            continue
        ran = run(*words)
        assert ran.status == (int(told[1]) if told else 0), f"{line}\n{ran.err}"

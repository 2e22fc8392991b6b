"""The tutorial, run: every command in a console block of it ends as told, in the order in which it stands there.

With exit status 0, or with the one that the comment behind it names: `# exit status 4`.
"""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from command_runner import runner

TUTORIALS = sorted((Path(__file__).parents[2] / "docs" / "tutorial").glob("*.md"))


@pytest.mark.parametrize("page", TUTORIALS, ids=lambda page: page.stem)
def test_the_tutorial_runs(
    page: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    run = runner(capsys, monkeypatch)
    blocks = re.findall(r"```console\n(.*?)```", page.read_text(encoding="utf-8"), flags=re.DOTALL)
    lines = [line[2:] for block in blocks for line in block.replace("\\\n", " ").splitlines() if line.startswith("$ ")]
    assert lines
    for line in lines:
        program, *words = shlex.split(line, comments=True)
        told = re.search(r"# exit status (\d)$", line)
        assert program == "standtrue", line
        ran = run(*words)
        assert ran.status == (int(told[1]) if told else 0), f"{line}\n{ran.err}"

"""At 80 and at 120 columns, in a pipe: nothing of an answer is cut off, whatever the widths of its columns."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest
from rich.console import Console

from command_runner import Run
from standtrue.cli import output
from standtrue.documents import write_starter
from standtrue.show.words.blocks import Block, Lines
from standtrue.show.words.setting import set_blocks

ASKED: dict[str, tuple[str, ...]] = {
    "read": ("read", "SHOP"),
    "needs": ("needs", "SHOP", "--why"),
    "place": ("place", "SHOP", "--vehicle", "Pellworth Carder", "--why"),
    "job": ("job", "SHOP"),
    "plan": ("plan", "SHOP", "--no-alternatives"),
    "plan, why": ("plan", "SHOP", "--no-alternatives", "--why"),
    "targets": ("targets", "SHOP", "--why"),
    "measured": ("measured", "SHOP", "--why"),
    "alignment": ("alignment", "SHOP"),
    "loads": ("loads", "SHOP"),
    "set": ("set",),
}


@pytest.fixture(scope="module")
def starter(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("starter")
    write_starter(folder)
    return folder


@pytest.mark.parametrize("name", ASKED)
def test_nothing_is_cut_off(run: Run, starter: Path, monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    """Every letter and figure of every cell and line is printed, and no line is wider than the screen."""
    told: list[Block] = []

    def note(blocks: Iterable[Block], console: Console) -> None:
        told.extend(kept := list(blocks))
        set_blocks(kept, console)

    monkeypatch.setattr(output, "set_blocks", note)
    for width in (output.NARROW, output.WIDE):
        monkeypatch.setattr(output, "NARROW", width)
        monkeypatch.setattr(output, "WIDE", width)
        told.clear()
        said = run(*(word.replace("SHOP", str(starter)) for word in ASKED[name])).out
        assert Counter(filter(str.isalnum, said)) == Counter(filter(str.isalnum, "".join(texts(told))))
        headings = {block.heading for block in told if isinstance(block, Lines)}
        assert all(len(line) <= width for line in said.splitlines() if line not in headings)


def texts(blocks: Iterable[Block]) -> Iterator[str]:
    for block in blocks:
        if isinstance(block, Lines):
            yield from (block.heading, *block.lines)
        else:
            yield from (*block.columns, *(cell for row in block.rows for cell in row), getattr(block, "title", ""))

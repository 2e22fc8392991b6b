"""Every command that a page writes out is one, with options that it has."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from pathlib import Path

from standtrue.cli.program import program

ROOT = Path(__file__).parents[2]
PAGES = sorted(page for page in [*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md")] if page.name != "CHANGELOG.md")
WRITTEN = re.compile(r"(?:\$ |`|^    )standtrue ([a-z]+)((?:\\\n|[^`\n])*)", re.MULTILINE)
OPTION = re.compile(r"(?<![\w-])--[a-z][a-z-]*")


def test_every_command_and_option_is_there() -> None:
    written = [(page, *found) for page in PAGES for found in WRITTEN.findall(page.read_text(encoding="utf-8"))]
    assert len(written) > 60
    wrong = [f"{page.relative_to(ROOT)}: {name}{rest}" for page, name, rest in written if not _is_there(name, rest)]
    assert not wrong, "\n".join(wrong)


def _is_there(name: str, rest: str) -> bool:
    command = program().get_command(None, name) if name in program().list_commands(None) else None
    own = rest.partition("#")[0]
    return command is not None and set(OPTION.findall(own)) <= {*_options(command.params), "--help"}


def _options(params: Sequence[object]) -> Iterator[str]:
    for param in params:
        yield from (*getattr(param, "opts", ()), *getattr(param, "secondary_opts", ()))

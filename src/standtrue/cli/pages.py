"""Writes the page of each command, with its picture, into `docs/`: `python -m standtrue.cli.pages docs`.

Each command is run as it stands on its page, on the demonstration shop.
"""

from __future__ import annotations

import contextlib
import datetime
import io
import os
import re
import shlex
import socket
import sys
import tempfile
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from unittest.mock import patch

from standtrue.cli import main
from standtrue.cli.slim import slim
from standtrue.show.words import help as words
from standtrue.show.words.command_pages import CARS, PAGES, STORE_PAGES, CommandPage, command_page, commands_index
from standtrue.show.words.preference import VARIABLES
from standtrue.web import serving

SETTINGS = "~/.config"
"""Where a person's settings lie, as a page tells it; nothing lies there."""

COMMANDS, PICTURES = "commands", "pictures/commands"


def pages(home: Path) -> dict[str, str]:
    """Every generated file, by its path below `docs`. The commands run in the folder `home`, one after another."""
    files = index_file()
    with at_home(home):
        Path("cars.csv").write_text(CARS, encoding="utf-8")
        for page in PAGES:
            files |= page_files(page, shown(page))
        files |= store_files()
    return files


def store_files() -> dict[str, str]:
    """The pages of the commands on a store, asked one after another of a demonstration shop in the folder `shop`."""
    said = [(page, shown(page)) for page in STORE_PAGES]
    return {name: text for page, told in said for name, text in page_files(page, _ever(told)).items()}


def _ever(said: str) -> str:
    """What is said the same at any time: without moments, today, and digests, which are salted."""
    said = re.sub(r"\b[0-9a-f]{4}( [0-9a-f]{4}){15}\b", "0123 4567 ... ef01", said)
    said = re.sub(r"\d{4}-\d\d-\d\dT[\d:.]+Z", "2026-03-02T14:10:00.000Z", said)
    return said.replace(datetime.datetime.now(datetime.UTC).date().isoformat(), "2026-03-02")


def page_files(page: CommandPage, said: str) -> dict[str, str]:
    """The page of a command that said this, and its picture, as they lie below `docs`."""
    files = {f"{COMMANDS}/{page.name}.md": command_page(page, words.COMMANDS[page.name], said.splitlines())}
    if page.picture:
        files[f"{PICTURES}/{page.picture}"] = slim(Path(page.picture).read_text(encoding="utf-8"))
    return files


def index_file() -> dict[str, str]:
    """The list of all commands."""
    groups = [
        (title, [(name, words.COMMANDS[name]) for name in names if name not in words.ALIASES])
        for title, names in words.GROUPS.items()
    ]
    return {f"{COMMANDS}/README.md": commands_index(groups)}


def shown(page: CommandPage) -> str:
    """What a command shows in a terminal: its answer, and what it tells beside it."""
    said = io.StringIO()
    before, sys.argv = sys.argv, ["standtrue", *shlex.split(page.typed)]
    try:
        with (
            served_and_ended(),
            contextlib.redirect_stdout(said),
            contextlib.redirect_stderr(said),
            contextlib.suppress(SystemExit),
        ):
            main()
    finally:
        sys.argv = before
    return said.getvalue()


@contextlib.contextmanager
def served_and_ended() -> Iterator[None]:
    """`serve` tells its address, at the port asked for whoever else has it, and ends there."""
    with patch.multiple(serving, free_socket=_port_asked_for, serve=_told_only):
        yield


def _port_asked_for(_: str, port: int) -> tuple[socket.socket, int]:
    return socket.socket(), port


def _told_only(_: object, own: socket.socket, told: Callable[[], None], *__: object) -> None:
    told()
    own.close()


@contextlib.contextmanager
def at_home(folder: Path) -> Iterator[None]:
    """In a folder, for a reader who said nothing."""
    kept = dict(os.environ)
    for name in VARIABLES.values():
        os.environ.pop(name, None)
    os.environ["XDG_CONFIG_HOME"] = SETTINGS
    try:
        with contextlib.chdir(folder):
            yield
    finally:
        os.environ.clear()
        os.environ.update(kept)


def write(folder: Path, files: Mapping[str, str]) -> None:
    """Write the files below `folder`."""
    for name, text in files.items():
        file = folder / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as home:
        write(Path(sys.argv[1] if len(sys.argv) > 1 else "docs"), pages(Path(home)))

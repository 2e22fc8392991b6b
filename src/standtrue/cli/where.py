"""Where the shop of a folder is, and who asks: --store, --files and --by of every command about a shop folder."""

from __future__ import annotations

import getpass
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path
from typing import Annotated

import typer
import typer.core
from attrs import evolve, frozen

from standtrue.cli import output
from standtrue.cli.reader import reader, unexposed
from standtrue.model.shop import Shop
from standtrue.show.words.preference import from_environment, from_settings, personal
from standtrue.work.where import Where


@frozen
class _Said:
    store: str | None = None
    files: bool = False
    by: str | None = None


_said: ContextVar[_Said] = ContextVar("said", default=_Said())  # noqa: B039 - frozen


@contextmanager
def said_anew() -> Iterator[None]:
    """What one run of the program said of a store does not outlive it."""
    token = _said.set(_Said())
    try:
        yield
    finally:
        _said.reset(token)


def where() -> Where:
    """Where the shop of a folder is looked for: as the options say; else in the folder; else as the person says."""
    said = _said.get()
    return Where(said.store, said.files, personal().store)


def by() -> str:
    """Who asks: by the option, the environment or the person's settings; else who is logged in."""
    return _said.get().by or from_environment().by or from_settings().by or getpass.getuser()


def open_shop(folder: Path, *, mix_to_come: str | None = None) -> Shop:
    """The shop of a folder, as the options say where it is; what of the folder is not as stored is told at once, for an
    answer in short only counts its notes. Raises UnansweredError."""
    from standtrue.work.ask import open_shop as open_there  # what a shop takes is not loaded to complete a name of it

    shop = open_there(folder, where(), mix_to_come=mix_to_come)
    output.tell_all(reader(shop).reasons(shop.apart))
    return shop


def store_options() -> list[typer.core.TyperOption]:
    """The three options, to be added to every command about a shop folder."""

    def ask_where(
        store: Annotated[str | None, typer.Option("--store", callback=_ask_store, metavar="STORE")] = None,
        files: Annotated[bool, typer.Option("--files", callback=_ask_files)] = False,
        by: Annotated[str | None, typer.Option("--by", callback=_ask_by, metavar="NAME")] = None,
    ) -> None:
        del store, files, by

    return unexposed(ask_where)


def _ask_store(value: str | None) -> str | None:
    _said.set(evolve(_said.get(), store=value))
    return value


def _ask_files(value: bool) -> bool:
    _said.set(evolve(_said.get(), files=value))
    return value


def _ask_by(value: str | None) -> str | None:
    _said.set(evolve(_said.get(), by=value))
    return value

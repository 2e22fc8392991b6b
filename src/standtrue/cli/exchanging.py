"""The commands that carry documents between a folder and a store, and tell what became of them."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Annotated

import typer

from standtrue.cli import output
from standtrue.cli.interrupt import unbroken
from standtrue.cli.options import FolderArg, JsonOpt
from standtrue.cli.reader import reader
from standtrue.cli.where import by, where
from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import because
from standtrue.show.answers.exchange import of_export, of_history, of_import, of_taken_in
from standtrue.show.answers.kept import said_of
from standtrue.show.words.exchange import export_blocks, history_blocks, import_blocks
from standtrue.work.exchange.folders import history_of, take_in, write_out


def add_to(app: typer.Typer) -> None:
    """Add the commands to the program."""
    app.command("import")(import_)
    app.command()(export)
    app.command()(history)


def import_(
    folder: FolderArg,
    seen: Annotated[list[str] | None, typer.Option("--seen", metavar="KIND/NAME=VERSION")] = None,
    json: JsonOpt = False,
) -> None:
    """Take a folder's documents into its store: all of it, or nothing where some were changed in both."""
    versions = dict(_seen(said) for said in seen or ())
    with unbroken():
        taken = take_in(folder, where(), by(), versions, lambda one: said_of(of_taken_in(one)))
    if json:
        output.print_json(output.json_text(of_import(taken).to_json()))
    else:
        output.show(import_blocks(taken, reader()))
    if taken.stale:
        raise typer.Exit(output.EXIT_BAD_INPUT)


def export(folder: FolderArg, target: Annotated[Path, typer.Argument()], json: JsonOpt = False) -> None:
    """Write a store's documents into a folder, byte for byte."""
    with unbroken():
        written = write_out(folder, target, where())
    if json:
        output.print_json(output.json_text(of_export(written).to_json()))
    else:
        output.show(export_blocks(written, reader()))


def history(
    folder: FolderArg,
    kind: Annotated[str | None, typer.Option("--kind", metavar="KIND")] = None,
    name: Annotated[str | None, typer.Option("--name", metavar="NAME")] = None,
    json: JsonOpt = False,
) -> None:
    """Every version of the documents in a store, in the order of time."""
    versions = history_of(folder, where(), kind, name)
    if json:
        output.print_json(output.json_text(of_history(versions).to_json()))
    else:
        output.show(history_blocks(versions, reader()))


def _seen(said: str) -> tuple[str, int]:
    """A document and its version, as --seen gives them. Raises UnansweredError."""
    found = re.fullmatch(r"(.+)=([1-9][0-9]{0,8})", said)
    if found is None:
        what, remedy = because("no-version-seen"), because("write-version-seen", example="vehicle/NAME=3")
        raise UnansweredError([Fault("unknown-word", what, "", "--seen", said, remedy)])
    return found[1], int(found[2])

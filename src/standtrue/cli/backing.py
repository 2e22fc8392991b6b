"""The commands that copy a store away and back, move it, and take a customer's data out of it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from standtrue.cli import output
from standtrue.cli.interrupt import unbroken
from standtrue.cli.options import FolderArg, JobOpt, JsonOpt
from standtrue.cli.reader import reader
from standtrue.cli.recording import only_job, place_of
from standtrue.cli.where import by, open_shop
from standtrue.show.answers.backup import of_copied, of_removed, of_rule
from standtrue.show.answers.kept import said_of
from standtrue.show.words.backup import copied_blocks, removed_blocks, rule_blocks
from standtrue.work.backup.copies import Copied, back_up
from standtrue.work.backup.copies import move as move_there
from standtrue.work.backup.copies import restore as restore_there
from standtrue.work.backup.removing import remove as take_out
from standtrue.work.backup.removing import set_rule

BecauseOpt = Annotated[str, typer.Option("--because")]


def add_to(app: typer.Typer) -> None:
    """Add the commands to the program."""
    for command in (backup, restore, move, remove):
        app.command()(command)


def backup(
    folder: FolderArg, out: Annotated[Path, typer.Option("--out", metavar="FILE")], json: JsonOpt = False
) -> None:
    """Copy a store into one file while others go on writing. Exits with status 4 where it is not whole."""
    with unbroken():
        copied = back_up(place_of(folder), out)
    _give(copied, json)
    output.end(no=bool(copied.wrong), unsure=False)


def restore(
    file: Annotated[Path, typer.Argument(metavar="FILE")],
    target: Annotated[str, typer.Argument(metavar="FOLDER|STORE")],
    json: JsonOpt = False,
) -> None:
    """Make a store of a backup, where there is none yet."""
    with unbroken():
        copied = restore_there(file, target)
    _give(copied, json)


def move(folder: FolderArg, to: Annotated[str, typer.Option("--to", metavar="STORE")], json: JsonOpt = False) -> None:
    """Move a store to a server, or back into a file."""
    with unbroken():
        copied = move_there(place_of(folder), to)
    _give(copied, json)


def remove(
    folder: FolderArg,
    because: BecauseOpt,
    job: JobOpt = None,
    keep_years: Annotated[float | None, typer.Option("--keep-years", min=0.0)] = None,
    json: JsonOpt = False,
) -> None:
    """Take a job's data out of a store, or say for how long jobs are kept."""
    place, who = place_of(folder), reader()
    if keep_years is not None:
        with unbroken():
            rule, _ = set_rule(place, keep_years, because, by(), lambda one: said_of(of_rule(one)))
        if job is None:
            if json:
                output.print_json(output.json_text(of_rule(rule).to_json()))
            else:
                output.show(rule_blocks(rule, who))
            return
    named, shop = job or only_job(place, ()), open_shop(folder)
    with unbroken():
        removed, _ = take_out(place, shop, named, because, by(), lambda one: said_of(of_removed(one)))
    if json:
        output.print_json(output.json_text(of_removed(removed).to_json()))
    else:
        output.show(removed_blocks(removed, who))


def _give(copied: Copied, json: bool) -> None:
    if json:
        output.print_json(output.json_text(of_copied(copied).to_json()))
    else:
        output.show(copied_blocks(copied, reader()))

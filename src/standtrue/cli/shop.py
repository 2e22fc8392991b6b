"""The commands that read and write whole shop folders."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Annotated

import typer

from standtrue.cli import output, planning
from standtrue.cli.files import Files
from standtrue.cli.interrupt import unbroken
from standtrue.cli.options import FolderArg, JsonOpt
from standtrue.cli.reader import reader
from standtrue.cli.where import where
from standtrue.show.answers.read import of_read
from standtrue.show.words.basis import basis_blocks
from standtrue.show.words.command_line import demo_written, rules_written, shop_begun
from standtrue.show.words.read import read_blocks
from standtrue.work.ask import open_shop as open_files
from standtrue.work.shop.folders import MAIN_JOB, new_demo, new_rules, new_shop, read_shop


def add_to(app: typer.Typer) -> None:
    """Add the commands to the program."""
    for command in (read, demo, new, rules):
        app.command()(command)


def read(folder: FolderArg, json: JsonOpt = False) -> None:
    """Read a shop folder and report every document and every fault in it."""
    shop = read_shop(folder, where())
    if json:
        output.print_json(output.json_text(of_read(shop).to_json()))
        return
    who = reader(shop.shop)
    output.show(read_blocks(shop, who))
    output.show(basis_blocks(shop.rest, who))


def demo(
    folder: Annotated[Path, typer.Argument()] = Path("demo-shop"),
    answer_last: Annotated[bool, typer.Option("--answer-last", hidden=True)] = False,
) -> None:
    """Write the invented demonstration shop into a folder, and plan one of its jobs with pictures and a page."""
    with unbroken():
        files = new_demo(folder)
    who = reader()
    output.tell(demo_written(len(files), folder, who))
    answer = planning.ask_plan(open_files(folder), MAIN_JOB, who)
    pictures = folder / "pictures"
    planning.tell_demo(answer, who, Files((pictures / "plan.html", pictures / "plan.svg")), answer_last=answer_last)


def new(folder: Annotated[Path, typer.Argument()]) -> None:
    """Write a small commented shop folder to start your own from."""
    with unbroken():
        files = new_shop(folder)
    output.tell_all(shop_begun(len(files), folder, reader()))
    _tell_files(files)


def rules(folder: Annotated[Path, typer.Argument()]) -> None:
    """Write the default rules into a shop folder, to change them there."""
    with unbroken():
        files = new_rules(folder)
    output.tell(rules_written(reader()))
    _tell_files(files)


def _tell_files(files: Iterable[Path]) -> None:
    for file in files:
        output.print_text(f"{file}\n")

"""The command that makes a car mix of a table."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from standtrue.cli.files import asked_files, one
from standtrue.cli.giving import give
from standtrue.cli.interrupt import unbroken
from standtrue.cli.options import JsonOpt, OutOpt
from standtrue.cli.reader import reader as asked_reader
from standtrue.cli.where import open_shop
from standtrue.model.basis import Basis
from standtrue.show.answers.mix import aside_csv, of_mix
from standtrue.show.words.blocks import Told
from standtrue.show.words.mix import mix_blocks
from standtrue.work.mix.files import read_table, write_mix
from standtrue.work.mix.table import read_mix_table


def add_to(app: typer.Typer) -> None:
    """Add the command to the program."""
    app.command()(mix)


def mix(
    file: Annotated[Path, typer.Argument()],
    folder: Annotated[Path, typer.Argument()],
    name: Annotated[str, typer.Option("--name")] = "car mix",
    column: Annotated[list[str] | None, typer.Option("--column")] = None,
    unit: Annotated[str, typer.Option("--unit")] = "",
    out: OutOpt = None,
    demonstration: Annotated[bool, typer.Option("--demonstration")] = False,
    json: JsonOpt = False,
) -> None:
    """Make a car mix, and documents of its cars, from a table. Rows that cannot be meant are set aside, and listed."""
    asked = asked_files(out, ".csv")
    reader = asked_reader()
    known = open_shop(folder, mix_to_come=name) if folder.is_dir() else None
    table = read_mix_table(read_table(file), name, column or (), unit, known, demonstration)
    with unbroken():
        files = write_mix(table, folder)
    give(
        lambda: Told(tuple(mix_blocks(table, len(files), str(folder), reader))),
        Basis(),
        reader,
        shape=lambda: of_mix(table, map(str, files)),
        json=json,
        files=asked,
        makers={".csv": one(lambda: aside_csv(table, reader))},
    )

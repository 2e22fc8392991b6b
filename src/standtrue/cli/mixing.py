"""The command that makes a car mix of a table."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from standtrue.cli import output
from standtrue.cli.files import known_ending, write_file
from standtrue.cli.options import JsonOpt, UnitsOpt
from standtrue.show.answers.mix import aside_csv, of_mix
from standtrue.show.words.mix import mix_blocks
from standtrue.show.words.reader import Reader
from standtrue.work.ask import open_shop
from standtrue.work.mix.files import read_table, write_mix
from standtrue.work.mix.table import read_mix_table


def add_to(app: typer.Typer) -> None:
    """Add the command to the program."""
    app.command()(mix)


def mix(
    file: Annotated[Path, typer.Argument(help="The table, as CSV with a heading line.")],
    folder: Annotated[Path, typer.Argument(help="The shop folder that the documents are written into.")],
    name: Annotated[str, typer.Option("--name", help="The mix's name.")] = "car mix",
    column: Annotated[
        list[str] | None,
        typer.Option("--column", help="What a column means: FIELD=HEADING or FIELD=HEADING:UNIT. May be repeated."),
    ] = None,
    unit: Annotated[str, typer.Option("--unit", help="The unit of bare lengths: m, cm, mm, ft or in.")] = "",
    set_aside: Annotated[
        Path | None, typer.Option("--set-aside", help="Write the rows that were set aside into this .csv file.")
    ] = None,
    demonstration: Annotated[bool, typer.Option("--demonstration", help="Mark the documents as invented.")] = False,
    units: UnitsOpt = "metric",
    json: JsonOpt = False,
) -> None:
    """Make a car mix, and documents of its cars, from a table. Rows that cannot be meant are set aside, and listed."""
    known_ending(set_aside, (".csv",), "--set-aside")
    reader = Reader(units)
    known = open_shop(folder) if folder.is_dir() else None
    table = read_mix_table(read_table(file), name, column or (), unit, known, demonstration)
    files = write_mix(table, folder)
    if set_aside is not None:
        write_file(set_aside, aside_csv(table, reader).encode(), reader.say("Set aside: {file}", file=str(set_aside)))
    if json:
        output.print_json(of_mix(table, map(str, files)).to_json())
        return
    output.show(mix_blocks(table, len(files), str(folder), reader))

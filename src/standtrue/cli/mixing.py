"""The command that makes a car mix of a table."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer
from rich.markup import escape

from standtrue.cli import output
from standtrue.cli.options import JsonOpt
from standtrue.cli.studying import known_ending, write_file
from standtrue.documents import read_folder
from standtrue.model.basics import Fault
from standtrue.work.ask import UnansweredError, sound
from standtrue.work.mix.files import aside_csv, write_mix
from standtrue.work.mix.table import MixTable, read_mix_table

MOST_SHOWN = 40
LARGEST_BYTES = 50_000_000


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
    json: JsonOpt = False,
) -> None:
    """Make a car mix, and documents of its cars, from a table. Rows that cannot be meant are set aside, and listed."""
    known_ending(set_aside, (".csv",), "--set-aside")
    known = sound(read_folder(folder)) if folder.is_dir() else None
    table = read_mix_table(_text(file), name, column or (), unit, known, demonstration)
    try:
        files = write_mix(table, folder)
    except OSError as error:
        remedy = "give the mix another --name, or a folder that you may write to"
        raise UnansweredError([Fault("unwritable", str(error), str(folder), "", "", remedy)]) from None
    if set_aside is not None:
        write_file(set_aside, aside_csv(table).encode(), "Set aside")
    if json:
        output.print_json(_told(table, files))
        return
    _show(table, files, folder)


def _text(file: Path) -> str:
    try:
        if file.stat().st_size > LARGEST_BYTES:
            remedy = f"give at most {LARGEST_BYTES} bytes"
            raise UnansweredError([Fault("too-large", "the table is too large to be meant", str(file), "", "", remedy)])
        return file.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        code = "not-utf8" if isinstance(error, UnicodeDecodeError) else "unreadable"
        remedy = "save it as CSV in UTF-8" if code == "not-utf8" else "name a file that you may read"
        raise UnansweredError([Fault(code, f"the table cannot be read: {error}", str(file), "", "", remedy)]) from None


def _told(table: MixTable, files: tuple[Path, ...]) -> dict[str, Any]:
    return {
        "mix": table.mix["name"],
        "files": [str(file) for file in files],
        "rows": table.rows,
        "counted": table.counted,
        "known": list(table.known),
        "columns": [{"field": c.field, "heading": c.heading, "unit": c.unit or None} for c in table.columns],
        "ignored": list(table.ignored),
        "set_aside": [{"line": a.line, "name": a.name, "why": a.why} for a in table.aside],
        "warnings": list(table.notes),
    }


def _show(table: MixTable, files: tuple[Path, ...], folder: Path) -> None:
    console = output.out()
    columns = output.table("What the columns mean", "column", "means", "unit")
    for c in table.columns:
        columns.add_row(escape(c.heading), c.field, escape(c.unit or "as written"))
    for heading in table.ignored:
        columns.add_row(escape(heading), "not used", "")
    console.print(columns)
    if table.aside:
        aside = output.table("Set aside: these rows do not count", "line", "car", "why")
        for one in table.aside[:MOST_SHOWN]:
            aside.add_row(str(one.line), escape(one.name), escape(one.why))
        console.print(aside)
        more = len(table.aside) - MOST_SHOWN
        if more > 0:
            console.print(f"and {more} more rows: --set-aside FILE.csv lists them all")
    for note in table.notes:
        console.print(f"[bold]Note:[/bold] {escape(note)}")
    known = f", {len(table.known)} cars were known already" if table.known else ""
    told = f"{table.counted} of {table.rows} rows count{known}; {len(files)} documents are in {folder}"
    console.print(told, markup=False, soft_wrap=True)

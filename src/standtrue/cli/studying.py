"""The commands of study: what a room can do for a year's work, on the screen, as rows, and as a sheet on paper."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Annotated

import typer
from rich.markup import escape

from standtrue.cli import output
from standtrue.cli.options import FolderArg, JsonOpt, UnitsOpt
from standtrue.cli.study_tables import study_tables
from standtrue.documents import read_folder
from standtrue.draw.adviser_sheet import adviser_pdf
from standtrue.draw.paper import PaperSize
from standtrue.model.basics import Fault
from standtrue.work.ask import UnansweredError, pick, sound
from standtrue.work.studies import find_study
from standtrue.work.study_rows import study_csv, study_json, study_parquet
from standtrue.work.study_sheet import study_sheets
from standtrue.work.study_words import assumptions


def add_to(app: typer.Typer) -> None:
    """Add the commands to the program."""
    for command in (study,):
        app.command()(command)


def study(
    folder: FolderArg,
    study: Annotated[
        str | None, typer.Option("--study", help="The study's name. May be left out if there is only one.")
    ] = None,
    places: Annotated[
        bool, typer.Option(help="Also count from how many places each order is served. Takes longer.")
    ] = True,
    rows: Annotated[
        Path | None,
        typer.Option("--table", help="Write every answer as rows into this file: .csv or .parquet."),
    ] = None,
    sheet: Annotated[
        Path | None,
        typer.Option("--sheet", help="Print the adviser's sheet into this .pdf file; several rooms get a file each."),
    ] = None,
    paper: Annotated[PaperSize, typer.Option("--paper", help="letter or a4: the sheet's paper.")] = "letter",
    date: Annotated[
        str | None,
        typer.Option("--date", help="The date on the sheet, as you write it. Today if left out."),
    ] = None,
    units: UnitsOpt = "metric",
    json: JsonOpt = False,
) -> None:
    """What share of a year's work a room can do, what stops the rest, and what would help."""
    known_ending(rows, (".csv", ".parquet"), "--table")
    known_ending(sheet, (".pdf",), "--sheet")
    found = sound(read_folder(folder))
    asked = pick("study", study, found.studies, "--study")
    with output.progress() as tell:
        answer = find_study(found, asked, places=places, progress=tell)
        told = datetime.date.today().isoformat() if date is None else date
        sheets = study_sheets(answer, units, told, tell) if sheet is not None else []
    if rows is not None:
        parquet = rows.suffix.lower() == ".parquet"
        write_file(rows, study_parquet(answer) if parquet else study_csv(answer).encode(), "Table")
    if sheet is not None and sheets:
        for file, (_, page) in zip(output.picture_files(sheet, [name for name, _ in sheets]), sheets, strict=True):
            write_file(file, adviser_pdf(page, paper), "Sheet")
    if json:
        output.print_json(study_json(answer))
    else:
        for one in study_tables(answer, units):
            output.out().print(one)
        for assumed in assumptions(answer, units):
            output.out().print(f"Assumed: {escape(assumed)}")
        output.print_notes(answer.warnings, answer.cautions, answer.demonstration)


def known_ending(file: Path | None, endings: tuple[str, ...], option: str) -> None:
    """Refuse a file that ends in none of these, before any work is done. Raises UnansweredError."""
    if file is not None and file.suffix.lower() not in endings:
        remedy = f"let it end in {' or '.join(endings)}"
        raise UnansweredError([Fault("unknown-format", "no file of this kind", str(file), option, "", remedy)])


def write_file(file: Path, content: bytes, what: str) -> None:
    """Write a file that was asked for, and tell of it. Raises UnansweredError if it cannot be written."""
    fault = output.write_bytes(file, content)
    if fault:
        raise UnansweredError([fault])
    output.err().print(f"{what}: {file}", markup=False, soft_wrap=True)

"""The command of the sheet that is taken to the car."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from standtrue.cli import output
from standtrue.cli.options import FolderArg, JobOpt, JsonOpt, UnitsOpt
from standtrue.cli.planning import ask_plan
from standtrue.cli.reader import reader
from standtrue.documents import read_folder
from standtrue.model.basics import Fault
from standtrue.show.answers.sheet import sheet_json
from standtrue.show.sheets import PaperSize
from standtrue.show.sheets.job import job_pdf
from standtrue.show.sheets.make_job import make_job_sheet
from standtrue.show.sheets.make_order import worth_a_plan
from standtrue.work.ask import UnansweredError, pick, sound


def add_to(app: typer.Typer) -> None:
    """Add the command to the program."""
    app.command()(sheet)


def sheet(
    folder: FolderArg,
    out: Annotated[Path, typer.Option("--out", help="The PDF file to write.")],
    job: JobOpt = None,
    paper: Annotated[PaperSize, typer.Option("--paper", help="letter or a4.")] = "letter",
    units: UnitsOpt = "metric",
    plan: Annotated[
        bool | None,
        typer.Option(
            help="With the whole order of work and its moves, every stance by that. If left out: where more than one "
            "step needs a place."
        ),
    ] = None,
    alternatives: Annotated[
        bool, typer.Option(help="With the plan: also what changes if the car stays in one bay, and so on.")
    ] = True,
    otherwise: Annotated[
        str | None, typer.Option(help='With this alternative as the plan, such as "one more person".')
    ] = None,
    json: JsonOpt = False,
) -> None:
    """A job's sheet as PDF: the order of work, what to calibrate and why, and each stance to lay out and write on."""
    found = sound(read_folder(folder))
    asked = pick("job", job, found.jobs, "--job")
    if otherwise is not None and plan is False:
        what = "--otherwise chooses among plans, and --no-plan asks for none"
        raise UnansweredError([Fault("fields-conflict", what, "", "--otherwise", "", "leave one of them out")])
    wanted = otherwise is not None or (worth_a_plan(found, asked) if plan is None else plan)
    planned = None
    if wanted:
        planned = ask_plan(found, asked.name, reader(), alternatives=alternatives, otherwise=otherwise)
    with output.progress() as tell:
        made = make_job_sheet(found, asked, units, plan=planned, progress=tell)
    fault = output.write_bytes(out, job_pdf(made, paper))
    if fault:
        raise UnansweredError([fault])
    if json:
        output.print_json(sheet_json(made, str(out), paper))
    output.err().print(f"Sheet: {out}", markup=False, soft_wrap=True)

"""The command of the sheet that is taken to the car."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from standtrue.cli import output
from standtrue.cli.options import FolderArg, JobOpt, JsonOpt
from standtrue.cli.planning import ask_plan
from standtrue.cli.reader import reader
from standtrue.model.basics import Fault
from standtrue.model.reason import because
from standtrue.show.answers.sheet import sheet_json
from standtrue.show.sheets import PaperSize
from standtrue.show.sheets.job.make import make_job_sheet
from standtrue.show.sheets.job.planned import worth_a_plan
from standtrue.show.sheets.job.sheet import job_pdf
from standtrue.show.words.command_line import sheet_written
from standtrue.show.words.reader import Reader
from standtrue.work.ask import UnansweredError, open_shop, pick


def add_to(app: typer.Typer) -> None:
    """Add the command to the program."""
    app.command()(sheet)


def sheet(
    folder: FolderArg,
    out: Annotated[Path, typer.Option("--out")],
    job: JobOpt = None,
    paper: Annotated[PaperSize | None, typer.Option("--paper")] = None,
    plan: Annotated[bool | None, typer.Option()] = None,
    alternatives: Annotated[bool, typer.Option()] = True,
    otherwise: Annotated[str | None, typer.Option()] = None,
    json: JsonOpt = False,
) -> None:
    """A job's sheet as PDF: the order of work, what to calibrate and why, and each stance to lay out and write on."""
    found = open_shop(folder)
    asked = pick("job", job, found.jobs, "--job")
    if otherwise is not None and plan is False:
        what, remedy = because("otherwise-without-plan"), because("leave-one-option-out")
        raise UnansweredError([Fault("fields-conflict", what, "", "--otherwise", "", remedy)])
    reads, on = reader(found), paper or found.sites[asked.site].reader.paper or "letter"
    wanted = otherwise is not None or (worth_a_plan(found, asked) if plan is None else plan)
    planned = None
    if wanted:
        planned = ask_plan(found, asked.name, reads, alternatives=alternatives, otherwise=otherwise)
    with output.progress() as tell:
        made = make_job_sheet(found, asked, reads, plan=planned, progress=tell)
    fault = output.write_bytes(out, job_pdf(made, on))
    if fault:
        raise UnansweredError([fault])
    if json:
        # JSON says its sentences in US English, whatever the sheet's language is.
        told = made if reads.language == "en" else make_job_sheet(found, asked, Reader(reads.units), plan=planned)
        output.print_json(sheet_json(told, str(out), on))
    output.tell(sheet_written(out, reads))

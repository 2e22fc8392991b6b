"""The command of the sheet that is taken to the car."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from standtrue.cli import output
from standtrue.cli.files import asked_files, one
from standtrue.cli.giving import give
from standtrue.cli.keeping import About
from standtrue.cli.options import FolderArg, JobOpt, JsonOpt, PaperOpt, WhyOpt
from standtrue.cli.planning import ask_plan
from standtrue.cli.reader import paper_for, reader
from standtrue.cli.where import open_shop
from standtrue.model.basics import Fault
from standtrue.model.reason import because
from standtrue.show.answers.sheet import of_sheet
from standtrue.show.sheets.job.sheet import job_pdf
from standtrue.show.words.blocks import Told
from standtrue.show.words.plan_tables import plan_told
from standtrue.show.words.reader import Reader
from standtrue.work.ask import UnansweredError, pick
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.sheet.job import find_job_sheet
from standtrue.work.sheet.planned import worth_a_plan


def add_to(app: typer.Typer) -> None:
    """Add the command to the program."""
    app.command()(sheet)


def sheet(
    folder: FolderArg,
    out: Annotated[list[Path], typer.Option("--out", metavar="FILE")],
    job: JobOpt = None,
    paper: PaperOpt = None,
    plan: Annotated[bool | None, typer.Option()] = None,
    alternatives: Annotated[bool | None, typer.Option(hidden=True)] = None,  # noqa: ARG001, taken from old scripts
    otherwise: Annotated[str | None, typer.Option()] = None,
    why: WhyOpt = False,
    json: JsonOpt = False,
) -> None:
    """A job's sheet as PDF: the order of work, what to calibrate and why, and each stance to lay out and write on."""
    files = asked_files(out, ".pdf")
    shop = open_shop(folder)
    asked = pick("job", job, shop.jobs, "--job")
    if otherwise is not None and plan is False:
        what = because("otherwise-without-plan", otherwise="--otherwise", no_plan="--no-plan")
        raise UnansweredError([Fault("fields-conflict", what, "", "--otherwise", "", because("leave-one-out"))])
    reads, on = reader(shop), paper_for(paper, shop.sites[asked.site])
    wanted = otherwise is not None or (worth_a_plan(shop, asked) if plan is None else plan)
    planned = None
    if wanted:
        # Paper says what is done: what else one could do is for the screen, and takes longest to find.
        planned = ask_plan(shop, asked.name, reads, alternatives=False, otherwise=otherwise)
    with output.asking(reads) as asking:
        content = find_job_sheet(shop, asked, plan=planned, asking=asking)
    printed = next(iter(files.of(".pdf")), Path())
    give(
        lambda: _told(planned, reads),
        content.basis,
        reads,
        shape=lambda: of_sheet(content, str(printed), on, reads.units),
        json=json,
        files=files,
        makers={".pdf": one(lambda: job_pdf(content, on, reads))},
        why=why,
        about=About(folder, shop, asked.name),
    )


def _told(planned: PlanAnswer | None, who: Reader) -> Told:
    """What the order of work says first; nothing where the sheet has none: all is on it."""
    return Told(()) if planned is None else Told(plan_told(planned, who).first)

"""The command that says what a job calls for."""

from __future__ import annotations

import typer

from standtrue.cli import output
from standtrue.cli.files import asked_files
from standtrue.cli.giving import give
from standtrue.cli.keeping import About
from standtrue.cli.options import FailOpt, FolderArg, JobOpt, JsonOpt, OutOpt, WhyOpt
from standtrue.cli.reader import reader
from standtrue.cli.where import open_shop
from standtrue.show.answers.needs import of_needs
from standtrue.show.words.needs import needs_told
from standtrue.work.ask import pick
from standtrue.work.needs.jobs import find_job_needs


def add_to(app: typer.Typer) -> None:
    """Add the command to the program."""
    app.command()(needs)


def needs(
    folder: FolderArg,
    job: JobOpt = None,
    out: OutOpt = None,
    why: WhyOpt = False,
    fail_on_no: FailOpt = False,
    json: JsonOpt = False,
) -> None:
    """What a job's repairs call for, why, and in which order."""
    files = asked_files(out)
    shop = open_shop(folder)
    who = reader(shop)
    answer = find_job_needs(shop, pick("job", job, shop.jobs, "--job"))
    give(
        lambda: needs_told(answer, who),
        answer.basis,
        who,
        shape=lambda: of_needs(answer),
        json=json,
        files=files,
        why=why,
        about=About(folder, shop, answer.job.name),
    )
    if fail_on_no:
        output.end(no=answer.answer.lacks_card, unsure=answer.answer.look_first)

"""The command that says what a job calls for."""

from __future__ import annotations

import typer

from standtrue.cli import output
from standtrue.cli.options import FailOpt, FolderArg, JobOpt, JsonOpt
from standtrue.cli.reader import reader
from standtrue.show.answers.needs import of_needs
from standtrue.show.words.basis import basis_blocks
from standtrue.show.words.needs import needs_blocks
from standtrue.work.ask import open_shop, pick
from standtrue.work.needs.jobs import find_job_needs


def add_to(app: typer.Typer) -> None:
    """Add the command to the program."""
    app.command()(needs)


def needs(folder: FolderArg, job: JobOpt = None, fail_on_no: FailOpt = False, json: JsonOpt = False) -> None:
    """What a job's repairs call for, why, and in which order."""
    shop = open_shop(folder)
    who = reader(shop)
    answer = find_job_needs(shop, pick("job", job, shop.jobs, "--job"))
    if json:
        output.print_json(of_needs(answer).to_json())
    else:
        output.show(needs_blocks(answer, who))
        output.show(basis_blocks(answer.basis, who))
    if fail_on_no:
        output.end(no=answer.answer.lacks_card, unsure=answer.answer.look_first)

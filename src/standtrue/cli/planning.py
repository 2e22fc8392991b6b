"""The command that orders a whole job."""

from __future__ import annotations

from pathlib import Path

import typer
from attrs import evolve

from standtrue.cli import output
from standtrue.cli.files import Contents, Files, Maker, asked_files, one
from standtrue.cli.giving import give
from standtrue.cli.keeping import About
from standtrue.cli.options import FailOpt, FolderArg, JobOpt, JsonOpt, OutOpt, WhyOpt
from standtrue.cli.reader import reader
from standtrue.cli.where import open_shop
from standtrue.model.shop import Shop
from standtrue.show.answers.plan import of_plan
from standtrue.show.pictures.plan import plan_html, plan_strip
from standtrue.show.pictures.plan_chart import plan_chart
from standtrue.show.words.basis import basis_blocks
from standtrue.show.words.plan import alternatives_by_name
from standtrue.show.words.plan_tables import plan_told
from standtrue.show.words.reader import Reader
from standtrue.work.ask import pick
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.plans import find_plan, tell_otherwise


def add_to(app: typer.Typer) -> None:
    """Add the command to the program."""
    app.command()(plan)


def plan(
    folder: FolderArg,
    job: JobOpt = None,
    alternatives: bool = True,
    otherwise: str | None = None,
    out: OutOpt = None,
    why: WhyOpt = False,
    fail_on_no: FailOpt = False,
    json: JsonOpt = False,
) -> None:
    """The whole order of a repair order: each step's place, people, equipment and time, with every move."""
    files = asked_files(out, ".svg", ".html")
    shop = open_shop(folder)
    who = reader(shop)
    answer = ask_plan(shop, job, who, alternatives=alternatives, otherwise=otherwise)
    about = About(folder, shop, answer.needs.job.name)
    tell_plan(answer, who, files, about, json=json, why=why)
    if fail_on_no:
        needs = answer.needs.answer
        output.end(no=answer.plan is None or bool(answer.ordered.undone) or needs.lacks_card, unsure=needs.look_first)


def tell_plan(
    answer: PlanAnswer, who: Reader, files: Files, about: About, *, json: bool = False, why: bool = False
) -> None:
    """Draw a plan and print it, with `why` at full length. Exits with status 3 if it was stopped before it had any."""
    width = output.WIDE if why else output.NARROW
    give(
        lambda: plan_told(answer, who),
        answer.basis,
        who,
        shape=lambda: of_plan(answer),
        json=json,
        files=files,
        makers=_makers(answer, who),
        why=why,
        width=width,
        about=about,
    )
    if answer.plan is None and not answer.ordered.front.proven:
        raise typer.Exit(output.EXIT_NO_ANSWER)


def tell_demo(answer: PlanAnswer, who: Reader, files: Files, *, answer_last: bool) -> None:
    """What the plan of an invented shop says first, its pictures, and what it rests on; or the pictures and it last."""
    console, first = output.out(output.NARROW), plan_told(answer, who).first
    written = files.write(_makers(answer, who), who)
    rests_on = basis_blocks(evolve(answer.basis, warnings=(), limits=()), who)
    output.show(rests_on if answer_last else first, console)
    output.tell_all(written)
    output.show(first if answer_last else rests_on, console)


def ask_plan(
    shop: Shop, job: str | None, who: Reader, *, alternatives: bool = True, otherwise: str | None = None
) -> PlanAnswer:
    """A job's plan, or one of its alternatives as the plan. Stopped before that one was found, the plan itself."""
    asked = pick("job", job, shop.jobs, "--job")
    with output.asking(who, stoppable=True) as asking:
        answer = find_plan(shop, asked, alternatives=alternatives or otherwise is not None, asking=asking)
    if otherwise is None:
        return answer
    named = alternatives_by_name(otherwise, answer.alternatives, who)
    if otherwise not in named and answer.left_out:
        return answer
    return tell_otherwise(answer, pick("alternative", otherwise, named, "--otherwise"))


def _makers(answer: PlanAnswer, who: Reader) -> dict[str, Maker]:
    """The pictures and the page; nothing where there is no plan."""
    if answer.plan is None:
        return {".svg": lambda _: {}, ".html": lambda _: {}}
    return {".svg": lambda file: _pictures(answer, who, file), ".html": one(lambda: plan_html(answer, who))}


def _pictures(answer: PlanAnswer, who: Reader, file: Path) -> Contents:
    """The plan step by step, and when it happens."""
    chart = file.with_name(f"{file.stem}-time{file.suffix}")
    return {file: plan_strip(answer, who), chart: plan_chart(answer, who)}

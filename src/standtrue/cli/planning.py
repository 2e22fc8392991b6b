"""The command that orders a whole job."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from standtrue.cli import output
from standtrue.cli.options import FailOpt, FolderArg, JobOpt, JsonOpt
from standtrue.cli.reader import reader
from standtrue.model.shop import Shop
from standtrue.show.answers.plan import of_plan
from standtrue.show.pictures.plan import plan_html, plan_strip
from standtrue.show.pictures.plan_chart import plan_chart
from standtrue.show.words.command_line import picture_written
from standtrue.show.words.plan import alternatives_by_name
from standtrue.show.words.plan_tables import plan_blocks
from standtrue.show.words.reader import Reader
from standtrue.work.ask import UnansweredError, open_shop, pick
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
    svg: Annotated[Path | None, typer.Option("--svg")] = None,
    page: Annotated[Path | None, typer.Option("--page")] = None,
    why: bool = False,
    fail_on_no: FailOpt = False,
    json: JsonOpt = False,
) -> None:
    """The whole order of a repair order: each step's place, people, equipment and time, with every move."""
    shop = open_shop(folder)
    who = reader(shop)
    answer = ask_plan(shop, job, who, alternatives=alternatives, otherwise=otherwise)
    tell_plan(answer, who, svg, page, json=json, why=why)
    if fail_on_no:
        needs = answer.needs.answer
        output.end(no=answer.plan is None or bool(answer.ordered.undone) or needs.lacks_card, unsure=needs.look_first)


def tell_plan(
    answer: PlanAnswer,
    who: Reader,
    svg: Path | None = None,
    page: Path | None = None,
    *,
    json: bool = False,
    why: bool = False,
) -> None:
    """Draw a plan and print it, with `why` at full length. Exits with status 3 if it was stopped before it had any."""
    files = _draw(answer, who, svg, page)
    if json:
        output.print_json(of_plan(answer).to_json())
    else:
        output.show(plan_blocks(answer, who, why=why), output.out(output.WIDE if why else output.NARROW))
    for file in files:
        output.tell(picture_written(file, who))
    if answer.plan is None and not answer.ordered.front.proven:
        raise typer.Exit(output.EXIT_NO_ANSWER)


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


def _draw(answer: PlanAnswer, who: Reader, svg: Path | None, page: Path | None) -> tuple[Path, ...]:
    """Write the pictures and the page that were asked for; nothing where there is no plan."""
    texts: dict[Path, str] = {}
    if svg is not None and answer.plan is not None:
        for number, told in enumerate(plan_strip(answer, who), start=1):
            texts[svg if number == 1 else svg.with_name(f"{svg.stem}-{number}{svg.suffix or '.svg'}")] = told
        texts[svg.with_name(f"{svg.stem}-time{svg.suffix or '.svg'}")] = plan_chart(answer, who)
    if page is not None and answer.plan is not None:
        texts[page] = plan_html(answer, who)
    faults = [fault for file, text in texts.items() if (fault := output.write_text(file, text)) is not None]
    if faults:
        raise UnansweredError(faults)
    return tuple(texts)

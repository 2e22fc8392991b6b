"""The command that orders a whole job, and its tables."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Annotated

import typer
from rich.console import RenderableType
from rich.markup import escape
from rich.padding import Padding

from standtrue.cli import output
from standtrue.cli.options import FolderArg, JobOpt, JsonOpt, UnitsOpt
from standtrue.cli.stopping import stoppable
from standtrue.documents import read_folder
from standtrue.model.reader_units import System, format_length
from standtrue.model.shop import Shop
from standtrue.show.answers.plan_json import plan_json
from standtrue.show.pictures.plan import plan_chart, plan_html, plan_strip, title_of
from standtrue.show.words.plan import left_out_words, span_words, summary_words, told_steps, undone_words
from standtrue.work.ask import UnansweredError, pick, sound
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.plans import find_plan


def add_to(app: typer.Typer) -> None:
    """Add the command to the program."""
    app.command()(plan)


def plan(
    folder: FolderArg,
    job: JobOpt = None,
    alternatives: Annotated[
        bool, typer.Option(help="Also what changes if the car stays in one bay, if part is sent out, and so on.")
    ] = True,
    otherwise: Annotated[
        str | None,
        typer.Option(help='Tell this alternative as the plan, such as "one more person" or "on skates".'),
    ] = None,
    units: UnitsOpt = "metric",
    svg: Annotated[
        Path | None,
        typer.Option("--svg", help="Draw the plan step by step into this file, and when it happens into FILE-time."),
    ] = None,
    page: Annotated[
        Path | None, typer.Option("--page", help="Write one page that plays the plan into this .html file.")
    ] = None,
    json: JsonOpt = False,
) -> None:
    """The whole order of a repair order: each step's place, people, equipment and time, with every move."""
    found = sound(read_folder(folder))
    answer_plan(found, job, units, alternatives=alternatives, otherwise=otherwise, svg=svg, page=page, json=json)


def answer_plan(
    found: Shop,
    job: str | None,
    units: System,
    *,
    alternatives: bool = True,
    otherwise: str | None = None,
    svg: Path | None = None,
    page: Path | None = None,
    json: bool = False,
) -> PlanAnswer:
    """Find a job's plan, draw it and print it. Exits with status 3 if it was stopped before anything was found."""
    asked = pick("job", job, found.jobs, "--job")
    with stoppable() as tell:
        answer = find_plan(found, asked, alternatives=alternatives, otherwise=otherwise, progress=tell)
    files = _draw(answer, units, svg, page)
    if json:
        output.print_json(plan_json(answer))
    else:
        console = output.out()
        for one in plan_tables(answer, units):
            console.print(one)
        output.print_notes(answer.warnings, answer.cautions, answer.demonstration)
    for file in files:
        output.err().print(f"Picture: {file}", markup=False, soft_wrap=True)
    if answer.plan is None and not answer.ordered.front.proven:
        raise typer.Exit(output.EXIT_NO_ANSWER)
    return answer


def _draw(answer: PlanAnswer, units: System, svg: Path | None, page: Path | None) -> tuple[Path, ...]:
    """Write the pictures and the page that were asked for; nothing where there is no plan."""
    texts: dict[Path, str] = {}
    if svg is not None and answer.plan is not None:
        texts[svg] = plan_strip(answer, units)
        texts[svg.with_name(f"{svg.stem}-time{svg.suffix or '.svg'}")] = plan_chart(answer, units)
    if page is not None and answer.plan is not None:
        texts[page] = plan_html(answer, units)
    faults = [fault for file, text in texts.items() if (fault := output.write_text(file, text)) is not None]
    if faults:
        raise UnansweredError(faults)
    return tuple(texts)


def plan_tables(answer: PlanAnswer, units: System) -> Iterator[RenderableType]:
    """The plan as a foreman reads it: the steps, the places, what else one could do, what is left out."""
    ordered, best = answer.ordered, answer.plan
    made = output.table(
        f"Order of work: {title_of(answer)}",
        "",
        "starts after",
        "takes",
        "what",
        "where",
        "people",
    )
    for column, width in zip(made.columns, (2, 11, 10, 44, 22, 20), strict=True):
        column.min_width = width
    for told in () if best is None else told_steps(ordered, best, answer.site, units):
        step = told.step
        starts = span_words(step.start_s[0], step.start_s[2])
        takes = span_words(*sorted((step.end_s[0] - step.start_s[0], step.end_s[2] - step.start_s[2])))
        made.add_row(
            str(told.number), starts, takes, escape(told.what), escape(told.where), escape(", ".join(told.people))
        )
    yield made
    for line in summary_words(answer):
        yield escape(line)
    yield from _places(answer, units)
    yield from _others(answer)
    if ordered.undone:
        yield "[bold]Not done here[/bold]"
    for undone in ordered.undone:
        yield escape(f"  {undone.draft.what}")
        yield from (Padding(escape(line), (0, 0, 0, 5)) for line in undone_words(undone, units))


def _places(answer: PlanAnswer, units: System) -> Iterator[RenderableType]:
    used = {s.stand.place for s in answer.plan.steps} if answer.plan is not None else set()
    made = output.table("Places (the rear axle's center, from the site's origin)", "", "x", "y", "heading")
    for number, candidate in enumerate(answer.ordered.places, start=1):
        if number in used:
            at = candidate.place
            made.add_row(
                str(number), format_length(at.x_m, units), format_length(at.y_m, units), f"{at.heading_deg:.2f}°"
            )
    if made.row_count:
        yield made


def _others(answer: PlanAnswer) -> Iterator[RenderableType]:
    """Other plans of the front, and the alternatives."""
    others = [(f"as quick or with fewer moves {n}", p, ()) for n, p in enumerate(answer.ordered.front.plans, start=1)]
    others = [row for row in others if row[1] is not answer.plan]
    made = output.table("Otherwise", "", "takes", "moves", "left out")
    for name, other, _ in others:
        made.add_row(name, span_words(other.elapsed_s[0], other.elapsed_s[2]), str(other.moves), "")
    for alternative in answer.alternatives:
        best = alternative.ordered.plan
        took = "" if best is None else span_words(best.elapsed_s[0], best.elapsed_s[2])
        moves = "" if best is None else str(best.moves)
        made.add_row(escape(alternative.name), took, moves, escape(left_out_words(alternative.ordered)))
    if made.row_count:
        yield made

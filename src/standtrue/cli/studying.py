"""The commands of study: what a room can do for a year's work, on the screen, as rows, and as a sheet on paper."""

from __future__ import annotations

import datetime
import math
from pathlib import Path
from typing import Annotated

import typer
from rich.markup import escape

from standtrue.cli import output
from standtrue.cli.options import FolderArg, JsonOpt, SiteOpt, UnitsOpt
from standtrue.cli.reach_tables import reach_tables
from standtrue.cli.sizes_tables import sizes_tables
from standtrue.cli.stopping import stoppable
from standtrue.cli.study_tables import study_tables
from standtrue.documents import read_folder
from standtrue.documents.faults import RefusedError
from standtrue.documents.quantities import parse_length
from standtrue.model.basics import Fault, Range
from standtrue.model.reader_units import System
from standtrue.model.shop import Shop
from standtrue.show.answers.ahead_rows import reach_csv, reach_json
from standtrue.show.answers.sizes_rows import rules_words, sizes_csv, sizes_json
from standtrue.show.answers.study_rows import study_csv, study_json, study_parquet
from standtrue.show.pictures.sizes import sizes_svg
from standtrue.show.sheets import PaperSize
from standtrue.show.sheets.room.make import study_sheets
from standtrue.show.sheets.room.sheet import AdviserSheet, adviser_pdf
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.show.words.study import assumptions
from standtrue.study.sizes import SizeRange
from standtrue.work.ask import UnansweredError, pick, pick_support, sound
from standtrue.work.study.ahead import find_reach
from standtrue.work.study.sized_rooms import Rule, standing
from standtrue.work.study.sizes import SHARES, Sizes, Work, find_sizes, work_of_cars, work_of_study
from standtrue.work.study.studies import Progress, StudyAnswer, find_study

MOST_STEPS = 8000
"""So many sizes are looked at each way: 40 m."""


def add_to(app: typer.Typer) -> None:
    """Add the commands to the program."""
    for command in (study, sizes, reach):
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
    with stoppable() as tell:
        answer = find_study(found, asked, places=places, progress=tell)
        told = datetime.date.today().isoformat() if date is None else date
        sheets = _sheets(answer, units, told, tell) if sheet is not None else []
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


def _sheets(answer: StudyAnswer, units: System, date: str, tell: Progress) -> list[tuple[str, AdviserSheet]]:
    """The sheets; none where Ctrl-C stops their making: what the study found is told all the same."""
    try:
        return study_sheets(answer, Reader(units), date, tell)
    except KeyboardInterrupt:
        output.err().print("Stopped before the sheet was made.")
        return []


def sizes(
    folder: FolderArg,
    site: Annotated[str | None, typer.Option("--site", help="Whose gaps, ceiling and equipment hold.")] = None,
    study: Annotated[
        str | None, typer.Option("--study", help="The study whose repair orders are the work, if there are several.")
    ] = None,
    mix: Annotated[
        str | None, typer.Option("--mix", help="A car mix as the work instead: each car at each of its cards.")
    ] = None,
    lift: Annotated[
        str | None, typer.Option("--lift", help="A lift of the site that stands in the room. None if left out.")
    ] = None,
    rule: Annotated[
        Rule, typer.Option("--rule", help="Where the lift stands: centered, or as far from the end wall as today.")
    ] = "centered",
    support: Annotated[
        str | None, typer.Option("--support", help='floor, "lift down" or "lift up". Any if left out.')
    ] = None,
    widest: Annotated[str, typer.Option("--widest", help="The widest room looked at, as `9 m` or `30 ft`.")] = "9 m",
    longest: Annotated[str, typer.Option("--longest", help="The longest room looked at.")] = "16 m",
    rows: Annotated[Path | None, typer.Option("--table", help="Write every least size into this .csv file.")] = None,
    svg: Annotated[Path | None, typer.Option("--svg", help="Draw the chart into this file.")] = None,
    units: UnitsOpt = "metric",
    json: JsonOpt = False,
) -> None:
    """How large a room must be: from which size on each car fits for each card, and the least bay for a share."""
    known_ending(rows, (".csv",), "--table")
    looked_at = _looked_at(widest, longest)
    found = sound(read_folder(folder))
    where = pick("site", site, found.sites, "--site")
    placed = None if lift is None else pick("lift", lift, {p.name: p for p in where.lifts}, "--lift")
    work = _work(found, study, mix)
    with stoppable() as tell:
        answer = find_sizes(
            found,
            where,
            work,
            lift=None if placed is None else standing(where, placed, rule),
            supports=pick_support(support),
            sizes=looked_at,
            progress=lambda done, of: tell("frontiers", done, of),
        )
    if rows is not None:
        write_file(rows, sizes_csv(answer).encode(), "Table")
    if svg is not None:
        write_file(svg, _chart(answer, units).encode(), "Picture")
    if json:
        output.print_json(sizes_json(answer))
        return
    for one in sizes_tables(answer, units):
        output.out().print(one)
    output.print_notes(answer.warnings, answer.cautions, answer.demonstration)


def _looked_at(widest: str, longest: str) -> SizeRange:
    """The sizes up to these."""
    least = SizeRange()
    return SizeRange(_up_to(least.width_m[0], widest, "--widest"), _up_to(least.length_m[0], longest, "--longest"))


def _up_to(low_m: float, text: str, option: str) -> Range:
    """From the least size to this one, in whole steps. Raises UnansweredError for what is no such length."""
    try:
        value = parse_length(text)
    except RefusedError as refused:
        raise UnansweredError([Fault(refused.code, refused.what, "", option, text, refused.remedy)]) from None
    step = SizeRange().step_m
    steps = math.floor((value - low_m) / step + 1e-6)
    if not 0 < steps <= MOST_STEPS:
        remedy = f"name a length above {low_m:g} m and up to {low_m + MOST_STEPS * step:g} m"
        raise UnansweredError([Fault("value-impossible", "no such size is looked at", "", option, text, remedy)])
    return (low_m, round(low_m + steps * step, 6))


def _work(found: Shop, study: str | None, mix: str | None) -> Work:
    """A study's orders, or, if asked for or if there is no study, the cars of a mix."""
    if mix is None and (study is not None or found.studies):
        return work_of_study(found, pick("study", study, found.studies, "--study"))
    chosen = pick("mix", mix, found.mixes, "--mix")
    return work_of_cars(found, {e.vehicle: e.share for e in chosen.vehicles if e.share > 0.0}, mix=chosen.name)


def _chart(answer: Sizes, units: System) -> str:
    return sizes_svg(
        answer.coverage,
        SHARES,
        title=f"How large a bay must be: {answer.site.name}",
        rule=" ".join(rules_words(answer, units)),
        units=units,
        today=answer.today,
        demonstration=answer.demonstration,
        notes=ENGLISH.reasons(answer.warnings),
        cautions=[c.text for c in answer.cautions],
    )


def reach(
    folder: FolderArg,
    site: SiteOpt = None,
    bay: Annotated[str | None, typer.Option("--bay", help="A bay of the site: the car stays inside it.")] = None,
    vehicle: Annotated[
        list[str] | None, typer.Option("--vehicle", help="A car; may be given more than once. All if left out.")
    ] = None,
    equipment: Annotated[
        str | None,
        typer.Option("--equipment", help="The site's equipment that is to stand there. A plain square if none."),
    ] = None,
    support: Annotated[
        str | None, typer.Option("--support", help='floor, "lift down" or "lift up". All if left out.')
    ] = None,
    rows: Annotated[Path | None, typer.Option("--table", help="Write the table into this .csv file.")] = None,
    units: UnitsOpt = "metric",
    json: JsonOpt = False,
) -> None:
    """How far from each car a target can stand: ahead, behind and to each side, on the floor and on the lifts."""
    known_ending(rows, (".csv",), "--table")
    found = sound(read_folder(folder))
    where = pick("site", site, found.sites, "--site")
    cars = [pick("vehicle", name, found.vehicles, "--vehicle") for name in vehicle or found.vehicles]
    known = {e.name: e for e in where.equipment}
    with stoppable() as tell:
        answer = find_reach(
            found,
            where,
            cars,
            bay=None if bay is None else pick("bay", bay, {b.name: b for b in where.bays}, "--bay"),
            equipment=None if equipment is None else pick("equipment", equipment, known, "--equipment"),
            supports=pick_support(support),
            progress=tell,
        )
    if rows is not None:
        write_file(rows, reach_csv(answer).encode(), "Table")
    if json:
        output.print_json(reach_json(answer))
        return
    for one in reach_tables(answer, units):
        output.out().print(one)
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

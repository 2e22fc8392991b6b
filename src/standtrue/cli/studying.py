"""The commands of study: what a room can do for a year's work, how large it must be, how far ahead it is free."""

from __future__ import annotations

import datetime
from functools import wraps
from pathlib import Path
from typing import Annotated, Any

import typer

from standtrue.cli import output
from standtrue.cli.files import Contents, asked_files, one
from standtrue.cli.giving import give
from standtrue.cli.options import (
    BayOpt,
    EquipmentOpt,
    FailOpt,
    FolderArg,
    JsonOpt,
    LiftOpt,
    MixOpt,
    OutOpt,
    PaperOpt,
    SiteOpt,
    StudyOpt,
    SupportOpt,
    VehiclesOpt,
    WhyOpt,
)
from standtrue.cli.reader import paper_for
from standtrue.cli.reader import reader as asked_reader
from standtrue.cli.where import open_shop
from standtrue.model.reader_units import Paper
from standtrue.show.answers.sizes import of_sizes, sizes_csv
from standtrue.show.answers.study import of_study, study_table
from standtrue.show.answers.tables import need_parquet
from standtrue.show.words.blocks import Told
from standtrue.show.words.command_line import renamed_reach, sheets_stopped
from standtrue.show.words.reader import Reader
from standtrue.show.words.sizes import sizes_told
from standtrue.show.words.study import study_told
from standtrue.work.ask import pick, pick_support
from standtrue.work.study.answer import StudyAnswer
from standtrue.work.study.sized_rooms import Rule, standing
from standtrue.work.study.sizes import Sizes, find_sizes, sizes_up_to, work_asked
from standtrue.work.study.studies import find_study

PARQUET = ".parquet"

PlacesOpt = Annotated[bool, typer.Option("--places/--no-places")]
DateOpt = Annotated[str | None, typer.Option("--date")]
RuleOpt = Annotated[Rule, typer.Option("--rule")]
WidestOpt = Annotated[str, typer.Option("--widest")]
LongestOpt = Annotated[str, typer.Option("--longest")]


def add_to(app: typer.Typer) -> None:
    """Add the commands to the program."""
    for command in (study, sizes, ahead, reach):
        app.command(command.__name__)(command)


def study(
    folder: FolderArg,
    study: StudyOpt = None,
    places: PlacesOpt = True,
    out: OutOpt = None,
    paper: PaperOpt = None,
    date: DateOpt = None,
    why: WhyOpt = False,
    fail_on_no: FailOpt = False,
    json: JsonOpt = False,
) -> None:
    """What share of a year's work a room can do, what stops the rest, and what would help."""
    files = asked_files(out, ".pdf", ".csv", PARQUET)
    if files.of(PARQUET):
        need_parquet("--out")
    shop = open_shop(folder)
    reader = asked_reader(shop)
    asked = pick("study", study, shop.studies, "--study")
    with output.asking(reader, stoppable=True) as asking:
        answer = find_study(shop, asked, places=places, asking=asking)
    shape, day = of_study(answer), date or datetime.date.today().isoformat()
    give(
        lambda: study_told(answer, reader),
        answer.basis,
        reader,
        shape=lambda: shape,
        json=json,
        files=files,
        makers={
            ".pdf": lambda file: _sheets(answer, file, paper, day, reader),
            ".csv": one(lambda: study_table(shape, parquet=False)),
            PARQUET: one(lambda: study_table(shape, parquet=True)),
        },
        why=why,
    )
    if fail_on_no:
        output.end(no=answer.falls_short, unsure=answer.undecided)


def _sheets(answer: StudyAnswer, file: Path, paper: Paper | None, date: str, reader: Reader) -> Contents:
    """Print a sheet for each room; stopped early, those made by then: what the study found is told all the same.

    The paper is the one asked for, else the one that the reader or the room's site prefers.
    """
    # Loaded where it is asked for: sheets take longer to load than many an answer.
    from standtrue.show.sheets.room.make import make_room_sheet
    from standtrue.show.sheets.room.sheet import adviser_pdf
    from standtrue.work.sheet.room import find_room_sheets

    with output.asking(reader, stoppable=True) as asking:
        found = find_room_sheets(answer, asking)
    if len(found) < len(answer.rooms):
        output.tell(sheets_stopped(reader))
    files = output.picture_files(file, [content.room.room.name for content in found])
    made: dict[Path, bytes] = {}
    for one_file, content in zip(files, found, strict=False):
        page = make_room_sheet(answer, content, reader, date)
        made[one_file] = adviser_pdf(page, paper_for(paper, content.room.room.site))
    return made


def sizes(
    folder: FolderArg,
    site: SiteOpt = None,
    study: StudyOpt = None,
    mix: MixOpt = None,
    lift: LiftOpt = None,
    rule: RuleOpt = "centered",
    support: SupportOpt = None,
    widest: WidestOpt = "9 m",
    longest: LongestOpt = "16 m",
    out: OutOpt = None,
    why: WhyOpt = False,
    json: JsonOpt = False,
) -> None:
    """How large a room must be: from which size on each car fits for each card, and the least bay for a share."""
    files = asked_files(out, ".csv", ".svg")
    looked_at = sizes_up_to(widest, longest)
    shop = open_shop(folder)
    reader = asked_reader(shop)
    where = pick("site", site, shop.sites, "--site")
    placed = None if lift is None else pick("lift", lift, {p.name: p for p in where.lifts}, "--lift")
    stands = None if placed is None else standing(where, placed, rule)
    work, supports = work_asked(shop, study, mix), pick_support(support)
    with output.asking(reader, stoppable=True) as asking:
        answer = find_sizes(shop, where, work, lift=stands, supports=supports, sizes=looked_at, asking=asking)
    shape = of_sizes(answer)
    give(
        lambda: sizes_told(answer, reader),
        answer.basis,
        reader,
        shape=lambda: shape,
        json=json,
        files=files,
        makers={".csv": one(lambda: sizes_csv(shape)), ".svg": one(lambda: _sizes_svg(answer, reader))},
        why=why,
    )


def _sizes_svg(answer: Sizes, reader: Reader) -> str:
    from standtrue.show.pictures.sizes import sizes_svg

    return sizes_svg(answer, reader)


def ahead(
    folder: FolderArg,
    site: SiteOpt = None,
    bay: BayOpt = None,
    vehicle: VehiclesOpt = None,
    equipment: EquipmentOpt = None,
    support: SupportOpt = None,
    out: OutOpt = None,
    json: JsonOpt = False,
) -> None:
    """How far from each car a target can stand: ahead, behind and to each side, on the floor and on the lifts."""
    from standtrue.show.answers.ahead import ahead_csv, of_ahead
    from standtrue.show.words.ahead import ahead_blocks
    from standtrue.work.study.ahead import find_ahead

    files = asked_files(out, ".csv")
    shop = open_shop(folder)
    reader = asked_reader(shop)
    where = pick("site", site, shop.sites, "--site")
    cars = [pick("vehicle", name, shop.vehicles, "--vehicle") for name in vehicle or shop.vehicles]
    inside = None if bay is None else pick("bay", bay, {b.name: b for b in where.bays}, "--bay")
    known = {e.name: e for e in where.equipment}
    stands = None if equipment is None else pick("equipment", equipment, known, "--equipment")
    supports = pick_support(support)
    with output.asking(reader, stoppable=True) as asking:
        answer = find_ahead(shop, where, cars, bay=inside, equipment=stands, supports=supports, asking=asking)
    shape = of_ahead(answer)
    give(
        lambda: Told(tuple(ahead_blocks(answer, reader))),
        answer.basis,
        reader,
        shape=lambda: shape,
        json=json,
        files=files,
        makers={".csv": one(lambda: ahead_csv(shape))},
    )


@wraps(ahead)
def reach(**asked: Any) -> None:
    """The same by its old name."""
    output.tell(renamed_reach(asked_reader()))
    ahead(**asked)


reach.__name__ = "reach"

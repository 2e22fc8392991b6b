"""The commands of aiming: lay targets out, judge what was measured; floor, alignment, loads, reflectors."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Annotated

import typer
from attrs import evolve

from standtrue.cli import output
from standtrue.cli.files import asked_files, one
from standtrue.cli.giving import give
from standtrue.cli.keeping import SHOP, About
from standtrue.cli.options import (
    CardOpt,
    FolderArg,
    JsonOpt,
    LiftOpt,
    OutOpt,
    PaperOpt,
    SetupOpt,
    SiteOpt,
    SurveyOpt,
    VehicleOpt,
    WhyOpt,
)
from standtrue.cli.reader import paper_for, reader
from standtrue.cli.where import open_shop
from standtrue.model.basis import Basis
from standtrue.model.reader_units import Paper
from standtrue.model.setup import Setup
from standtrue.model.shop import Shop
from standtrue.model.site import CHECKED
from standtrue.model.verdict import Verdict
from standtrue.show.answers.alignment import of_alignment
from standtrue.show.answers.floor import of_floor
from standtrue.show.answers.loads import of_loads
from standtrue.show.answers.measured import of_measured
from standtrue.show.answers.reflector import of_reflector
from standtrue.show.answers.targets import of_targets
from standtrue.show.words.alignment import alignment_blocks, loads_blocks, reflector_blocks
from standtrue.show.words.blocks import Told
from standtrue.show.words.floor import floor_told
from standtrue.show.words.measured import measured_told
from standtrue.show.words.reader import Reader
from standtrue.show.words.targets import targets_told
from standtrue.work.aim.aiming import MeasuredAnswer, judge_alignment, judge_measured
from standtrue.work.aim.floors import FloorAnswer, judge_floor
from standtrue.work.aim.gate import May
from standtrue.work.aim.laying import TargetsAnswer, lay_targets_out
from standtrue.work.aim.loads import judge_loads
from standtrue.work.aim.reflectors import asked_reflector, asked_sighting
from standtrue.work.ask import pick, pick_cards
from standtrue.work.stances import stance_written


def add_to(app: typer.Typer) -> None:
    """Add the commands to the program."""
    for command in (targets, measured, floor, alignment, loads, reflector):
        app.command()(command)


def targets(
    folder: FolderArg,
    setup: SetupOpt = None,
    checked: Annotated[str | None, typer.Option("--checked")] = None,
    out: OutOpt = None,
    why: WhyOpt = False,
    json: JsonOpt = False,
) -> None:
    """Where a set-up's targets go, in dimensions to lay out, and which readings to take."""
    files = asked_files(out, ".svg")
    shop, asked = _setup(folder, setup)
    who = reader(shop)
    how = None if checked is None else pick("way of checking", checked, {c: c for c in CHECKED}, "--checked")
    with output.asking(who, stoppable=True) as asking:
        answer = lay_targets_out(shop, asked, asking, how)
    give(
        lambda: targets_told(answer, who),
        answer.basis,
        who,
        shape=lambda: of_targets(answer),
        json=json,
        files=files,
        makers={".svg": one(lambda: _targets_svg(answer, who))},
        why=why,
        about=About(folder, shop, asked.job),
    )


def measured(
    folder: FolderArg,
    setup: SetupOpt = None,
    out: OutOpt = None,
    paper: PaperOpt = None,
    why: WhyOpt = False,
    json: JsonOpt = False,
) -> None:
    """What a set-up's readings say: what to shift, or that it is in tolerance, and how sure that is."""
    files = asked_files(out, ".svg", ".pdf")
    shop, asked = _setup(folder, setup)
    answer, who = judge_measured(shop, asked, datetime.date.today()), reader(shop)
    on = paper_for(paper, answer.setup.scene.site)
    give(
        lambda: measured_told(answer, who),
        answer.basis,
        who,
        shape=lambda: of_measured(answer),
        json=json,
        files=files,
        makers={
            ".svg": one(lambda: _measured_svg(answer, who)),
            ".pdf": one(lambda: _report(asked, answer, on, who)),
        },
        why=why,
        about=About(folder, shop, asked.job),
    )
    output.end(no=answer.gate.verdict is May.NO, unsure=answer.gate.verdict is May.CANNOT_TELL)


def floor(
    folder: FolderArg,
    survey: SurveyOpt = None,
    procedure: CardOpt = None,
    vehicle: VehicleOpt = None,
    at: Annotated[str | None, typer.Option("--at")] = None,
    out: OutOpt = None,
    json: JsonOpt = False,
) -> None:
    """How level and how flat a surveyed floor is."""
    files = asked_files(out, ".svg")
    shop = open_shop(folder)
    who = reader(shop)
    asked = pick("survey", survey, shop.surveys, "--survey")
    card = None if procedure is None else pick_cards(shop, [procedure])[0]
    place = None if at is None else stance_written(shop.sites[asked.site], at, "--at")
    car = None if place is None and vehicle is None else pick("vehicle", vehicle, shop.vehicles, "--vehicle")
    answer = judge_floor(shop, asked, card, car, place)
    give(
        lambda: floor_told(answer, who),
        answer.basis,
        who,
        shape=lambda: of_floor(answer),
        json=json,
        files=files,
        makers={".svg": one(lambda: _floor_svg(answer, who))},
        about=About(folder, shop, SHOP),
    )
    asked_of = None if answer.standing is None else answer.standing.verdict
    output.end(no=asked_of is Verdict.REJECT, unsure=asked_of is Verdict.CANNOT_TELL)


def alignment(folder: FolderArg, setup: SetupOpt = None, out: OutOpt = None, json: JsonOpt = False) -> None:
    """A set-up's wheel alignment readings against the car's limits, and whether they stand against calibrating."""
    files = asked_files(out)
    shop, asked = _setup(folder, setup)
    answer, who = judge_alignment(shop, asked), reader(shop)
    give(
        lambda: Told(tuple(alignment_blocks(answer, who))),
        answer.basis,
        who,
        shape=lambda: of_alignment(answer),
        json=json,
        files=files,
        about=About(folder, shop, asked.job),
    )
    verdict = answer.answer.verdict
    output.end(no=verdict is Verdict.REJECT, unsure=verdict is Verdict.CANNOT_TELL)


def loads(
    folder: FolderArg,
    site: SiteOpt = None,
    vehicle: VehicleOpt = None,
    lift: LiftOpt = None,
    out: OutOpt = None,
    json: JsonOpt = False,
) -> None:
    """What a car puts on a lift, against what the lift may carry."""
    files = asked_files(out)
    shop = open_shop(folder)
    who = reader(shop)
    where = pick("site", site, shop.sites, "--site")
    car = pick("vehicle", vehicle, shop.vehicles, "--vehicle")
    answer = judge_loads(shop, car, pick("lift", lift, {p.name: p for p in where.lifts}, "--lift"))
    give(
        lambda: Told(tuple(loads_blocks(answer, who))),
        answer.basis,
        who,
        shape=lambda: of_loads(answer),
        json=json,
        files=files,
    )
    verdict = answer.answer.verdict
    output.end(no=verdict is Verdict.REJECT, unsure=verdict is Verdict.CANNOT_TELL)


def reflector(
    frequency: Annotated[float, typer.Option("--frequency")] = 77.0,
    leg: Annotated[str | None, typer.Option("--leg")] = None,
    dbsm: Annotated[float | None, typer.Option("--dbsm")] = None,
    distance: Annotated[str | None, typer.Option("--distance")] = None,
    higher: Annotated[str | None, typer.Option("--higher")] = None,
    tip: Annotated[float | None, typer.Option("--tip")] = None,
    turn: Annotated[float, typer.Option("--turn")] = 0.0,
    out: OutOpt = None,
    json: JsonOpt = False,
) -> None:
    """A trihedral radar reflector: its radar cross-section from its leg, or the leg from that."""
    files = asked_files(out)
    sighting = asked_sighting(distance, higher, tip, turn)
    answer, who = evolve(asked_reflector(leg, dbsm, frequency), sighting=sighting), reader()
    give(
        lambda: Told(tuple(reflector_blocks(answer, who))),
        Basis(),
        who,
        shape=lambda: of_reflector(answer),
        json=json,
        files=files,
    )


def _setup(folder: Path, name: str | None) -> tuple[Shop, Setup]:
    shop = open_shop(folder)
    return shop, pick("set-up", name, shop.setups, "--setup")


# Pictures are loaded where one is asked for.


def _targets_svg(answer: TargetsAnswer, who: Reader) -> str:
    from standtrue.show.pictures.aim import targets_svg

    return targets_svg(answer, who)


def _measured_svg(answer: MeasuredAnswer, who: Reader) -> str:
    from standtrue.show.pictures.aim import measured_svg

    return measured_svg(answer, who)


def _report(setup: Setup, answer: MeasuredAnswer, paper: Paper, who: Reader) -> bytes:
    from standtrue.show.sheets.report.page import report_pdf

    return report_pdf(setup, answer, paper, who)


def _floor_svg(answer: FloorAnswer, who: Reader) -> str:
    from standtrue.show.pictures.aim import floor_picture
    from standtrue.show.pictures.heights import floor_svg

    return floor_svg(floor_picture(answer, who), who)

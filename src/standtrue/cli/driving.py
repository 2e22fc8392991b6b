"""The command of driving: how a car gets from stance to stance, in words, as JSON and as a picture."""

from __future__ import annotations

from typing import Annotated

import typer

from standtrue.cli import output
from standtrue.cli.files import asked_files, one
from standtrue.cli.giving import give
from standtrue.cli.options import FailOpt, FolderArg, JsonOpt, OutOpt, SiteOpt, VehicleOpt
from standtrue.cli.reader import reader
from standtrue.cli.where import open_shop
from standtrue.show.answers.drive import of_drive
from standtrue.show.pictures.drive import drive_svg
from standtrue.show.words.blocks import Told
from standtrue.show.words.drive import move_blocks
from standtrue.work.drive.drives import drive_between


def add_to(app: typer.Typer) -> None:
    """Add the command to the program."""
    app.command()(drive)


def drive(
    folder: FolderArg,
    start: Annotated[str, typer.Option("--from")],
    goal: Annotated[str, typer.Option("--to")],
    site: SiteOpt = None,
    vehicle: VehicleOpt = None,
    mode: Annotated[str, typer.Option("--mode")] = "drive",
    out: OutOpt = None,
    fail_on_no: FailOpt = False,
    json: JsonOpt = False,
) -> None:
    """How a car gets from one stance to another, or what is in the way."""
    files = asked_files(out, ".svg")
    shop = open_shop(folder)
    who = reader(shop)
    with output.asking(who, stoppable=True) as asking:
        driven = drive_between(shop, site, vehicle, start, goal, mode, asking)
    give(
        lambda: Told(move_blocks(driven.way, who)),
        driven.basis,
        who,
        shape=lambda: of_drive(driven),
        json=json,
        files=files,
        makers={".svg": one(lambda: drive_svg(driven, who))},
    )
    if driven.gave_up:
        raise typer.Exit(output.EXIT_NO_ANSWER)
    if fail_on_no:
        output.end(no=not driven.way.found, unsure=False)

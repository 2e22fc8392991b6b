"""The command of driving: how a car gets from stance to stance, in words, as JSON and as a picture."""

from __future__ import annotations

from typing import Annotated

import typer

from standtrue.cli import output
from standtrue.cli.options import FailOpt, FolderArg, JsonOpt, SiteOpt, SvgOpt, VehicleOpt
from standtrue.cli.reader import reader
from standtrue.show.answers.drive import of_drive
from standtrue.show.pictures.drive import drive_svg
from standtrue.show.words.basis import basis_blocks
from standtrue.show.words.command_line import picture_written
from standtrue.show.words.drive import move_blocks
from standtrue.work.ask import UnansweredError, open_shop
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
    svg: SvgOpt = None,
    fail_on_no: FailOpt = False,
    json: JsonOpt = False,
) -> None:
    """How a car gets from one stance to another, or what is in the way."""
    shop = open_shop(folder)
    who = reader(shop)
    with output.asking(who, stoppable=True) as asking:
        driven = drive_between(shop, site, vehicle, start, goal, mode, asking)
    basis = driven.basis
    if svg is not None:
        fault = output.write_text(svg, drive_svg(driven, who))
        if fault is not None:
            raise UnansweredError([fault])
        output.tell(picture_written(svg, who))
    if json:
        output.print_json(of_drive(driven).to_json())
    else:
        output.show(move_blocks(driven.way, who))
        output.show(basis_blocks(basis, who))
    if driven.gave_up:
        raise typer.Exit(output.EXIT_NO_ANSWER)
    if fail_on_no:
        output.end(no=not driven.way.found, unsure=False)

"""The command of driving: how a car gets from stance to stance, in words, as JSON and as a picture."""

from __future__ import annotations

from typing import Annotated

import typer

from standtrue.cli import output
from standtrue.cli.options import FolderArg, JsonOpt, SiteOpt, SvgOpt, UnitsOpt, VehicleOpt
from standtrue.documents import read_folder
from standtrue.show.answers.drive import of_drive
from standtrue.show.pictures.drawn import svg_of
from standtrue.show.pictures.drive import move_drawing
from standtrue.show.words.drive import move_blocks
from standtrue.show.words.reader import Reader
from standtrue.work.ask import UnansweredError, sound
from standtrue.work.drive.drives import drive_between


def add_to(app: typer.Typer) -> None:
    """Add the command to the program."""
    app.command()(drive)


def drive(
    folder: FolderArg,
    start: Annotated[str, typer.Option("--from", help="x,y,heading (m, degrees) with @LIFT/STATE; or door:NAME.")],
    goal: Annotated[str, typer.Option("--to", help="As for --from.")],
    site: SiteOpt = None,
    vehicle: VehicleOpt = None,
    mode: Annotated[str, typer.Option("--mode", help="drive, push, or skates (they roll any way).")] = "drive",
    units: UnitsOpt = "metric",
    svg: SvgOpt = None,
    json: JsonOpt = False,
) -> None:
    """How a car gets from one stance to another, or what is in the way."""
    reader = Reader(units)
    driven = drive_between(sound(read_folder(folder)), site, vehicle, start, goal, mode)
    basis = driven.basis
    if svg is not None:
        cautions = reader.reasons(c.reason for c in basis.cautions)
        drawing = move_drawing(driven, reader, cautions=cautions, demonstration=basis.demonstration)
        fault = output.write_text(svg, svg_of(drawing, reader))
        if fault is not None:
            raise UnansweredError([fault])
        output.err().print(f"Picture: {svg}", markup=False, soft_wrap=True)
    if json:
        output.print_json(of_drive(driven).to_json())
    else:
        output.show(move_blocks(driven.way, reader))
        output.print_notes(reader.reasons(basis.warnings), basis.cautions, basis.demonstration)
    if driven.gave_up:
        raise typer.Exit(output.EXIT_NO_ANSWER)

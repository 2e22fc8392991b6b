"""The command of driving: how a car gets from stance to stance, in words, as JSON and as a picture."""

from __future__ import annotations

from typing import Annotated

import typer

from standtrue.cli import output
from standtrue.cli.options import FolderArg, JsonOpt, SiteOpt, SvgOpt, UnitsOpt, VehicleOpt
from standtrue.documents import read_folder
from standtrue.draw.drive_plan import move_svg
from standtrue.draw.drive_words import move_lines
from standtrue.drive.engine import drive as drive_between
from standtrue.work import as_json
from standtrue.work.ask import UnansweredError, pick, sound
from standtrue.work.drives import drive_basis, drive_json, move_of, pick_mode, read_end


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
    found = sound(read_folder(folder))
    where = pick("site", site, found.sites, "--site")
    car = pick("vehicle", vehicle, found.vehicles, "--vehicle")
    one, two = read_end(where, start, "--from"), read_end(where, goal, "--to")
    answer = drive_between(where, car, one, two, pick_mode(mode))
    marks, told = drive_basis(found, where, car)
    demonstration = any(m.demonstration for m in marks)
    if svg is not None:
        text = move_svg(
            move_of(where, car, one, two, answer),
            units=units,
            title=f"How {car.name} gets there – {where.name}",
            cautions=[c.text for c in told],
            demonstration=demonstration,
        )
        fault = output.write_text(svg, text)
        if fault is not None:
            raise UnansweredError([fault])
        output.err().print(f"Picture: {svg}", markup=False, soft_wrap=True)
    if json:
        envelope = as_json.envelope(marks, answer.warnings, told)
        output.print_json({**envelope, **drive_json(answer)})
    else:
        for line in move_lines(answer, units):
            output.out().print(line, markup=False, soft_wrap=True)
        output.print_notes(answer.warnings, told, demonstration)
    if answer.search == "gave up":
        raise typer.Exit(output.EXIT_NO_ANSWER)

"""The command of driving: how a car gets from stance to stance, in words, as JSON and as a picture."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Annotated

import typer
from rich.console import RenderableType
from rich.markup import escape
from rich.padding import Padding

from standtrue.cli import output
from standtrue.cli.options import FolderArg, JsonOpt, SiteOpt, SvgOpt, UnitsOpt, VehicleOpt
from standtrue.documents import read_folder
from standtrue.draw.svg import render
from standtrue.drive.engine import drive as drive_between
from standtrue.model.basics import Fault
from standtrue.model.reader_units import System
from standtrue.model.site import Bay
from standtrue.place.question.answer import Answer
from standtrue.show.answers import place_json as as_json
from standtrue.show.pictures.drive import move_plan
from standtrue.show.words.drive import move_lines
from standtrue.show.words.reader import ENGLISH
from standtrue.work.ask import UnansweredError, pick, sound
from standtrue.work.drive.arrivals import Reached, Reaching, reached_words
from standtrue.work.drive.drives import drive_basis, drive_json, move_of, pick_mode, read_end
from standtrue.work.place.places import Places, Progress


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
        plan = move_plan(
            move_of(where, car, one, two, answer),
            units=units,
            title=f"How {car.name} gets there – {where.name}",
            cautions=[ENGLISH.reason(c.reason) for c in told],
            demonstration=demonstration,
        )
        fault = output.write_text(svg, render(plan, units))
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


def reach_places(
    places: Places, doors: Sequence[str] | None, bay: Bay | None, tell: Progress
) -> tuple[Reached | None, ...]:
    """For each answer whether the car can be driven there from one of `doors`, any of the site's if none is named."""
    known = {d.name: d for d in places.site.doors}
    if not known:
        raise UnansweredError(
            [Fault("no-such-door", f"{places.site.name} has no door", "", "--reach", "", "add a door to the site")]
        )
    chosen = [pick("door", name, known, "--door").name for name in doors or known]
    reaching = Reaching(places.site, places.vehicle, chosen, bay)
    found = []
    for number, answer in enumerate(places.answers, start=1):
        found.append(reaching.reach(answer))
        tell(f"the way to {answer.name}", number, len(places.answers))
    return tuple(found)


def reach_tables(
    answers: Sequence[Answer], reached: Sequence[Reached | None], units: System
) -> Iterator[RenderableType]:
    """For each answer that fits, whether the car can be driven there."""
    if any(reached):
        yield "[bold]Can it be driven there?[/bold]"
    for answer, way in zip(answers, reached, strict=False):
        if way is not None:
            yield Padding(escape(f"{answer.name}, {answer.carried_by}"), (0, 0, 0, 1))
            yield from (Padding(escape(line), (0, 0, 0, 5)) for line in reached_words(way, units))

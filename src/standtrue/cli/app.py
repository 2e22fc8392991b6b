"""The commands. Each reads documents, asks one use case, and prints its answer."""

from __future__ import annotations

import math
import sys
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Annotated

import typer

from standtrue.cli import aiming, mixing, output, studying
from standtrue.cli.options import FolderArg, JobOpt, JsonOpt, SiteOpt, SvgOpt, UnitsOpt, VehicleOpt
from standtrue.cli.tables import needs_tables, place_tables, read_tables, shared_tables
from standtrue.demo import MAIN_JOB, write_demo
from standtrue.documents import Folder, read_folder, write_starter
from standtrue.draw.plan import plan_svg
from standtrue.draw.words import remedies_words
from standtrue.drive.engine import drive as drive_between
from standtrue.model.basics import Fault
from standtrue.model.reader_units import System
from standtrue.place.answer import Answer, Slice
from standtrue.work import as_json
from standtrue.work.ask import UnansweredError, pick, pick_cards, pick_support, sound
from standtrue.work.drives import drive_basis, drive_json, drive_words, pick_mode, read_end
from standtrue.work.jobs import answer_job, find_job_needs
from standtrue.work.places import Places, cards_for, find_places
from standtrue.work.used import cautions

app = typer.Typer(
    name="standtrue",
    help="What must be calibrated on a car, and where in the shop it can stand for it.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode="rich",
)


def main() -> None:
    """Run the command line. Bad input ends with exit status 2 and every fault, never with a traceback."""
    as_json_wanted = "--json" in sys.argv
    try:
        app()
    except UnansweredError as refused:
        output.print_faults(refused.faults, as_json_wanted)
        sys.exit(output.EXIT_BAD_INPUT)
    except KeyboardInterrupt:
        output.err().print("Stopped.")
        sys.exit(130)
    except BrokenPipeError:
        sys.stderr.close()
        sys.exit(141)


@app.command()
def read(folder: FolderArg, json: JsonOpt = False) -> None:
    """Read a shop folder and report every document and every fault in it."""
    found = read_folder(folder)
    if found.faults:
        raise UnansweredError(found.faults)
    told = cautions([], found.documents)
    if json:
        output.print_json(as_json.read_json(found, told))
        return
    _show(read_tables(found))
    output.print_notes(found.warnings, told, any(m.demonstration for m in found.documents))


@app.command()
def needs(folder: FolderArg, job: JobOpt = None, json: JsonOpt = False) -> None:
    """What a job's repairs call for, why, and in which order."""
    found = sound(read_folder(folder))
    answer = find_job_needs(found, pick("job", job, found.jobs, "--job"))
    if json:
        output.print_json(as_json.needs_json(answer))
        return
    _show(needs_tables(answer))
    output.print_notes(answer.warnings, answer.cautions, answer.demonstration)


@app.command()
def place(
    folder: FolderArg,
    site: SiteOpt = None,
    bay: Annotated[str | None, typer.Option("--bay", help="A bay of the site: the car stays inside it.")] = None,
    vehicle: VehicleOpt = None,
    procedure: Annotated[
        list[str] | None,
        typer.Option("--procedure", help="A card: NAME, or NAME/left for one side. May be given more than once."),
    ] = None,
    support: Annotated[
        str | None,
        typer.Option("--support", help='floor, "lift down" or "lift up". All that the cards allow if left out.'),
    ] = None,
    region: Annotated[
        list[float] | None,
        typer.Option("--region", help="A heading, degrees: also answer every position that fits at it."),
    ] = None,
    units: UnitsOpt = "metric",
    svg: SvgOpt = None,
    json: JsonOpt = False,
) -> None:
    """Where a car can stand for its cards, or what stops it."""
    found = sound(read_folder(folder))
    where = pick("site", site, found.sites, "--site")
    car = pick("vehicle", vehicle, found.vehicles, "--vehicle")
    cards = pick_cards(found, procedure) if procedure else cards_for(found, car)
    supports = pick_support(support)
    headings = [math.radians(h) for h in region or ()]
    inside = None if bay is None else pick("bay", bay, {b.name: b for b in where.bays}, "--bay")
    with output.progress() as tell:
        places = find_places(found, where, car, cards, supports, bay=inside, headings_rad=headings, progress=tell)
    files = _draw(places.answers, places.slices, places, units, svg)
    if json:
        output.print_json(as_json.places_json(places))
    else:
        _show(place_tables(places.answers, places.remedies, units))
        _show(shared_tables(places.shared, units))
        output.print_notes(places.warnings, places.cautions, places.demonstration)
    _tell_files(files)
    _exit_undecided(places.answers)


@app.command()
def drive(
    folder: FolderArg,
    start: Annotated[str, typer.Option("--from", help="x,y,heading (m, degrees) with @LIFT/STATE; or door:NAME.")],
    goal: Annotated[str, typer.Option("--to", help="As for --from.")],
    site: Annotated[str | None, typer.Option("--site", help="The site's name.")] = None,
    vehicle: Annotated[str | None, typer.Option("--vehicle", help="The car's name.")] = None,
    mode: Annotated[str, typer.Option("--mode", help="drive, push, or skates (they roll any way).")] = "drive",
    json: JsonOpt = False,
) -> None:
    """How a car gets from one stance to another, or what is in the way."""
    found = sound(read_folder(folder))
    where = pick("site", site, found.sites, "--site")
    car = pick("vehicle", vehicle, found.vehicles, "--vehicle")
    ends = read_end(where, start, "--from"), read_end(where, goal, "--to")
    answer = drive_between(where, car, *ends, pick_mode(mode))
    marks, told = drive_basis(found, where, car)
    if json:
        envelope = as_json.envelope(marks, answer.warnings, told)
        output.print_json({**envelope, **drive_json(answer)})
    else:
        for line in drive_words(answer):
            output.out().print(line, markup=False, soft_wrap=True)
        output.print_notes(answer.warnings, told, any(m.demonstration for m in marks))
    if answer.search == "gave up":
        raise typer.Exit(output.EXIT_NO_ANSWER)


@app.command()
def job(
    folder: FolderArg, job: JobOpt = None, units: UnitsOpt = "metric", svg: SvgOpt = None, json: JsonOpt = False
) -> None:
    """The whole answer for a repair order: what must be calibrated and why, and where the car can stand for each."""
    found = sound(read_folder(folder))
    _answer_job(found, job, units, svg, json)


@app.command()
def demo(
    folder: Annotated[Path, typer.Argument(help="Where to write the demonstration shop.")] = Path("demo-shop"),
    units: UnitsOpt = "metric",
) -> None:
    """Write the invented demonstration shop into a folder, and answer one of its jobs with pictures."""
    files = _write(lambda: write_demo(folder), folder)
    output.err().print(f"{len(files)} documents of an invented shop are in {folder}", soft_wrap=True)
    found = sound(read_folder(folder))
    _answer_job(found, MAIN_JOB, units, folder / "pictures" / "plan.svg", False)


@app.command()
def new(folder: Annotated[Path, typer.Argument(help="Where to write the starter documents.")]) -> None:
    """Write a small commented shop folder to start your own from."""
    for file in _write(lambda: write_starter(folder), folder):
        output.out().print(str(file), soft_wrap=True)


aiming.add_to(app)
studying.add_to(app)
mixing.add_to(app)


def _answer_job(found: Folder, name: str | None, units: System, svg: Path | None, json: bool) -> None:
    with output.progress() as tell:
        answer = answer_job(found, pick("job", name, found.jobs, "--job"), progress=tell)
    best = [b for card in answer.needs.cards if (b := answer.best(card)) is not None]
    files = _draw(best, [()] * len(best), answer.places, units, svg)
    if json:
        output.print_json(as_json.job_json(answer))
    else:
        _show(needs_tables(answer.needs))
        _show(place_tables(answer.places.answers, answer.places.remedies, units))
        _show(shared_tables(answer.places.shared, units))
        output.print_notes(answer.warnings, answer.cautions, answer.demonstration)
    _tell_files(files)
    _exit_undecided(answer.places.answers)


def _draw(
    answers: Sequence[Answer],
    slices: Sequence[Sequence[Slice]],
    places: Places,
    units: System,
    svg: Path | None,
) -> tuple[Path, ...]:
    drawable = [(a, s) for a, s in zip(answers, slices, strict=True) if a.shown is not None]
    if svg is None or not drawable:
        return ()
    files = output.picture_files(svg, [f"{a.name} {a.carried_by}" for a, _ in drawable])
    faults = []
    for file, (answer, pieces) in zip(files, drawable, strict=True):
        text = plan_svg(
            answer,
            slices=pieces,
            units=units,
            title=f"{answer.name} – {places.vehicle.name} – {places.site.name}",
            notes=remedies_words(places.remedies_for(answer), answer, units),
            cautions=[c.text for c in places.cautions],
            demonstration=places.demonstration,
        )
        fault = output.write_text(file, text)
        faults.extend([fault] if fault else [])
    if faults:
        raise UnansweredError(faults)
    return files


def _show(tables: Iterable[object]) -> None:
    console = output.out()
    for one in tables:
        console.print(one)


def _tell_files(files: Iterable[Path]) -> None:
    for file in files:
        output.err().print(f"Picture: {file}", markup=False, soft_wrap=True)


def _exit_undecided(answers: Sequence[Answer]) -> None:
    """Exit status 3 if a search stopped at its limit before an answer was proven."""
    if answers and all(a.limited and a.fits == "undecided" for a in answers):
        raise typer.Exit(output.EXIT_NO_ANSWER)


def _write(write: Callable[[], tuple[Path, ...]], folder: Path) -> tuple[Path, ...]:
    try:
        return write()
    except OSError as error:
        remedy = "name a new folder, or one that you may write to"
        raise UnansweredError([Fault("unwritable", str(error), str(folder), "", "", remedy)]) from None

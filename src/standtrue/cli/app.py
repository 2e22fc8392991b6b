"""The commands. Each reads documents, asks one use case, and prints its answer."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Annotated

import typer
from attrs import evolve

from standtrue.cli import output, planning
from standtrue.cli.options import DoorOpt, FolderArg, JobOpt, JsonOpt, ReachOpt, SiteOpt, SvgOpt, UnitsOpt, VehicleOpt
from standtrue.cli.reader import reader
from standtrue.cli.tables import needs_tables, place_tables, read_tables, shared_tables
from standtrue.demo import MAIN_JOB, write_demo
from standtrue.documents import read_folder, write_starter
from standtrue.model.basics import Fault
from standtrue.model.fits import Fits
from standtrue.model.reader_units import System
from standtrue.model.shop import Shop
from standtrue.place.question.answer import Answer, Slice
from standtrue.show.answers import place_json as as_json
from standtrue.show.answers.drive import of_reached
from standtrue.show.pictures.drawn import svg_of
from standtrue.show.pictures.drive import with_move
from standtrue.show.pictures.place import drawing_of
from standtrue.show.words.drive import reached_blocks
from standtrue.show.words.place import remedies_words
from standtrue.show.words.reader import Reader
from standtrue.work.ask import UnansweredError, pick, pick_cards, pick_support, sound
from standtrue.work.drive.arrivals import Reached, reached_from
from standtrue.work.drive.drives import with_moving
from standtrue.work.needs.jobs import answer_job, find_job_needs
from standtrue.work.place.places import Places, cards_for, find_places
from standtrue.work.used import cautions


def add_to(app: typer.Typer) -> None:
    """Add the commands to the program."""
    for command in (read, needs, place, job, demo, new):
        app.command()(command)


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


def needs(folder: FolderArg, job: JobOpt = None, json: JsonOpt = False) -> None:
    """What a job's repairs call for, why, and in which order."""
    found = sound(read_folder(folder))
    answer = find_job_needs(found, pick("job", job, found.jobs, "--job"))
    if json:
        output.print_json(as_json.needs_json(answer))
        return
    _show(needs_tables(answer))
    output.print_notes(answer.warnings, answer.cautions, answer.demonstration)


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
    reach: ReachOpt = False,
    door: DoorOpt = None,
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
    with output.asking() as asking:
        reached = reached_from(places.answers, where, car, door, inside, asking) if reach or door else ()
    if reached:
        places = evolve(places, cautions=with_moving(places.cautions, car))
    files = _draw(places.answers, places.slices, places, units, svg, reached)
    if json:
        ways = [None if r is None else of_reached(r).to_json() for r in reached]
        output.print_json(as_json.places_json(places, ways))
    else:
        _show(place_tables(places.answers, places.remedies, units))
        names = [f"{a.name}, {a.carried_by}" for a in places.answers]
        output.show(reached_blocks(tuple(zip(names, reached, strict=False)), Reader(units)))
        _show(shared_tables(places.shared, units))
        output.print_notes(places.warnings, places.cautions, places.demonstration)
    _tell_files(files)
    _exit_undecided(places.answers)


def job(
    folder: FolderArg, job: JobOpt = None, units: UnitsOpt = "metric", svg: SvgOpt = None, json: JsonOpt = False
) -> None:
    """The whole answer for a repair order: what must be calibrated and why, and where the car can stand for each."""
    found = sound(read_folder(folder))
    _answer_job(found, job, units, svg, json)


def demo(
    folder: Annotated[Path, typer.Argument(help="Where to write the demonstration shop.")] = Path("demo-shop"),
) -> None:
    """Write the invented demonstration shop into a folder, and plan one of its jobs with pictures and a page."""
    files = _write(lambda: write_demo(folder), folder)
    output.err().print(f"{len(files)} documents of an invented shop are in {folder}", soft_wrap=True)
    found = sound(read_folder(folder))
    _show(needs_tables(find_job_needs(found, found.jobs[MAIN_JOB])))
    pictures = folder / "pictures"
    who = reader()
    answer = planning.ask_plan(found, MAIN_JOB, who)
    planning.tell_plan(answer, who, pictures / "plan.svg", pictures / "plan.html")


def new(folder: Annotated[Path, typer.Argument(help="Where to write the starter documents.")]) -> None:
    """Write a small commented shop folder to start your own from."""
    for file in _write(lambda: write_starter(folder), folder):
        output.out().print(str(file), soft_wrap=True)


def _answer_job(found: Shop, name: str | None, units: System, svg: Path | None, json: bool) -> None:
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
    reached: Sequence[Reached | None] = (),
) -> tuple[Path, ...]:
    ways = reached or (None,) * len(answers)
    drawable = [(a, s, r) for a, s, r in zip(answers, slices, ways, strict=True) if a.shown is not None]
    if svg is None or not drawable:
        return ()
    files = output.picture_files(svg, [f"{a.name} {a.carried_by}" for a, _, _ in drawable])
    faults = []
    for file, (answer, pieces, way) in zip(files, drawable, strict=True):
        plan = drawing_of(
            answer if way is None else way.answer,
            slices=pieces,
            units=units,
            title=f"{answer.name} – {places.vehicle.name} – {places.site.name}",
            notes=remedies_words(places.remedies_for(answer), answer, units),
            cautions=[c.text for c in places.cautions],
            demonstration=places.demonstration,
        )
        if way is not None and way.way.found:
            plan = with_move(plan, way.driven, Reader(units))
        fault = output.write_text(file, svg_of(plan, Reader(units)))
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
    if answers and all(a.limited and a.fits is Fits.UNDECIDED for a in answers):
        raise typer.Exit(output.EXIT_NO_ANSWER)


def _write(write: Callable[[], tuple[Path, ...]], folder: Path) -> tuple[Path, ...]:
    try:
        return write()
    except OSError as error:
        remedy = "name a new folder, or one that you may write to"
        raise UnansweredError([Fault("unwritable", str(error), str(folder), "", "", remedy)]) from None

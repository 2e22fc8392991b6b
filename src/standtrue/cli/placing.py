"""The commands that say where a car can stand: for the cards of one car, or for a whole repair order."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from attrs import evolve

from standtrue.cli import output
from standtrue.cli.options import DoorOpt, FailOpt, FolderArg, JobOpt, JsonOpt, ReachOpt, SiteOpt, SvgOpt, VehicleOpt
from standtrue.cli.reader import reader
from standtrue.model.asking import Asking
from standtrue.model.fits import Fits
from standtrue.model.site import Bay
from standtrue.show.words.basis import basis_blocks
from standtrue.show.words.command_line import picture_written
from standtrue.show.words.place_tables import place_blocks
from standtrue.show.words.reader import Reader
from standtrue.work.ask import UnansweredError, open_shop, pick, pick_cards, pick_support
from standtrue.work.place.places import Places, Told, cards_for, find_places

if TYPE_CHECKING:
    from standtrue.work.drive.arrivals import Reached

# Driving, pictures and JSON are loaded where they are asked for: to load them takes as long as many an answer.


def add_to(app: typer.Typer) -> None:
    """Add the commands to the program."""
    app.command()(place)
    app.command()(job)


def place(  # long: one parameter for each option
    folder: FolderArg,
    site: SiteOpt = None,
    bay: Annotated[str | None, typer.Option("--bay")] = None,
    vehicle: VehicleOpt = None,
    procedure: Annotated[
        list[str] | None,
        typer.Option("--procedure"),
    ] = None,
    support: Annotated[
        str | None,
        typer.Option("--support"),
    ] = None,
    region: Annotated[
        list[float] | None,
        typer.Option("--region"),
    ] = None,
    no_remedies: Annotated[bool, typer.Option("--no-remedies")] = False,
    reach: ReachOpt = False,
    door: DoorOpt = None,
    svg: SvgOpt = None,
    fail_on_no: FailOpt = False,
    json: JsonOpt = False,
) -> None:
    """Where a car can stand for its cards, or what stops it."""
    shop = open_shop(folder)
    who = reader(shop)
    where = pick("site", site, shop.sites, "--site")
    car = pick("vehicle", vehicle, shop.vehicles, "--vehicle")
    cards = pick_cards(shop, procedure) if procedure else cards_for(shop, car)
    supports, headings = pick_support(support), [math.radians(h) for h in region or ()]
    inside = None if bay is None else pick("bay", bay, {b.name: b for b in where.bays}, "--bay")
    with output.asking(who, stoppable=True) as asking:
        asked, told = (shop, where, car, cards, supports), not no_remedies
        places = find_places(*asked, bay=inside, headings_rad=headings, remedies=told, asking=asking)
        ways = _ways(places, door, inside, asking) if reach or door else ()
    if ways:
        from standtrue.work.drive.drives import moving_facts

        places = evolve(places, basis=places.basis.cautioned(moving_facts(car)))
    files = _draw(places, places.answers, who, svg, ways)
    _tell(places, ways, who, json)
    _end(places, files, who)
    if fail_on_no:
        output.end(no=Fits.NO in places.by_card.values(), unsure=Fits.UNDECIDED in places.by_card.values())


def _ways(places: Places, door: list[str] | None, inside: Bay | None, asking: Asking) -> tuple[Reached | None, ...]:
    """How the car gets to each of the places."""
    from standtrue.work.drive.arrivals import reached_from

    return reached_from(places.answers, places.site, places.vehicle, door, inside, asking)


def _tell(places: Places, ways: Sequence[Reached | None], who: Reader, json: bool) -> None:
    if json:
        from standtrue.show.answers.drive import of_reached
        from standtrue.show.answers.place import of_places

        output.print_json(of_places(places, [None if way is None else of_reached(way) for way in ways]).to_json())
        return
    output.show(place_blocks(places, who))
    if ways:
        from standtrue.show.words.drive import reached_blocks

        names = [f"{a.name}, {a.stands.carried_by}" for a in places.answers]
        output.show(reached_blocks(tuple(zip(names, ways, strict=False)), who))
    output.show(basis_blocks(places.basis, who))


def job(folder: FolderArg, job: JobOpt = None, svg: SvgOpt = None, json: JsonOpt = False) -> None:
    """The whole answer for a repair order: what must be calibrated and why, and where the car can stand for each."""
    from standtrue.show.words.needs import needs_blocks
    from standtrue.work.needs.jobs import answer_job

    shop = open_shop(folder)
    who = reader(shop)
    asked = pick("job", job, shop.jobs, "--job")
    with output.asking(who, stoppable=True) as asking:
        answer = answer_job(shop, asked, asking)
    places = answer.places
    best = [best for card in answer.needs.cards if (best := answer.best(card)) is not None]
    files = _draw(places, best, who, svg)
    if json:
        from standtrue.show.answers.place import of_job

        output.print_json(of_job(answer).to_json())
    else:
        output.show(needs_blocks(answer.needs, who))
        output.show(place_blocks(places, who))
        output.show(basis_blocks(answer.basis, who))
    _end(places, files, who)


def _draw(
    places: Places,
    answers: Sequence[Told],
    who: Reader,
    svg: Path | None,
    ways: Sequence[Reached | None] = (),
) -> tuple[Path, ...]:
    """Write the picture of each of these answers that has something to show; a file each."""
    told = zip(answers, ways or (None,) * len(answers), strict=True)
    drawable = [(answer, way) for answer, way in told if answer.shown is not None]
    if svg is None or not drawable:
        return ()
    from standtrue.show.pictures.answers import answer_svg

    files = output.picture_files(svg, [f"{one.name} {one.stands.carried_by}" for one, _ in drawable])
    pictures = [answer_svg(places, one, who, way) for one, way in drawable]
    faults = [f for file, picture in zip(files, pictures, strict=True) if (f := output.write_text(file, picture))]
    if faults:
        raise UnansweredError(faults)
    return files


def _end(places: Places, files: Sequence[Path], who: Reader) -> None:
    """Tell the pictures. Exits with status 3 if every search ended before an answer was proven."""
    for file in files:
        output.tell(picture_written(file, who))
    if places.gave_up:
        raise typer.Exit(output.EXIT_NO_ANSWER)

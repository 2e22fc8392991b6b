"""The commands that say where a car can stand: for the cards of one car, or for a whole repair order."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from attrs import evolve

from standtrue.cli import output
from standtrue.cli.files import Contents, asked_files
from standtrue.cli.giving import give
from standtrue.cli.keeping import About
from standtrue.cli.options import (
    BayOpt,
    CardsOpt,
    DoorOpt,
    FailOpt,
    FolderArg,
    JobOpt,
    JsonOpt,
    OutOpt,
    ReachOpt,
    SiteOpt,
    SupportOpt,
    VehicleOpt,
    WhyOpt,
)
from standtrue.cli.reader import reader
from standtrue.cli.where import open_shop
from standtrue.model.asking import Asking
from standtrue.model.fits import Fits
from standtrue.model.site import Bay
from standtrue.show.words.blocks import Told
from standtrue.show.words.place_tables import place_told
from standtrue.show.words.reader import Reader
from standtrue.work.ask import pick, pick_cards, pick_support
from standtrue.work.place.places import Answered, Places, cards_for, find_places

if TYPE_CHECKING:
    from standtrue.show.answers.parts import Shape
    from standtrue.work.drive.arrivals import Reached
    from standtrue.work.needs.jobs import JobAnswer

# Driving, pictures and JSON are loaded where they are asked for: to load them takes as long as many an answer.


def add_to(app: typer.Typer) -> None:
    """Add the commands to the program."""
    app.command()(place)
    app.command()(job)


def place(  # long: one parameter for each option
    folder: FolderArg,
    site: SiteOpt = None,
    bay: BayOpt = None,
    vehicle: VehicleOpt = None,
    procedure: CardsOpt = None,
    support: SupportOpt = None,
    region: Annotated[
        list[float] | None,
        typer.Option("--region"),
    ] = None,
    no_remedies: Annotated[bool, typer.Option("--no-remedies")] = False,
    reach: ReachOpt = False,
    door: DoorOpt = None,
    out: OutOpt = None,
    why: WhyOpt = False,
    fail_on_no: FailOpt = False,
    json: JsonOpt = False,
) -> None:
    """Where a car can stand for its cards, or what stops it."""
    files = asked_files(out, ".svg")
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
    give(
        lambda: _told(places, ways, who),
        places.basis,
        who,
        shape=lambda: _answer(places, ways),
        json=json,
        files=files,
        makers={".svg": lambda file: _pictures(places, places.answers, who, file, ways)},
        why=why,
    )
    _end(places)
    if fail_on_no:
        output.end(no=Fits.NO in places.by_card.values(), unsure=Fits.UNDECIDED in places.by_card.values())


def _ways(places: Places, door: list[str] | None, inside: Bay | None, asking: Asking) -> tuple[Reached | None, ...]:
    """How the car gets to each of the places."""
    from standtrue.work.drive.arrivals import reached_from

    return reached_from(places.answers, places.site, places.vehicle, door, inside, asking)


def _answer(places: Places, ways: Sequence[Reached | None]) -> Shape:
    from standtrue.show.answers.drive import of_reached
    from standtrue.show.answers.place import of_places

    return of_places(places, [None if way is None else of_reached(way) for way in ways])


def _told(places: Places, ways: Sequence[Reached | None], who: Reader) -> Told:
    told = place_told(places, who)
    if not ways:
        return told
    from standtrue.show.words.drive import reached_blocks, reached_rows

    names = [f"{a.name}, {a.stands.carried_by}" for a in places.answers]
    reached = tuple(zip(names, ways, strict=False))
    return told.joined(Told((), tuple(reached_rows(reached, who)), tuple(reached_blocks(reached, who))))


def job(folder: FolderArg, job: JobOpt = None, out: OutOpt = None, why: WhyOpt = False, json: JsonOpt = False) -> None:
    """The whole answer for a repair order: what must be calibrated and why, and where the car can stand for each."""
    from standtrue.show.words.needs import needs_told
    from standtrue.work.needs.jobs import answer_job

    files = asked_files(out, ".svg")
    shop = open_shop(folder)
    who = reader(shop)
    asked = pick("job", job, shop.jobs, "--job")
    with output.asking(who, stoppable=True) as asking:
        answer = answer_job(shop, asked, asking)
    places = answer.places
    best = [best for card in answer.needs.cards if (best := answer.best(card)) is not None]
    give(
        lambda: needs_told(answer.needs, who).joined(place_told(places, who)),
        answer.basis,
        who,
        shape=lambda: _job_answer(answer),
        json=json,
        files=files,
        makers={".svg": lambda file: _pictures(places, best, who, file)},
        why=why,
        about=About(folder, shop, asked.name),
    )
    _end(places)


def _job_answer(answer: JobAnswer) -> Shape:
    from standtrue.show.answers.place import of_job

    return of_job(answer)


def _pictures(
    places: Places, answers: Sequence[Answered], who: Reader, file: Path, ways: Sequence[Reached | None] = ()
) -> Contents:
    """The picture of each of these answers that has something to show; a file each."""
    told = zip(answers, ways or (None,) * len(answers), strict=True)
    drawable = [(answer, way) for answer, way in told if answer.shown is not None]
    if not drawable:
        return {}
    from standtrue.show.pictures.answers import answer_svg

    files = output.picture_files(file, [f"{one.name} {one.stands.carried_by}" for one, _ in drawable])
    return {file: answer_svg(places, one, who, way) for file, (one, way) in zip(files, drawable, strict=True)}


def _end(places: Places) -> None:
    """Exits with status 3 if every search ended before an answer was proven."""
    if places.gave_up:
        raise typer.Exit(output.EXIT_NO_ANSWER)

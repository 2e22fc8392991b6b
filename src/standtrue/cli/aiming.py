"""The commands of aiming: lay targets out, judge what was measured; floor, alignment, loads, reflectors."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Annotated

import typer
from rich.console import RenderableType

from standtrue.aim.reflector import cross_section, far_field, from_decibels, leg_for, to_decibels
from standtrue.cli import aim_tables, output
from standtrue.cli.options import FolderArg, JsonOpt, SetupOpt, SiteOpt, SvgOpt, UnitsOpt, VehicleOpt
from standtrue.documents import read_folder
from standtrue.documents.faults import RefusedError
from standtrue.documents.quantities import parse_length
from standtrue.model.basics import Fault, Place
from standtrue.model.reason import Note
from standtrue.model.setup import Setup
from standtrue.model.shop import Shop
from standtrue.show.answers import aim_json as aiming_json
from standtrue.show.pictures import aim as aiming_pictures
from standtrue.show.pictures.drawn import svg_of
from standtrue.show.pictures.heights import floor_svg
from standtrue.show.words.reader import Reader
from standtrue.work.aim import aiming
from standtrue.work.aim.floors import judge_floor
from standtrue.work.ask import UnansweredError, pick, pick_cards, sound
from standtrue.work.used import Basis


def add_to(app: typer.Typer) -> None:
    """Add the commands to the program."""
    for command in (targets, measured, floor, alignment, loads, reflector):
        app.command()(command)


def targets(
    folder: FolderArg,
    setup: SetupOpt = None,
    units: UnitsOpt = "metric",
    svg: SvgOpt = None,
    json: JsonOpt = False,
) -> None:
    """Where a set-up's targets go, in dimensions to lay out, and which readings to take."""
    found, asked = _setup(folder, setup)
    answer = aiming.lay_targets_out(found, asked)
    if json:
        output.print_json(aiming_json.targets_json(answer))
    else:
        _show(aim_tables.targets_tables(answer, units), answer.basis)
    _draw(svg, lambda: svg_of(aiming_pictures.targets_picture(found, asked, answer, units), Reader(units)))


def measured(
    folder: FolderArg,
    setup: SetupOpt = None,
    units: UnitsOpt = "metric",
    svg: SvgOpt = None,
    json: JsonOpt = False,
) -> None:
    """What a set-up's readings say: what to shift, or that it is in tolerance, and how sure that is."""
    found, asked = _setup(folder, setup)
    answer = aiming.judge_measured(found, asked)
    if json:
        output.print_json(aiming_json.measured_json(answer, units))
    else:
        _show(aim_tables.measured_tables(answer, units), answer.basis)
    _draw(svg, lambda: svg_of(aiming_pictures.measured_picture(answer, units), Reader(units)))


def floor(
    folder: FolderArg,
    survey: Annotated[
        str | None, typer.Option("--survey", help="The survey's name. May be left out if there is only one.")
    ] = None,
    procedure: Annotated[
        str | None, typer.Option("--procedure", help="A card: also where the floor is level enough for it.")
    ] = None,
    vehicle: VehicleOpt = None,
    at: Annotated[
        str | None,
        typer.Option("--at", help="A stance, x,y,heading (metres, degrees): also how the car stands there."),
    ] = None,
    units: UnitsOpt = "metric",
    svg: SvgOpt = None,
    json: JsonOpt = False,
) -> None:
    """How level and how flat a surveyed floor is."""
    found = sound(read_folder(folder))
    asked = pick("survey", survey, found.surveys, "--survey")
    card = None if procedure is None else pick_cards(found, [procedure])[0]
    place = None if at is None else _place(at)
    car = None if place is None and vehicle is None else pick("vehicle", vehicle, found.vehicles, "--vehicle")
    answer = judge_floor(found, asked, card, car, place)
    if json:
        output.print_json(aiming_json.floor_json(answer))
    else:
        _show(aim_tables.floor_tables(answer, units), answer.basis)
    _draw(svg, lambda: floor_svg(aiming_pictures.floor_picture(found, answer, car, card, units), units))


def alignment(folder: FolderArg, setup: SetupOpt = None, json: JsonOpt = False) -> None:
    """A set-up's wheel alignment readings against the car's limits, and whether they hold the calibration."""
    found, asked = _setup(folder, setup)
    answer = aiming.judge_alignment(found, asked)
    if json:
        output.print_json(aiming_json.alignment_json(answer))
        return
    _show(aim_tables.alignment_tables(answer), answer.basis)


def loads(
    folder: FolderArg,
    site: SiteOpt = None,
    vehicle: VehicleOpt = None,
    lift: Annotated[str | None, typer.Option("--lift", help="The lift's name in the site.")] = None,
    json: JsonOpt = False,
) -> None:
    """What a car puts on a lift, against what the lift may carry."""
    found = sound(read_folder(folder))
    where = pick("site", site, found.sites, "--site")
    car = pick("vehicle", vehicle, found.vehicles, "--vehicle")
    placed = pick("lift", lift, {p.name: p for p in where.lifts}, "--lift")
    answer = aiming.judge_loads(found, where, car, placed)
    if json:
        output.print_json(aiming_json.loads_json(answer))
        return
    _show(aim_tables.loads_tables(answer), answer.basis)


def reflector(
    frequency: Annotated[float, typer.Option("--frequency", help="The radar's frequency, GHz.")] = 77.0,
    leg: Annotated[
        str | None, typer.Option("--leg", help='The trihedral\'s edge along the right angle: "80 mm", "3 1/4 in".')
    ] = None,
    dbsm: Annotated[float | None, typer.Option("--dbsm", help="The radar cross-section that is asked, dBsm.")] = None,
    units: UnitsOpt = "metric",
    json: JsonOpt = False,
) -> None:
    """A trihedral radar reflector: its radar cross-section from its leg, or the leg from that."""
    if (leg is None) == (dbsm is None):
        raise UnansweredError([_fault("fields-conflict", "one of --leg and --dbsm is asked", "--leg", "give one")])
    _within(frequency, 1.0, 1000.0, "GHz", "--frequency", "as in 76.5")
    hertz = frequency * 1e9
    if leg is not None:
        length = _length(leg)
        _within(length, 0.001, 10.0, "m", "--leg", 'as in "80 mm"')
    else:
        asked = dbsm or 0.0
        _within(asked, -100.0, 100.0, "dBsm", "--dbsm", "as in 10")
        length = leg_for(from_decibels(asked), hertz)
    section = cross_section(length, hertz)
    told = {
        "frequency_ghz": frequency,
        "leg_m": round(length, 9),
        "section_m2": round(section, 9),
        "section_dbsm": round(to_decibels(section), 6),
        "far_field_m": round(far_field(length, hertz), 9),
    }
    if json:
        output.print_json(aiming_json.reflector_json(told))
        return
    _show(aim_tables.reflector_tables(told, units), Basis((), (), ()))


def _setup(folder: FolderArg, name: str | None) -> tuple[Shop, Setup]:
    found = sound(read_folder(folder))
    return found, pick("set-up", name, found.setups, "--setup")


def _place(text: str) -> Place:
    try:
        x, y, heading = (float(part) for part in text.split(","))
    except ValueError:
        remedy = "write x,y,heading in metres and degrees, as in 3.0,2.5,90"
        raise UnansweredError([_fault("not-a-stance", "this is no stance", "--at", remedy, text)]) from None
    if not all(map(math.isfinite, (x, y, heading))):
        raise UnansweredError([_fault("not-finite", "a stance is finite", "--at", "write finite numbers", text)])
    return Place(x, y, math.radians(heading))


def _length(text: str) -> float:
    try:
        length = parse_length(text, "m")
    except RefusedError as refused:
        raise UnansweredError([_fault(refused.code, refused.what, "--leg", refused.remedy, text)]) from None
    if length <= 0.0:
        raise UnansweredError([_fault("value-impossible", "a leg is longer than 0", "--leg", "measure it", text)])
    return length


def _fault(code: str, what: Note, option: str, remedy: Note, value: str = "") -> Fault:
    return Fault(code, what, "", option, value, remedy)


def _within(value: float, least: float, most: float, unit: str, option: str, remedy: str) -> None:
    """Refuse what no reflector or radar has: a slip of the unit, or a number too great to reckon with."""
    if not least <= value <= most:
        what = f"it must lie between {least:g} and {most:g} {unit}"
        raise UnansweredError([_fault("value-impossible", what, option, remedy, f"{value:g} {unit}")])


def _draw(file: Path | None, draw: Callable[[], str]) -> None:
    """Draw into a file, if one was asked for."""
    if file is None:
        return
    fault = output.write_text(file, draw())
    if fault:
        raise UnansweredError([fault])
    output.err().print(f"Picture: {file}", markup=False, soft_wrap=True)


def _show(tables: Iterable[RenderableType], basis: Basis) -> None:
    console = output.out()
    for one in tables:
        console.print(one)
    output.print_notes(basis.warnings, basis.cautions, basis.demonstration)

"""The verbs of the Python door: each asks one question of a shop, as the command of its name does."""

from __future__ import annotations

import datetime
import math
import os
from collections.abc import Iterable, Mapping, Sequence
from os import PathLike
from typing import TYPE_CHECKING, TypeVar

from attrs import evolve

from standtrue.door.answers import Answer, Picture
from standtrue.door.nouns import Document
from standtrue.door.refused import worded, wrong_type
from standtrue.door.shops import Shop, shop_of
from standtrue.model.asking import Asking
from standtrue.model.fits import Fits
from standtrue.show.words.blocks import Told
from standtrue.work.ask import pick, pick_cards, pick_support

# Each verb loads what it needs when it is called: to load all takes longer than many an answer.

if TYPE_CHECKING:
    from standtrue.model.procedure import Procedure
    from standtrue.model.shop import Shop as Model
    from standtrue.show.answers.cards import CardAnswer
    from standtrue.show.answers.drive import DriveAnswer
    from standtrue.show.answers.floor import FloorAnswer
    from standtrue.show.answers.measured import MeasuredAnswer
    from standtrue.show.answers.needs import NeedsAnswer
    from standtrue.show.answers.place import PlaceAnswer
    from standtrue.show.answers.plan import PlanShape
    from standtrue.show.answers.study import StudyShape
    from standtrue.show.answers.targets import TargetsAnswer
    from standtrue.work.drive.arrivals import Reached
    from standtrue.work.place.places import Answered, Places

T = TypeVar("T")

Named = str | Document
"""A document, or its name."""

Length = float | str
"""Meters, or as people write it: "17 ft 6 in"."""

Stance = str | tuple[Length, Length, float]
"""x, y and heading in degrees, or as the command takes it: `x,y,heading@LIFT/STATE`, `door:NAME`, `bay:NAME`."""


@worded
def needs(shop: Shop | str | PathLike[str], *, job: Named | None = None) -> Answer[NeedsAnswer]:
    """What a job's repairs call for, why, and in which order. Without a name, the only job there is."""
    from standtrue.show.answers.needs import of_needs
    from standtrue.show.words.needs import needs_blocks
    from standtrue.work.needs.jobs import find_job_needs

    own = shop_of(shop)
    found = find_job_needs(own, _pick("job", job, own.jobs))
    return Answer(
        own,
        lambda: of_needs(found),
        lambda who: Told(tuple(needs_blocks(found, who))),
        found.basis,
    )


@worded
def place(
    shop: Shop | str | PathLike[str],
    *,
    site: Named | None = None,
    bay: str | None = None,
    vehicle: Named | None = None,
    procedures: Named | Iterable[Named] | None = None,
    support: str | None = None,
    headings: Sequence[float] = (),
    remedies: bool = True,
    reach: bool = False,
    doors: Sequence[str] = (),
    workers: int | None = None,
) -> Answer[PlaceAnswer]:
    """Where a car can stand for its cards, or what stops it, and with `remedies` what would make room.

    Without `procedures` every card of the shop that names the car. `headings` (degrees) asks where else the car may
    stand at each; `reach` whether it can be driven there, through any door or one of `doors`.
    """
    from standtrue.work.place.places import cards_for, find_places

    own = shop_of(shop)
    where, car = _pick("site", site, own.sites), _pick("vehicle", vehicle, own.vehicles)
    cards = cards_for(own, car) if procedures is None else _cards(own, procedures)
    inside = None if bay is None else pick("bay", bay, {b.name: b for b in where.bays}, "bay")
    turned = [math.radians(h) for h in headings]
    found = find_places(
        *(own, where, car, cards, pick_support(support)),
        bay=inside,
        headings_rad=turned,
        remedies=remedies,
        asking=_asking(workers),
    )
    if not (reach or doors):
        return _placed(own, found, ())
    from standtrue.work.drive.arrivals import reached_from
    from standtrue.work.drive.drives import moving_facts

    ways = reached_from(found.answers, where, car, list(doors) or None, inside, _asking(workers))
    return _placed(own, evolve(found, basis=found.basis.cautioned(moving_facts(car))), ways)


def _placed(shop: Model, found: Places, ways: Sequence[Reached | None]) -> Answer[PlaceAnswer]:
    """Places as an answer: a picture for each that has something to show."""
    from standtrue.show.answers.drive import of_reached
    from standtrue.show.answers.place import of_places
    from standtrue.show.pictures.answers import answer_svg
    from standtrue.show.words.drive import reached_blocks
    from standtrue.show.words.place_tables import place_blocks

    told = list(zip(found.answers, ways or (None,) * len(found.answers), strict=True))

    def drawn(one: Answered, way: Reached | None) -> Picture:
        return lambda who: answer_svg(found, one, who, way)

    fitting_first = sorted(told, key=lambda entry: entry[0].fits is not Fits.YES)
    pictures = {
        f"{one.name}, {one.stands.carried_by}": drawn(one, way) for one, way in fitting_first if one.shown is not None
    }
    names = [(f"{one.name}, {one.stands.carried_by}", way) for one, way in told]
    return Answer(
        shop,
        lambda: of_places(found, [None if way is None else of_reached(way) for way in ways]),
        lambda who: Told((*place_blocks(found, who), *(reached_blocks(names, who) if ways else ()))),
        found.basis,
        pictures,
    )


@worded
def drive(
    shop: Shop | str | PathLike[str],
    start: Stance,
    goal: Stance,
    *,
    site: Named | None = None,
    vehicle: Named | None = None,
    mode: str = "drive",
) -> Answer[DriveAnswer]:
    """How a car gets from one stance to another, or what is in the way. `mode`: drive, push or skates."""
    from standtrue.show.answers.drive import of_drive
    from standtrue.show.pictures.drive import drive_svg
    from standtrue.show.words.drive import move_blocks
    from standtrue.work.drive.drives import drive_between

    own = shop_of(shop)
    ends = _written(start, "start"), _written(goal, "goal")
    driven = drive_between(own, _name(site), _name(vehicle), *ends, mode)
    return Answer(
        own,
        lambda: of_drive(driven),
        lambda who: Told(move_blocks(driven.way, who)),
        driven.basis,
        {"way": lambda who: drive_svg(driven, who)},
    )


@worded
def plan(
    shop: Shop | str | PathLike[str],
    *,
    job: Named | None = None,
    alternatives: bool = True,
    workers: int | None = None,
) -> Answer[PlanShape]:
    """The whole order of a job: each step's place, people, equipment and time, with every move.

    It has two pictures, `floor` and `time`.
    """
    from standtrue.show.answers.plan import of_plan
    from standtrue.show.pictures.plan import plan_roll
    from standtrue.show.pictures.plan_chart import plan_chart
    from standtrue.show.words.plan_tables import plan_told
    from standtrue.work.plan.plans import find_plan

    own = shop_of(shop)
    found = find_plan(own, _pick("job", job, own.jobs), alternatives=alternatives, asking=_asking(workers))
    pictures: dict[str, Picture] = {
        "floor": lambda who: plan_roll(found, who),
        "time": lambda who: plan_chart(found, who),
    }
    return Answer(
        own,
        lambda: of_plan(found),
        lambda who: plan_told(found, who),
        found.basis,
        pictures if found.plan is not None else {},
        why=False,
    )


@worded
def targets(
    shop: Shop | str | PathLike[str],
    *,
    setup: Named | None = None,
    checked: str | None = None,
    workers: int | None = None,
) -> Answer[TargetsAnswer]:
    """Where a set-up's targets go, and which readings to take: `checked` every one by others, or the least set."""
    from standtrue.model.site import CHECKED
    from standtrue.show.answers.targets import of_targets
    from standtrue.show.pictures.aim import targets_svg
    from standtrue.show.words.targets import targets_blocks
    from standtrue.work.aim.laying import lay_targets_out

    own = shop_of(shop)
    how = None if checked is None else pick("way of checking", checked, {c: c for c in CHECKED}, "checked")
    found = lay_targets_out(own, _pick("set-up", setup, own.setups, "setup"), _asking(workers), how)
    return Answer(
        own,
        lambda: of_targets(found),
        lambda who: Told(tuple(targets_blocks(found, who))),
        found.basis,
        {"targets": lambda who: targets_svg(found, who)},
    )


@worded
def measure(
    shop: Shop | str | PathLike[str], *, setup: Named | None = None, on: datetime.date | None = None
) -> Answer[MeasuredAnswer]:
    """What a set-up's readings say: what to shift, or that it is in tolerance, and how sure that is.

    `on` is the day for which overdue checks of instruments are told: today, where none is given.
    """
    from standtrue.show.answers.measured import of_measured
    from standtrue.show.pictures.aim import measured_svg
    from standtrue.show.words.measured import measured_blocks
    from standtrue.work.aim.aiming import judge_measured

    own = shop_of(shop)
    found = judge_measured(own, _pick("set-up", setup, own.setups, "setup"), on or datetime.date.today())
    return Answer(
        own,
        lambda: of_measured(found),
        lambda who: Told(tuple(measured_blocks(found, who))),
        found.basis,
        {"measured": lambda who: measured_svg(found, who)},
    )


@worded
def floor(
    shop: Shop | str | PathLike[str],
    *,
    survey: Named | None = None,
    procedure: Named | None = None,
    vehicle: Named | None = None,
    at: Stance | None = None,
) -> Answer[FloorAnswer]:
    """How level and how flat a surveyed floor is: all of it, or for a card, or for a car at a stance."""
    from standtrue.show.answers.floor import of_floor
    from standtrue.show.pictures.aim import floor_picture
    from standtrue.show.pictures.heights import floor_svg
    from standtrue.show.words.floor import floor_blocks
    from standtrue.work.aim.floors import judge_floor
    from standtrue.work.stances import stance_written

    own = shop_of(shop)
    asked = _pick("survey", survey, own.surveys)
    card = None if procedure is None else _cards(own, procedure)[0]
    stands = None if at is None else stance_written(own.sites[asked.site], _written(at, "at"), "at")
    car = None if stands is None and vehicle is None else _pick("vehicle", vehicle, own.vehicles)
    found = judge_floor(own, asked, card, car, stands)
    return Answer(
        own,
        lambda: of_floor(found),
        lambda who: Told(tuple(floor_blocks(found, who))),
        found.basis,
        {"floor": lambda who: floor_svg(floor_picture(found, who), who)},
    )


@worded
def card(
    shop: Shop | str | PathLike[str], *, older: Named | None = None, newer: Named | None = None
) -> Answer[CardAnswer]:
    """The cards of a shop: how far each is to be trusted. With `older` and `newer` two of them, field by field."""
    from standtrue.show.answers.cards import of_cards
    from standtrue.show.words.cards import card_told
    from standtrue.work.card.life import compare_cards, list_cards

    own = shop_of(shop)
    if older is None and newer is None:
        found = list_cards(own)
    else:
        known = {card.name: card for card in own.procedures}
        one, other = (_pick("procedure", asked, known, word) for word, asked in (("older", older), ("newer", newer)))
        found = compare_cards(own, one.name, other.name)
    return Answer(own, lambda: of_cards(found), lambda who: card_told(found, who), found.basis)


@worded
def study(
    shop: Shop | str | PathLike[str],
    *,
    study: Named | None = None,
    places: bool = True,
    workers: int | None = None,
) -> Answer[StudyShape]:
    """What share of a year's work a room can do, what stops the rest, and what would help."""
    from standtrue.show.answers.study import of_study
    from standtrue.show.words.study import study_blocks
    from standtrue.work.study.studies import find_study

    own = shop_of(shop)
    found = find_study(own, _pick("study", study, own.studies), places=places, asking=_asking(workers))
    return Answer(
        own,
        lambda: of_study(found),
        lambda who: Told(tuple(study_blocks(found, who))),
        found.basis,
    )


def _pick(kind: str, asked: Named | None, known: Mapping[str, T], word: str = "") -> T:
    """The document of this name, or the only one there is. Raises UnansweredError."""
    return pick(kind, _name(asked), known, word or kind)


def _name(asked: Named | None) -> str | None:
    return asked.name if isinstance(asked, Document) else asked


def _cards(shop: Model, asked: Named | Iterable[Named]) -> tuple[Procedure, ...]:
    """The cards asked for, each by its name or itself. Raises UnansweredError."""
    several = [asked] if isinstance(asked, str | Document) else list(asked)
    for i, one in enumerate(several):
        if not isinstance(one, str | Document):
            raise wrong_type(f"procedures[{i}]", one, "a name or the document itself")
    return pick_cards(shop, [one.name if isinstance(one, Document) else one for one in several])


def _written(stance: object, word: str) -> str:
    """A stance as the command takes it."""
    if isinstance(stance, str):
        return stance
    if not isinstance(stance, tuple | list) or len(stance) != 3:
        raise wrong_type(word, stance, "a stance or the name of a door")
    try:
        parts = [part if isinstance(part, str) else repr(float(part)) for part in stance]
    except (TypeError, ValueError):
        raise wrong_type(word, stance, "a stance or the name of a door") from None
    return (";" if any("," in part for part in parts) else ",").join(parts)


def _asking(workers: int | None) -> Asking:
    return Asking(workers=workers or os.cpu_count() or 1)

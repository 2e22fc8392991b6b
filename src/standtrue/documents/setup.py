"""A set-up at the car: its form, what must hold in it, and the model of it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Annotated, Any, cast

from pydantic import Field

from standtrue.documents.either import LengthOrAngle, amount, check_value, is_angle
from standtrue.documents.faults import choice_remedy
from standtrue.documents.fields import (
    XY,
    Angle,
    Flag,
    Length,
    Names,
    PlainText,
    PositiveAngle,
    PositiveLength,
    Size,
    TradeText,
    Word,
)
from standtrue.documents.instruments import MEASURE, Instruments, check_instrument, instrument_of, named_instrument
from standtrue.documents.leaves import choice, words
from standtrue.documents.parts import DocumentForm, Form, Kind, Path, References, Shorthand, Tell, names_once
from standtrue.documents.procedure import Amount
from standtrue.documents.wheel_readings import (
    AlignmentReadingForm,
    check_wheel_readings,
    check_wheel_uncertainties,
    wheel_reading,
)
from standtrue.model.basics import Place
from standtrue.model.car_points import REACHABLE
from standtrue.model.condition_units import converted
from standtrue.model.reason import because
from standtrue.model.setup import (
    CHALKED,
    POINTS_OF_MEASURE,
    TIED,
    CarPoint,
    ConditionReading,
    Instrument,
    Measure,
    Setup,
    SetupReading,
    Tie,
    points_of,
)
from standtrue.model.site import SiteInstrument


class StanceForm(Form):
    at: XY
    heading: Angle
    on: Word = "floor"
    height: Size = 0.0


class SetupPointForm(Form):
    """A point of this car, as measured at it: how far outboard of the middle of the wheel it lies."""

    name: Annotated[str, choice(REACHABLE)]
    offset: Length
    u: PositiveLength


class TieForm(Form):
    """Where the car stands against its planned stance, as somebody states it. `within` is the most it may be off."""

    what: PlainText
    u: PositiveLength | None = None
    within: PositiveLength | None = None
    u_turn: PositiveAngle | None = None
    within_turn: PositiveAngle | None = None
    along: Length = 0.0
    across: Length = 0.0
    turn: Angle = 0.0
    fixes: Annotated[tuple[str, ...], words(choice(TIED), least=1)] = TIED


def _one_tie(value: object) -> object:
    """`tie = { what = "wheels on the painted marks", within = "20 mm" }` is one of them."""
    return [value] if isinstance(value, dict) else value


class ChalkedForm(Form):
    """A line as chalked on the floor: how well each of its two marks stands where it should."""

    name: Annotated[str, choice(CHALKED)]
    u: PositiveLength


class SetupReadingForm(Form):
    what: Annotated[str, MEASURE]
    start: Names = Field((), alias="from")
    end: Names = Field(alias="to")
    value: LengthOrAngle
    u: LengthOrAngle | None = None
    plumbed: Flag | None = None
    instrument: Word | None = None


class ConditionReadingForm(Form):
    what: TradeText
    value: Amount
    unit: PlainText = ""
    u: Amount | None = None


class SetupForm(DocumentForm):
    job: Word
    procedure: Word
    variant: Word | None = None
    stance: StanceForm
    instruments: Instruments = ()
    points: tuple[SetupPointForm, ...] = ()
    tie: Annotated[tuple[TieForm, ...], Shorthand(_one_tie, {"type": "object"})] = ()
    lines: tuple[ChalkedForm, ...] = ()
    readings: tuple[SetupReadingForm, ...] = ()
    alignment: tuple[AlignmentReadingForm, ...] = ()
    conditions: tuple[ConditionReadingForm, ...] = ()


# Checks


def check_setup(form: SetupForm, tell: Tell) -> None:
    """A set-up: every reading has the points and the kind of value that it needs, and an uncertainty."""
    for i, instrument in enumerate(form.instruments):
        check_instrument(instrument, ("instruments", i), tell)
    for i, reading in enumerate(form.readings):
        _check_reading(reading, ("readings", i), tell)
    if form.instruments and all(one.what for one in form.instruments):
        _check_u(form, {}, tell, named=False)
    for i, tie in enumerate(form.tie):
        _check_tie(tie, ("tie", i), tell)
    names_once(form.points, ("points",), tell)
    names_once(form.lines, ("lines",), tell)
    check_wheel_readings(form.alignment, tell)
    for i, one in enumerate(form.conditions):
        if one.u is not None:
            _check_condition_u(one, one.u, ("conditions", i, "u"), tell)


def check_uncertainties(form: SetupForm, known: Mapping[str, SiteInstrument], tell: Tell) -> None:
    """Every reading has a u of its own or an instrument that reads it; the site has the instruments that are named."""
    _check_u(form, known, tell, named=True)
    check_wheel_uncertainties(form.alignment, known, tell)
    for i, one in enumerate(form.instruments):
        if one.what is None and one.name is not None and one.name not in known:
            _unknown_instrument(one.name, ("instruments", i), known, tell)


def _check_u(form: SetupForm, known: Mapping[str, SiteInstrument], tell: Tell, named: bool) -> None:
    """Readings without an uncertainty; `named`: those too that name their instrument."""
    used = used_instruments(form, known)
    names = [*known, *(one.name for one in form.instruments if one.what is not None and one.name is not None)]
    for i, reading in enumerate(form.readings):
        if reading.instrument is not None and not named:
            continue
        if reading.instrument is not None and reading.instrument not in names:
            _unknown_instrument(reading.instrument, ("readings", i, "instrument"), names, tell)
        elif reading.what and reading.u is None and reads_with(reading, used, known) is None:
            remedy = because("give-u-or-instrument", what=reading.what)
            tell(("readings", i, "u"), "missing-field", because("u-missing"), remedy)


def _unknown_instrument(name: str, path: Path, known: Iterable[str], tell: Tell) -> None:
    words = tuple(known)
    remedy = choice_remedy(name, words) if words else because("list-instrument-at-site")
    tell(path, "unknown-reference", because("no-instrument-of-that-name"), remedy)


def _check_condition_u(form: ConditionReadingForm, u: tuple[float, str], path: Path, tell: Tell) -> None:
    unit = form.unit or form.value[1]
    if u[0] <= 0.0:
        tell(path, "value-impossible", because("u-not-above-zero"), because("write-how-well-read"))
    elif u[1] and converted(1.0, u[1], unit, difference=True) is None:
        tell(path, "unknown-unit", because("u-in-another-unit"), because("write-u-in-the-unit-of-the-value"))


def _check_tie(form: TieForm, path: Path, tell: Tell) -> None:
    for one, other, needed in (("u", "within", True), ("u_turn", "within_turn", False)):
        given = [getattr(form, field) is not None for field in (one, other)]
        if all(given):
            tell((*path, other), "fields-conflict", because("both-given", one=one, other=other), because("keep-one"))
        elif needed and not any(given):
            remedy = because("write-as-in", examples=('within = "20 mm"', 'u = "10 mm"'))
            tell((*path, one), "missing-field", because("u-missing"), remedy)
    for field in ("u_turn", "within_turn"):
        if getattr(form, field) == 0.0:
            tell((*path, field), "value-impossible", because("u-not-above-zero"), because("write-how-well-read"))


def _check_reading(form: SetupReadingForm, path: Path, tell: Tell) -> None:
    if form.what not in POINTS_OF_MEASURE:
        return
    check_value(form.value, form.what, (*path, "value"), tell)
    if form.u is not None:
        check_value(form.u, form.what, (*path, "u"), tell, positive=True)
    starts, ends = POINTS_OF_MEASURE[form.what]
    remedy = because("what-readings-go-between")
    if len(points(form.start)) not in starts and "" not in form.start:
        tell((*path, "from"), "value-impossible", because("reading-starts-wrong", what=form.what), remedy)
    if len(points(form.end)) != ends and "" not in form.end:
        tell((*path, "to"), "value-impossible", because("reading-ends-wrong", what=form.what), remedy)


def _references(content: dict[str, Any]) -> References:
    card = content.get("procedure")
    yield ("job",), "job", content.get("job")
    yield ("procedure",), "procedure", card.partition("/")[0] if isinstance(card, str) else card


# To the model


def to_setup(form: SetupForm, known: Mapping[str, SiteInstrument] | None = None) -> Setup:
    """A set-up; a reading without its own u has that of its instrument, or of the first one that reads it.

    `known` are the instruments of the set-up's site by name; a set-up that lists none uses all of them.
    """
    stance = form.stance
    shop = known or {}
    used = used_instruments(form, shop)
    return Setup(
        name=form.name,
        job=form.job,
        procedure=form.procedure,
        place=Place(stance.at[0], stance.at[1], stance.heading),
        on=stance.on,
        height_m=stance.height,
        variant=form.variant,
        instruments=used,
        readings=tuple(_reading(one, used, shop) for one in form.readings),
        alignment=tuple(wheel_reading(one, shop) for one in form.alignment),
        conditions=tuple(_condition(one) for one in form.conditions),
        demonstration=form.demonstration,
        points=tuple(CarPoint(p.name, p.offset, p.u) for p in form.points),
        ties=tuple(_tie(one) for one in form.tie),
        lines=tuple((line.name, line.u) for line in form.lines),
        instrument_names=named(form, used, shop),
    )


def used_instruments(form: SetupForm, known: Mapping[str, SiteInstrument]) -> tuple[Instrument, ...]:
    """What a set-up reads with: its own instruments, or all of its site's where it lists none."""
    found = (
        [instrument_of(one, known) for one in form.instruments]
        if form.instruments
        else [named_instrument(one) for one in known.values()]
    )
    return tuple(one for one in found if one is not None)


def named(form: SetupForm, used: Iterable[Instrument], known: Mapping[str, SiteInstrument]) -> tuple[str, ...]:
    """The site's instruments that a set-up lists, or that its readings name."""
    aligners = [name for one in form.alignment if (name := wheel_reading(one, known).instrument)]
    listed = [one.name for one in form.instruments if one.name is not None and one.what is None]
    by_readings = [reading.instrument for reading in form.readings if reading.instrument is not None]
    default = [one.name for one in used if one.name] if not form.instruments else []
    return tuple(dict.fromkeys([*listed, *by_readings, *default, *aligners]))


def points(names: Iterable[str]) -> tuple[str, ...]:
    """The points named, lines as their two points."""
    return tuple(point for name in names for point in points_of(name))


def reads_with(
    form: SetupReadingForm, used: Iterable[Instrument], known: Mapping[str, SiteInstrument]
) -> Instrument | None:
    """The instrument of a reading: the one that it names, or the first one used that reads this."""
    if form.instrument is None:
        return next((one for one in used if one.what == form.what), None)
    own = next((one for one in used if one.name == form.instrument and one.what == form.what), None)
    found = named_instrument(known[form.instrument]) if form.instrument in known else None
    return own or (found if found is not None and found.what == form.what else None)


def _reading(form: SetupReadingForm, used: Iterable[Instrument], known: Mapping[str, SiteInstrument]) -> SetupReading:
    by = reads_with(form, used, known)
    u = amount(form.u, form.what) if form.u is not None else by.u if by is not None else None
    value = amount(form.value, form.what)
    assert value is not None
    assert u is not None
    plumbed = form.plumbed if form.plumbed is not None else by is not None and by.plumbed
    what, name = cast(Measure, form.what), form.instrument or (by.name if by is not None else "")
    typed = form.value.as_angle if is_angle(form.what) else form.value.as_length
    return SetupReading(what, points(form.start), points(form.end), value, u, plumbed, typed, name)


def _condition(form: ConditionReadingForm) -> ConditionReading:
    """A condition as found, its u in the unit of the value."""
    unit = form.unit or form.value[1]
    u, of_u = form.u if form.u is not None else (0.0, "")
    return ConditionReading(form.what, form.value[0], unit, u if not of_u else converted(u, of_u, unit, True) or 0.0)


def _tie(form: TieForm) -> Tie:
    u = form.u if form.u is not None else (form.within or math.nan) / math.sqrt(3.0)
    within = form.within_turn
    u_turn = form.u_turn if within is None else within / math.sqrt(3.0)
    return Tie(form.what, u, u_turn, form.along, form.across, form.turn, form.fixes)


KIND = Kind("setup", SetupForm, check_setup, references=_references)

"""Instruments: those that a shop has, and those that a set-up uses, by name or described where they are used."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Annotated, cast

from standtrue.documents.either import Either, LengthOrAngle, amount, check_value
from standtrue.documents.fields import Day, Flag, Name, PlainText, PositiveLength, Word
from standtrue.documents.leaves import choice, plain_number, whole, words
from standtrue.documents.parts import Form, Path, Tell, names_once, table_of
from standtrue.model.reason import because
from standtrue.model.setup import LINES, MEASURES, Instrument, Measure
from standtrue.model.site import (
    CHECKED,
    INSTRUMENT_KINDS,
    POINT_KINDS,
    Checked,
    InstrumentKind,
    PointKind,
    Readings,
    SiteInstrument,
)

_TOOLS = {
    "straight distance": "distance",
    "tape": "distance",
    "steel rule": "offset",
    "inclinometer": "lean",
    "inclination": "lean",
}
MEASURE = choice(MEASURES, also=_TOOLS)
INSTRUMENT = choice(INSTRUMENT_KINDS, also={**_TOOLS, "level": "lean", "leveling staff": "leveling instrument"})
LINE_NAMES = words(choice(tuple(LINES)))


class SiteInstrumentForm(Form):
    name: Name
    what: Annotated[str, INSTRUMENT]
    u: LengthOrAngle
    plumbed: Flag = False
    lines: Annotated[tuple[str, ...], LINE_NAMES] = ("thrust line",)
    minutes: Annotated[float, plain_number(0.0, 600.0, above=True)] = 1.0
    serial: PlainText = ""
    checked_on: Day = ""
    check_every: Annotated[int, whole(1, 36_500)] | None = None


class ReadingsForm(Form):
    """How a shop takes readings."""

    points: Annotated[tuple[str, ...], words(choice(POINT_KINDS), least=1)] = ("hub face",)
    checked: Annotated[str, choice(CHECKED)] = "every"
    clamp: PositiveLength | None = None
    bar: PositiveLength | None = None


class InstrumentForm(Form):
    """An instrument of a set-up: the name of one of the site's alone, or what it reads and how well."""

    name: Word | None = None
    what: Annotated[str, MEASURE] | None = None
    u: LengthOrAngle | None = None
    plumbed: Flag = False
    effort: Annotated[float, plain_number(0.0, 1e6, above=True)] = 1.0
    lines: Annotated[tuple[str, ...], LINE_NAMES] = ("thrust line",)


Instruments = tuple[Annotated[InstrumentForm, table_of("name")], ...]
"""`["long tape", { what = "lean", u = "0.05 deg" }]`."""


# Checks


def check_site_instruments(forms: Sequence[SiteInstrumentForm], readings: ReadingsForm, tell: Tell) -> None:
    """Instruments of a site: names once, uncertainties of the right kind; a clamp and a bar have their lengths."""
    names_once(forms, ("instruments",), tell)
    for i, form in enumerate(forms):
        if form.what:
            check_value(form.u, form.what, ("instruments", i, "u"), tell, positive=True)
    for point, length, field in (("clamp", readings.clamp, "clamp"), ("axle bar", readings.bar, "bar")):
        if point in readings.points and length is None:
            what = because("point-lacks-length", point=point)
            tell(("readings", field), "missing-field", what, because("write-as-in", examples=(f'{field} = "300 mm"',)))


def check_instrument(form: InstrumentForm, path: Path, tell: Tell) -> None:
    """An instrument of a set-up: named, or described with its uncertainty."""
    if form.what is None and form.u is None and form.name is not None:
        return
    if form.what == "":
        return  # told already
    if form.what is None or form.u is None:
        field = "what" if form.what is None else "u"
        tell((*path, field), "missing-field", because("instrument-incomplete"), because("name-or-describe-instrument"))
    else:
        check_value(form.u, form.what, (*path, "u"), tell, positive=True)


# To the model


def site_instrument(form: SiteInstrumentForm) -> SiteInstrument:
    return SiteInstrument(
        name=form.name,
        what=cast(InstrumentKind, form.what),
        u=_sure(form.u, form.what),
        plumbed=form.plumbed,
        lines=form.lines,
        minutes=form.minutes,
        serial=form.serial,
        checked_on=form.checked_on,
        check_every_days=form.check_every,
    )


def readings_of(form: ReadingsForm) -> Readings:
    points = cast("tuple[PointKind, ...]", tuple(dict.fromkeys(form.points)))
    return Readings(points, cast(Checked, form.checked), form.clamp, form.bar)


def instrument_of(form: InstrumentForm, known: Mapping[str, SiteInstrument]) -> Instrument | None:
    """An instrument of a set-up, `known` by the names of its site's; None for one that reads nothing of a set-up."""
    if form.what is not None and form.u is not None:
        name = form.name or ""
        return Instrument(
            cast(Measure, form.what), _sure(form.u, form.what), form.plumbed, form.effort, form.lines, name
        )
    return named_instrument(known[form.name]) if form.name is not None and form.name in known else None


def named_instrument(one: SiteInstrument) -> Instrument | None:
    """An instrument of the site as a set-up reads with it. A leveling instrument reads heights."""
    what = "height" if one.what == "leveling instrument" else one.what
    if what not in MEASURES:
        return None
    return Instrument(what, one.u, one.plumbed, one.minutes, one.lines, one.name)


def _sure(u: Either, what: str) -> float:
    """The uncertainty; nan for one of the wrong kind, which its check has told."""
    found = amount(u, what)
    return math.nan if found is None else found

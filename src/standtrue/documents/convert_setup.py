"""Forms of surveys and set-ups, turned into the model."""

from __future__ import annotations

from collections.abc import Iterable
from typing import cast

from standtrue.documents.forms.setup import Either, InstrumentForm, SetupForm, SetupReadingForm, SurveyForm
from standtrue.model.basics import Place
from standtrue.model.setup import (
    AlignmentReading,
    ConditionReading,
    Instrument,
    Measure,
    Setup,
    SetupReading,
    points_of,
)
from standtrue.model.survey import Survey, SurveyLine, SurveyPoint


def to_survey(form: SurveyForm) -> Survey:
    """A survey of the floor; a point without its own u has the survey's."""
    return Survey(
        name=form.name,
        site=form.site,
        points=tuple(SurveyPoint(p.at, p.height, form.u if p.u is None else p.u) for p in form.points),
        lines=tuple(SurveyLine(line.name, line.heights) for line in form.lines),
        states=tuple(form.state.items()),
        instrument=form.instrument,
        demonstration=form.demonstration,
    )


def to_setup(form: SetupForm) -> Setup:
    """A set-up; a reading without its own u has that of the first instrument that reads it."""
    stance = form.stance
    return Setup(
        name=form.name,
        job=form.job,
        procedure=form.procedure,
        place=Place(stance.at[0], stance.at[1], stance.heading),
        on=stance.on,
        height_m=stance.height,
        variant=form.variant,
        instruments=tuple(_instrument(one) for one in form.instruments),
        readings=tuple(_reading(one, form.instruments) for one in form.readings),
        alignment=tuple(AlignmentReading(r.what, r.value, r.u) for r in form.alignment),
        conditions=tuple(ConditionReading(c.what, c.value[0], c.unit or c.value[1]) for c in form.conditions),
        demonstration=form.demonstration,
    )


def is_angle(what: str) -> bool:
    """Whether what is read is an angle, not a length."""
    return what in ("angle", "lean")


def amount(value: Either, what: str) -> float | None:
    """The value as what is read says: metres or radians; None where it cannot be that."""
    return value.angle_rad if is_angle(what) else value.length_m


def points(names: Iterable[str]) -> tuple[str, ...]:
    """The points named, lines as their two points."""
    return tuple(point for name in names for point in points_of(name))


def instrument_for(what: str, instruments: Iterable[InstrumentForm]) -> InstrumentForm | None:
    return next((one for one in instruments if one.what == what), None)


def _instrument(form: InstrumentForm) -> Instrument:
    u = amount(form.u, form.what)
    assert u is not None
    return Instrument(cast(Measure, form.what), u, form.plumbed, form.effort, form.lines)


def _reading(form: SetupReadingForm, instruments: Iterable[InstrumentForm]) -> SetupReading:
    used = instrument_for(form.what, instruments)
    stated = form.u if form.u is not None else used.u if used is not None else None
    assert stated is not None
    value, u = amount(form.value, form.what), amount(stated, form.what)
    assert value is not None
    assert u is not None
    plumbed = form.plumbed if form.plumbed is not None else used is not None and used.plumbed
    return SetupReading(cast(Measure, form.what), points(form.start), points(form.end), value, u, plumbed)

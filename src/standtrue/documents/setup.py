"""A set-up at the car: its form, what must hold in it, and the model of it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Annotated, Any, cast

from attrs import frozen
from pydantic import Field

from standtrue.documents.faults import RefusedError
from standtrue.documents.fields import XY, Angle, Flag, Names, PlainText, PositiveAngle, Size, TradeText, Word
from standtrue.documents.leaves import Context, Leaf, choice, plain_number, words
from standtrue.documents.parts import DocumentForm, Form, Kind, Path, References, Tell
from standtrue.documents.procedure import Amount
from standtrue.documents.quantities import parse_angle, parse_length, typed_figure
from standtrue.model.basics import Place
from standtrue.model.reason import Term, because
from standtrue.model.setup import (
    ALIGNMENT_READINGS,
    LINES,
    MEASURES,
    POINTS_OF_MEASURE,
    AlignmentReading,
    ConditionReading,
    Figure,
    Instrument,
    Measure,
    Setup,
    SetupReading,
    points_of,
)

MEASURE = choice(MEASURES, also={"straight distance": "distance", "inclination": "lean"})
LINE_NAMES = words(choice(tuple(LINES)))
ALIGNMENT = choice(
    ALIGNMENT_READINGS,
    also={
        **{f"castor {side}": f"caster {side}" for side in ("left", "right")},
        **{f"KPI {side}": f"SAI {side}" for side in ("left", "right")},
        **{f"setback {end}": f"set-back {end}" for end in ("front", "rear")},
    },
)


Typed = int | float | str
"""What a value may be typed as, once it has been read."""


@frozen
class Either:
    """A value that is a length or an angle, as what is read will say: metres, radians; None where it cannot be one.

    `as_length` and `as_angle` are the same as typed.
    """

    length_m: float | None
    angle_rad: float | None
    as_length: Figure | None = None
    as_angle: Figure | None = None


def _either(value: object, context: Context) -> Either:
    length = angle = refused = None
    try:
        length = parse_length(value, context.units or "m")
    except RefusedError as error:
        refused = error
    try:
        angle = parse_angle(value)
    except RefusedError:
        if refused is not None:
            raise refused from None
    if length is not None:
        if isinstance(value, str):
            context.quoted_lengths = True
        elif angle is None:
            context.bare_lengths = True
    as_length = None if length is None else typed_figure(cast(Typed, value), "length", context.units or "m")
    as_angle = None if angle is None else typed_figure(cast(Typed, value), "angle", "deg")
    return Either(length, angle, as_length, as_angle)


BROKEN_EITHER = Either(float("nan"), float("nan"))
LengthOrAngle = Annotated[
    Either,
    Leaf(
        _either,
        {"type": ["number", "string"], "description": "A length or an angle, as `what` says."},
        BROKEN_EITHER,
    ),
]


class StanceForm(Form):
    at: XY
    heading: Angle
    on: Word = "floor"
    height: Size = 0.0


class InstrumentForm(Form):
    what: Annotated[str, MEASURE]
    u: LengthOrAngle
    plumbed: Flag = False
    effort: Annotated[float, plain_number(0.0, 1e6, above=True)] = 1.0
    lines: Annotated[tuple[str, ...], LINE_NAMES] = ("thrust line",)


class SetupReadingForm(Form):
    what: Annotated[str, MEASURE]
    start: Names = Field((), alias="from")
    end: Names = Field(alias="to")
    value: LengthOrAngle
    u: LengthOrAngle | None = None
    plumbed: Flag | None = None


class AlignmentReadingForm(Form):
    what: Annotated[str, ALIGNMENT]
    value: Angle
    u: PositiveAngle = 0.0


class ConditionReadingForm(Form):
    what: TradeText
    value: Amount
    unit: PlainText = ""


class SetupForm(DocumentForm):
    job: Word
    procedure: Word
    variant: Word | None = None
    stance: StanceForm
    instruments: tuple[InstrumentForm, ...] = ()
    readings: tuple[SetupReadingForm, ...] = ()
    alignment: tuple[AlignmentReadingForm, ...] = ()
    conditions: tuple[ConditionReadingForm, ...] = ()


# Checks


def check_setup(form: SetupForm, tell: Tell) -> None:
    """A set-up: every reading has the points and the kind of value that it needs, and an uncertainty."""
    for i, instrument in enumerate(form.instruments):
        _check_instrument(instrument, ("instruments", i), tell)
    for i, reading in enumerate(form.readings):
        _check_reading(reading, form.instruments, ("readings", i), tell)
    known: dict[str, int] = {}
    for i, angle in enumerate(form.alignment):
        if angle.what and angle.what in known:
            what = because("stands-already", list="alignment", index=known[angle.what])
            tell(("alignment", i, "what"), "name-repeated", what, because("keep-one-of-two"))
        known.setdefault(angle.what, i)


def _check_instrument(form: InstrumentForm, path: Path, tell: Tell) -> None:
    if form.what:
        _check_value(form.u, form.what, (*path, "u"), tell, positive=True)


def _check_reading(form: SetupReadingForm, instruments: tuple[InstrumentForm, ...], path: Path, tell: Tell) -> None:
    if form.what not in POINTS_OF_MEASURE:
        return
    _check_value(form.value, form.what, (*path, "value"), tell)
    if form.u is not None:
        _check_value(form.u, form.what, (*path, "u"), tell, positive=True)
    elif instrument_for(form.what, instruments) is None and all(one.what for one in instruments):
        remedy = because("give-u-or-instrument", what=form.what)
        tell((*path, "u"), "missing-field", because("u-missing"), remedy)
    starts, ends = POINTS_OF_MEASURE[form.what]
    remedy = because("what-readings-go-between")
    if len(points(form.start)) not in starts and "" not in form.start:
        tell((*path, "from"), "value-impossible", because("reading-starts-wrong", what=form.what), remedy)
    if len(points(form.end)) != ends and "" not in form.end:
        tell((*path, "to"), "value-impossible", because("reading-ends-wrong", what=form.what), remedy)


def _check_value(value: Either, what: str, path: Path, tell: Tell, positive: bool = False) -> None:
    found = amount(value, what)
    if found is None:
        kind, example = ("an angle", '"0.2 deg"') if is_angle(what) else ("a length", '"12 mm"')
        tell(
            path,
            "wrong-type",
            because("reading-is", what=what, kind=Term(kind)),
            because("write-as-in", examples=(example,)),
        )
    elif positive and found <= 0.0:
        tell(path, "value-impossible", because("u-not-above-zero"), because("write-how-well-read"))


def _references(content: dict[str, Any]) -> References:
    card = content.get("procedure")
    yield ("job",), "job", content.get("job")
    yield ("procedure",), "procedure", card.partition("/")[0] if isinstance(card, str) else card


# To the model


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
    """The first instrument that reads this."""
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
    typed = form.value.as_angle if is_angle(form.what) else form.value.as_length
    return SetupReading(cast(Measure, form.what), points(form.start), points(form.end), value, u, plumbed, typed)


KIND = Kind("setup", SetupForm, check_setup, references=_references)

"""Wheel alignment readings of a set-up: angles, toe and set-back as lengths, caster from a sweep."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Annotated

from pydantic import Field

from standtrue.documents.either import Either, LengthOrAngle
from standtrue.documents.faults import choice_remedy
from standtrue.documents.fields import Angle, PositiveAngle, PositiveLength, Word
from standtrue.documents.leaves import choice
from standtrue.documents.parts import Form, Path, Tell
from standtrue.model.reason import because
from standtrue.model.setup import ALIGNMENT_READINGS, AlignmentReading, ReadAngle, ReadLength, Sweep
from standtrue.model.site import SiteInstrument

ALIGNMENT = choice(
    ALIGNMENT_READINGS,
    also={
        **{f"castor {side}": f"caster {side}" for side in ("left", "right")},
        **{f"KPI {side}": f"SAI {side}" for side in ("left", "right")},
        **{f"setback {end}": f"set-back {end}" for end in ("front", "rear")},
    },
)
MOST_STEER_RAD = math.radians(25.0)
"""Up to this steer angle the formula of the sweep holds as well as its uncertainty says."""

_WITH_UNIT = because("write-as-in", examples=('value = "1.5 mm"', 'value = "0.2 deg"'))
_HOW_WELL = because("write-how-well-read")


class SweepForm(Form):
    """The cambers of one wheel steered outward and inward by the same angle; `u` is each camber's."""

    camber_out: Angle
    camber_in: Angle
    steer: Annotated[PositiveAngle, Field(description="How far the wheel was steered each way, 25 degrees at most.")]
    u: PositiveAngle | None = None
    u_steer: PositiveAngle


class AlignmentReadingForm(Form):
    """One reading: a value (bare: degrees), or for caster a sweep. A toe as a length says over which diameter."""

    what: Annotated[str, ALIGNMENT]
    value: LengthOrAngle | None = None
    u: LengthOrAngle | None = None
    diameter: PositiveLength | None = None
    sweep: SweepForm | None = None
    instrument: Word | None = None


# Checks


def check_wheel_readings(forms: Iterable[AlignmentReadingForm], tell: Tell) -> None:
    """Each reading once, with a value of a kind that can be read of it."""
    known: dict[str, int] = {}
    for i, form in enumerate(forms):
        if form.what and form.what in known:
            what = because("stands-already", list="alignment", index=known[form.what])
            tell(("alignment", i, "what"), "name-repeated", what, because("keep-one-of-two"))
        known.setdefault(form.what, i)
        _check_reading(form, ("alignment", i), tell)


def _check_reading(form: AlignmentReadingForm, path: Path, tell: Tell) -> None:
    if form.sweep is not None:
        _check_sweep(form, form.sweep, path, tell)
        return
    if form.value is None:
        tell((*path, "value"), "missing-field", because("alignment-lacks-value"), _WITH_UNIT)
        return
    if form.value.angle_rad is None:
        sound = _check_length(form, path, tell)
    else:
        sound = form.diameter is None or form.value.length_m is None
    if not sound and form.value.angle_rad is not None:
        tell((*path, "value"), "wrong-type", because("toe-in-which-unit"), _WITH_UNIT)
    if sound and form.u is not None:
        same = form.u.length_m if form.value.angle_rad is None else form.u.angle_rad
        if same is None:
            tell((*path, "u"), "wrong-type", because("u-of-another-kind"), _WITH_UNIT)
        elif same <= 0.0:
            tell((*path, "u"), "value-impossible", because("u-not-above-zero"), _HOW_WELL)


def _check_length(form: AlignmentReadingForm, path: Path, tell: Tell) -> bool:
    """Toe over a diameter, or set-back, read as a length: whether it is one."""
    toe = "toe" in form.what.split()
    if form.what and not toe and not form.what.startswith("set-back"):
        tell((*path, "value"), "wrong-type", because("alignment-is-an-angle", reading=form.what), _WITH_UNIT)
        return False
    example = because("write-as-in", examples=('diameter = "16 in"',))
    if toe and form.diameter is None:
        tell((*path, "diameter"), "missing-field", because("toe-over-what"), example)
        return False
    long = form.value.length_m if form.value is not None else None
    if toe and form.diameter is not None and long is not None and abs(long) >= form.diameter:
        tell((*path, "value"), "value-impossible", because("toe-longer-than-rim"), example)
    return True


def _check_sweep(form: AlignmentReadingForm, sweep: SweepForm, path: Path, tell: Tell) -> None:
    if form.what and not form.what.startswith("caster"):
        remedy = because("write-as-in", examples=('what = "caster left"',))
        tell((*path, "sweep"), "value-impossible", because("sweep-is-for-caster"), remedy)
    if form.value is not None:
        tell(
            (*path, "value"), "fields-conflict", because("both-given", one="value", other="sweep"), because("keep-one")
        )
    if not 0.0 < sweep.steer <= MOST_STEER_RAD:
        remedy = because("write-as-in", examples=('steer = "20 deg"',))
        tell((*path, "sweep", "steer"), "value-impossible", because("steer-beyond"), remedy)
    for field, u in (("u", sweep.u), ("u_steer", sweep.u_steer)):
        if u == 0.0:
            tell((*path, "sweep", field), "value-impossible", because("u-not-above-zero"), _HOW_WELL)


def check_wheel_uncertainties(
    forms: Iterable[AlignmentReadingForm], known: Mapping[str, SiteInstrument], tell: Tell
) -> None:
    """Each reading has a u of its own, or that of an aligner of the site; the site has the instruments named."""
    for i, form in enumerate(forms):
        if form.instrument is not None and form.instrument not in known:
            remedy = choice_remedy(form.instrument, tuple(known)) if known else because("list-instrument-at-site")
            tell(("alignment", i, "instrument"), "unknown-reference", because("no-instrument-of-that-name"), remedy)
        elif _own_u(form) is None and (_is_length(form) or aligner(form, known) is None):
            field = ("sweep", "u") if form.sweep is not None else ("u",)
            remedy = because("give-u-or-aligner")
            tell(("alignment", i, *field), "missing-field", because("u-missing"), remedy)


# To the model


def wheel_reading(form: AlignmentReadingForm, known: Mapping[str, SiteInstrument]) -> AlignmentReading:
    """A reading; without its own u it has that of the site's aligner."""
    by = aligner(form, known)
    own = _own_u(form)
    u = own if own is not None else by.u if by is not None else math.nan
    name = form.instrument or (by.name if own is None and by is not None else "")
    if form.sweep is not None:
        s = form.sweep
        return AlignmentReading(form.what, Sweep(s.camber_out, s.camber_in, s.steer, u, s.u_steer), None, name)
    assert form.value is not None
    if form.value.angle_rad is not None:
        return AlignmentReading(form.what, ReadAngle(form.value.angle_rad, u), form.diameter, name)
    assert form.value.length_m is not None
    return AlignmentReading(form.what, ReadLength(form.value.length_m, u), form.diameter, name)


def aligner(form: AlignmentReadingForm, known: Mapping[str, SiteInstrument]) -> SiteInstrument | None:
    """The site's instrument of a reading: the one that it names, or the only one that reads wheel alignment."""
    if form.instrument is not None:
        found = known.get(form.instrument)
        return found if found is not None and found.what == "wheel alignment" else None
    aligners = [one for one in known.values() if one.what == "wheel alignment"]
    return aligners[0] if len(aligners) == 1 else None


def _is_length(form: AlignmentReadingForm) -> bool:
    return form.sweep is None and form.value is not None and form.value.angle_rad is None


def _own_u(form: AlignmentReadingForm) -> float | None:
    """The u that stands at the reading itself, of the kind of its value."""
    if form.sweep is not None:
        return form.sweep.u
    u: Either | None = form.u
    if u is None:
        return None
    return u.length_m if _is_length(form) else u.angle_rad

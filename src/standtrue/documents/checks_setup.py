"""What must hold between the fields of a survey or a set-up (see `checks_shop` for the manner)."""

from __future__ import annotations

from standtrue.documents.checks_shop import Path, Tell, names_once
from standtrue.documents.convert_setup import amount, instrument_for, is_angle, points
from standtrue.documents.forms.setup import Either, InstrumentForm, SetupForm, SetupReadingForm, SurveyForm
from standtrue.model.setup import POINTS_OF_MEASURE


def check_survey(form: SurveyForm, tell: Tell) -> None:
    """A survey: no place twice."""
    names_once(form.lines, ("lines",), tell)
    seen: dict[tuple[float, float], int] = {}
    for i, point in enumerate(form.points):
        if point.at in seen:
            what = f"points[{seen[point.at]}] has the same place"
            tell(("points", i, "at"), "value-impossible", what, "Keep one of the two.")
        seen.setdefault(point.at, i)


def check_setup(form: SetupForm, tell: Tell) -> None:
    """A set-up: every reading has the points and the kind of value that it needs, and an uncertainty."""
    for i, instrument in enumerate(form.instruments):
        _instrument(instrument, ("instruments", i), tell)
    for i, reading in enumerate(form.readings):
        _reading(reading, form.instruments, ("readings", i), tell)
    known: dict[str, int] = {}
    for i, angle in enumerate(form.alignment):
        if angle.what and angle.what in known:
            what = f"it stands at alignment[{known[angle.what]}] already"
            tell(("alignment", i, "what"), "name-repeated", what, "Keep one of the two.")
        known.setdefault(angle.what, i)


def _instrument(form: InstrumentForm, path: Path, tell: Tell) -> None:
    if form.what:
        _value(form.u, form.what, (*path, "u"), tell, positive=True)


def _reading(form: SetupReadingForm, instruments: tuple[InstrumentForm, ...], path: Path, tell: Tell) -> None:
    if form.what not in POINTS_OF_MEASURE:
        return
    _value(form.value, form.what, (*path, "value"), tell)
    if form.u is not None:
        _value(form.u, form.what, (*path, "u"), tell, positive=True)
    elif instrument_for(form.what, instruments) is None and all(one.what for one in instruments):
        remedy = f'Give the reading its u, or add an instrument with what = "{form.what}".'
        tell((*path, "u"), "missing-field", "the standard uncertainty is missing", remedy)
    starts, ends = POINTS_OF_MEASURE[form.what]
    remedy = "A distance goes from one point to one; an offset from a line to one; an angle from a line to a line."
    if len(points(form.start)) not in starts and "" not in form.start:
        tell((*path, "from"), "value-impossible", f"this is not what {form.what} starts from", remedy)
    if len(points(form.end)) != ends and "" not in form.end:
        tell((*path, "to"), "value-impossible", f"this is not what {form.what} ends at", remedy)


def _value(value: Either, what: str, path: Path, tell: Tell, positive: bool = False) -> None:
    found = amount(value, what)
    if found is None:
        kind, example = ("an angle", "0.2 deg") if is_angle(what) else ("a length", "12 mm")
        tell(path, "wrong-type", f"{what} is {kind}", f'Write {kind}, as in "{example}".')
    elif positive and found <= 0.0:
        tell(path, "value-impossible", "a standard uncertainty must be above zero", "Write how well it can be read.")

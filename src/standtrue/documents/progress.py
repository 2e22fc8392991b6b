"""How far a job has come: when it comes and is promised, what is done, and where the car stands now."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from standtrue.documents.fields import XY, Angle, PlainText, Size, Word
from standtrue.documents.hours import Moment
from standtrue.documents.parts import Form, References, Tell, tables
from standtrue.model.basics import Place
from standtrue.model.job import Done, Stands
from standtrue.model.reason import because
from standtrue.needs import is_fact

SCANS = ("pre-scan", "post-scan")

ON_ROAD = " (drive)"
"""What the drive of a card that is done on the floor first is called: its card, and this."""


class DoneForm(Form):
    what: Word
    at: Moment
    by: PlainText = ""


class StandsForm(Form):
    at: XY
    heading: Angle
    on: Word = "floor"
    height: Size | None = None


def check_times(arrives: str, promised: str, done: Sequence[DoneForm], tell: Tell) -> None:
    """That nothing is promised, and nothing done, before the car comes. A date alone is the whole day."""
    if arrives and promised and _end(promised) <= _start(arrives):
        what, remedy = because("promised-before-it-comes"), because("look-at-both-times")
        tell(("promised",), "range-reversed", what, remedy)
    for i, one in enumerate(done):
        if arrives and one.at and one.at < _start(arrives):
            what, remedy = because("done-before-it-comes"), because("look-at-both-times")
            tell(("done", i, "at"), "range-reversed", what, remedy)


def _start(when: str) -> str:
    return when if "T" in when else f"{when}T00:00:00"


def _end(when: str) -> str:
    return when if "T" in when else f"{when}T24:00:00"


def done_elsewhere(content: dict[str, Any]) -> References:
    """What is done and is neither the job's own work nor a scan: it must be a card, unless it is a fact."""
    own = [work.get("name") for _, work in tables(content.get("work"))]  # Of any kind: they are not checked yet.
    for i, one in tables(content.get("done")):
        what = one.get("what")
        if isinstance(what, str) and what not in own and what not in SCANS and not is_fact(what):
            yield ("done", i, "what"), "procedure", what.removesuffix(ON_ROAD).partition("/")[0]


def done_of(forms: Sequence[DoneForm]) -> tuple[Done, ...]:
    """What is done, in the order of time."""
    return tuple(sorted((Done(form.what, form.at, form.by) for form in forms), key=lambda one: one.at))


def stands_of(form: StandsForm | None) -> Stands | None:
    """Where the car stands; None where nobody says."""
    if form is None:
        return None
    return Stands(Place(form.at[0], form.at[1], form.heading), form.on, form.height)

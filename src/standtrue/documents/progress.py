"""How far a job has come: when it comes and is promised, what is done, and where the car stands now."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

from standtrue.documents.faults import RefusedError
from standtrue.documents.fields import Angle, PlainText, Size, Word
from standtrue.documents.hours import Moment
from standtrue.documents.leaves import Context, Leaf
from standtrue.documents.outlines import POINT
from standtrue.documents.parts import Form, References, Tell, tables
from standtrue.model.basics import Place
from standtrue.model.job import Done, Stands
from standtrue.model.reason import because
from standtrue.needs import is_fact

SCANS = ("pre-scan", "post-scan")

ON_ROAD = " (drive)"
"""What the drive of a card that is done on the floor first is called: its card, and this."""


NAMED = ("bay", "lift", "mark")
"""What of a site a car may be said to stand at, by name: as chosen for the car alone, or its rear axle on the mark."""

EXAMPLES = ("[6, 4]", '"bay:long bay"', '"lift:flush lift"', '"mark:stud west"')


class DoneForm(Form):
    what: Word
    at: Moment
    by: PlainText = ""


def _place(value: object, context: Context) -> tuple[float, float] | str:
    """A point, or the name of a bay, a lift or a mark of the site. Raises `RefusedError`."""
    if not isinstance(value, str):
        point: tuple[float, float] = POINT.parse(value, context)
        return point
    kind, _, name = (part.strip() for part in value.partition(":"))
    if kind not in NAMED or not name:
        raise RefusedError("value-impossible", because("place-not-named"), because("write-as-in", examples=EXAMPLES))
    return f"{kind}:{name}"


PointOrName = Annotated[
    tuple[float, float] | str,
    Leaf(
        _place,
        {"anyOf": [POINT.schema, {"type": "string", "pattern": f"^({'|'.join(NAMED)}):", "examples": list(EXAMPLES)}]},
        POINT.broken,
    ),
]


class StandsForm(Form):
    at: PointOrName
    heading: Angle | None = None
    on: Word = "floor"
    height: Size | None = None


def check_stands(form: StandsForm | None, tell: Tell) -> None:
    """Which way the car looks is asked of a point or a mark; in a bay and on a lift the program chooses."""
    if form is not None and form.heading is None and not _chosen(form):
        remedy = because("write-as-in", examples=("heading = 90",))
        tell(("stands", "heading"), "missing-field", because("field-missing", field="heading"), remedy)
    if form is not None and form.heading is not None and _chosen(form):
        tell(("stands", "heading"), "fields-conflict", because("place-has-a-heading"), because("leave-heading-out"))


def _chosen(form: StandsForm) -> bool:
    return isinstance(form.at, str) and not form.at.startswith("mark:")


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
    heading = form.heading or 0.0
    if isinstance(form.at, str):
        return Stands(Place(0.0, 0.0, heading), form.on, form.height, form.at)
    return Stands(Place(form.at[0], form.at[1], heading), form.on, form.height)

"""A survey of the floor: its form, what must hold in it, and the model of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Annotated, Any

from pydantic import Field

from standtrue.documents.fields import XY, Day, Length, Name, PlainText, Size, Word
from standtrue.documents.parts import DocumentForm, Form, Kind, Path, References, Shorthand, Tell, names_once
from standtrue.model.reason import because
from standtrue.model.site import SiteInstrument
from standtrue.model.survey import Loop, Sight, Survey, SurveyLine, SurveyPoint

READS_HEIGHTS = frozenset({"height", "leveling instrument"})
"""What an instrument of the site must read to stand for a survey's uncertainty."""


class SurveyPointForm(Form):
    at: XY
    name: Name | None = None
    height: Length | None = None
    u: Size | None = None


def _survey_point(value: object) -> object:
    """`[x, y, height]`, or `[x, y, height, u]`."""
    if isinstance(value, list) and len(value) in (3, 4):
        return {"at": value[:2], "height": value[2], **({"u": value[3]} if len(value) == 4 else {})}
    return value


_ROW = {"type": "array", "items": {"type": ["number", "string"]}, "minItems": 3, "maxItems": 4}


class SurveyLineForm(Form):
    """Heights read every 12 inches."""

    name: Name
    heights: tuple[Length, ...] = Field(min_length=3)


class SightForm(Form):
    """A row of the level book: the staff read back, fore, or, where the instrument is moved, both."""

    point: Name
    back: Length | None = None
    fore: Length | None = None


class LoopForm(Form):
    """A leveling loop, from a point over others back to it."""

    name: Name
    u: Size | None = None
    rows: tuple[SightForm, ...] = Field(min_length=3)


class SurveyForm(DocumentForm):
    site: Word
    date: Day = ""
    state: dict[Name, Word] = Field(default_factory=dict)
    instrument: PlainText = ""
    u: Size | None = None
    points: tuple[Annotated[SurveyPointForm, Shorthand(_survey_point, _ROW)], ...] = Field(min_length=3)
    lines: tuple[SurveyLineForm, ...] = ()
    loops: tuple[LoopForm, ...] = ()


# Checks


def check_survey(form: SurveyForm, tell: Tell) -> None:
    """A survey: no place twice, uncertainties above zero, loops that are loops, a height for every point."""
    names_once(form.lines, ("lines",), tell)
    names_once(form.loops, ("loops",), tell)
    seen: dict[tuple[float, float], int] = {}
    for i, point in enumerate(form.points):
        if point.at in seen:
            what = because("same-place-as", index=seen[point.at])
            tell(("points", i, "at"), "value-impossible", what, because("keep-one-of-two"))
        seen.setdefault(point.at, i)
    if not form.instrument:
        check_survey_uncertainties(form, {}, tell)
    for path, u in _given(form):
        if u == 0.0:
            tell(path, "value-impossible", because("u-not-above-zero"), because("write-how-well-read"))
    for i, loop in enumerate(form.loops):
        _check_loop(loop, ("loops", i), tell)
    _check_heights(form, tell)


_EXAMPLE = 'u = "0.5 mm"'


def check_survey_uncertainties(form: SurveyForm, known: Mapping[str, SiteInstrument], tell: Tell) -> None:
    """Every height has an uncertainty: its own, its survey's, or that of the site's instrument that read it."""
    if _default_u(form, known) is not None:
        return
    lacking = [
        *(p for p in form.points if p.u is None and p.height is not None),
        *(p for p in form.loops if p.u is None),
    ]
    if not lacking:
        return
    remedy = because("write-as-in", examples=(_EXAMPLE,))
    if known:
        remedy = because("give-u-or-heights-instrument", example=_EXAMPLE, instruments=tuple(known))
    tell(("u",), "missing-field", because("u-missing"), remedy)


def _default_u(form: SurveyForm, known: Mapping[str, SiteInstrument]) -> float | None:
    """The uncertainty of what has none of its own: the survey's, or its instrument's."""
    named = known.get(form.instrument)
    if form.u is not None or named is None or named.what not in READS_HEIGHTS:
        return form.u
    return named.u


def _given(form: SurveyForm) -> Iterable[tuple[Path, float | None]]:
    yield ("u",), form.u
    for i, point in enumerate(form.points):
        yield ("points", i, "u"), point.u
    for i, loop in enumerate(form.loops):
        yield ("loops", i, "u"), loop.u


def _check_loop(loop: LoopForm, path: Path, tell: Tell) -> None:
    """A loop begins with a backsight and ends with a foresight, at the same point; each row has a reading."""
    first, last = loop.rows[0], loop.rows[-1]
    if first.back is None or first.fore is not None:
        tell((*path, "rows", 0, "back"), "value-impossible", because("loop-begins-with-back"), _BOOK)
    if last.fore is None or last.back is not None:
        place = len(loop.rows) - 1
        tell((*path, "rows", place, "fore"), "value-impossible", because("loop-ends-with-fore"), _BOOK)
    if first.point != last.point:
        what = because("loop-not-closed", first=first.point, last=last.point)
        tell((*path, "rows", len(loop.rows) - 1, "point"), "value-impossible", what, because("level-back-to-start"))
    for i, row in enumerate(loop.rows[1:-1], start=1):
        if row.fore is None:
            tell((*path, "rows", i, "fore"), "missing-field", because("row-lacks-fore"), _BOOK)


_BOOK = because("write-as-in", examples=('{ point = "A", back = "1412 mm" }', '{ point = "B", fore = "1305 mm" }'))


def _check_heights(form: SurveyForm, tell: Tell) -> None:
    """Every point has a height, its own or by a loop, and all heights count from one level."""
    groups = _tied(form.loops)
    passed = frozenset().union(*groups) if groups else frozenset()
    names_once(form.points, ("points",), tell)
    for i, point in enumerate(form.points):
        if point.height is None and point.name not in passed:
            tell(("points", i, "height"), "missing-field", because("height-missing"), because("give-height-or-loop"))
    typed = {p.name or "" for p in form.points if p.height is not None}
    loose = [group for group in groups if not group & typed]
    if loose and (typed or len(groups) > 1):
        what = because("loop-tied-to-nothing", points=tuple(sorted(loose[0])))
        tell(("loops",), "value-impossible", what, because("pass-a-point-with-height"))


def _tied(loops: Iterable[LoopForm]) -> list[frozenset[str]]:
    """The points of loops that share points, group by group."""
    groups: list[frozenset[str]] = []
    for loop in loops:
        own: frozenset[str] = frozenset(row.point for row in loop.rows)
        meeting = [group for group in groups if group & own]
        groups = [*(g for g in groups if not g & own), own.union(*meeting)]
    return groups


def _references(content: dict[str, Any]) -> References:
    yield ("site",), "site", content.get("site")


# To the model


def to_survey(form: SurveyForm, known: Mapping[str, SiteInstrument]) -> Survey:
    """A survey of the floor; a point without its own u has the survey's, or that of the instrument that it names.

    `known` are the instruments of its site by name.
    """
    u = _default_u(form, known) or 0.0
    return Survey(
        name=form.name,
        site=form.site,
        points=tuple(
            SurveyPoint(p.at, p.height, u if p.u is None else p.u, p.name or "")
            for p in form.points
            if p.height is not None
        ),
        lines=tuple(SurveyLine(line.name, line.heights) for line in form.lines),
        states=tuple(form.state.items()),
        instrument=form.instrument,
        on=form.date,
        demonstration=form.demonstration,
        loops=tuple(_loop(loop, u) for loop in form.loops),
        leveled=tuple((p.name, p.at) for p in form.points if p.height is None and p.name is not None),
    )


def _loop(form: LoopForm, u: float) -> Loop:
    sights = tuple(Sight(row.point, row.back, row.fore) for row in form.rows)
    return Loop(form.name, u if form.u is None else form.u, sights)


KIND = Kind("survey", SurveyForm, check_survey, references=_references)

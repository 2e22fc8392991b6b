"""A survey of the floor: its form, what must hold in it, and the model of it."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field

from standtrue.documents.fields import XY, Length, Name, PlainText, Size, Word
from standtrue.documents.parts import DocumentForm, Form, Kind, References, Shorthand, Tell, names_once
from standtrue.model.reason import because
from standtrue.model.survey import Survey, SurveyLine, SurveyPoint


class SurveyPointForm(Form):
    at: XY
    height: Length
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


class SurveyForm(DocumentForm):
    site: Word
    state: dict[Name, Word] = Field(default_factory=dict)
    instrument: PlainText = ""
    u: Size = 0.0
    points: tuple[Annotated[SurveyPointForm, Shorthand(_survey_point, _ROW)], ...] = Field(min_length=3)
    lines: tuple[SurveyLineForm, ...] = ()


def check_survey(form: SurveyForm, tell: Tell) -> None:
    """A survey: no place twice."""
    names_once(form.lines, ("lines",), tell)
    seen: dict[tuple[float, float], int] = {}
    for i, point in enumerate(form.points):
        if point.at in seen:
            what = because("same-place-as", index=seen[point.at])
            tell(("points", i, "at"), "value-impossible", what, because("keep-one-of-two"))
        seen.setdefault(point.at, i)


def _references(content: dict[str, Any]) -> References:
    yield ("site",), "site", content.get("site")


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


KIND = Kind("survey", SurveyForm, check_survey, references=_references)

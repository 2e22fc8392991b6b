"""The layout of a sheet: its size, the plan's scale, where every name, figure and sentence goes.

Two sheets are tried, upright and lying; either prints whole on both Letter and A4 with 10 mm margins.
Where the words need more, the drawing is two sheets (or more) high and nothing crosses from one to the next.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property

from attrs import frozen

from standtrue.draw.dimensions import FLAG_MM, PITCH_MM, Figure, figures, flag_rows
from standtrue.draw.flow import LINE_MM, Item, SetItem, balanced_height, pour
from standtrue.draw.labels import Written
from standtrue.draw.lettering import LINE, clean, width_mm, wrap
from standtrue.draw.naming import write_names
from standtrue.draw.scaled import Paper, bounds_of
from standtrue.draw.shapes import Drawing, Measure, Wording
from standtrue.draw.styles import SELF_NAMED


@frozen
class SheetSize:
    """Width and height, the columns of text, and where a second sheet's text may begin.

    That is below the first page of either paper at 10 mm margins (Letter 195.9 x 259.4 mm, A4
    190 x 277 mm), so that a page break falls between lines whichever is loaded.
    """

    width: float
    height: float
    columns: int
    next_mm: float


SIZES: tuple[SheetSize, ...] = (SheetSize(190.0, 250.0, 3, 279.0), SheetSize(250.0, 190.0, 4, 198.0))
"""Upright and lying."""

SCALES: tuple[int, ...] = (20, 25, 40, 50, 75, 100, 125, 150, 200, 250, 300, 400, 500)
SMALLER: tuple[int, ...] = (600, 800, 1000, 1500, 2000, 3000, 5000, 10000)

PAD_MM = 8.0
"""Room round the plan for names and between it and the figures."""

STRIP_MM = 10.0
TITLE_MM, VERDICT_MM = 4.6, 3.4
_LEAST_PLAN_MM = 60.0
_LEAST_TEXT_MM = 20.0
_GAP_MM = 2.5
_LEAST_INDENT_MM = 14.0
_SHRINK = 1.4
"""How much smaller than it could be a plan is drawn, so that the words stay on its page."""


@frozen
class Header:
    """Title, facts and verdict as lines, the height they take, and how far facts are indented behind their names."""

    title: tuple[str, ...]
    facts: tuple[tuple[str, tuple[str, ...]], ...]
    verdict: tuple[str, ...]
    height: float
    indent: float = 0.0


@frozen(eq=False)
class Sheet:
    """Everything placed. Millimetres, y down from the top left corner."""

    wording: Wording
    width: float
    height: float
    denominator: int
    header: Header
    paper: Paper
    plan_size: tuple[float, float]
    along: tuple[Figure, ...]
    across: tuple[Figure, ...]
    names: tuple[Written, ...]
    strip_y: float
    text: tuple[SetItem, ...]
    foot: tuple[SetItem, ...]
    foot_y: float
    foot_height: float


def lay_out(drawing: Drawing, wording: Wording) -> Sheet:
    """The sheet with the largest neat scale that leaves room for all the words; upright if both do.

    Where so many targets are measured that their figures find no room along the edges, the edges
    show the axles alone; the words give every measure.
    """
    sheet = _largest(drawing, drawing.measures, wording) or _largest(drawing, drawing.measures[:2], wording)
    if sheet is None:
        raise ValueError("the plan is larger than any scale can show")
    return sheet


def _largest(drawing: Drawing, figured: Sequence[Measure], wording: Wording) -> Sheet | None:
    bounds = bounds_of(drawing)
    first: tuple[int, _Trial] | None = None
    for denominator in (*SCALES, *SMALLER):
        for size in SIZES:
            trial = _trial(drawing, bounds, figured, wording, denominator, size)
            if trial is None:
                continue
            sheet = _on_one_sheet(trial)
            if sheet is not None:
                return sheet
            first = first or (denominator, trial)
        if first is not None and denominator > _SHRINK * first[0]:
            break
    return None if first is None else _over_sheets(first[1])


@frozen(eq=False)
class _Trial:
    """A plan at one scale on one size of sheet, before its names are placed; `room` is what is left for words."""

    drawing: Drawing
    wording: Wording
    denominator: int
    size: SheetSize
    header: Header
    paper: Paper
    plan_size: tuple[float, float]
    along: tuple[Figure, ...]
    across: tuple[Figure, ...]
    strip_y: float
    foot_items: tuple[Item, ...]
    foot_height: float

    @cached_property
    def names(self) -> tuple[Written, ...]:
        left, top = self.paper.left - PAD_MM, self.paper.top - PAD_MM
        w, h = self.plan_size
        return write_names(self.drawing, self.paper, (left, top, left + w + 2 * PAD_MM, top + h + 2 * PAD_MM))

    @property
    def text_y(self) -> float:
        return self.strip_y + STRIP_MM

    @property
    def room(self) -> float:
        return self.size.height - self.text_y - self.foot_height - _GAP_MM


def _trial(
    drawing: Drawing,
    bounds: tuple[float, float, float, float],
    figured: Sequence[Measure],
    wording: Wording,
    denominator: int,
    size: SheetSize,
) -> _Trial | None:
    """None where the plan with its figures and the cautions finds no room on this size at this scale."""
    k = 1000.0 / denominator
    w, h = (bounds[2] - bounds[0]) * k, (bounds[3] - bounds[1]) * k
    along, across = figures(figured, wording.measures, True), figures(figured, wording.measures, False)
    left = max((f.width_mm for f in across), default=-7.0) + 7.0
    places, widths = [(f.value_m - bounds[0]) * k for f in along], [f.width_mm for f in along]
    ends = [at + FLAG_MM + long - w for at, long in zip(places, widths, strict=True)]
    spare = size.width - left - w - PAD_MM - max([PAD_MM, *ends])
    if spare < 0.0 or len(across) * PITCH_MM > h + 2 * PAD_MM:
        return None
    low = (max(flag_rows(places, widths)) + 1) * PITCH_MM + 3.0 if along else 0.0
    header = _header(drawing, size.width)
    cautions = (
        [Item(wording.cautions_heading, heading=True), *(Item(c, tag="!") for c in drawing.cautions)]
        if drawing.cautions
        else []
    )
    foot_height = _least_height(cautions, size.width - 4.0, 2) + (_GAP_MM if cautions else 0.0)
    strip_y = header.height + 2 * PAD_MM + h + low
    paper = Paper(drawing, k, left + PAD_MM + spare / 2, header.height + PAD_MM, bounds)
    trial = _Trial(
        drawing, wording, denominator, size, header, paper, (w, h), along, across, strip_y, tuple(cautions), foot_height
    )
    return trial if trial.room >= 0.0 or h <= _LEAST_PLAN_MM else None


def _on_one_sheet(trial: _Trial) -> Sheet | None:
    """The trial with its names and words, if all of them fit on one sheet."""
    width, columns = trial.size.width, trial.size.columns
    if balanced_height(_items(trial.drawing, (), trial.wording), width, columns, trial.room) is None:
        return None
    names = trial.names
    items = _items(trial.drawing, names, trial.wording)
    height = balanced_height(items, width, columns, trial.room)
    if height is None:
        return None
    text = pour(items, 0.0, trial.text_y, width, columns, height)[0]
    foot_y = trial.text_y + height + _GAP_MM
    return _sheet(trial, names, text, foot_y, foot_y + trial.foot_height)


def _over_sheets(trial: _Trial) -> Sheet:
    """The trial with what words find room on its first sheet, and the rest on as many more as they need."""
    size = trial.size
    names = trial.names
    rest = tuple(_items(trial.drawing, names, trial.wording))
    text: tuple[SetItem, ...] = ()
    if trial.room > _LEAST_TEXT_MM:
        text, rest = pour(rest, 0.0, trial.text_y, size.width, size.columns, trial.room)
    foot_y = max(trial.text_y + _GAP_MM, size.height - trial.foot_height - 0.4)
    below = max(0.0, foot_y + trial.foot_height - size.height)
    sheets, most = 1, size.height - 15.0
    while rest:
        height = balanced_height(rest, size.width, size.columns, most) or most
        top = below + sheets * size.next_mm
        more, rest = pour(rest, 0.0, top, size.width, size.columns, height, force=True)
        text, sheets = (*text, *more), sheets + 1
    lowest = max(item.y + len(item.lines) * LINE_MM for item in text) + _GAP_MM
    return _sheet(trial, names, text, foot_y, max(lowest, foot_y + trial.foot_height))


def _sheet(trial: _Trial, names: tuple[Written, ...], text: tuple[SetItem, ...], foot_y: float, height: float) -> Sheet:
    width = trial.size.width
    foot = pour(trial.foot_items, 2.0, foot_y + 1.2, width - 4.0, 2, trial.foot_height - _GAP_MM)[0]
    return Sheet(
        wording=trial.wording,
        width=width,
        height=float(math.ceil(height - 1e-6)),
        denominator=trial.denominator,
        header=trial.header,
        paper=trial.paper,
        plan_size=trial.plan_size,
        along=trial.along,
        across=trial.across,
        names=names,
        strip_y=trial.strip_y,
        text=text,
        foot=foot,
        foot_y=foot_y,
        foot_height=trial.foot_height,
    )


def _least_height(items: Sequence[Item], width: float, columns: int) -> float:
    """The least height at which the columns take every item, however tall that is."""
    height, most = None, 1000.0
    while items and height is None:
        height, most = balanced_height(items, width, columns, most), most * 4
    return height or 0.0


def _header(drawing: Drawing, width: float) -> Header:
    title = wrap(drawing.title, width - 4.0, TITLE_MM, True)
    indent = max([_LEAST_INDENT_MM, *(width_mm(name, bold=True) + 1.5 for name, _ in drawing.facts)])
    room = (width - 4.0 - 4.0) / 2 - indent - 2.0
    facts = tuple((name, wrap(value, room)) for name, value in drawing.facts)
    rows = [facts[i : i + 2] for i in range(0, len(facts), 2)]
    verdict = wrap(drawing.verdict, width - 4.0, VERDICT_MM, True) if drawing.verdict else ()
    height = 2.0 + len(title) * TITLE_MM * LINE + 1.0
    height += sum(max(len(lines) for _, lines in row) for row in rows) * LINE_MM + 1.5
    height += (len(verdict) * VERDICT_MM * LINE + 2.0) if verdict else 0.0
    height += 8.0 if drawing.demonstration else 0.0
    return Header(title, facts, verdict, height, indent)


def _items(drawing: Drawing, names: Sequence[Written], wording: Wording) -> list[Item]:
    items: list[Item] = []
    if drawing.measures:
        items.append(Item(drawing.measures_heading, heading=True))
        items.extend(Item(wording.measures[m.tag].words, tag=m.tag) for m in drawing.measures)
    keys = [w for w in names if w.number is not None]
    for paragraph in drawing.paragraphs:
        items.append(Item(paragraph.heading, heading=True))
        for said in paragraph.sentences:
            marked = next((w for w in keys if w.text.endswith(f": {clean(said)}")), None)
            items.append(Item(said, tag="–" if marked is None else str(marked.number)))
            keys = [w for w in keys if w is not marked]
    if keys:
        items.append(Item(wording.numbers_heading, heading=True))
        items.extend(Item(w.text, tag=str(w.number)) for w in keys)
    items.append(Item(wording.legend_heading, heading=True))
    drawn = [s.role for s in drawing.shapes if (s.areas or s.lines or s.spots) and s.role not in SELF_NAMED]
    items.extend(Item(wording.legend[role], swatch=role) for role in dict.fromkeys(drawn))
    return items

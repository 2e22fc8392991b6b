"""A stance's plan for the job sheet: as wide as the page, to a neat scale, dimensioned from the datum."""

from __future__ import annotations

import math
from collections.abc import Sequence

from attrs import evolve

from standtrue.draw.backends.pdf import WIDEST_MM, Picture
from standtrue.draw.backends.svg import SVG, document
from standtrue.draw.dimensions import FLAG_MM, PITCH_MM, figures, flag_rows
from standtrue.draw.flow import Item, balanced_height, pour
from standtrue.draw.labels import Written
from standtrue.draw.naming import write_names
from standtrue.draw.scaled import Paper, bounds_of
from standtrue.draw.shapes import Drawing, Measure, Role, Shape, Wording
from standtrue.draw.sheet import PAD_MM, SCALES, SMALLER, STRIP_MM, Header, Sheet
from standtrue.draw.sheet_ink import SheetInk
from standtrue.show.pictures.small_plan import alternative, numbered
from standtrue.show.words.drawing import wording_of
from standtrue.show.words.reader import Reader
from standtrue.show.words.sheet_notes import misfit_shown

HEIGHT_MM = 168.0
"""How high the plan may be: its stance's first table still finds room on the page."""

_UNDRAWN: frozenset[Role] = frozenset({"region", "bay", "exit", "reference"})
_UNNAMED: frozenset[Role] = frozenset(
    {
        "zone plain", "zone clear", "zone metal-free", "zone walk", "zone stand", "equipment", "stored", "overhead",
        "touch", "in the way", "heading", "patch", "closed cover", "open cover",
    }
)  # fmt: skip
"""What needs no name here: the legend tells it, or the card's own section."""

_IN_LEGEND: tuple[Role, ...] = (
    "target", "target path", "zone stand", "zone walk", "zone clear", "zone metal-free", "zone plain", "person",
    "patch", "uneven", "slot", "ramp", "movable", "overhead", "stored",
)  # fmt: skip
_COLUMNS = 3


def stance_picture(drawing: Drawing, reader: Reader, *, height_mm: float = HEIGHT_MM) -> Picture:
    """The floor at the largest neat scale that the page allows, with running dimensions and a scale bar.

    Where the targets' figures find no room along the edges, only the axles' are there; the tables give all.
    Raises ValueError if no scale is small enough.
    """
    lean = _lean(drawing)
    wording = wording_of(lean, reader)
    for scale in (*SCALES, *SMALLER):
        for measures in (drawing.measures, drawing.measures[:2]):
            sheet = _sheet(lean, measures, wording, scale, height_mm)
            if sheet is not None:
                said = wording_of(evolve(lean, measures=measures), reader)
                told = alternative(drawing, said, scale, reader)
                return Picture(_svg(sheet), told, _caption(drawing, sheet.names, reader))
    raise ValueError("the floor is larger than any scale can show")


def _lean(drawing: Drawing) -> Drawing:
    undrawn = _UNDRAWN if drawing.caption else _UNDRAWN | {"touch", "in the way"}
    shapes = tuple(_bare(s) for s in drawing.shapes if s.role not in undrawn)
    return evolve(drawing, shapes=shapes, paragraphs=(), cautions=(), caption="")


def _bare(shape: Shape) -> Shape:
    return evolve(shape, label="") if shape.role in _UNNAMED else shape


def _sheet(
    drawing: Drawing, measures: Sequence[Measure], wording: Wording, scale: int, height_mm: float
) -> Sheet | None:
    """The plan at a scale, or None where it finds no room."""
    k = 1000.0 / scale
    low_x, low_y, high_x, high_y = bounds = bounds_of(drawing)
    w, h = (high_x - low_x) * k, (high_y - low_y) * k
    along, across = figures(measures, wording.measures, True), figures(measures, wording.measures, False)
    left = max((f.width_mm for f in across), default=0.0) + 7.0
    places, widths = [(f.value_m - low_x) * k for f in along], [f.width_mm for f in along]
    ends = [at + FLAG_MM + long - w for at, long in zip(places, widths, strict=True)]
    spare = WIDEST_MM - left - w - PAD_MM - max([PAD_MM, *ends])
    low = (max(flag_rows(places, widths), default=0) + 1) * PITCH_MM + 3.0
    strip = h + 2 * PAD_MM + low
    legend = _legend(drawing, wording)
    tall = balanced_height(legend, WIDEST_MM, _COLUMNS, height_mm) or 0.0
    height = strip + STRIP_MM + tall + 1.0
    if spare < 0.0 or height > height_mm or len(across) * PITCH_MM > h + 2 * PAD_MM:
        return None
    paper = Paper(drawing, k, left + PAD_MM + spare / 2, PAD_MM, bounds)
    frame = (paper.left - PAD_MM, 0.5, paper.left + w + PAD_MM, h + 2 * PAD_MM - 0.5)
    return Sheet(
        wording=wording,
        width=WIDEST_MM,
        height=float(math.ceil(height)),
        denominator=scale,
        header=Header((), (), (), 0.0),
        paper=paper,
        plan_size=(w, h),
        along=along,
        across=across,
        names=write_names(drawing, paper, frame),
        strip_y=strip,
        text=pour(legend, 0.0, strip + STRIP_MM, WIDEST_MM, _COLUMNS, tall)[0],
        foot=(),
        foot_y=0.0,
        foot_height=0.0,
    )


def _legend(drawing: Drawing, wording: Wording) -> list[Item]:
    drawn = {s.role for s in drawing.shapes}
    return [Item(wording.legend[role], swatch=role) for role in _IN_LEGEND if role in drawn]


def _svg(sheet: Sheet) -> str:
    sheet_ink = SheetInk(SVG, sheet)
    ink = sheet_ink.ink
    body = [
        *map(ink.shape, sheet.paper.drawing.shapes),
        *sheet_ink.running_dimensions(),
        *(ink.name(w) if w.ringed else ink.name_on_white(w) for w in sheet.names),
        *sheet_ink.scale_bar(),
        *sheet_ink.text(),
    ]
    return document((sheet.width, sheet.height), body)


def _caption(drawing: Drawing, names: Sequence[Written], reader: Reader) -> str:
    """That the car does not fit there, and the names that found only room for a number."""
    misfit = drawing.caption
    said = [misfit_shown(misfit, reader)] if misfit else []
    return "; ".join([*said, *numbered(names)])

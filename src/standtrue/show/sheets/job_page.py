"""A stance's plan for the job sheet: as wide as the page, to a neat scale, dimensioned from the datum."""

from __future__ import annotations

import math
from collections.abc import Sequence
from html import escape

from attrs import evolve

from standtrue.draw.describe import describe
from standtrue.draw.dimensions import FLAG_MM, PITCH_MM, figures, flag_rows
from standtrue.draw.flow import Item, balanced_height, pour
from standtrue.draw.labels import Written
from standtrue.draw.lettering import FONTS, TEXT_MM, clean
from standtrue.draw.paper import WIDEST_MM, Picture
from standtrue.draw.shapes import Drawing, Measure, Role, Shape
from standtrue.draw.sheet import PAD_MM, SCALES, STRIP_MM, Header, Paper, Sheet, bounds_of, write_names
from standtrue.draw.styles import BLACK, STYLES, WHITE
from standtrue.draw.svg import Ink, n
from standtrue.model.reader_units import System
from standtrue.show.pictures.small_plan import name_on_white

HEIGHT_MM = 168.0
"""How high the plan may be: its stance's first table still finds room on the page."""

_UNDRAWN: frozenset[Role] = frozenset({"region", "bay", "exit", "reference"})
_UNNAMED: frozenset[Role] = frozenset(
    {
        "zone plain", "zone clear", "zone metal-free", "zone walk", "zone stand", "equipment", "stored", "overhead",
        "touch", "heading", "patch", "closed cover", "open cover",
    }
)  # fmt: skip
"""What needs no name here: the legend tells it, or the card's own section."""

_IN_LEGEND: tuple[Role, ...] = (
    "target", "target path", "zone stand", "zone walk", "zone clear", "zone metal-free", "zone plain", "person",
    "patch", "uneven", "slot", "ramp", "movable", "overhead", "stored",
)  # fmt: skip
_COLUMNS = 3

_SCALES = (*SCALES, 600, 800, 1000, 1500, 2000, 3000, 5000, 10000)


def stance_picture(drawing: Drawing, units: System, *, height_mm: float = HEIGHT_MM) -> Picture:
    """The plan at the largest neat scale that the page allows, with running dimensions and a scale bar.

    Where the targets' figures find no room along the edges, only the axles' are there; the tables give all.
    Raises ValueError if no scale is small enough.
    """
    lean = _lean(drawing)
    for scale in _SCALES:
        for measures in (drawing.measures, drawing.measures[:2]):
            sheet = _sheet(lean, measures, units, scale, height_mm)
            if sheet is not None:
                told = clean(f"{drawing.title}. {describe(evolve(lean, measures=measures), units)} Scale 1 : {scale}.")
                return Picture(_svg(sheet, units), told, _caption(drawing, sheet.names))
    raise ValueError("the plan is larger than any scale can show")


def _lean(drawing: Drawing) -> Drawing:
    undrawn = _UNDRAWN if drawing.caption else _UNDRAWN | {"touch"}
    shapes = tuple(_bare(s) for s in drawing.shapes if s.role not in undrawn)
    return evolve(drawing, shapes=shapes, paragraphs=(), cautions=(), caption="")


def _bare(shape: Shape) -> Shape:
    return evolve(shape, label="") if shape.role in _UNNAMED else shape


def _sheet(drawing: Drawing, measures: Sequence[Measure], units: System, scale: int, height_mm: float) -> Sheet | None:
    """The plan at a scale, or None where it finds no room."""
    k = 1000.0 / scale
    low_x, low_y, high_x, high_y = bounds = bounds_of(drawing)
    w, h = (high_x - low_x) * k, (high_y - low_y) * k
    along, across = figures(measures, True, units), figures(measures, False, units)
    left = max((f.width_mm for f in across), default=0.0) + 7.0
    places, widths = [(f.value_m - low_x) * k for f in along], [f.width_mm for f in along]
    ends = [at + FLAG_MM + long - w for at, long in zip(places, widths, strict=True)]
    spare = WIDEST_MM - left - w - PAD_MM - max([PAD_MM, *ends])
    low = (max(flag_rows(places, widths), default=0) + 1) * PITCH_MM + 3.0
    strip = h + 2 * PAD_MM + low
    legend = _legend(drawing)
    tall = balanced_height(legend, WIDEST_MM, _COLUMNS, height_mm) or 0.0
    height = strip + STRIP_MM + tall + 1.0
    if spare < 0.0 or height > height_mm or len(across) * PITCH_MM > h + 2 * PAD_MM:
        return None
    paper = Paper(drawing, k, left + PAD_MM + spare / 2, PAD_MM, bounds)
    frame = (paper.left - PAD_MM, 0.5, paper.left + w + PAD_MM, h + 2 * PAD_MM - 0.5)
    return Sheet(
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


def _legend(drawing: Drawing) -> list[Item]:
    drawn = {s.role for s in drawing.shapes}
    return [Item(STYLES[role].words, swatch=role) for role in _IN_LEGEND if role in drawn]


def _svg(sheet: Sheet, units: System) -> str:
    ink = Ink("job", sheet)
    drawing = sheet.paper.drawing
    size = f'width="{n(sheet.width)}mm" height="{n(sheet.height)}mm" viewBox="0 0 {n(sheet.width)} {n(sheet.height)}"'
    body = [
        f'<rect width="{n(sheet.width)}" height="{n(sheet.height)}" fill="{WHITE}"/>',
        *(ink.shape(s) for s in drawing.shapes),
        *ink.running_dimensions(drawing),
        *(ink.name(w) if w.ringed else name_on_white(w) for w in sheet.names),
        *ink.scale_bar(drawing, units),
        *(ink.item(i) for i in sheet.text),
    ]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} font-family="{escape(FONTS)}" font-size="{n(TEXT_MM)}" '
        f'fill="{BLACK}" stroke-linejoin="round">\n' + "\n".join(body) + "\n</svg>\n"
    )


def _caption(drawing: Drawing, names: Sequence[Written]) -> str:
    """That the car does not fit there, and the names that found only room for a number."""
    misfit = [f"{drawing.caption}: the rings show what is in the way"] if drawing.caption else []
    return "; ".join([*misfit, *(f"{w.number} {w.text}" for w in names if w.number is not None)])

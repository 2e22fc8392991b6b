"""A plan small enough for one column of a sheet on paper: fewer names, no list of words, type as large as elsewhere."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from html import escape

from attrs import evolve

from standtrue.draw.describe import describe
from standtrue.draw.labels import Written
from standtrue.draw.lettering import FONTS, LINE, TEXT_MM, clean, width_mm
from standtrue.draw.paper import COLUMN_MM, Picture
from standtrue.draw.shapes import Drawing, Role, Shape
from standtrue.draw.sheet import SCALES, Header, Paper, Sheet, bounds_of, write_names
from standtrue.draw.styles import BLACK, WHITE
from standtrue.draw.svg import Ink, n
from standtrue.model.reader_units import INCH_M, System

HEIGHT_MM = 70.0
"""How high a small plan may be, for two rows of them on one page."""

_EDGE_MM = 3.0
_STRIP_MM = 8.0
_BASELINE = 0.78
_UNDRAWN: frozenset[Role] = frozenset({"region", "bay", "axle", "mark", "reference", "exit", "radius plate", "datum"})
_NAMED: frozenset[Role] = frozenset(
    {
        "void",
        "open cover",
        "hole",
        "obstacle",
        "movable",
        "overhead",
        "raised deck",
        "flush deck",
        "target",
        "front",
        "door",
    }
)
_SCALES = (*SCALES, 600, 800, 1000, 1500, 2000, 3000, 5000, 10000)


def small_plan(
    drawing: Drawing, units: System, *, width_mm: float = COLUMN_MM, height_mm: float = HEIGHT_MM
) -> Picture:
    """The plan at the largest neat scale within this size, with the scale under it.

    A name that finds no room is a number, with the name in the caption. What is drawn is told in the
    picture's alternative. Raises ValueError if no scale is small enough.
    """
    sparse = _sparse(drawing)
    low_x, low_y, high_x, high_y = bounds = bounds_of(sparse)
    room = width_mm - 2 * _EDGE_MM, height_mm - _EDGE_MM - _STRIP_MM
    fitting = (s for s in _SCALES if (high_x - low_x) * 1000 / s <= room[0] and (high_y - low_y) * 1000 / s <= room[1])
    denominator = next(fitting, None)
    if denominator is None:
        raise ValueError("the plan is larger than any scale can show")
    k = 1000.0 / denominator
    size = (high_x - low_x) * k, (high_y - low_y) * k
    paper = Paper(sparse, k, (width_mm - size[0]) / 2, _EDGE_MM, bounds)
    names = write_names(sparse, paper, (0.5, 0.5, width_mm - 0.5, size[1] + 2 * _EDGE_MM))
    height = float(math.ceil(size[1] + _EDGE_MM + _STRIP_MM))
    sheet = Sheet(
        width=width_mm,
        height=height,
        denominator=denominator,
        header=Header((), (), (), 0.0),
        paper=paper,
        plan_size=size,
        along=(),
        across=(),
        names=names,
        strip_y=0.0,
        text=(),
        foot=(),
        foot_y=0.0,
        foot_height=0.0,
    )
    told = clean(f"{drawing.title}. {describe(sparse, units)} Scale 1 : {denominator}.")
    return Picture(_svg(sheet, units), told, _caption(drawing, names))


def _sparse(drawing: Drawing) -> Drawing:
    undrawn = _UNDRAWN if drawing.caption else _UNDRAWN | {"touch"}
    shapes = tuple(_bare(s) for s in drawing.shapes if s.role not in undrawn)
    return evolve(drawing, shapes=shapes, measures=(), paragraphs=(), cautions=())


def _caption(drawing: Drawing, names: Sequence[Written]) -> str:
    """What must be said under the picture: that nothing fits, and the names for which it had only room for a number."""
    marked = any(s.role == "touch" for s in drawing.shapes)
    misfit = [drawing.caption + (" (the rings show what is in the way)" if marked else "")] if drawing.caption else []
    return "; ".join([*misfit, *(f"{w.number} {w.text}" for w in names if w.number is not None)])


def _bare(shape: Shape) -> Shape:
    return evolve(shape, tag="", label=shape.label if shape.role in _NAMED else "")


def _svg(sheet: Sheet, units: System) -> str:
    ink = Ink("small", sheet)
    size = f'width="{n(sheet.width)}mm" height="{n(sheet.height)}mm" viewBox="0 0 {n(sheet.width)} {n(sheet.height)}"'
    body = [
        f'<rect width="{n(sheet.width)}" height="{n(sheet.height)}" fill="{WHITE}"/>',
        *(ink.shape(s) for s in sheet.paper.drawing.shapes),
        *(name_on_white(w) for w in sheet.names),
        *_scale(sheet, units),
    ]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} font-family="{escape(FONTS)}" font-size="{n(TEXT_MM)}" '
        f'fill="{BLACK}" stroke-linejoin="round">\n' + "\n".join(body) + "\n</svg>\n"
    )


def name_on_white(name: Written) -> str:
    """A name on a white ground (a white edge round letters does not survive every way to paper), and its leader."""
    x, y = name.center
    step = TEXT_MM * LINE
    half = max(width_mm(line, TEXT_MM, name.bold) for line in name.lines) * 0.47 + (0.4 if name.number else 0.0)
    high = step * len(name.lines)
    drawn = ""
    if name.leader is not None:
        (ax, ay), (bx, by) = name.leader
        line = f'x1="{n(ax)}" y1="{n(ay)}" x2="{n(bx)}" y2="{n(by)}"'
        drawn += (
            f'<line {line} stroke="{WHITE}" stroke-width="0.6"/><line {line} stroke="{BLACK}" stroke-width="0.18"/>'
        )
    ground = f'x="{n(x - half)}" y="{n(y - high / 2)}" width="{n(2 * half)}" height="{n(high)}"'
    edge = "" if name.number is None else f' stroke="{BLACK}" stroke-width="0.2"'
    words = f'<rect {ground} rx="0.5" fill="{WHITE}" fill-opacity="0.85"{edge}/>'
    bold = ' font-weight="bold"' if name.bold else ""
    for k, line in enumerate(name.lines):
        baseline = y - high / 2 + (k + _BASELINE) * step
        words += f'<text x="{n(x)}" y="{n(baseline)}" text-anchor="middle"{bold}>{escape(clean(line))}</text>'
    turn = f' transform="rotate({n(name.angle_deg)} {n(x)} {n(y)})"' if name.angle_deg else ""
    return f"<g>{drawn}<g{turn}>{words}</g></g>"


def _scale(sheet: Sheet, units: System) -> Iterator[str]:
    """A bar of one length with its figure, and the scale in words, centered under the plan."""
    unit_m, unit, steps = (float(12 * INCH_M), "ft", (2, 5, 10, 20, 50, 100, 200)) if units == "us" else (
        1.0, "m", (0.5, 1, 2, 5, 10, 20, 50))  # fmt: skip
    k = sheet.paper.k * unit_m
    step = next((s for s in steps if s * k >= 10.0), steps[-1])
    words = f"{step:g} {unit}, scale 1 : {sheet.denominator}"
    x = (sheet.width - step * k - 2.0 - width_mm(words)) / 2
    y = sheet.height - 2.5
    ends = f"M{n(x)},{n(y - 1.6)}V{n(y)}H{n(x + step * k)}V{n(y - 1.6)}"
    yield f'<path d="{ends}" fill="none" stroke="{BLACK}" stroke-width="0.4"/>'
    yield f'<text x="{n(x + step * k + 2.0)}" y="{n(y)}">{words}</text>'

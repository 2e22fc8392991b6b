"""The layout of a sheet: its size, the plan's scale, where every name, figure and sentence goes.

Two sheets are tried, upright and lying; either prints whole on both Letter and A4 with 10 mm margins.
Where the words need more, the drawing is two sheets (or more) high and nothing crosses from one to the next.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property

import shapely
from attrs import evolve, frozen
from shapely.geometry.base import BaseGeometry

from standtrue.draw.dimensions import FLAG_MM, PITCH_MM, Figure, figures, flag_rows
from standtrue.draw.flow import LINE_MM, Item, SetItem, balanced_height, pour
from standtrue.draw.labels import PATIENCE, Bounds, Lettering, Wish, Written
from standtrue.draw.lettering import LINE, clean, wrap
from standtrue.draw.shapes import Area, Drawing, Measure, Role, Shape
from standtrue.draw.styles import FAINT, MISFIT_WORDS, SELF_NAMED, SOLID, STYLES
from standtrue.model.basics import Point
from standtrue.model.reader_units import System
from standtrue.show.words.place import from_datum, measure_words
from standtrue.show.words.reader import Reader


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
_SMALLER = (600, 800, 1000, 1500, 2000, 3000, 5000, 10000)

PAD_MM = 8.0
"""Room round the plan for names and between it and the figures."""

STRIP_MM = 10.0
TITLE_MM, VERDICT_MM = 4.6, 3.4
_GRID_MM = 1e-3
"""Overlays on paper snap to this grid: edges that meet within rounding would otherwise trip them."""

_LEAST_PLAN_MM = 60.0
_LEAST_TEXT_MM = 20.0
_GAP_MM = 2.5
_SHRINK = 1.4
"""How much smaller than it could be a plan is drawn, so that the words stay on its page."""


@frozen
class Paper:
    """From the site frame to millimetres on the sheet, y down, the datum's direction to the right."""

    drawing: Drawing
    k: float
    left: float
    top: float
    bounds: tuple[float, float, float, float]

    def at(self, point: Point) -> Point:
        x, y = from_datum(point, self.drawing.datum)
        return (self.left + (x - self.bounds[0]) * self.k, self.top + (self.bounds[3] - y) * self.k)

    def right(self, x_m: float) -> float:
        """Where a distance from the datum along its direction falls on the sheet."""
        return self.left + (x_m - self.bounds[0]) * self.k

    def down(self, y_m: float) -> float:
        return self.top + (self.bounds[3] - y_m) * self.k


@frozen
class Header:
    """Title, facts and verdict as lines, with the height they take."""

    title: tuple[str, ...]
    facts: tuple[tuple[str, tuple[str, ...]], ...]
    verdict: tuple[str, ...]
    height: float


@frozen(eq=False)
class Sheet:
    """Everything placed. Millimetres, y down from the top left corner."""

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


def lay_out(drawing: Drawing, units: System) -> Sheet:
    """The sheet with the largest neat scale that leaves room for all the words; upright if both do.

    Where so many targets are measured that their figures find no room along the edges, the edges
    show the axles alone; the words give every measure.
    """
    sheet = _largest(drawing, drawing.measures, units) or _largest(drawing, drawing.measures[:2], units)
    if sheet is None:
        raise ValueError("the plan is larger than any scale can show")
    return sheet


def _largest(drawing: Drawing, figured: Sequence[Measure], units: System) -> Sheet | None:
    bounds = bounds_of(drawing)
    first: tuple[int, _Trial] | None = None
    for denominator in (*SCALES, *_SMALLER):
        for size in SIZES:
            trial = _trial(drawing, bounds, figured, units, denominator, size)
            if trial is None:
                continue
            sheet = _on_one_sheet(trial)
            if sheet is not None:
                return sheet
            first = first or (denominator, trial)
        if first is not None and denominator > _SHRINK * first[0]:
            break
    return None if first is None else _over_sheets(first[1])


def bounds_of(drawing: Drawing) -> tuple[float, float, float, float]:
    """What the shapes span in the datum's frame, metres."""
    points = [p for s in drawing.shapes for outer, _ in s.areas for p in outer]
    points.extend(p for s in drawing.shapes for line in s.lines for p in line)
    points.extend(p for s in drawing.shapes for p in s.spots)
    turned = [from_datum(p, drawing.datum) for p in points]
    xs, ys = [p[0] for p in turned], [p[1] for p in turned]
    return min(xs), min(ys), max(xs), max(ys)


@frozen(eq=False)
class _Trial:
    """A plan at one scale on one size of sheet, before its names are placed; `room` is what is left for words."""

    drawing: Drawing
    units: System
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
    units: System,
    denominator: int,
    size: SheetSize,
) -> _Trial | None:
    """None where the plan with its figures and the cautions finds no room on this size at this scale."""
    k = 1000.0 / denominator
    w, h = (bounds[2] - bounds[0]) * k, (bounds[3] - bounds[1]) * k
    along, across = figures(figured, True, units), figures(figured, False, units)
    left = max((f.width_mm for f in across), default=-7.0) + 7.0
    places, widths = [(f.value_m - bounds[0]) * k for f in along], [f.width_mm for f in along]
    ends = [at + FLAG_MM + long - w for at, long in zip(places, widths, strict=True)]
    spare = size.width - left - w - PAD_MM - max([PAD_MM, *ends])
    if spare < 0.0 or len(across) * PITCH_MM > h + 2 * PAD_MM:
        return None
    low = (max(flag_rows(places, widths)) + 1) * PITCH_MM + 3.0 if along else 0.0
    header = _header(drawing, size.width)
    cautions = (
        [Item("Cautions", heading=True), *(Item(c, tag="!") for c in drawing.cautions)] if drawing.cautions else []
    )
    foot_height = _least_height(cautions, size.width - 4.0, 2) + (_GAP_MM if cautions else 0.0)
    strip_y = header.height + 2 * PAD_MM + h + low
    paper = Paper(drawing, k, left + PAD_MM + spare / 2, header.height + PAD_MM, bounds)
    trial = _Trial(
        drawing, units, denominator, size, header, paper, (w, h), along, across, strip_y, tuple(cautions), foot_height
    )
    return trial if trial.room >= 0.0 or h <= _LEAST_PLAN_MM else None


def _on_one_sheet(trial: _Trial) -> Sheet | None:
    """The trial with its names and words, if all of them fit on one sheet."""
    width, columns = trial.size.width, trial.size.columns
    if balanced_height(_items(trial.drawing, (), trial.units), width, columns, trial.room) is None:
        return None
    names = trial.names
    items = _items(trial.drawing, names, trial.units)
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
    rest = tuple(_items(trial.drawing, names, trial.units))
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
    room = (width - 4.0 - 4.0) / 2 - 16.0
    facts = tuple((name, wrap(value, room)) for name, value in drawing.facts)
    rows = [facts[i : i + 2] for i in range(0, len(facts), 2)]
    verdict = wrap(drawing.verdict, width - 4.0, VERDICT_MM, True) if drawing.verdict else ()
    height = 2.0 + len(title) * TITLE_MM * LINE + 1.0
    height += sum(max(len(lines) for _, lines in row) for row in rows) * LINE_MM + 1.5
    height += (len(verdict) * VERDICT_MM * LINE + 2.0) if verdict else 0.0
    height += 8.0 if drawing.demonstration else 0.0
    return Header(title, facts, verdict, height)


def _items(drawing: Drawing, names: Sequence[Written], units: System) -> list[Item]:
    items: list[Item] = []
    if drawing.measures:
        items.append(Item(drawing.measures_heading, heading=True))
        items.extend(Item(measure_words(m, Reader(units)), tag=m.tag) for m in drawing.measures)
    keys = [w for w in names if w.number is not None]
    for paragraph in drawing.paragraphs:
        items.append(Item(paragraph.heading, heading=True))
        for said in paragraph.sentences:
            marked = next((w for w in keys if w.text.endswith(f": {clean(said)}")), None)
            items.append(Item(said, tag="–" if marked is None else str(marked.number)))
            keys = [w for w in keys if w is not marked]
    if keys:
        items.append(Item("Numbers on the plan", heading=True))
        items.extend(Item(w.text, tag=str(w.number)) for w in keys)
    items.append(Item("Legend", heading=True))
    misfit = any(s.role == "touch" and s.label.startswith("in the way") for s in drawing.shapes)
    drawn = [s.role for s in drawing.shapes if (s.areas or s.lines or s.spots) and s.role not in SELF_NAMED]
    for role in dict.fromkeys(drawn):
        words = MISFIT_WORDS.get(role, STYLES[role].words) if misfit else STYLES[role].words
        items.append(Item(words, swatch=role))
    return items


def polygons(areas: Sequence[Area], paper: Paper) -> BaseGeometry:
    """Areas on the sheet, as one geometry."""
    return shapely.union_all(
        [
            shapely.Polygon([paper.at(p) for p in o], [[paper.at(p) for p in hole] for hole in holes])
            for o, holes in areas
        ]
    )


def footprint(shape: Shape, paper: Paper) -> BaseGeometry:
    """What a shape covers on the sheet: its areas, and its lines and spots with their width."""
    parts = [polygons(shape.areas, paper)]
    parts.extend(shapely.LineString([paper.at(p) for p in line]).buffer(0.6) for line in shape.lines)
    parts.extend(shapely.Point(paper.at(p)).buffer(1.6) for p in shape.spots)
    return shapely.union_all(parts)


_TOLD: tuple[Role, ...] = ("touch", "nearest", "correction")
"""Whose names are what the plan is for: bold, and placed with more patience."""

_FIRST: tuple[Role, ...] = (
    "axle", "target", "correction", "touch", "nearest", "turn", "front", "heading", "datum", "door", "void",
)  # fmt: skip


def write_names(drawing: Drawing, paper: Paper, frame: Bounds, taken: Sequence[Written] = ()) -> tuple[Written, ...]:
    """Every name, letter and number on the plan, within the frame, the most needed placed first.

    They keep clear of the names that are `taken` already, and are numbered after them.
    """
    prints = [footprint(s, paper) for s in drawing.shapes]
    solid = [g for g, s in zip(prints, drawing.shapes, strict=True) if s.role in SOLID]
    soft = [g for g, s in zip(prints, drawing.shapes, strict=True) if s.role not in SOLID and s.role not in FAINT]
    lettering = Lettering(frame, solid, soft, list(taken))
    order = sorted(range(len(drawing.shapes)), key=lambda i: _turn(drawing.shapes[i], i, prints[i]))
    for i in order:
        shape = drawing.shapes[i]
        if shape.tag:
            lettering.write(
                Wish(shape.tag, shapely.Polygon(), paper.at(shape.spots[0]), bold=True, numbered=False, ringed=True)
            )
    for i in order:
        shape = drawing.shapes[i]
        if shape.label and not prints[i].is_empty:
            lettering.write(_wish(shape, drawing.shapes[i + 1 :], prints[i], prints[i + 1 :], paper))
    return tuple(lettering.written[len(taken) :])


def _turn(shape: Shape, index: int, covers: BaseGeometry) -> tuple[int, float, int]:
    """Points and warnings first, then what is smallest: it has the least choice of place."""
    if shape.role in _FIRST:
        return _FIRST.index(shape.role), 0.0, index
    return len(_FIRST), round(covers.area, 3), index


def _wish(
    shape: Shape, later: Sequence[Shape], covers: BaseGeometry, later_covers: Sequence[BaseGeometry], paper: Paper
) -> Wish:
    inside = polygons(shape.room or shape.areas, paper)
    hiding = [g for g, s in zip(later_covers, later, strict=True) if s.role in SOLID or s.role.startswith("zone")]
    visible = inside
    if shape.role != "front" and hiding:
        hidden = [g for g, near in zip(hiding, shapely.intersects(hiding, inside), strict=True) if near]
        visible = inside.difference(shapely.union_all(hidden, grid_size=_GRID_MM), grid_size=_GRID_MM)
    spot = _spot(shape, visible, covers, paper)
    wish = Wish(shape.label, visible, spot, bold=shape.role in ("front", *_TOLD), angles_deg=_angles(inside))
    if shape.role in _TOLD:
        wish = evolve(wish, patience=1.75 * PATIENCE)
    return evolve(wish, numbered=shape.role not in ("front", "datum", "heading"))


def _spot(shape: Shape, visible: BaseGeometry, covers: BaseGeometry, paper: Paper) -> Point:
    if shape.spots:
        return paper.at(shape.spots[0])
    if shape.lines:
        x, y = shapely.LineString([paper.at(p) for p in shape.lines[0]]).interpolate(0.5, normalized=True).coords[0]
        return float(x), float(y)
    parts = _parts(visible) or _parts(covers)
    roomiest = max(parts, key=lambda p: float(p.area))
    x, y = shapely.get_coordinates(shapely.maximum_inscribed_circle(roomiest, 0.2))[0]
    return float(x), float(y)


def _parts(geometry: BaseGeometry) -> list[BaseGeometry]:
    return [p for p in shapely.get_parts(geometry) if p.geom_type == "Polygon" and p.area > 0.0]


def _angles(inside: BaseGeometry) -> tuple[float, ...]:
    """The turns a name may take in a shape: level, upright, or along the shape's own longer side."""
    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(inside))
    if len(corners) < 4:
        return (0.0,)
    one, two = corners[1] - corners[0], corners[2] - corners[1]
    x, y = one if math.hypot(*one) >= math.hypot(*two) else two
    turn = math.degrees(math.atan2(y, x))
    turn = turn - 180.0 if turn > 89.9 else turn + 180.0 if turn <= -90.1 else turn
    return (0.0, -90.0) if min(abs(turn), abs(abs(turn) - 90.0)) < 0.5 else (0.0, turn)

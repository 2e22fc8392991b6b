"""The SVG back end: one self-contained drawing of a plan, its units millimetres on paper."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from html import escape

import shapely
from attrs import frozen
from shapely.geometry.base import BaseGeometry

from standtrue.draw.describe import describe
from standtrue.draw.dimensions import FLAG_MM, PITCH_MM, flag_rows, spread
from standtrue.draw.flow import LINE_MM, SWATCH_MM, SetItem
from standtrue.draw.hatching import hatch_lines
from standtrue.draw.labels import Written
from standtrue.draw.lettering import FONTS, LINE, TEXT_MM, clean, width_mm
from standtrue.draw.shapes import Drawing, Role, Shape
from standtrue.draw.sheet import PAD_MM, TITLE_MM, VERDICT_MM, Sheet, lay_out, polygons
from standtrue.draw.styles import BLACK, GRAY, SKY, STYLES, WHITE, YELLOW
from standtrue.model.basics import Outline, Point
from standtrue.model.reader_units import INCH_M, System

_WAYS: tuple[Role, ...] = ("forward", "reverse", "slide")
_LINES: frozenset[Role] = frozenset(
    ("centerline", "reference", "heading", "target path", "target", "door", "contour", "correction", *_WAYS)
)
"""What the legend shows as a line."""

_BASELINE = 0.78
"""How far below the top of its line a text's baseline lies, over the line's height."""


def render(drawing: Drawing, units: System = "metric") -> str:
    """The plan as SVG text: no script, nothing from outside, the same bytes for the same plan."""
    sheet = lay_out(drawing, units)
    told = describe(drawing, units)
    mark = hashlib.sha256(f"{clean(drawing.title)}|{told}|{units}".encode()).hexdigest()[:8]
    ink = Ink(f"st{mark}", sheet)
    body = [
        f'<rect width="{n(sheet.width)}" height="{n(sheet.height)}" fill="{WHITE}"/>',
        *ink.header(drawing),
        *(ink.shape(s) for s in drawing.shapes),
        *ink.running_dimensions(drawing),
        *(ink.name(w) for w in sheet.names),
        *ink.scale_bar(drawing, units),
        *(ink.item(i) for i in sheet.text),
        *ink.foot(),
    ]
    size = f'width="{n(sheet.width)}mm" height="{n(sheet.height)}mm" viewBox="0 0 {n(sheet.width)} {n(sheet.height)}"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} role="img" lang="en" '
        f'aria-labelledby="{ink.prefix}-title {ink.prefix}-desc" font-family="{escape(FONTS)}" '
        f'font-size="{n(TEXT_MM)}" fill="{BLACK}" stroke-linejoin="round">\n'
        f'<title id="{ink.prefix}-title">{_xml(drawing.title)}</title>\n'
        f'<desc id="{ink.prefix}-desc">{_xml(told)}</desc>\n' + "\n".join(body) + "\n</svg>\n"
    )


def n(value: float) -> str:
    """A number for SVG: at most two decimals (0.01 mm), no minus zero."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _xml(text: str) -> str:
    return escape(clean(text))


def _text(text: str, x: float, y: float, size: float = TEXT_MM, bold: bool = False, **more: str) -> str:
    extra = ' font-weight="bold"' if bold else ""
    extra += "".join(f' {k.replace("_", "-")}="{v}"' for k, v in more.items())
    sized = f' font-size="{n(size)}"' if size != TEXT_MM else ""
    return f'<text x="{n(x)}" y="{n(y)}"{sized}{extra}>{_xml(text)}</text>'


def _line(a: Point, b: Point, stroke: str = BLACK, width: float = 0.2, **more: str) -> str:
    extra = "".join(f' {k.replace("_", "-")}="{v}"' for k, v in more.items())
    ends = f'x1="{n(a[0])}" y1="{n(a[1])}" x2="{n(b[0])}" y2="{n(b[1])}"'
    return f'<line {ends} stroke="{stroke}" stroke-width="{n(width)}"{extra}/>'


def _circle(at: Point, radius: float, fill: str, width: float, stroke: str = BLACK) -> str:
    spot = f'cx="{n(at[0])}" cy="{n(at[1])}" r="{n(radius)}"'
    return f'<circle {spot} fill="{fill}" stroke="{stroke}" stroke-width="{n(width)}"/>'


@frozen
class Ink:
    """Draws the parts of one sheet. `prefix` keeps its ids apart from those of other drawings on a page."""

    prefix: str
    sheet: Sheet

    def header(self, drawing: Drawing) -> list[str]:
        """Banner, title, facts and verdict."""
        width, head, y = self.sheet.width, self.sheet.header, 0.0
        drawn = []
        if drawing.demonstration:
            frame = f'stroke="{BLACK}" stroke-width="0.6" stroke-dasharray="2.4 1.2"'
            drawn.append(f'<rect x="0.3" y="0.3" width="{n(width - 0.6)}" height="6.4" fill="{YELLOW}" {frame}/>')
            words = "INVENTED DEMONSTRATION DATA: do not work on a real car by this drawing"
            drawn.append(_text(words, width / 2, 4.7, 3.4, text_anchor="middle", bold=True))
            y = 8.0
        y += 2.0
        for line in head.title:
            drawn.append(_text(line, 2.0, y + TITLE_MM * LINE * _BASELINE, TITLE_MM, bold=True))
            y += TITLE_MM * LINE
        y += 1.0
        for i in range(0, len(head.facts), 2):
            row = head.facts[i : i + 2]
            for column, (name, lines) in enumerate(row):
                x = 2.0 + column * ((width - 4.0) / 2 + 2.0)
                drawn.append(_text(name, x, y + LINE_MM * _BASELINE, bold=True))
                for k, line in enumerate(lines):
                    drawn.append(_text(line, x + 14.0, y + LINE_MM * (k + _BASELINE)))
            y += max(len(lines) for _, lines in row) * LINE_MM
        y += 1.5
        for line in head.verdict:
            drawn.append(_text(line, 2.0, y + VERDICT_MM * LINE * _BASELINE, VERDICT_MM, bold=True))
            y += VERDICT_MM * LINE
        drawn.append(_line((0.0, head.height), (width, head.height), BLACK, 0.3))
        return drawn

    def shape(self, shape: Shape) -> str:
        """One shape with its meaning as a title."""
        paper = self.sheet.paper
        drawn = [self._filled(shape.role, polygons(shape.areas, paper))] if shape.areas else []
        lines = [tuple(paper.at(p) for p in line) for line in shape.lines]
        drawn.extend(self._stroke(shape.role, line) for line in lines)
        drawn.extend(self._spot(shape.role, paper.at(p)) for p in shape.spots)
        return f"<g><title>{_xml(shape.meaning)}</title>{''.join(drawn)}</g>"

    def _filled(self, role: Role, shape: BaseGeometry) -> str:
        """Fill, hatch and outline of a shape on the sheet."""
        style, path = STYLES[role], ""
        for polygon in shapely.get_parts(shape):
            for ring in (polygon.exterior, *polygon.interiors):
                path += _path(list(ring.coords)[:-1], closed=True)
        drawn = ""
        if style.fill != "none":
            drawn += (
                f'<path d="{path}" fill="{style.fill}" fill-opacity="{n(style.fill_opacity)}" fill-rule="evenodd"/>'
            )
        if style.hatch is not None:
            strokes = hatch_lines(shape, style.hatch)
            width = style.hatch.width * (2 if style.hatch.dots else 1)
            lines = "".join(f"M{n(ax)},{n(ay)}L{n(bx)},{n(by)}" for (ax, ay), (bx, by) in strokes)
            cap = ' stroke-linecap="round"' if style.hatch.dots else ""
            drawn += f'<path d="{lines}" fill="none" stroke="{style.hatch.color}" stroke-width="{n(width)}"{cap}/>'
        dash = f' stroke-dasharray="{" ".join(map(n, style.dash))}"' if style.dash else ""
        line = f'stroke="{style.stroke}" stroke-width="{n(style.width)}"{dash}'
        return drawn + f'<path d="{path}" fill="none" {line}/>'

    def _stroke(self, role: Role, line: Outline) -> str:
        style = STYLES[role]
        dash = f' stroke-dasharray="{" ".join(map(n, style.dash))}"' if style.dash else ""
        path = _path(line, closed=False)
        under = ""
        if role in ("touch", "nearest", "target", "correction", *_WAYS):
            casing = BLACK if role in ("target", "correction") else WHITE
            under = f'<path d="{path}" fill="none" stroke="{casing}" stroke-width="{n(style.width + 0.5)}"/>'
        ink = f'stroke="{style.stroke}" stroke-width="{n(style.width)}"'
        return f'{under}<path d="{path}" fill="none" {ink}{dash}/>'

    def _spot(self, role: Role, at: Point) -> str:
        x, y = at
        if role in ("touch", "nearest"):
            return _circle(at, 1.9, YELLOW if role == "touch" else SKY, 0.7) + _circle(at, 0.5, BLACK, 0.0)
        if role == "survey point":
            return _circle(at, 0.45, BLACK, 0.0)
        if role == "datum":
            rays = _line((x, y), (x + 7.0, y), BLACK, 0.4) + _line((x, y), (x, y - 7.0), BLACK, 0.4)
            heads = _path(((x + 7.0, y), (x + 5.4, y - 0.7), (x + 5.4, y + 0.7)), True)
            heads += _path(((x, y - 7.0), (x - 0.7, y - 5.4), (x + 0.7, y - 5.4)), True)
            return (
                f'{rays}<path d="{heads}" fill="{BLACK}"/>' + _circle(at, 1.3, WHITE, 0.5) + _circle(at, 0.4, BLACK, 0)
            )
        cross = _line((x - 1.5, y), (x + 1.5, y), BLACK, 0.25) + _line((x, y - 1.5), (x, y + 1.5), BLACK, 0.25)
        return (_circle(at, 0.9, WHITE, 0.3) if role != "target" else _circle(at, 0.6, BLACK, 0.0)) + cross

    def running_dimensions(self, drawing: Drawing) -> list[str]:
        """Figures from the datum along the lower and the left edge, each with a line to its point."""
        if not self.sheet.along:
            return []
        paper = self.sheet.paper
        low, left = paper.top + self.sheet.plan_size[1] + PAD_MM, paper.left - PAD_MM
        places = {m.tag: (paper.right(m.right_m), paper.down(m.up_m)) for m in drawing.measures}
        origin = (paper.right(0.0), paper.down(0.0))
        drawn = [_line(origin, (origin[0], low + 1.0), GRAY, 0.15), _line(origin, (left - 1.0, origin[1]), GRAY, 0.15)]
        drawn += [_circle((origin[0], low), 0.9, WHITE, 0.3), _circle((left, origin[1]), 0.9, WHITE, 0.3)]
        drawn += self._along(places, low, origin[0])
        drawn += self._across(places, left, origin[1])
        return [f"<g><title>Distances from the datum</title>{''.join(drawn)}</g>"]

    def _along(self, places: dict[str, Point], low: float, zero: float) -> list[str]:
        """Figures under the plan, each hung like a flag on the line that comes down from its points."""
        row = self.sheet.along
        at = [places[f.tags[0]][0] for f in row]
        drawn = [_line((min([zero, *at]), low), (max([zero, *at]), low))]
        for figure, x, hung in zip(row, at, flag_rows(at, [f.width_mm for f in row]), strict=True):
            far = min(places[tag][1] for tag in figure.tags)
            y = low + 1.6 + (hung + 0.5) * PITCH_MM
            drawn.append(
                _line((x, far), (x, low), GRAY, 0.15, stroke_dasharray="1.6 0.8") + _arrow(x, low, True, x >= zero)
            )
            drawn.append(_line((x, low), (x, y + PITCH_MM * 0.4), BLACK, 0.15))
            drawn.append(_text(figure.text, x + FLAG_MM, y, dy="0.36em"))
        return drawn

    def _across(self, places: dict[str, Point], left: float, zero: float) -> list[str]:
        """Figures left of the plan, spread so that none touches another."""
        row = self.sheet.across[::-1]
        at = [places[f.tags[0]][1] for f in row]
        drawn = [_line((left, min([zero, *at])), (left, max([zero, *at])))]
        top = self.sheet.paper.top
        settled = _held(spread(at), (top, top + self.sheet.plan_size[1]))
        for figure, y, to in zip(row, at, settled, strict=True):
            far = max(places[tag][0] for tag in figure.tags)
            drawn.append(
                _line((far, y), (left, y), GRAY, 0.15, stroke_dasharray="1.6 0.8") + _arrow(y, left, False, y >= zero)
            )
            drawn.append(_line((left, y), (left - 3.0, to), BLACK, 0.15))
            drawn.append(_text(figure.text, left - 3.6, to, text_anchor="end", dy="0.36em"))
        return drawn

    def name(self, name: Written) -> str:
        """A name with a white edge, so that it reads over hatch, and its leader."""
        x, y = name.center
        drawn = ""
        if name.leader is not None:
            drawn += _line(*name.leader, WHITE, 0.6) + _line(*name.leader, BLACK, 0.18)
            drawn += _circle(name.leader[1], 0.35, BLACK, 0.0) if not name.ringed else ""
        if name.ringed:
            half = width_mm(name.lines[0], TEXT_MM, True) / 2 + 0.5
            drawn += (
                f'<rect x="{n(x - half)}" y="{n(y - 2.0)}" width="{n(2 * half)}" height="4" rx="2" fill="{WHITE}" '
                f'stroke="{BLACK}" stroke-width="0.3"/>'
            )
        elif name.number is not None:
            half = width_mm(name.lines[0], TEXT_MM, True) / 2 + 0.4
            drawn += (
                f'<rect x="{n(x - half)}" y="{n(y - 1.9)}" width="{n(2 * half)}" height="3.8" fill="{WHITE}" '
                f'stroke="{BLACK}" stroke-width="0.2"/>'
            )
        step = TEXT_MM * LINE
        top = y - step * (len(name.lines) - 1) / 2
        words = "".join(
            _text(line, x, top + k * step, bold=name.bold, text_anchor="middle", dy="0.36em")
            for k, line in enumerate(name.lines)
        )
        if not name.ringed and name.number is None:
            words = f'<g paint-order="stroke" stroke="{WHITE}" stroke-width="1.2">{words}</g>'
        turn = f' transform="rotate({n(name.angle_deg)} {n(x)} {n(y)})"' if name.angle_deg else ""
        return f"<g><title>{_xml(name.text)}</title>{drawn}<g{turn}>{words}</g></g>"

    def scale_bar(self, drawing: Drawing, units: System) -> list[str]:
        """A bar of four steps, and the scale in words."""
        unit_m, word, steps = (float(12 * INCH_M), "ft", (1, 2, 5, 10, 20, 50, 100)) if units == "us" else (
            1.0, "m", (0.25, 0.5, 1, 2, 5, 10, 20, 50))  # fmt: skip
        k = self.sheet.paper.k * unit_m
        step = next((s for s in steps if s * k >= 9.0), steps[-1])
        x, y = 4.0, self.sheet.strip_y + 2.0
        drawn = []
        for i in range(4):
            box = f'x="{n(x + i * step * k)}" y="{n(y)}" width="{n(step * k)}" height="1.6"'
            fill = BLACK if i % 2 == 0 else WHITE
            drawn.append(f'<rect {box} fill="{fill}" stroke="{BLACK}" stroke-width="0.25"/>')
        for i in range(5):
            words = f"{i * step:g}" + (f" {word}" if i == 4 else "")
            drawn.append(_text(words, x + i * step * k, y + 5.0, text_anchor="middle"))
        said = f"1 : {self.sheet.denominator} when printed at 100 %"
        drawn.append(_text(said, x + 4 * step * k + 9.0, y + 2.0, bold=True))
        if drawing.caption:
            drawn.append(_text(drawing.caption, self.sheet.width - 4.0, y + 2.0, 3.6, True, text_anchor="end"))
        return [f"<g><title>Scale bar, {_xml(said)}</title>{''.join(drawn)}</g>"]

    def item(self, placed: SetItem) -> str:
        """A line or more of the text under the plan, with its lead or swatch."""
        item, x, y = placed.item, placed.x, placed.y
        base = y + LINE_MM * _BASELINE
        drawn = [self._swatch(item.swatch, x, y + 0.2)] if item.swatch is not None else []
        if item.tag:
            drawn.append(_text(item.tag, x, base, bold=True))
        for k, line in enumerate(placed.lines):
            drawn.append(_text(line, x + placed.indent, base + k * LINE_MM, bold=item.heading))
        return "".join(drawn)

    def _swatch(self, role: Role, x: float, y: float) -> str:
        mid = y + 1.6
        if role in ("touch", "nearest", "axle", "mark", "turn", "survey point"):
            return self._spot(role, (x + SWATCH_MM / 2, mid))
        if role in _LINES:
            return self._stroke(role, ((x, mid), (x + SWATCH_MM, mid)))
        return self._filled(role, shapely.box(x, y, x + SWATCH_MM, y + 3.0))

    def foot(self) -> list[str]:
        """The cautions, framed, at the foot of the sheet."""
        sheet = self.sheet
        if not sheet.foot:
            return []
        height = sheet.foot_height - 0.4
        frame = f'x="0.3" y="{n(sheet.foot_y)}" width="{n(sheet.width - 0.6)}" height="{n(height)}"'
        drawn = [f'<rect {frame} fill="none" stroke="{BLACK}" stroke-width="0.5"/>']
        return [*drawn, *(self.item(i) for i in sheet.foot)]


def _path(points: Sequence[Point], closed: bool) -> str:
    return "M" + "L".join(f"{n(x)},{n(y)}" for x, y in points) + ("Z" if closed else "")


def _arrow(at: float, edge: float, along: bool, away: bool) -> str:
    """A small arrowhead on a row of figures, pointing away from the datum."""
    back = -1.6 if away else 1.6
    points = [(at, edge), (at + back, edge - 0.5), (at + back, edge + 0.5)]
    return f'<path d="{_path(points if along else [(y, x) for x, y in points], True)}" fill="{BLACK}"/>'


def _held(places: Sequence[float], reach: tuple[float, float]) -> tuple[float, ...]:
    """Places shifted as one so that they keep within reach as far as they can."""
    if not places:
        return ()
    over = max(0.0, places[-1] - reach[1] - PAD_MM)
    under = max(0.0, reach[0] - PAD_MM - places[0])
    return tuple(p - over + under for p in places)

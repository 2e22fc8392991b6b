"""The SVG back end: one self-contained drawing, its units millimetres on paper; no script, nothing from outside.

Every file that makes SVG makes it with what is here.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from html import escape
from typing import Literal

from attrs import frozen

from standtrue.draw.canvas import NONE, Anchor, Kind, Pen
from standtrue.draw.lettering import FONTS, TEXT_MM, clean
from standtrue.draw.night import picture_css
from standtrue.draw.styles import BLACK, WHITE
from standtrue.model.basics import Outline, Point

ViewKind = Literal["", "whole", "near", "chart", "strip"]


def n(value: float) -> str:
    """A number for SVG: at most two decimals (0.01 mm), no minus zero."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def xml(text: str) -> str:
    """A text made safe between tags and in attributes."""
    return escape(clean(text))


FADED = "0.28"
"""How much ink is left of what does not matter to a step."""


def _attributes(**given: str) -> str:
    """Attributes that are not empty; `_` stands for `-`."""
    return "".join(f' {name.replace("_", "-")}="{value}"' for name, value in given.items() if value)


def _stroke(pen: Pen | None) -> str:
    if pen is None:
        return ""
    return _attributes(
        stroke=pen.color,
        stroke_width=n(pen.width),
        stroke_dasharray=" ".join(map(n, pen.dash)),
        stroke_linecap="round" if pen.dots else "",
    )


def _opacity(opacity: float) -> str:
    return "" if opacity == 1.0 else n(opacity)


@frozen
class Svg:
    """Marks as SVG elements."""

    def line(self, start: Point, end: Point, pen: Pen, *, kind: Kind = "") -> str:
        ends = f'x1="{n(start[0])}" y1="{n(start[1])}" x2="{n(end[0])}" y2="{n(end[1])}"'
        return f"<line {ends}{_attributes(**{'class': kind})}{_stroke(pen)}/>"

    def path(
        self,
        lines: Sequence[Outline],
        pen: Pen | None,
        *,
        closed: bool = False,
        fill: str = NONE,
        opacity: float = 1.0,
        kind: Kind = "",
    ) -> str:
        if not lines:
            # A hatch of which no stroke falls on its thing: a path without points is a fault to a browser.
            return ""
        end = "Z" if closed else ""
        drawn = "".join("M" + "L".join(f"{n(x)},{n(y)}" for x, y in line) + end for line in lines)
        rule = "evenodd" if fill != NONE else ""
        more = _attributes(**{"class": kind}, fill=fill, fill_opacity=_opacity(opacity), fill_rule=rule)
        return f'<path d="{drawn}"{more}{_stroke(pen)}/>'

    def circle(self, at: Point, radius: float, fill: str, pen: Pen) -> str:
        return f'<circle cx="{n(at[0])}" cy="{n(at[1])}" r="{n(radius)}" fill="{fill}"{_stroke(pen)}/>'

    def box(
        self,
        at: Point,
        size: tuple[float, float],
        pen: Pen | None,
        *,
        fill: str = NONE,
        opacity: float = 1.0,
        round_mm: float = 0.0,
    ) -> str:
        box = f'x="{n(at[0])}" y="{n(at[1])}" width="{n(size[0])}" height="{n(size[1])}"'
        more = _attributes(rx=n(round_mm) if round_mm else "", fill=fill, fill_opacity=_opacity(opacity))
        return f"<rect {box}{more}{_stroke(pen)}/>"

    def text(
        self,
        words: str,
        at: Point,
        size: float = TEXT_MM,
        *,
        bold: bool = False,
        anchor: Anchor = "start",
        centered: bool = False,
        color: str = BLACK,
    ) -> str:
        more = _attributes(
            font_size=n(size) if size != TEXT_MM else "",
            font_weight="bold" if bold else "",
            text_anchor=anchor if anchor != "start" else "",
            dy="0.36em" if centered else "",
            fill=color if color != BLACK else "",
        )
        return f'<text x="{n(at[0])}" y="{n(at[1])}"{more}>{xml(words)}</text>'

    def group(
        self,
        marks: Sequence[str],
        title: str = "",
        *,
        turned: tuple[float, Point] | None = None,
        edge: str = "",
        kind: Kind = "",
        faded: bool = False,
    ) -> str:
        more = _attributes(**{"class": kind}, opacity=FADED if faded else "")
        more += _attributes(paint_order="stroke", stroke=edge, stroke_width="1.2") if edge else ""
        if turned is not None and turned[0]:
            more += f' transform="rotate({n(turned[0])} {n(turned[1][0])} {n(turned[1][1])})"'
        said = f"<title>{xml(title)}</title>" if title else ""
        return f"<g{more}>{said}{''.join(marks)}</g>"

    def shifted(self, marks: Sequence[str], by: Point) -> str:
        """Several marks moved together."""
        return f'<g transform="translate({n(by[0])} {n(by[1])})">{"".join(marks)}</g>'


SVG = Svg()


def document(
    size: tuple[float, float],
    body: Sequence[str],
    *,
    title: str = "",
    told: str = "",
    language: str = "",
    mark: str = "",
    kind: ViewKind = "",
) -> str:
    """A whole SVG on a white ground, `size` its width and height, millimetres.

    With a `title`, it is a picture by itself: that and `told` say what it shows, and `mark` keeps their ids apart from
    those of other pictures on a page; a dark screen shows it in light ink. `kind` says what it shows: a whole floor,
    what is about a car, or a chart.
    """
    wide, high = map(n, size)
    sized = f'width="{wide}mm" height="{high}mm" viewBox="0 0 {wide} {high}"'
    type_ = f'font-family="{escape(FONTS)}" font-size="{n(TEXT_MM)}" fill="{BLACK}" stroke-linejoin="round"'
    role, said = "", ""
    if title:
        role = f'{_attributes(**{"class": kind})} role="img"{_attributes(lang=language)}'
        role += f' aria-labelledby="{mark}-title {mark}-desc"'
        said = f'<title id="{mark}-title">{xml(title)}</title>\n<desc id="{mark}-desc">{xml(told)}</desc>\n'
        said += f"<style>{picture_css()}</style>\n"
    ground = f'<rect width="{wide}" height="{high}" fill="{WHITE}"/>'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {sized}{role} {type_}>\n{said}'
        + "\n".join([ground, *body])
        + "\n</svg>\n"
    )


def size_of(svg: str) -> tuple[float, float]:
    """Width and height of a whole SVG, millimetres."""
    found = re.search(r'width="([0-9.]+)mm" height="([0-9.]+)mm"', svg)
    if found is None:
        raise ValueError("not a whole SVG of this program")
    return float(found[1]), float(found[2])


def nested(svg: str, at: Point) -> str:
    """A whole SVG inside another, its top left corner there: its millimetres are the other's units."""
    sized = re.sub(r'width="([0-9.]+)mm" height="([0-9.]+)mm"', r'width="\1" height="\2"', svg, count=1)
    return sized.replace("<svg ", f'<svg x="{n(at[0])}" y="{n(at[1])}" ', 1).strip()


def mark_of(*texts: str) -> str:
    """What keeps the ids of a picture that says this apart from those of another."""
    return f"st{hashlib.sha256('|'.join(map(clean, texts)).encode()).hexdigest()[:8]}"

"""How shapes are drawn, on any back end: what is cut solid, the car heaviest, what stands medium, the rest a hair."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Generic

import shapely
from attrs import field, frozen
from shapely.geometry.base import BaseGeometry

from standtrue.draw.canvas import Canvas, Mark, Pen
from standtrue.draw.hatching import hatch_lines
from standtrue.draw.scaled import Paper, polygons
from standtrue.draw.shapes import Role, Shape
from standtrue.draw.styles import BLACK, BLUE, STYLES, WHITE, Hatch, Style
from standtrue.model.basics import Outline, Point

SWATCH_MM = 8.0
"""How wide a small picture of a role is."""

_CASED: frozenset[Role] = frozenset(("target", "correction", "forward", "reverse", "slide", "touch", "nearest"))
"""Lines with a white edge, to be seen over others."""

_TICKED: frozenset[Role] = frozenset(("touch", "nearest"))
"""Distances: lines with a tick at each end, and no spot of their own."""

_ARROWED: frozenset[Role] = frozenset(("forward", "reverse", "slide"))
"""Ways: lines with solid arrowheads."""

_LINES: frozenset[Role] = frozenset(
    ("centerline", "reference", "heading", "target path", "door", "contour", "string", *_CASED)
)
"""What a small picture shows as a line."""

_SPOTS: frozenset[Role] = frozenset(("in the way", "axle", "mark", "datum", "turn", "steer", "survey point"))
"""What a small picture shows as a spot."""

_TICK_MM = 0.9


@frozen
class Ink(Generic[Mark]):
    """Draws shapes to one scale."""

    canvas: Canvas[Mark]
    paper: Paper
    styles: Mapping[Role, Style] = field(default=STYLES, repr=False)

    def shape(self, shape: Shape) -> Mark:
        """One shape with its meaning as a title."""
        filled = self._filled(shape.role, polygons(shape.areas, self.paper)) if shape.areas else []
        lines = (tuple(self.paper.at(p) for p in line) for line in shape.lines)
        stroked = [mark for line in lines for mark in self._stroke(shape.role, line)]
        drawn = [*stroked, *filled] if shape.role in _ARROWED else [*filled, *stroked]
        for spot in shape.spots:
            drawn += self._spot(shape.role, self.paper.at(spot))
        return self.canvas.group(drawn, shape.meaning, faded=shape.faded)

    def swatch(self, role: Role, x: float, y: float) -> list[Mark]:
        """How a role is drawn, small, to stand beside its words."""
        mid = y + 1.6
        if role in _SPOTS:
            return self._spot(role, (x + SWATCH_MM / 2, mid))
        if role in _LINES:
            return self._stroke(role, ((x, mid), (x + SWATCH_MM, mid)))
        return self._filled(role, shapely.box(x, y, x + SWATCH_MM, y + 3.0))

    def _filled(self, role: Role, shape: BaseGeometry) -> list[Mark]:
        """Fill, hatch and outline of a shape."""
        style = self.styles[role]
        rings = [_ring(r) for part in shapely.get_parts(shape) for r in (part.exterior, *part.interiors)]
        drawn = []
        if style.fill != "none":
            drawn.append(self.canvas.path(rings, None, closed=True, fill=style.fill, opacity=style.fill_opacity))
        if style.hatch is not None:
            drawn.append(self.canvas.path(hatch_lines(shape, style.hatch), _hatch_pen(style.hatch), kind="hatch"))
        edged = style.width > 0.0 and role not in _ARROWED
        return [*drawn, self.canvas.path(rings, _pen(style), closed=True)] if edged else drawn

    def _stroke(self, role: Role, line: Outline) -> list[Mark]:
        style, drawn = self.styles[role], []
        if role in _CASED:
            drawn.append(self.canvas.path([line], Pen(WHITE, style.width + 0.5)))
        if role in _TICKED and len(line) == 2:
            drawn.append(self.canvas.path(_ticks(line), Pen(style.stroke, style.width)))
        return [*drawn, self.canvas.path([line], _pen(style))]

    def _spot(self, role: Role, at: Point) -> list[Mark]:
        dot = self.canvas.circle
        if role in ("target", *_TICKED):
            return []
        if role == "in the way":
            return [dot(at, 2.2, "none", _pen(self.styles[role]))]
        if role == "survey point":
            return [dot(at, 0.45, BLACK, Pen(BLACK, 0.0))]
        if role in ("steer", "turn"):
            return [dot(at, 0.7, WHITE, Pen(BLUE, 0.3))]
        (x, y), half = at, 1.7
        return [
            dot(at, 1.1 if role == "datum" else 0.9, WHITE, Pen(BLACK, self.styles[role].width)),
            self.canvas.line((x - half, y), (x + half, y), Pen(BLACK, 0.2)),
            self.canvas.line((x, y - half), (x, y + half), Pen(BLACK, 0.2)),
        ]


def _ticks(line: Outline) -> list[Outline]:
    """A short stroke across each end of a line."""
    (ax, ay), (bx, by) = line
    long = max(((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5, 1e-9)
    nx, ny = -(by - ay) / long * _TICK_MM, (bx - ax) / long * _TICK_MM
    return [((x - nx, y - ny), (x + nx, y + ny)) for x, y in (line[0], line[1])]


def _pen(style: Style) -> Pen:
    return Pen(style.stroke, style.width, style.dash, dots=bool(style.dash) and style.dash[0] <= 0.1)


def _hatch_pen(hatch: Hatch) -> Pen:
    return Pen(hatch.color, hatch.width * (2 if hatch.dots else 1), dots=hatch.dots)


def _ring(ring: BaseGeometry) -> Outline:
    return tuple((float(x), float(y)) for x, y in list(ring.coords)[:-1])

"""How shapes, names and lines of text are drawn, on any back end."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Generic

import shapely
from attrs import field, frozen
from shapely.geometry.base import BaseGeometry

from standtrue.draw.canvas import Canvas, Mark, Pen
from standtrue.draw.flow import LINE_MM, SWATCH_MM, SetItem
from standtrue.draw.hatching import hatch_lines
from standtrue.draw.labels import Written
from standtrue.draw.lettering import LINE, TEXT_MM, width_mm
from standtrue.draw.scaled import Paper, polygons
from standtrue.draw.shapes import Role, Shape
from standtrue.draw.styles import BLACK, SKY, STYLES, WHITE, YELLOW, Hatch, Style
from standtrue.model.basics import Outline, Point

_WAYS: tuple[Role, ...] = ("forward", "reverse", "slide")
_TOUCHES: tuple[Role, ...] = ("touch", "in the way", "nearest")
_LINES: frozenset[Role] = frozenset(
    ("centerline", "reference", "heading", "target path", "target", "door", "contour", "correction", *_WAYS)
)
"""What the legend shows as a line."""

_SPOTS: frozenset[Role] = frozenset((*_TOUCHES, "axle", "mark", "turn", "steer", "survey point"))
"""What the legend shows as a spot."""

BASELINE = 0.78
"""How far below the top of its line a text's baseline lies, over the line's height."""


@frozen
class Ink(Generic[Mark]):
    """Draws what stands on one sheet, to that sheet's scale."""

    canvas: Canvas[Mark]
    paper: Paper
    styles: Mapping[Role, Style] = field(default=STYLES, repr=False)

    def shape(self, shape: Shape) -> Mark:
        """One shape with its meaning as a title."""
        drawn = self._filled(shape.role, polygons(shape.areas, self.paper)) if shape.areas else []
        for line in shape.lines:
            drawn += self._stroke(shape.role, tuple(self.paper.at(p) for p in line))
        for spot in shape.spots:
            drawn += self._spot(shape.role, self.paper.at(spot))
        return self.canvas.group(drawn, shape.meaning)

    def _filled(self, role: Role, shape: BaseGeometry) -> list[Mark]:
        """Fill, hatch and outline of a shape on the sheet."""
        style = self.styles[role]
        rings = [_ring(r) for part in shapely.get_parts(shape) for r in (part.exterior, *part.interiors)]
        drawn = []
        if style.fill != "none":
            drawn.append(self.canvas.path(rings, None, closed=True, fill=style.fill, opacity=style.fill_opacity))
        if style.hatch is not None:
            drawn.append(self.canvas.path(hatch_lines(shape, style.hatch), _hatch_pen(style.hatch)))
        return [*drawn, self.canvas.path(rings, _pen(style), closed=True)]

    def _stroke(self, role: Role, line: Outline) -> list[Mark]:
        style, drawn = self.styles[role], []
        if role in ("target", "correction", *_TOUCHES, *_WAYS):
            ours = self.styles is STYLES and role in ("target", "correction")
            casing = BLACK if ours else WHITE
            drawn.append(self.canvas.path([line], Pen(casing, style.width + 0.5)))
        return [*drawn, self.canvas.path([line], _pen(style))]

    def _spot(self, role: Role, at: Point) -> list[Mark]:
        dot, solid = self.canvas.circle, Pen(BLACK, 0.0)
        if role in _TOUCHES:
            return [dot(at, 1.9, SKY if role == "nearest" else YELLOW, Pen(BLACK, 0.7)), dot(at, 0.5, BLACK, solid)]
        if role == "survey point":
            return [dot(at, 0.45, BLACK, solid)]
        if role == "datum":
            return self._datum(at)
        x, y = at
        cross = [
            self.canvas.line((x - 1.5, y), (x + 1.5, y), Pen(BLACK, 0.25)),
            self.canvas.line((x, y - 1.5), (x, y + 1.5), Pen(BLACK, 0.25)),
        ]
        return [dot(at, 0.6, BLACK, solid) if role == "target" else dot(at, 0.9, WHITE, Pen(BLACK, 0.3)), *cross]

    def _datum(self, at: Point) -> list[Mark]:
        """A ring with an arrow along each of its directions."""
        x, y = at
        heads = [
            ((x + 7.0, y), (x + 5.4, y - 0.7), (x + 5.4, y + 0.7)),
            ((x, y - 7.0), (x - 0.7, y - 5.4), (x + 0.7, y - 5.4)),
        ]
        return [
            self.canvas.line((x, y), (x + 7.0, y), Pen(BLACK, 0.4)),
            self.canvas.line((x, y), (x, y - 7.0), Pen(BLACK, 0.4)),
            self.canvas.path(heads, None, closed=True, fill=BLACK),
            self.canvas.circle(at, 1.3, WHITE, Pen(BLACK, 0.5)),
            self.canvas.circle(at, 0.4, BLACK, Pen(BLACK, 0.0)),
        ]

    def name(self, name: Written) -> Mark:
        """A name with a white edge, so that it reads over hatch, and its leader."""
        drawn = self._leader(name)
        if name.leader is not None and not name.ringed:
            drawn.append(self.canvas.circle(name.leader[1], 0.35, BLACK, Pen(BLACK, 0.0)))
        if name.ringed or name.number is not None:
            drawn.append(self._ring_of(name))
        words = self._lines_of(name)
        if not name.ringed and name.number is None:
            words = [self.canvas.group(words, edge=WHITE)]
        turned = self.canvas.group(words, turned=(name.angle_deg, name.center), kind="" if name.ringed else "name")
        return self.canvas.group([*drawn, turned], name.text)

    def name_on_white(self, name: Written) -> Mark:
        """A name on a white ground: a white edge round letters does not survive every way to paper."""
        x, y = name.center
        half = max(width_mm(line, TEXT_MM, name.bold) for line in name.lines) * 0.47 + (0.4 if name.number else 0.0)
        high = TEXT_MM * LINE * len(name.lines)
        edge = None if name.number is None else Pen(BLACK, 0.2)
        ground = self.canvas.box(
            (x - half, y - high / 2), (2 * half, high), edge, fill=WHITE, opacity=0.85, round_mm=0.5
        )
        words = [
            self.canvas.text(line, (x, y - high / 2 + (k + BASELINE) * LINE_MM), bold=name.bold, anchor="middle")
            for k, line in enumerate(name.lines)
        ]
        turned = self.canvas.group([ground, *words], turned=(name.angle_deg, name.center), kind="name")
        return self.canvas.group([*self._leader(name), turned])

    def _leader(self, name: Written) -> list[Mark]:
        if name.leader is None:
            return []
        return [
            self.canvas.line(*name.leader, Pen(WHITE, 0.6)),
            self.canvas.line(*name.leader, Pen(BLACK, 0.18), kind="leader"),
        ]

    def _ring_of(self, name: Written) -> Mark:
        """The ring about a letter, or the box about a number."""
        x, y = name.center
        half = width_mm(name.lines[0], TEXT_MM, True) / 2
        if name.ringed:
            half += 0.5
            return self.canvas.box((x - half, y - 2.0), (2 * half, 4.0), Pen(BLACK, 0.3), fill=WHITE, round_mm=2.0)
        half += 0.4
        return self.canvas.box((x - half, y - 1.9), (2 * half, 3.8), Pen(BLACK, 0.2), fill=WHITE)

    def _lines_of(self, name: Written) -> list[Mark]:
        x, y = name.center
        top = y - LINE_MM * (len(name.lines) - 1) / 2
        return [
            self.canvas.text(line, (x, top + k * LINE_MM), bold=name.bold, anchor="middle", centered=True)
            for k, line in enumerate(name.lines)
        ]

    def item(self, placed: SetItem) -> list[Mark]:
        """A line or more of text, with its lead or its swatch."""
        item, x, y = placed.item, placed.x, placed.y
        base = y + LINE_MM * BASELINE
        drawn = [] if item.swatch is None else self.swatch(item.swatch, x, y + 0.2)
        if item.tag:
            drawn.append(self.canvas.text(item.tag, (x, base), bold=True))
        for k, line in enumerate(placed.lines):
            drawn.append(self.canvas.text(line, (x + placed.indent, base + k * LINE_MM), bold=item.heading))
        return drawn

    def swatch(self, role: Role, x: float, y: float) -> list[Mark]:
        """How a role is drawn, small, to stand beside its words."""
        mid = y + 1.6
        if role in _SPOTS:
            return self._spot(role, (x + SWATCH_MM / 2, mid))
        if role in _LINES:
            return self._stroke(role, ((x, mid), (x + SWATCH_MM, mid)))
        return self._filled(role, shapely.box(x, y, x + SWATCH_MM, y + 3.0))


def _pen(style: Style) -> Pen:
    return Pen(style.stroke, style.width, style.dash)


def _hatch_pen(hatch: Hatch) -> Pen:
    return Pen(hatch.color, hatch.width * (2 if hatch.dots else 1), dots=hatch.dots)


def _ring(ring: BaseGeometry) -> Outline:
    return tuple((float(x), float(y)) for x, y in list(ring.coords)[:-1])

"""How a near view is drawn: black on white, on any back end."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Generic

import shapely
from attrs import field, frozen

from standtrue.draw.canvas import Anchor, Canvas, Mark, Pen
from standtrue.draw.ink import Ink
from standtrue.draw.lettering import LINE_MM, width_mm
from standtrue.draw.near import conventional
from standtrue.draw.near_layout import RING_MM, STRIP_MM, Laid, SetDimension, SetTag
from standtrue.draw.near_names import Lettered
from standtrue.draw.paper_styles import HAIR_MM, PAPER_STYLES
from standtrue.draw.scaled import Bounds, Paper
from standtrue.draw.shapes import Drawing, Role
from standtrue.draw.styles import BLACK, WHITE, Style
from standtrue.model.basics import Outline, Point
from standtrue.model.site import from_datum

TAPE_MM, CAR_TAPE_MM = 0.5, 0.25
"""The tapes of a target, and those of the car."""

_HAIR, _DOT = Pen(BLACK, HAIR_MM), Pen(BLACK, 0.0)
_BASE = 0.77
_KEY_MM = 32.0, 17.0
"""How large a key plan may be."""


@frozen
class NearInk(Generic[Mark]):
    """Draws one near view."""

    canvas: Canvas[Mark]
    laid: Laid
    styles: Mapping[Role, Style] = field(default=PAPER_STYLES, repr=False)

    def everything(self) -> list[Mark]:
        laid = self.laid
        ink = Ink(self.canvas, laid.paper, self.styles)
        return [
            *(ink.shape(part) for shape in laid.shapes for part in conventional(shape)),
            self.canvas.box(laid.plan[:2], (laid.plan[2] - laid.plan[0], laid.plan[3] - laid.plan[1]), _HAIR),
            *self._tapes(),
            *(mark for n in laid.names for mark in self._leader(n)),
            *(mark for d in laid.dimensions for mark in self._dimension(d)),
            *(mark for t in laid.tags for mark in self._tag(t)),
            *self._rings(),
            *(self._name(n) for n in laid.names),
            *self._scale_bar(),
            *(self._key_plan() if laid.near.key_words else ()),
        ]

    def _tapes(self) -> list[Mark]:
        paper, drawn = self.laid.paper, []
        for tape in self.laid.tapes:
            ends = paper.at(tape.start), paper.at(tape.end)
            drawn.append(self.canvas.line(*ends, Pen(BLACK, TAPE_MM if tape.heavy else CAR_TAPE_MM)))
            drawn += [self._cross(at) for at in ends if self._inside(at)]
        return drawn

    def _inside(self, at: Point) -> bool:
        """Whether a tape ends there, and not only at the drawing's edge."""
        x0, y0, x1, y1 = self.laid.plan
        return x0 + 0.2 < at[0] < x1 - 0.2 and y0 + 0.2 < at[1] < y1 - 0.2

    def _cross(self, at: Point) -> Mark:
        """Where a tape begins or ends."""
        x, y, half = *at, 0.9
        lines = (((x - half, y - half), (x + half, y + half)), ((x - half, y + half), (x + half, y - half)))
        return self.canvas.path(lines, Pen(BLACK, 0.4))

    def _rings(self) -> list[Mark]:
        drawn = []
        for ring in self.laid.rings:
            if ring.foot is not None:
                drawn.append(self.canvas.line(ring.foot, ring.at, _HAIR))
            drawn.append(self.canvas.circle(ring.at, RING_MM, WHITE, Pen(BLACK, 0.5 if ring.tape.heavy else 0.25)))
            drawn.append(self._words(ring.tape.number, ring.at, bold=True, middle=True))
        return drawn

    def _words(self, words: str, at: Point, *, bold: bool = False, middle: bool = False) -> Mark:
        return self.canvas.text(words, at, bold=bold, anchor="middle" if middle else "start", centered=middle)

    def _tag(self, tag: SetTag) -> list[Mark]:
        return self._on_white(tag.tag.text, tag.box)

    def _on_white(self, words: str, box: Bounds) -> list[Mark]:
        x0, y0, x1, y1 = box
        ground = self.canvas.box((x0, y0 + 0.3), (x1 - x0, y1 - y0 - 0.6), None, fill=WHITE)
        return [ground, self._words(words, ((x0 + x1) / 2, (y0 + y1) / 2), bold=True, middle=True)]

    def _name(self, name: Lettered) -> Mark:
        x0, y0, x1, _ = name.box
        anchor: Anchor = "end" if name.left else "start"
        at, bold = x1 if name.left else x0, name.name.bold
        words = [
            self.canvas.text(line, (at, y0 + (i + _BASE) * LINE_MM), bold=bold, anchor=anchor)
            for i, line in enumerate(name.lines)
        ]
        return self.canvas.group(words, kind="name")

    def _leader(self, name: Lettered) -> list[Mark]:
        edge = self.canvas.path([name.leader], Pen(WHITE, 0.6))
        return [
            edge,
            self.canvas.path([name.leader], _HAIR, kind="leader"),
            self.canvas.circle(name.leader[-1], 0.6, BLACK, Pen(WHITE, 0.2)),
        ]

    def _dimension(self, placed: SetDimension) -> list[Mark]:
        """A hair line with a slanted tick at each end, lines to the points, and the figure in a gap."""
        one, two = placed.line
        drawn = [self.canvas.line(p, past(p, end), _HAIR) for p, end in zip(placed.points, placed.line, strict=True)]
        drawn.append(self.canvas.line(one, two, _HAIR))
        for x, y in (one, two):
            drawn.append(self.canvas.line((x - 1.2, y + 1.2), (x + 1.2, y - 1.2), Pen(BLACK, 0.4)))
        return [*drawn, *self._on_white(placed.dimension.text, placed.box)]

    def _scale_bar(self) -> list[Mark]:
        """Four lengths, black and white in turn, with their figures, and the scale in words."""
        laid, ruler = self.laid, self.laid.near.ruler
        step, long = ruler.step(laid.paper.k, 4.2)
        x, y = 0.5, laid.plan[3] + 2.5
        drawn = []
        for i in range(4):
            fill = BLACK if i % 2 == 0 else WHITE
            drawn.append(self.canvas.box((x + i * long, y), (long, 1.4), Pen(BLACK, 0.25), fill=fill))
        for i in (0, 2, 4):
            words = f"{i * step:g} {ruler.unit}" if i == 4 else f"{i * step:g}"
            drawn.append(self._words(words, (x + i * long - (0.0 if i == 0 else 1.0), y + 5.0)))
        words = laid.near.scale.replace("{scale}", str(laid.denominator))
        return [*drawn, self._words(words, (x, y + 9.5))] if words else drawn

    def _key_plan(self) -> list[Mark]:
        """The room with the part that is drawn, and the car in it, as on the plans of the whole floor."""
        near, laid = self.laid.near, self.laid
        turned = [from_datum(p, near.key) for p in near.room]
        xs, ys = [p[0] for p in turned], [p[1] for p in turned]
        k = min(_KEY_MM[0] / (max(xs) - min(xs)), _KEY_MM[1] / (max(ys) - min(ys)))
        wide, high = (max(xs) - min(xs)) * k, (max(ys) - min(ys)) * k
        left, top = laid.width - wide - 0.5, laid.plan[3] + (STRIP_MM - high) / 2
        paper = Paper(Drawing("", (), "", near.key, ()), k, left, top, (min(xs), min(ys), max(xs), max(ys)))
        room = shapely.Polygon([paper.at(p) for p in near.room])
        window = room.intersection(shapely.Polygon([paper.at(p) for p in laid.window]))
        rings = [_ring(p.exterior) for p in shapely.get_parts(window) if p.geom_type == "Polygon"]
        words_x = left - 1.5 - width_mm(near.key_words)
        return [
            self.canvas.path([tuple(paper.at(p) for p in near.room)], Pen(BLACK, 0.5), closed=True),
            self.canvas.path(rings, Pen(BLACK, 0.25, (1.0, 0.6)), closed=True),
            self.canvas.path([tuple(paper.at(p) for p in near.car)], Pen(BLACK, 0.25), closed=True, fill=BLACK),
            self._words(near.key_words, (words_x, top + high)),
        ]


def past(start: Point, end: Point) -> Point:
    """A little beyond the end of a line."""
    long = math.dist(start, end)
    if long < 1e-9:
        return end
    return end[0] + (end[0] - start[0]) / long * 1.5, end[1] + (end[1] - start[1]) / long * 1.5


def _ring(ring: shapely.LinearRing) -> Outline:
    return tuple((float(x), float(y)) for x, y in list(ring.coords)[:-1])

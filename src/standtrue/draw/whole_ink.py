"""How a whole view is drawn: its floor with names and dimensions, its scale bar, and the sheet about it."""

from __future__ import annotations

from typing import Generic

from attrs import frozen

from standtrue.draw.canvas import Canvas, Kind, Mark, Pen
from standtrue.draw.ink import Ink
from standtrue.draw.lettering import LINE
from standtrue.draw.near_ink import past
from standtrue.draw.shapes import Role, Ruler
from standtrue.draw.styles import BLACK, BLUE, FAINT_INK, WHITE
from standtrue.draw.whole import Floor, SetChain, SetRing
from standtrue.draw.whole_names import AIR_MM, Written
from standtrue.model.basics import Point

BASELINE = 0.77
"""How far below the top of its line a text's baseline lies, over the line's height."""

_OVER: frozenset[Role] = frozenset({"planned", "mirror", "body", "wheel", "centerline", "target"})
"""What the lines of dimensions pass under."""

_HAIR = Pen(BLACK, 0.16)
_TO_POINT = Pen(FAINT_INK, 0.16)
_DOT_MM = 0.5


@frozen
class WholeInk(Generic[Mark]):
    """Draws one floor; `edged` gives its names a white edge, else they stand on white: not every way to paper keeps an
    edge.
    """

    canvas: Canvas[Mark]
    floor: Floor
    edged: bool = True

    def everything(self) -> list[Mark]:
        """The floor, the lines of its dimensions, what stands and goes on it, then all that is written."""
        ink, parts = Ink(self.canvas, self.floor.paper, self.floor.styles), self.floor.parts
        first = next((i for i, s in enumerate(parts) if s.role in _OVER), len(parts))
        return [
            *map(ink.shape, parts[:first]),
            *(mark for chain in self.floor.chains for mark in self._lines(chain)),
            *map(ink.shape, parts[first:]),
            *map(self._figure, self.floor.chains),
            *self.lettered(),
        ]

    def lettered(self) -> list[Mark]:
        """Numbered turns and names."""
        return [*map(self._ring, self.floor.rings), *map(self.name, self.floor.names)]

    def name(self, name: Written) -> Mark:
        """A name and its leader."""
        x0, y0, x1, y1 = name.box
        size, high = self.floor.text_mm, self.floor.text_mm * LINE
        top = (y0 + y1) / 2 - high * len(name.lines) / 2
        left = bool(name.leader) and name.leader[0][0] > (x0 + x1) / 2
        # A name at a leader stands against it, however narrow the reader's font.
        x, anchor = ((x1 - AIR_MM, "end") if left else (x0 + AIR_MM, "start")) if name.leader else ((x0 + x1) / 2, "")
        words = [
            self.canvas.text(
                line, (x, top + (k + BASELINE) * high), size, bold=name.bold,
                anchor="end" if anchor == "end" else "start" if anchor else "middle",
            )
            for k, line in enumerate(name.lines)
        ]  # fmt: skip
        if self.edged:
            kind: Kind = "words" if not name.leader else "words before" if left else "words after"
            words = [self.canvas.group(words, edge=WHITE, kind=kind)]
        else:
            ground = self.canvas.box((x0, top), (x1 - x0, high * len(name.lines)), None, fill=WHITE)
            words = [ground, *words]
        return self.canvas.group([*self._leader(name), *words], kind="name")

    def _leader(self, name: Written) -> list[Mark]:
        if not name.leader:
            return []
        return [
            self.canvas.path([name.leader], _HAIR, kind="leader"),
            self.canvas.circle(name.leader[-1], _DOT_MM, BLACK, Pen(WHITE, 0.2)),
        ]

    def _ring(self, ring: SetRing) -> Mark:
        size = self.floor.text_mm
        drawn = [self.canvas.line(ring.spot, ring.at, Pen(BLUE, 0.2))] if ring.at != ring.spot else []
        drawn.append(self.canvas.circle(ring.at, ring.radius, WHITE, Pen(BLUE, 0.35)))
        drawn.append(self.canvas.text(ring.tag, ring.at, size, bold=True, anchor="middle", centered=True))
        return self.canvas.group(drawn, kind="turn")

    def _lines(self, chain: SetChain) -> list[Mark]:
        """A hair line with a slanted tick at each end, and lines to the points."""
        drawn = [self.canvas.line(p, past(p, end), _TO_POINT) for p, end in zip(chain.points, chain.line, strict=True)]
        drawn.append(self.canvas.line(*chain.line, _HAIR))
        for x, y in chain.line:
            drawn.append(self.canvas.line((x - 1.0, y + 1.0), (x + 1.0, y - 1.0), Pen(BLACK, 0.35)))
        return drawn

    def _figure(self, chain: SetChain) -> Mark:
        """The figure in a gap of its line, and a small cross at each point that is measured."""
        x0, y0, x1, y1 = chain.box
        drawn = [self.canvas.box((x0, y0 + 0.2), (x1 - x0, y1 - y0 - 0.4), None, fill=WHITE)]
        for x, y in chain.points:
            drawn.append(self.canvas.path([((x - 1.0, y), (x + 1.0, y)), ((x, y - 1.0), (x, y + 1.0))], _HAIR))
        at = (x0 + x1) / 2, (y0 + y1) / 2
        drawn.append(self.canvas.text(chain.text, at, self.floor.text_mm, anchor="middle", centered=True))
        return self.canvas.group(drawn, kind="dimension")


def scale_bar(canvas: Canvas[Mark], at: Point, k: float, ruler: Ruler, text_mm: float) -> list[Mark]:
    """Four lengths, black and white in turn, with their figures below."""
    step, long = ruler.step(k, 3.2 * text_mm)
    (x, y), high = at, 0.4 * text_mm
    drawn = []
    for i in range(4):
        fill = BLACK if i % 2 == 0 else WHITE
        drawn.append(canvas.box((x + i * long, y), (long, high), Pen(BLACK, 0.2), fill=fill))
    for i in (0, 2, 4):
        said = f"{i * step:g} {ruler.unit}" if i == 4 else f"{i * step:g}"
        # Figures begin at their place: none runs off the left edge.
        drawn.append(
            canvas.text(said, (x + i * long - (0.0 if i == 0 else 0.3 * text_mm), y + high + text_mm), text_mm)
        )
    return drawn

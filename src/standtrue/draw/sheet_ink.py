"""How a laid-out sheet is drawn: its head, the floor with its figures, scale bar, text and cautions."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Generic

from attrs import frozen

from standtrue.draw.canvas import Canvas, Mark, Pen
from standtrue.draw.dimensions import FLAG_MM, PITCH_MM, flag_rows, spread
from standtrue.draw.flow import LINE_MM
from standtrue.draw.ink import BASELINE, Ink
from standtrue.draw.lettering import LINE
from standtrue.draw.sheet import PAD_MM, TITLE_MM, VERDICT_MM, Sheet
from standtrue.draw.styles import BLACK, GRAY, WHITE, YELLOW
from standtrue.model.basics import Point

_TO_POINT = Pen(GRAY, 0.15, (1.6, 0.8))


@frozen
class SheetInk(Generic[Mark]):
    """Draws one sheet."""

    canvas: Canvas[Mark]
    sheet: Sheet

    @property
    def ink(self) -> Ink[Mark]:
        return Ink(self.canvas, self.sheet.paper)

    def everything(self) -> list[Mark]:
        """The whole sheet, from its head to the cautions at its foot."""
        ink, sheet = self.ink, self.sheet
        return [
            *self.header(),
            *(ink.shape(s) for s in sheet.paper.drawing.shapes),
            *self.running_dimensions(),
            *(ink.name(w) for w in sheet.names),
            *self.scale_bar(),
            *self.text(),
            *self.foot(),
        ]

    def text(self) -> list[Mark]:
        """The words under the floor."""
        return [mark for item in self.sheet.text for mark in self.ink.item(item)]

    def header(self) -> list[Mark]:
        """Banner, title, facts and verdict."""
        width, head, y = self.sheet.width, self.sheet.header, 2.0
        drawn: list[Mark] = []
        if self.sheet.paper.drawing.demonstration:
            frame = Pen(BLACK, 0.6, (2.4, 1.2))
            drawn.append(self.canvas.box((0.3, 0.3), (width - 0.6, 6.4), frame, fill=YELLOW))
            banner = self.sheet.wording.banner
            drawn.append(self.canvas.text(banner, (width / 2, 4.7), 3.4, bold=True, anchor="middle"))
            y += 8.0
        drawn += self._bold(head.title, y, TITLE_MM)
        y += len(head.title) * TITLE_MM * LINE + 1.0
        for i in range(0, len(head.facts), 2):
            row = head.facts[i : i + 2]
            drawn += self._facts(row, y)
            y += max(len(lines) for _, lines in row) * LINE_MM
        drawn += self._bold(head.verdict, y + 1.5, VERDICT_MM)
        return [*drawn, self.canvas.line((0.0, head.height), (width, head.height), Pen(BLACK, 0.3))]

    def _bold(self, lines: Sequence[str], y: float, size: float) -> list[Mark]:
        step = size * LINE
        return [
            self.canvas.text(line, (2.0, y + (k + BASELINE) * step), size, bold=True) for k, line in enumerate(lines)
        ]

    def _facts(self, row: Sequence[tuple[str, tuple[str, ...]]], y: float) -> list[Mark]:
        """Two facts beside each other."""
        drawn = []
        for column, (name, lines) in enumerate(row):
            x = 2.0 + column * ((self.sheet.width - 4.0) / 2 + 2.0)
            drawn.append(self.canvas.text(name, (x, y + LINE_MM * BASELINE), bold=True))
            for k, line in enumerate(lines):
                drawn.append(self.canvas.text(line, (x + self.sheet.header.indent, y + LINE_MM * (k + BASELINE))))
        return drawn

    def running_dimensions(self) -> list[Mark]:
        """Figures from the datum along the lower and the left edge, each with a line to its point."""
        if not self.sheet.along:
            return []
        paper, canvas = self.sheet.paper, self.canvas
        low, left = paper.top + self.sheet.plan_size[1] + PAD_MM, paper.left - PAD_MM
        places = {m.tag: (paper.right(m.right_m), paper.down(m.up_m)) for m in paper.drawing.measures}
        right, top = paper.left + self.sheet.plan_size[0] + PAD_MM, paper.top - PAD_MM
        origin = (paper.right(0.0), paper.down(0.0))
        # In a near view the datum may lie outside: then the rows run to the edge of the view, toward it.
        zero = (min(max(left, origin[0]), right), min(max(top, origin[1]), low))
        drawn = []
        if zero[0] == origin[0]:
            drawn.append(canvas.line(zero, (zero[0], low + 1.0), Pen(GRAY, 0.15)))
            drawn.append(canvas.circle((zero[0], low), 0.9, WHITE, Pen(BLACK, 0.3)))
        if zero[1] == origin[1]:
            drawn.append(canvas.line(zero, (left - 1.0, zero[1]), Pen(GRAY, 0.15)))
            drawn.append(canvas.circle((left, zero[1]), 0.9, WHITE, Pen(BLACK, 0.3)))
        drawn += self._along(places, low, zero[0])
        drawn += self._across(places, left, zero[1])
        return [canvas.group(drawn, self.sheet.wording.distances)]

    def _along(self, places: dict[str, Point], low: float, zero: float) -> list[Mark]:
        """Figures under the floor, each hung like a flag on the line that comes down from its points."""
        row, canvas = self.sheet.along, self.canvas
        at = [places[f.tags[0]][0] for f in row]
        drawn = [canvas.line((min([zero, *at]), low), (max([zero, *at]), low), Pen())]
        for figure, x, hung in zip(row, at, flag_rows(at, [f.width_mm for f in row]), strict=True):
            far = min(places[tag][1] for tag in figure.tags)
            y = low + 1.6 + (hung + 0.5) * PITCH_MM
            drawn += [canvas.line((x, far), (x, low), _TO_POINT), self._arrow(x, low, True, x >= zero)]
            drawn.append(canvas.line((x, low), (x, y + PITCH_MM * 0.4), Pen(BLACK, 0.15)))
            drawn.append(canvas.text(figure.text, (x + FLAG_MM, y), centered=True))
        return drawn

    def _across(self, places: dict[str, Point], left: float, zero: float) -> list[Mark]:
        """Figures left of the floor, spread so that none touches another."""
        row, canvas = self.sheet.across[::-1], self.canvas
        at = [places[f.tags[0]][1] for f in row]
        drawn = [canvas.line((left, min([zero, *at])), (left, max([zero, *at])), Pen())]
        top = self.sheet.paper.top
        settled = _held(spread(at), (top, top + self.sheet.plan_size[1]))
        for figure, y, to in zip(row, at, settled, strict=True):
            far = max(places[tag][0] for tag in figure.tags)
            drawn += [canvas.line((far, y), (left, y), _TO_POINT), self._arrow(y, left, False, y >= zero)]
            drawn.append(canvas.line((left, y), (left - 3.0, to), Pen(BLACK, 0.15)))
            drawn.append(canvas.text(figure.text, (left - 3.6, to), anchor="end", centered=True))
        return drawn

    def _arrow(self, at: float, edge: float, along: bool, away: bool) -> Mark:
        """A small arrowhead on a row of figures, pointing away from the datum."""
        back = -1.6 if away else 1.6
        points = ((at, edge), (at + back, edge - 0.5), (at + back, edge + 0.5))
        return self.canvas.path([points if along else tuple((y, x) for x, y in points)], None, closed=True, fill=BLACK)

    def scale_bar(self) -> list[Mark]:
        """A bar of four steps, the scale in words, and the warning that stands under the picture."""
        canvas, wording = self.canvas, self.sheet.wording
        step, long = wording.ruler.step(self.sheet.paper.k, 9.0)
        x, y = 4.0, self.sheet.strip_y + 2.0
        drawn = [
            canvas.box((x + i * long, y), (long, 1.6), Pen(BLACK, 0.25), fill=WHITE if i % 2 else BLACK)
            for i in range(4)
        ]
        for i in range(5):
            unit = f" {wording.ruler.unit}" if i == 4 else ""
            drawn.append(canvas.text(f"{i * step:g}{unit}", (x + i * long, y + 5.0), anchor="middle"))
        said = wording.scale.replace("{scale}", str(self.sheet.denominator))
        drawn.append(canvas.text(said, (x + 4 * long + 9.0, y + 2.0), bold=True))
        caption = self.sheet.paper.drawing.caption
        if caption:
            drawn.append(canvas.text(caption, (self.sheet.width - 4.0, y + 2.0), 3.6, bold=True, anchor="end"))
        return [canvas.group(drawn, said)]

    def foot(self) -> list[Mark]:
        """The cautions, framed, at the foot of the sheet."""
        sheet = self.sheet
        if not sheet.foot:
            return []
        size = (sheet.width - 0.6, sheet.foot_height - 0.4)
        frame = self.canvas.box((0.3, sheet.foot_y), size, Pen(BLACK, 0.5))
        return [frame, *(mark for item in sheet.foot for mark in self.ink.item(item))]


def _held(places: Sequence[float], reach: tuple[float, float]) -> tuple[float, ...]:
    """Places shifted as one so that they keep within reach as far as they can."""
    if not places:
        return ()
    over = max(0.0, places[-1] - reach[1] - PAD_MM)
    under = max(0.0, reach[0] - PAD_MM - places[0])
    return tuple(p - over + under for p in places)

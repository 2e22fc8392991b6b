"""A whole view as a sheet of paper: the answer, the floor below it, the scale bar, what matters, the title block.

The sheet is a paper that printers have, upright or lying, with 16 mm at the left for holes and 11 mm else, so that the
scale it states is true on it. What finds no room is left out a whole sentence at a time: it is told in the words.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from attrs import frozen

from standtrue.draw.backends.svg import SVG, document, mark_of
from standtrue.draw.canvas import Pen
from standtrue.draw.lettering import LINE, wrap
from standtrue.draw.scaled import Bounds, bounds_of
from standtrue.draw.shapes import Drawing, Wording
from standtrue.draw.styles import BLACK, GRAY
from standtrue.draw.whole import Floor, fill, lay_floor, scale_for
from standtrue.draw.whole_ink import BASELINE, WholeInk, scale_bar
from standtrue.draw.whole_names import WIDEST

HOLES_MM, MARGIN_MM = 16.0, 11.0
TITLE_MM, ANSWER_MM, TEXT_MM = 6.0, 4.0, 3.2
"""17, 11.3 and 9.07 points: nothing is smaller."""

BAR_MM = 10.0
_GAP_MM = 2.0
_STRIPES_MM = 3.2
_LEAST_FLOOR = 0.45
"""Less than this share of the sheet's height is never left to the floor."""

_FRAME_MM = 1.4
_SENTENCE = re.compile(r"(?<=[.!?]) (?=[^a-z])")


@frozen
class Line:
    """One line of text: where it begins on its baseline."""

    words: str
    x: float
    y: float
    size: float
    bold: bool = False
    color: str = BLACK


@frozen(eq=False)
class WholeSheet:
    """Everything placed: millimetres from the top left corner of the paper."""

    wording: Wording
    size: tuple[float, float]
    floor: Floor
    lines: tuple[Line, ...]
    banner: Bounds | None
    notes: tuple[Bounds, ...]
    rules: tuple[tuple[float, float, float, float], ...]
    bar_y: float


def lay_sheet(drawing: Drawing, wording: Wording) -> WholeSheet:
    """The sheet on which the floor is the largest; if both are alike the one that lies as the floor does.

    Raises ValueError where no scale is small enough.
    """
    sides = wording.paper.width_mm, wording.paper.height_mm
    x0, y0, x1, y1 = bounds_of(drawing)
    first = sides if y1 - y0 > x1 - x0 else sides[::-1]
    tried = [_tried(drawing, wording, size) for size in (first, first[::-1])]
    return min(tried, key=lambda t: t.denominator).laid()


@frozen(eq=False)
class _Trial:
    """One way to turn the paper: its head and foot as text, and the frame that they leave to the floor."""

    drawing: Drawing
    wording: Wording
    size: tuple[float, float]
    banner: Bounds | None
    head: tuple[Line, ...]
    notes: tuple[tuple[str, ...], ...]
    frame: Bounds

    @property
    def denominator(self) -> int:
        return scale_for(self.drawing, self.frame, TEXT_MM)

    def laid(self) -> WholeSheet:
        floor = lay_floor(self.drawing, self.frame, TEXT_MM)
        spare = self.frame[3] - floor.frame[3]
        if spare > 0.0:
            # Names may use what the floor leaves free, but for where the scale bar goes.
            low = floor.frame[3] + min(spare, 8.0)
            frame = (self.frame[0], self.frame[1], self.frame[2], low)
            floor = fill(self.drawing, floor.paper, floor.denominator, frame, TEXT_MM)
        y = floor.frame[3] + _GAP_MM
        bar_y, y = y, y + BAR_MM
        lines, notes = list(self.head), []
        for note in self.notes:
            top = y
            lines += [
                Line(words, self.frame[0] + _STRIPES_MM + 1.8, y + (k + BASELINE) * TEXT_MM * LINE, TEXT_MM, True)
                for k, words in enumerate(note)
            ]
            y += len(note) * TEXT_MM * LINE + 1.2
            notes.append((self.frame[0], top, self.frame[0] + _STRIPES_MM, y - 1.2))
        block, rules = _block(self.drawing, self.wording, self.size, floor.denominator)
        return WholeSheet(
            self.wording, self.size, floor, (*lines, *block), self.banner, tuple(notes), tuple(rules), bar_y
        )


def _tried(drawing: Drawing, wording: Wording, size: tuple[float, float]) -> _Trial:
    left, right, top, low = HOLES_MM, size[0] - MARGIN_MM, MARGIN_MM, size[1] - MARGIN_MM
    wide = right - left
    y, banner, head = top, None, []
    if drawing.demonstration:
        said = _wrapped(wording.banner, wide - 2 * _FRAME_MM - 2.0, TEXT_MM, True)
        banner = (left, y, right, y + len(said) * TEXT_MM * LINE + 2 * _FRAME_MM)
        head += _lines(said, left + _FRAME_MM + 1.0, y + _FRAME_MM, TEXT_MM, True)
        y = banner[3] + _GAP_MM
    title = _wrapped(drawing.title, wide, TITLE_MM, True)
    head += _lines(title, left, y, TITLE_MM, True)
    y += len(title) * TITLE_MM * LINE + 1.0
    block_mm = _block_mm(drawing, wording, wide)
    enough = (low - block_mm - BAR_MM - y) - _LEAST_FLOOR * (low - top)
    for told, bold in ((drawing.caption, True), (drawing.verdict, False)):
        fitting = _fitting(told, wide, enough, bold)
        head += _lines(fitting, left, y, ANSWER_MM, bold)
        y, enough = y + len(fitting) * ANSWER_MM * LINE, enough - len(fitting) * ANSWER_MM * LINE
    notes = []
    for note in drawing.short:
        said = _wrapped(note, wide - _STRIPES_MM - 2.0, TEXT_MM, True)
        tall = len(said) * TEXT_MM * LINE + 1.2
        if tall <= enough:
            notes.append(said)
            enough -= tall
    foot = BAR_MM + _GAP_MM + sum(len(n) * TEXT_MM * LINE + 1.2 for n in notes) + block_mm + _GAP_MM
    return _Trial(drawing, wording, size, banner, tuple(head), tuple(notes), (left, y + _GAP_MM, right, low - foot))


def _fitting(said: str, wide: float, high: float, bold: bool) -> tuple[str, ...]:
    """As many whole sentences as find room, from the first on."""
    sentences = _SENTENCE.split(said) if said else []
    for count in range(len(sentences), 0, -1):
        lines = _wrapped(" ".join(sentences[:count]), wide, ANSWER_MM, bold)
        if len(lines) * ANSWER_MM * LINE <= high:
            return lines
    return ()


def _wrapped(words: str, room: float, size: float, bold: bool) -> tuple[str, ...]:
    return wrap(words, room / WIDEST, size, bold)


def _lines(said: Sequence[str], x: float, y: float, size: float, bold: bool) -> list[Line]:
    return [Line(words, x, y + (k + BASELINE) * size * LINE, size, bold) for k, words in enumerate(said)]


def _cells(drawing: Drawing, wording: Wording, denominator: str, wide: float) -> list[tuple[str, tuple[str, ...]]]:
    """The cells of the title block: the name of each, and what it says."""
    block = drawing.block
    if block is None:
        return []
    said = (block.sheet, block.question, wording.scale.replace("{scale}", denominator), block.rests_on)
    room = wide / 4 - 3.0
    return [(name, _wrapped(value, room, TEXT_MM, True)) for name, value in zip(wording.block, said, strict=True)]


def _block_mm(drawing: Drawing, wording: Wording, wide: float) -> float:
    cells = _cells(drawing, wording, "10000", wide)
    return max((len(lines) + 1 for _, lines in cells), default=0) * TEXT_MM * LINE + 2.0 if cells else 0.0


def _block(
    drawing: Drawing, wording: Wording, size: tuple[float, float], denominator: int
) -> tuple[list[Line], list[Bounds]]:
    """The title block at the foot: its texts, and the rules over and between its cells."""
    left, right, low = HOLES_MM, size[0] - MARGIN_MM, size[1] - MARGIN_MM
    wide = right - left
    high = _block_mm(drawing, wording, wide)
    lines: list[Line] = []
    rules: list[Bounds] = []
    cells = _cells(drawing, wording, str(denominator), wide)
    for i, (name, said) in enumerate(cells):
        x = left + i * wide / 4
        at = x + (1.5 if i else 0.0)
        lines.append(Line(name, at, low - high + 1.0 + BASELINE * TEXT_MM * LINE, TEXT_MM, color=GRAY))
        lines += _lines(said, at, low - high + 1.0 + TEXT_MM * LINE, TEXT_MM, True)
        rules += [(x, low - high, x, low)] if i else [(left, low - high, right, low - high)]
    return lines, rules


def sheet_svg(drawing: Drawing, wording: Wording) -> str:
    """The sheet as one self-contained SVG of the paper's own size: the same bytes for the same drawing and words."""
    sheet = lay_sheet(drawing, wording)
    said = wording.scale.replace("{scale}", str(sheet.floor.denominator)) if drawing.block is None else ""
    k = sheet.floor.paper.k
    body = [
        *WholeInk(SVG, sheet.floor).everything(),
        *scale_bar(SVG, (HOLES_MM, sheet.bar_y), k, wording.ruler, said, TEXT_MM),
        *(SVG.box(b[:2], (b[2] - b[0], b[3] - b[1]), Pen(BLACK, 0.5)) for b in (sheet.banner,) if b is not None),
        *(mark for note in sheet.notes for mark in _stripes(note)),
        *(SVG.line(rule[:2], rule[2:], Pen(BLACK, 0.25)) for rule in sheet.rules),
        *(SVG.text(w.words, (w.x, w.y), w.size, bold=w.bold, color=w.color) for w in sheet.lines),
    ]
    mark = mark_of(drawing.title, wording.told, wording.ruler.unit)
    return document(sheet.size, body, title=drawing.title, told=wording.told, language=wording.language, mark=mark)


def _stripes(note: Bounds) -> list[str]:
    """The stripes beside a caution."""
    x0, y0, x1, y1 = note
    step, drawn = 1.6, []
    count = int((y1 - y0) / step)
    for i in range(count):
        y = y0 + i * step
        drawn.append(((x0, y + step), (x1 - 0.8, y), (x1 - 0.8, y + step / 2), (x0, y + 1.5 * step)))
    return [SVG.path(drawn, None, closed=True, fill=BLACK)]

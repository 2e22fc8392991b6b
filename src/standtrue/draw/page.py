"""A picture by itself on paper that printers have: head, what is drawn, words below, and a title block at the foot.

What is drawn is given the room that the words leave; where that is too little, the next larger paper is taken.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import shapely
from attrs import frozen

from standtrue.draw.backends.svg import SVG, ViewKind, document, mark_of
from standtrue.draw.canvas import Pen
from standtrue.draw.hatching import hatch_lines
from standtrue.draw.lettering import LINE, LINE_MM, TEXT_MM, width_mm, wrap
from standtrue.draw.styles import BLACK, ORANGE, YELLOW, Hatch
from standtrue.model.reader_units import Paper

Size = tuple[float, float]

PAPERS_MM: Mapping[Paper, tuple[Size, ...]] = {
    "letter": ((215.9, 279.4), (215.9, 355.6), (279.4, 431.8), (431.8, 558.8), (558.8, 863.6)),
    "a4": ((210.0, 297.0), (297.0, 420.0), (420.0, 594.0), (594.0, 841.0)),
}
"""Sheets that go with a paper, upright, the smallest first (ANSI/ASME Y14.1, Legal as sold in the USA; ISO 216)."""

HOLES_MM, MARGIN_MM = 16.0, 11.0
"""Free at the left, for holes, and at every other side."""

BASE = 0.77
"""How far below the top of its line a text's baseline lies, over the line's height."""

TITLE_MM = 5.0
_STRIPES = Hatch(BLACK, 45, 2.6, 1.2)
_STRIPED_MM, _BESIDE_MM = 3.0, 5.0
_GAP_MM = 2.0


@frozen
class Drawn:
    """What was drawn into the room given: its marks, how high it is, millimetres, and its scale in words."""

    marks: tuple[str, ...]
    high: float
    scale: str = ""


Drawer = Callable[[float, float], Drawn | None]
"""Draws into a room of this width and height, its top left corner at 0, 0; None where that is too little."""


@frozen(eq=False)
class Page:
    """All that is said with a picture, in the reader's language already.

    `cells` are those of the title block, name and what it says; the one whose text is empty is the scale's, and
    `widest_scale` what it says at its longest. `told` says all of the picture in words, for those who do not see it.
    `warning` stands over the verdict. `wide`: it lies on its side.
    """

    kind: ViewKind
    paper: Paper
    language: str
    title: str
    told: str
    cells: tuple[tuple[str, str], ...]
    banner: str = ""
    verdict: str = ""
    warning: str = ""
    verdict_mm: float = TEXT_MM
    below: tuple[str, ...] = ()
    cautions_heading: str = ""
    cautions: tuple[str, ...] = ()
    wide: bool = False
    widest_scale: str = ""


def page_svg(page: Page, draw: Drawer) -> str:
    """The picture: the same bytes for the same page. Raises ValueError where no paper is large enough."""
    for size in PAPERS_MM[page.paper]:
        found = _on(page, size[::-1] if page.wide else size, draw)
        if found is not None:
            return found
    raise ValueError("what is said is more than any paper holds")


def _on(page: Page, size: Size, draw: Drawer) -> str | None:
    left, wide = HOLES_MM, size[0] - HOLES_MM - MARGIN_MM
    head = _head(page, wide)
    foot = size[1] - MARGIN_MM - _block_mm(page, wide)
    below = _below(page, wide)
    top = MARGIN_MM + head.high
    foot -= _GAP_MM
    room = foot - _GAP_MM - below.high - top
    drawn = draw(wide, room) if room > 0.0 else None
    if drawn is None:
        return None
    body = [
        SVG.shifted(head.marks, (left, MARGIN_MM)),
        SVG.shifted(drawn.marks, (left, top)),
        SVG.shifted(below.marks, (left, min(top + drawn.high + _GAP_MM, foot - below.high))),
        SVG.shifted(_block(page, wide, drawn.scale), (left, foot + _GAP_MM)),
    ]
    mark = mark_of(page.title, page.told)
    return document(
        size, body, title=page.title, told=page.told, language=page.language, mark=mark, kind=page.kind
    )  # fmt: skip


def set_lines(lines: Sequence[str], at: tuple[float, float], *, bold: bool = False, size: float = TEXT_MM) -> list[str]:
    """Lines below one another; `at` is the top left corner of the first."""
    x, y = at
    return [SVG.text(line, (x, y + (i + BASE) * size * LINE), size, bold=bold) for i, line in enumerate(lines)]


def _head(page: Page, wide: float) -> Drawn:
    """The banner of invented data, the title, and the answer right below it."""
    marks, y = list[str](), 0.0
    if page.banner:
        marks.append(SVG.box((0.0, 0.0), (wide, 6.4), Pen(BLACK, 0.5, (2.4, 1.2)), fill=YELLOW))
        marks.append(SVG.text(page.banner, (wide / 2, 4.4), bold=True, anchor="middle"))
        y = 8.4
    said = (page.title, TITLE_MM, True), (page.warning, page.verdict_mm, True), (page.verdict, page.verdict_mm, False)
    for words, size, bold in said:
        lines = wrap(words, wide, size, bold) if words else ()
        marks += set_lines(lines, (0.0, y), bold=bold, size=size)
        y += len(lines) * size * LINE + (1.0 if lines else 0.0)
    return Drawn(tuple(marks), y + _GAP_MM)


def _below(page: Page, wide: float) -> Drawn:
    """The notes, then the cautions beside stripes."""
    marks, y = list[str](), 0.0
    for said in page.below:
        lines = wrap(said, wide)
        marks += set_lines(lines, (0.0, y))
        y += len(lines) * LINE_MM
    if page.cautions:
        top = y = y + 1.0
        for said in (page.cautions_heading, *page.cautions):
            lines = wrap(said, wide - _BESIDE_MM, TEXT_MM, True)
            marks += set_lines(lines, (_BESIDE_MM, y), bold=True)
            y += len(lines) * LINE_MM + 0.4
        marks += stripes((0.0, top), y - top)
    return Drawn(tuple(marks), y)


def stripes(at: tuple[float, float], high: float) -> list[str]:
    """Stripes of ink and orange: a caution stands beside them."""
    frame = shapely.box(at[0], at[1], at[0] + _STRIPED_MM, at[1] + high)
    return [
        SVG.box(at, (_STRIPED_MM, high), Pen(BLACK, 0.25), fill=ORANGE),
        SVG.path(hatch_lines(frame, _STRIPES), Pen(BLACK, _STRIPES.width)),
    ]


def _widths(page: Page, wide: float) -> list[float]:
    """How wide each cell of the title block is: by what it says, none too narrow and none too wide."""
    said = [max(width_mm(name), width_mm(words or page.widest_scale, bold=True)) for name, words in page.cells]
    longest = [max(24.0, min(72.0, 4.0 + one)) for one in said]
    return [one * wide / sum(longest) for one in longest]


def _cell_lines(page: Page, wide: float, scale: str) -> list[tuple[str, ...]]:
    return [
        wrap(said or scale, w - 3.0, TEXT_MM, True)
        for (_, said), w in zip(page.cells, _widths(page, wide), strict=True)
    ]


def _block_mm(page: Page, wide: float) -> float:
    return (1 + max(len(lines) for lines in _cell_lines(page, wide, page.widest_scale))) * LINE_MM + 2.0


def _block(page: Page, wide: float, scale: str) -> list[str]:
    """The title block: what the sheet is, its question, its scale, what it was drawn from."""
    high = _block_mm(page, wide)
    marks, x = [SVG.line((0.0, 0.0), (wide, 0.0), Pen(BLACK, 0.35))], 0.0
    for (name, _), lines, w in zip(page.cells, _cell_lines(page, wide, scale), _widths(page, wide), strict=True):
        if x:
            marks.append(SVG.line((x, 0.0), (x, high), Pen(BLACK, 0.18)))
        inset = x + (1.5 if x else 0.0)
        marks += [*set_lines((name,), (inset, 0.8)), *set_lines(lines, (inset, 0.8 + LINE_MM), bold=True)]
        x += w
    return marks

"""A plan as pages of floor pictures: one for each place, piece of work and move, in the order in which they come."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from attrs import evolve, frozen

from standtrue.draw.backends.pdf import COLUMN_MM
from standtrue.draw.backends.svg import SVG, nested
from standtrue.draw.canvas import Pen
from standtrue.draw.lettering import LINE, LINE_MM, wrap
from standtrue.draw.page import Drawn, Page, page_svg, set_lines
from standtrue.draw.shapes import Drawing
from standtrue.show.pictures.small_plan import HEIGHT_MM, small_plan
from standtrue.show.words import labels_charts as charts
from standtrue.show.words.reader import Reader
from standtrue.show.words.texts import as_sentence

COLUMNS = 2
GAP_MM = 5.0
HEAD_MM = 4.0


@frozen(eq=False)
class Scene:
    """One picture of the strip: the steps that it shows, what is done, when and by whom, and the floor then.

    `drawing` None: nothing on the shop's floor, so there is no picture, only words.
    """

    numbers: str
    title: str
    lines: tuple[str, ...]
    drawing: Drawing | None


@frozen(eq=False)
class _Cell:
    title: tuple[str, ...]
    lines: tuple[str, ...]
    picture: str
    told: str
    picture_mm: float

    @property
    def head_mm(self) -> float:
        return len(self.title) * HEAD_MM * LINE + len(self.lines) * LINE_MM + 1.5


def strip_pages(page: Page, scenes: Sequence[Scene], reader: Reader) -> tuple[str, ...]:
    """The whole strip, two pictures beside each other, as pages: the first says what `page` says, the rest its title.

    Every picture is told in words too.
    """
    cells = [_cell(scene, reader) for scene in scenes]
    rows = [cells[i : i + COLUMNS] for i in range(0, len(cells), COLUMNS)]
    count = len(_pages(page, rows, 9, reader))
    return _pages(page, rows, count, reader)


def _pages(page: Page, rows: Sequence[list[_Cell]], count: int, reader: Reader) -> tuple[str, ...]:
    """The rows on as many pages as they need, of which `count` are told."""
    bare, pages, left = evolve(page, told="", verdict="", below=(), cautions=()), list[str](), list(rows)
    while left or not pages:
        on = bare if pages else page
        said = " ".join([on.told, *(cell.told for row in left for cell in row)]).strip()
        title = charts.page_title(page.title, len(pages) + 1, count, reader)
        on = evolve(on, title=title, told=said, cells=((page.cells[0][0], title), *page.cells[1:]))
        pages.append(page_svg(on, partial(_filled, left)))
    return tuple(pages)


def _filled(left: list[list[_Cell]], wide: float, room: float) -> Drawn | None:
    """As many of the rows as find room, taken from those that are left; None where not even one does."""
    marks, y = list[str](), 0.0
    while left and y + _high(left[0]) <= room:
        row = left.pop(0)
        marks += _drawn(row, wide, y)
        y += _high(row) + GAP_MM
    return Drawn(tuple(marks), max(0.0, y - GAP_MM)) if marks or not left else None


def _cell(scene: Scene, reader: Reader) -> _Cell:
    title = wrap(f"{scene.numbers}  {scene.title}", COLUMN_MM - 2.0, HEAD_MM, bold=True)
    lines = tuple(line for said in scene.lines for line in wrap(said, COLUMN_MM - 2.0))
    steps = charts.scene_sentence(scene.numbers, scene.title, reader)
    said = " ".join([steps, *map(as_sentence, scene.lines)])
    if scene.drawing is None:
        return _Cell(title, lines, "", said, 0.0)
    picture = small_plan(scene.drawing, reader, width_mm=COLUMN_MM, height_mm=HEIGHT_MM)
    return _Cell(title, lines, picture.svg, f"{said} {picture.alternative}", picture.size_mm[1])


def _high(row: Sequence[_Cell]) -> float:
    return max(cell.head_mm for cell in row) + max(cell.picture_mm for cell in row)


def _drawn(row: Sequence[_Cell], wide: float, y: float) -> list[str]:
    """A row: words of each cell end where the pictures begin."""
    head, marks = max(cell.head_mm for cell in row), list[str]()
    for column, cell in enumerate(row):
        x = column * (wide - COLUMN_MM) / (COLUMNS - 1)
        marks.append(SVG.line((x, y), (x + COLUMN_MM, y), Pen(width=0.35)))
        marks += set_lines(cell.title, (x, y + 0.8), bold=True, size=HEAD_MM)
        marks += set_lines(cell.lines, (x, y + 0.8 + len(cell.title) * HEAD_MM * LINE))
        if cell.picture:
            marks.append(nested(cell.picture, (x, y + head)))
    return marks

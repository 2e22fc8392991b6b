"""A plan as a strip of floor pictures: one for each place, piece of work and move, in the order in which they come."""

from __future__ import annotations

from collections.abc import Sequence

from attrs import frozen

from standtrue.draw.backends.pdf import COLUMN_MM
from standtrue.draw.backends.svg import SVG, document, nested
from standtrue.draw.canvas import Pen
from standtrue.draw.lettering import LINE, LINE_MM, wrap
from standtrue.draw.shapes import Drawing
from standtrue.show.pictures.banner import UNDER_MM, banner, paragraph
from standtrue.show.pictures.small_plan import HEIGHT_MM, small_plan
from standtrue.show.words import labels_charts as charts
from standtrue.show.words.reader import Reader
from standtrue.show.words.texts import as_sentence

COLUMNS = 2
GAP_MM = 6.0
EDGE_MM = 4.0
HEAD_MM = 4.4
ROW_MM = LINE_MM
_BASE = 0.78


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
    caption: tuple[str, ...]
    width: float
    height: float
    picture_mm: float

    @property
    def head_mm(self) -> float:
        return len(self.title) * HEAD_MM * LINE + len(self.lines) * ROW_MM + 1.5


def strip_svg(
    title: str,
    scenes: Sequence[Scene],
    reader: Reader,
    *,
    facts: Sequence[str] = (),
    cautions: Sequence[str] = (),
    demonstration: bool = False,
) -> str:
    """The whole strip as one self-contained SVG, two pictures beside each other, as wide as a page.

    Every picture is told in words too, and all of them are at the largest scale at which they fit.
    """
    cells = [_cell(scene, reader) for scene in scenes]
    rows = [cells[i : i + COLUMNS] for i in range(0, len(cells), COLUMNS)]
    width = COLUMNS * COLUMN_MM + (COLUMNS - 1) * GAP_MM + 2 * EDGE_MM
    body: list[str] = []
    y = _heading(body, title, facts, width, charts.invented_drawing(reader) if demonstration else "")
    for row in rows:
        head = max(cell.head_mm for cell in row)
        for column, cell in enumerate(row):
            _draw(body, cell, EDGE_MM + column * (COLUMN_MM + GAP_MM), y, head)
        y += head + max(cell.height for cell in row) + GAP_MM
    y = _foot(body, [charts.caution_sentence(c, reader) for c in cautions], width, y)
    told = " ".join([*facts, *(f"{c.told}" for c in cells)])
    return document((width, y), body, title=title, told=told, language=reader.language, mark="strip")


def _cell(scene: Scene, reader: Reader) -> _Cell:
    title = wrap(f"{scene.numbers}  {scene.title}", COLUMN_MM - 2.0, HEAD_MM, bold=True)
    lines = tuple(line for said in scene.lines for line in wrap(said, COLUMN_MM - 2.0))
    steps = charts.scene_sentence(scene.numbers, scene.title, reader)
    said = " ".join([steps, *map(as_sentence, scene.lines)])
    if scene.drawing is None:
        return _Cell(title, lines, "", said, (), COLUMN_MM, 0.0, 0.0)
    picture = small_plan(scene.drawing, reader, width_mm=COLUMN_MM, height_mm=HEIGHT_MM, on_paper=False)
    caption = wrap(picture.caption, COLUMN_MM - 2.0) if picture.caption else ()
    _, high = picture.size_mm
    whole = high + len(caption) * ROW_MM
    return _Cell(title, lines, picture.svg, f"{said} {picture.alternative}", caption, COLUMN_MM, whole, high)


def _heading(body: list[str], title: str, facts: Sequence[str], width: float, invented: str) -> float:
    y = EDGE_MM
    if invented:
        body.extend(banner(invented, width))
        y = UNDER_MM
    room = width - 2 * EDGE_MM
    y = paragraph(body, title, (EDGE_MM, y), room, 5.2, bold=True)
    for fact in facts:
        y = paragraph(body, fact, (EDGE_MM, y), room)
    return y + 4.0


def _draw(body: list[str], cell: _Cell, x: float, y: float, head: float) -> None:
    """A cell: its words end where the pictures of the row begin."""
    marks = [SVG.line((x, y - 1.2), (x + COLUMN_MM, y - 1.2), Pen(width=0.5))]
    base = y
    for line in cell.title:
        marks.append(SVG.text(line, (x, base + HEAD_MM * LINE * _BASE), HEAD_MM, bold=True))
        base += HEAD_MM * LINE
    for line in cell.lines:
        marks.append(SVG.text(line, (x, base + ROW_MM * _BASE)))
        base += ROW_MM
    if cell.picture:
        marks.append(nested(cell.picture, (x, y + head)))
        marks.append(SVG.box((x, y + head), (COLUMN_MM, cell.picture_mm), Pen()))
        for k, line in enumerate(cell.caption):
            marks.append(SVG.text(line, (x, y + head + cell.picture_mm + ROW_MM * (k + _BASE))))
    body.append(SVG.group(marks))


def _foot(body: list[str], cautions: Sequence[str], width: float, y: float) -> float:
    lines = [line for said in cautions for line in wrap(said, width - 2 * EDGE_MM - 4.0)]
    if not lines:
        return y
    height = len(lines) * ROW_MM + 3.0
    body.append(SVG.box((EDGE_MM, y), (width - 2 * EDGE_MM, height), Pen(width=0.5)))
    for k, line in enumerate(lines):
        body.append(SVG.text(line, (EDGE_MM + 2.0, y + 1.5 + ROW_MM * (k + _BASE))))
    return y + height + EDGE_MM

"""The bay-size chart as SVG: which share of the work a room of each size covers, to scale, with its contours.

Length runs to the right and width up, both at the same scale, so that a bay has its own shape on the chart.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from attrs import frozen

from standtrue.draw.backends.svg import SVG
from standtrue.draw.canvas import Pen
from standtrue.draw.dimensions import spread
from standtrue.draw.lettering import LINE_MM, TEXT_MM, width_mm, wrap
from standtrue.draw.page import Drawn, Page, page_svg, set_lines
from standtrue.draw.styles import BLACK, BLUE, GRAY, GREEN, PURPLE, VERMILION, WHITE
from standtrue.model.reader_units import INCH_M
from standtrue.show.words import labels_charts as charts
from standtrue.show.words.labels import cautions_heading
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.show.words.sheet_title import picture_cells
from standtrue.show.words.sizes import coverage_words, layout_words, least_words, percent, size_words, today_words
from standtrue.show.words.texts import as_sentence
from standtrue.study.coverage import Coverage, LeastBay
from standtrue.study.sizes import Size
from standtrue.work.study.sizes import SHARES, Sizes

LEFT_MM, RIGHT_MM = 16.0, 17.0
SAMPLE_MM = 12.0
MIDDLE_MM = LINE_MM / 2
"""From a line's top to where a mark beside it stands."""

TINT = "#56B4E9"


@frozen
class _Look:
    """How one contour is drawn; `mark` names the shape that marks its bay of the least area."""

    color: str
    dash: tuple[float, ...]
    width: float
    mark: str

    @property
    def pen(self) -> Pen:
        return Pen(self.color, self.width, self.dash)


LOOKS = (
    _Look(GREEN, (0.6, 1.1), 0.5, "circle"),
    _Look(BLUE, (2.4, 1.0), 0.55, "square"),
    _Look(VERMILION, (5.0, 1.0, 0.8, 1.0), 0.65, "diamond"),
    _Look(BLACK, (), 0.8, "triangle"),
    _Look(PURPLE, (1.2, 0.8), 0.6, "square"),
)
"""One for each share, the smallest first: line, width, mark and the label beside it say which, not color alone."""


@frozen
class _Plot:
    """The frame: where sizes lie on paper, millimetres; `wide` is all of the chart with what stands at its sides."""

    coverage: Coverage
    wide: float
    reader: Reader
    top: float = 1.0

    @property
    def right(self) -> float:
        return self.wide - RIGHT_MM

    @property
    def scale(self) -> float:
        low, high = self.coverage.sizes.length_m
        return (self.right - LEFT_MM) / (high - low)

    @property
    def height(self) -> float:
        low, high = self.coverage.sizes.width_m
        return (high - low) * self.scale

    def x(self, length_m: float) -> float:
        return LEFT_MM + (length_m - self.coverage.sizes.length_m[0]) * self.scale

    def y(self, width_m: float) -> float:
        return self.top + (self.coverage.sizes.width_m[1] - width_m) * self.scale

    def stairs(self, bays: Sequence[Size]) -> list[tuple[float, float]]:
        """The contour through the least bays, from the right edge of the plot to its top."""
        points = [(self.right, self.y(bays[0].width_m))]
        for bay, following in zip(bays, (*bays[1:], None), strict=True):
            x = self.x(bay.length_m)
            points += [(x, self.y(bay.width_m)), (x, self.top if following is None else self.y(following.width_m))]
        return points


def sizes_svg(answer: Sizes, reader: Reader = ENGLISH) -> str:
    """The chart as SVG text, the same bytes for the same answer."""
    coverage, basis = answer.coverage, answer.basis
    least = [coverage.least_bay(share) for share in SHARES]
    title = charts.sizes_title(answer.site.name, reader)
    notes = (
        charts.contours_meaning(reader),
        " ".join((layout_words(answer, reader), reader.reason(answer.work.rule))),
        *(as_sentence(said) for said in reader.reasons((*basis.warnings, *basis.limits))),
    )
    cautions = tuple(reader.reasons(c.reason for c in basis.cautions))
    page = Page(
        kind="chart",
        paper=answer.site.reader.paper or "letter",
        language=reader.language,
        title=title,
        told=" ".join((coverage_words(coverage, least, reader), *notes, *cautions)),
        cells=picture_cells(title, charts.sizes_question(reader), basis.marks, reader),
        banner=charts.invented_chart(reader) if basis.demonstration else "",
        below=notes,
        cautions_heading=cautions_heading(reader),
        cautions=cautions,
        widest_scale=charts.sizes_scale(reader),
    )

    def draw(wide: float, room: float) -> Drawn | None:
        plot = _Plot(coverage, wide, reader)
        body = [*_bands(plot, least), *_axes(plot), *_contours(plot, least), *_marks(plot, least, answer.today)]
        key, height = _key(plot, least, answer.today)
        return Drawn((*body, *key), height, charts.sizes_scale(reader)) if height <= room else None

    return page_svg(page, draw)


def _bands(plot: _Plot, least: Sequence[LeastBay]) -> Iterator[str]:
    """A tint that grows darker with each contour passed."""
    corner = (plot.right, plot.top)
    for one in least:
        if one.bays:
            yield SVG.path([(*plot.stairs(one.bays), corner)], None, closed=True, fill=TINT, opacity=0.16)


def _axes(plot: _Plot) -> Iterator[str]:
    sizes, right, bottom = plot.coverage.sizes, plot.right, plot.top + plot.height
    for value, words in ticks(sizes.length_m, plot.reader):
        x = plot.x(value)
        yield SVG.line((x, plot.top), (x, bottom), Pen(GRAY, 0.08))
        yield SVG.line((x, bottom), (x, bottom + 1.2), Pen(width=0.25))
        yield SVG.text(words, (x, bottom + 1.6 + TEXT_MM), anchor="middle")
    for value, words in ticks(sizes.width_m, plot.reader):
        y = plot.y(value)
        yield SVG.line((LEFT_MM, y), (right, y), Pen(GRAY, 0.08))
        yield SVG.line((LEFT_MM - 1.2, y), (LEFT_MM, y), Pen(width=0.25))
        yield SVG.text(words, (LEFT_MM - 1.8, y + 1.0), anchor="end")
    yield SVG.box((LEFT_MM, plot.top), (right - LEFT_MM, plot.height), Pen(width=0.35))
    length, wide = charts.axis_titles(plot.reader)
    yield SVG.text(length, ((LEFT_MM + right) / 2, bottom + 9.0), bold=True, anchor="middle")
    middle = (4.2, plot.top + plot.height / 2)
    yield SVG.group([SVG.text(wide, middle, bold=True, anchor="middle")], turned=(-90.0, middle))


def ticks(span: tuple[float, float], reader: Reader) -> list[tuple[float, str]]:
    """Where an axis is marked, metres, and what is written there: every meter, or every two feet."""
    step = float(24 * INCH_M) if reader.units == "us" else 1.0
    each = 2 if reader.units == "us" else 1
    first, last = math.ceil(span[0] / step - 1e-9), math.floor(span[1] / step + 1e-9)
    return [(i * step, str(i * each)) for i in range(first, last + 1)]


def _contours(plot: _Plot, least: Sequence[LeastBay]) -> Iterator[str]:
    drawn = [(one, look) for one, look in zip(least, LOOKS, strict=False) if one.bays]
    right = plot.right
    for one, look in drawn:
        said = charts.contour_words(percent(one.share, plot.reader), plot.reader)
        yield SVG.group([SVG.path([tuple(plot.stairs(one.bays))], look.pen)], said)
    # Wider bays lie higher on the chart, and higher is less on paper.
    upward = sorted(drawn, key=lambda entry: plot.y(entry[0].bays[0].width_m))
    places = spread([plot.y(one.bays[0].width_m) for one, _ in upward])
    for (one, look), y in zip(upward, places, strict=True):
        wanted = plot.y(one.bays[0].width_m)
        yield SVG.line((right, wanted), (right + 3.5, y), Pen(look.color, 0.25))
        yield SVG.text(percent(one.share, plot.reader), (right + 4.2, y + 1.0), bold=True)


def _marks(plot: _Plot, least: Sequence[LeastBay], today: Size | None) -> Iterator[str]:
    for one, look in zip(least, LOOKS, strict=False):
        best = one.least_area
        if best is not None:
            yield _mark(look.mark, plot.x(best.length_m), plot.y(best.width_m), look.color)
    if today is not None and _inside(plot, today):
        x, y = plot.x(today.length_m), plot.y(today.width_m)
        yield _today(x, y, plot.reader)
        word = charts.today_label(plot.reader)
        left = x + 3.0 + width_mm(word, bold=True) > plot.right
        at = (x - 3.0 if left else x + 3.0, y + 1.0)
        yield SVG.group([SVG.text(word, at, bold=True, anchor="end" if left else "start")], edge=WHITE)


def _inside(plot: _Plot, size: Size) -> bool:
    sizes = plot.coverage.sizes
    wide, long = sizes.width_m, sizes.length_m
    return wide[0] <= size.width_m <= wide[1] and long[0] <= size.length_m <= long[1]


def _today(x: float, y: float, reader: Reader) -> str:
    cross = (((x - 2.0, y), (x + 2.0, y)), ((x, y - 2.0), (x, y + 2.0)))
    marks = [SVG.path(cross, Pen(WHITE, 1.6)), SVG.path(cross, Pen(width=0.7))]
    return SVG.group(marks, charts.today_meaning(reader))


def _mark(kind: str, x: float, y: float, color: str) -> str:
    pen = Pen(WHITE, 0.35)
    if kind == "circle":
        return SVG.circle((x, y), 1.3, color, pen)
    corners = {
        "square": ((-1.2, -1.2), (1.2, -1.2), (1.2, 1.2), (-1.2, 1.2)),
        "diamond": ((0.0, -1.7), (1.7, 0.0), (0.0, 1.7), (-1.7, 0.0)),
        "triangle": ((0.0, -1.6), (1.5, 1.2), (-1.5, 1.2)),
    }[kind]
    return SVG.path([tuple((x + a, y + b) for a, b in corners)], pen, closed=True, fill=color)


def _key(plot: _Plot, least: Sequence[LeastBay], today: Size | None) -> tuple[list[str], float]:
    """What the lines and marks mean, under the plot; and where it ends."""
    y = plot.top + plot.height + 13.0
    drawn: list[str] = []
    for one, look in zip(least, LOOKS, strict=False):
        drawn += [
            SVG.path([((0.0, y), (SAMPLE_MM, y))], look.pen),
            _mark(look.mark, SAMPLE_MM / 2, y, look.color),
        ]
        y = _told(drawn, least_words(one, plot.reader), y, plot.wide)
    if today is not None:
        drawn.append(_today(SAMPLE_MM / 2, y, plot.reader))
        said = charts.today_size(size_words(today, plot.reader), plot.reader)
        if _inside(plot, today):
            said = today_words(today, plot.coverage, plot.reader)
        y = _told(drawn, said, y, plot.wide)
    return drawn, y


def _told(drawn: list[str], said: str, y: float, width: float) -> float:
    """A paragraph beside a sample, its first line level with a mark at `y`."""
    x = SAMPLE_MM + 2.0
    lines = wrap(said, width - x)
    drawn += set_lines(lines, (x, y - MIDDLE_MM))
    return y + len(lines) * LINE_MM + 0.9

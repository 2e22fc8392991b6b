"""The bay-size chart as SVG: which share of the work a room of each size covers, to scale, with its contours.

Length runs to the right and width up, both at the same scale, so that a bay has its own shape on the chart.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Iterator, Sequence
from html import escape

from attrs import frozen

from standtrue.draw.backends.svg import n
from standtrue.draw.dimensions import spread
from standtrue.draw.lettering import FONTS, LINE, TEXT_MM, clean, width_mm, wrap
from standtrue.draw.styles import BLACK, BLUE, GRAY, GREEN, PURPLE, VERMILION, WHITE, YELLOW
from standtrue.model.reader_units import INCH_M
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.show.words.sizes import coverage_words, layout_words, least_words, percent, size_words, today_words
from standtrue.study.coverage import Coverage, LeastBay
from standtrue.study.sizes import Size
from standtrue.work.study.sizes import SHARES, Sizes

PLOT_MM = 200.0
LEFT_MM, RIGHT_MM = 16.0, 22.0
TITLE_MM = 4.6
LINE_MM = TEXT_MM * LINE
SAMPLE_MM = 12.0

TINT = "#56B4E9"


@frozen
class _Look:
    """How one contour is drawn; `mark` names the shape that marks its bay of the least area."""

    color: str
    dash: str
    width: float
    mark: str


LOOKS = (
    _Look(GREEN, "0.6 1.1", 0.5, "circle"),
    _Look(BLUE, "2.4 1.0", 0.55, "square"),
    _Look(VERMILION, "5 1 0.8 1", 0.65, "diamond"),
    _Look(BLACK, "", 0.8, "triangle"),
    _Look(PURPLE, "1.2 0.8", 0.6, "square"),
)
"""One for each share, the smallest first: line, width, mark and the label beside it say which, not color alone."""


@frozen
class _Plot:
    """The frame: where sizes lie on paper, millimetres."""

    coverage: Coverage
    top: float
    reader: Reader

    @property
    def scale(self) -> float:
        low, high = self.coverage.sizes.length_m
        return PLOT_MM / (high - low)

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
        points = [(LEFT_MM + PLOT_MM, self.y(bays[0].width_m))]
        for bay, following in zip(bays, (*bays[1:], None), strict=True):
            x = self.x(bay.length_m)
            points += [(x, self.y(bay.width_m)), (x, self.top if following is None else self.y(following.width_m))]
        return points


def sizes_svg(answer: Sizes, reader: Reader = ENGLISH) -> str:
    """The chart as SVG text, the same bytes for the same answer."""
    coverage, basis = answer.coverage, answer.basis
    least = [coverage.least_bay(share) for share in SHARES]
    title = reader.say("How large a bay must be: {site}", site=answer.site.name)
    width = LEFT_MM + PLOT_MM + RIGHT_MM
    head, top = _header(title, basis.demonstration, width, reader)
    plot = _Plot(coverage, top + 2.0, reader)
    notes = [
        " ".join((layout_words(answer, reader), reader.reason(answer.work.rule))),
        *reader.reasons((*basis.warnings, *basis.limits)),
        *(reader.say("Caution: {caution}", caution=c.reason) for c in basis.cautions),
    ]
    demonstration = [reader.say("Invented demonstration data.")] if basis.demonstration else []
    told = " ".join(clean(s) for s in (coverage_words(coverage, least, reader), *demonstration, *notes))
    today = answer.today
    body = [*head, *_bands(plot, least), *_axes(plot), *_contours(plot, least), *_marks(plot, least, today)]
    key, height = _key(plot, least, notes, today, width)
    return _svg(title, told, (width, height), [*body, *key], reader)


def _svg(title: str, told: str, size: tuple[float, float], drawn: Sequence[str], reader: Reader) -> str:
    """The file: what is drawn, with what is told to those who do not see it."""
    width, height = map(n, size)
    prefix = f"sz{hashlib.sha256(f'{clean(title)}|{told}|{reader.units}'.encode()).hexdigest()[:8]}"
    frame = f'width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {frame} role="img" lang="{reader.language}" '
        f'aria-labelledby="{prefix}-title {prefix}-desc" font-family="{escape(FONTS)}" '
        f'font-size="{n(TEXT_MM)}" fill="{BLACK}" stroke-linejoin="round">\n'
        f'<title id="{prefix}-title">{escape(clean(title))}</title>\n<desc id="{prefix}-desc">{escape(told)}</desc>\n'
        + "\n".join([f'<rect width="{width}" height="{height}" fill="{WHITE}"/>', *drawn])
        + "\n</svg>\n"
    )


def _header(title: str, demonstration: bool, width: float, reader: Reader) -> tuple[list[str], float]:
    drawn, y = list[str](), 0.0
    if demonstration:
        frame = f'stroke="{BLACK}" stroke-width="0.6" stroke-dasharray="2.4 1.2"'
        drawn.append(f'<rect x="0.3" y="0.3" width="{n(width - 0.6)}" height="6.4" fill="{YELLOW}" {frame}/>')
        words = reader.say("INVENTED DEMONSTRATION DATA: do not plan a real shop by this chart")
        drawn.append(_text(words, width / 2, 4.7, size=3.4, bold=True, anchor="middle"))
        y = 8.0
    for line in wrap(title, width - 4.0, TITLE_MM, True):
        y += TITLE_MM * LINE
        drawn.append(_text(line, 2.0, y, size=TITLE_MM, bold=True))
    return drawn, y + 2.0


def _bands(plot: _Plot, least: Sequence[LeastBay]) -> Iterator[str]:
    """A tint that grows darker with each contour passed."""
    corner = (LEFT_MM + PLOT_MM, plot.top)
    for one in least:
        if one.bays:
            points = " ".join(f"{n(x)},{n(y)}" for x, y in [*plot.stairs(one.bays), corner])
            yield f'<polygon points="{points}" fill="{TINT}" fill-opacity="0.16"/>'


def _axes(plot: _Plot) -> Iterator[str]:
    sizes, right, bottom = plot.coverage.sizes, LEFT_MM + PLOT_MM, plot.top + plot.height
    for value, words in ticks(sizes.length_m, plot.reader):
        x = plot.x(value)
        yield _line((x, plot.top), (x, bottom), GRAY, 0.08)
        yield _line((x, bottom), (x, bottom + 1.2), BLACK, 0.25)
        yield _text(words, x, bottom + 1.6 + TEXT_MM, anchor="middle")
    for value, words in ticks(sizes.width_m, plot.reader):
        y = plot.y(value)
        yield _line((LEFT_MM, y), (right, y), GRAY, 0.08)
        yield _line((LEFT_MM - 1.2, y), (LEFT_MM, y), BLACK, 0.25)
        yield _text(words, LEFT_MM - 1.8, y + 1.0, anchor="end")
    frame = f'x="{n(LEFT_MM)}" y="{n(plot.top)}" width="{n(PLOT_MM)}" height="{n(plot.height)}"'
    yield f'<rect {frame} fill="none" stroke="{BLACK}" stroke-width="0.35"/>'
    length, wide = _axis_titles(plot.reader)
    yield _text(length, LEFT_MM + PLOT_MM / 2, bottom + 9.0, bold=True, anchor="middle")
    middle = plot.top + plot.height / 2
    turn = f'transform="rotate(-90 4.2 {n(middle)})"'
    yield _text(wide, 4.2, middle, bold=True, anchor="middle", more=turn)


def _axis_titles(reader: Reader) -> tuple[str, str]:
    if reader.units == "us":
        return reader.say("inside length of the room, feet"), reader.say("inside width of the room, feet")
    return reader.say("inside length of the room, meters"), reader.say("inside width of the room, meters")


def ticks(span: tuple[float, float], reader: Reader) -> list[tuple[float, str]]:
    """Where an axis is marked, metres, and what is written there: every meter, or every two feet."""
    step = float(24 * INCH_M) if reader.units == "us" else 1.0
    each = 2 if reader.units == "us" else 1
    first, last = math.ceil(span[0] / step - 1e-9), math.floor(span[1] / step + 1e-9)
    return [(i * step, str(i * each)) for i in range(first, last + 1)]


def _contours(plot: _Plot, least: Sequence[LeastBay]) -> Iterator[str]:
    drawn = [(one, look) for one, look in zip(least, LOOKS, strict=False) if one.bays]
    right = LEFT_MM + PLOT_MM
    for one, look in drawn:
        d = "M" + "L".join(f"{n(x)},{n(y)}" for x, y in plot.stairs(one.bays))
        said = plot.reader.say("{share} of the work", share=percent(one.share, plot.reader))
        told = f"<title>{escape(clean(said))}</title>"
        yield f'<g>{told}<path d="{d}" fill="none" {_stroke(look)}/></g>'
    # Wider bays lie higher on the chart, and higher is less on paper.
    upward = sorted(drawn, key=lambda entry: plot.y(entry[0].bays[0].width_m))
    places = spread([plot.y(one.bays[0].width_m) for one, _ in upward])
    for (one, look), y in zip(upward, places, strict=True):
        wanted = plot.y(one.bays[0].width_m)
        yield _line((right, wanted), (right + 3.5, y), look.color, 0.25)
        yield _text(percent(one.share, plot.reader), right + 4.2, y + 1.0, bold=True)


def _marks(plot: _Plot, least: Sequence[LeastBay], today: Size | None) -> Iterator[str]:
    for one, look in zip(least, LOOKS, strict=False):
        best = one.least_area
        if best is not None:
            yield _mark(look.mark, plot.x(best.length_m), plot.y(best.width_m), look.color)
    if today is not None and _inside(plot, today):
        x, y = plot.x(today.length_m), plot.y(today.width_m)
        yield _today(x, y, plot.reader)
        word = plot.reader.say("today")
        left = x + 3.0 + width_mm(word, bold=True) > LEFT_MM + PLOT_MM
        halo = f'paint-order="stroke" stroke="{WHITE}" stroke-width="0.9"'
        at = x - 3.0 if left else x + 3.0
        yield _text(word, at, y + 1.0, bold=True, anchor="end" if left else "start", more=halo)


def _inside(plot: _Plot, size: Size) -> bool:
    sizes = plot.coverage.sizes
    wide, long = sizes.width_m, sizes.length_m
    return wide[0] <= size.width_m <= wide[1] and long[0] <= size.length_m <= long[1]


def _today(x: float, y: float, reader: Reader) -> str:
    said = escape(clean(reader.say("the room as it is today")))
    cross = f"M{n(x - 2)},{n(y)}L{n(x + 2)},{n(y)}M{n(x)},{n(y - 2)}L{n(x)},{n(y + 2)}"
    return (
        f'<g><title>{said}</title><path d="{cross}" stroke="{WHITE}" stroke-width="1.6" fill="none"/>'
        f'<path d="{cross}" stroke="{BLACK}" stroke-width="0.7" fill="none"/></g>'
    )


def _mark(kind: str, x: float, y: float, color: str) -> str:
    look = f'fill="{color}" stroke="{WHITE}" stroke-width="0.35"'
    if kind == "circle":
        return f'<circle cx="{n(x)}" cy="{n(y)}" r="1.3" {look}/>'
    corners = {
        "square": ((-1.2, -1.2), (1.2, -1.2), (1.2, 1.2), (-1.2, 1.2)),
        "diamond": ((0.0, -1.7), (1.7, 0.0), (0.0, 1.7), (-1.7, 0.0)),
        "triangle": ((0.0, -1.6), (1.5, 1.2), (-1.5, 1.2)),
    }[kind]
    return f'<polygon points="{" ".join(f"{n(x + a)},{n(y + b)}" for a, b in corners)}" {look}/>'


def _key(
    plot: _Plot,
    least: Sequence[LeastBay],
    notes: Sequence[str],
    today: Size | None,
    width: float,
) -> tuple[list[str], float]:
    """What the lines and marks mean, and all that must be said, under the plot; and where it ends."""
    y = plot.top + plot.height + 13.0
    drawn: list[str] = []
    for one, look in zip(least, LOOKS, strict=False):
        drawn += [
            f'<path d="M2,{n(y)}L{n(2 + SAMPLE_MM)},{n(y)}" fill="none" {_stroke(look)}/>',
            _mark(look.mark, 2 + SAMPLE_MM / 2, y, look.color),
        ]
        y = _paragraph(drawn, least_words(one, plot.reader), 4.0 + SAMPLE_MM, y, width)
    if today is not None:
        drawn.append(_today(2 + SAMPLE_MM / 2, y, plot.reader))
        said = plot.reader.say("Today: {size}.", size=size_words(today, plot.reader))
        if _inside(plot, today):
            said = today_words(today, plot.coverage, plot.reader)
        y = _paragraph(drawn, said, 4.0 + SAMPLE_MM, y, width)
    y += 1.0
    meaning = plot.reader.say("On each line, and above and to the right of it, a room covers at least that share.")
    for said in (meaning, *notes):
        y = _paragraph(drawn, said, 2.0, y, width)
    return drawn, y + 1.0


def _paragraph(drawn: list[str], said: str, x: float, y: float, width: float) -> float:
    for line in wrap(said, width - x - 2.0):
        drawn.append(_text(line, x, y + 1.0))
        y += LINE_MM
    return y + 0.9


def _stroke(look: _Look) -> str:
    dash = f' stroke-dasharray="{look.dash}"' if look.dash else ""
    return f'stroke="{look.color}" stroke-width="{n(look.width)}"{dash}'


def _text(
    text: str, x: float, y: float, *, size: float = TEXT_MM, bold: bool = False, anchor: str = "start", more: str = ""
) -> str:
    extra = f' font-size="{n(size)}"' if size != TEXT_MM else ""
    extra += ' font-weight="bold"' if bold else ""
    extra += f' text-anchor="{anchor}"' if anchor != "start" else ""
    return f'<text x="{n(x)}" y="{n(y)}"{extra}{f" {more}" if more else ""}>{escape(clean(text))}</text>'


def _line(a: tuple[float, float], b: tuple[float, float], stroke: str, width: float) -> str:
    ends = f'x1="{n(a[0])}" y1="{n(a[1])}" x2="{n(b[0])}" y2="{n(b[1])}"'
    return f'<line {ends} stroke="{stroke}" stroke-width="{n(width)}"/>'

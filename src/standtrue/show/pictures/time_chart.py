"""A time chart of a plan, to scale: which step runs when, by place and by person."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import shapely
from attrs import evolve, frozen

from standtrue.draw.backends.svg import SVG, document
from standtrue.draw.canvas import Pen
from standtrue.draw.hatching import hatch_lines
from standtrue.draw.lettering import LINE, LINE_MM, TEXT_MM, wrap
from standtrue.draw.lettering import width_mm as words_mm
from standtrue.draw.page import Drawn, Page, page_svg, set_lines
from standtrue.draw.styles import BLACK, BLUE, CLOSED, GRAY, GREEN, PURPLE, WHITE, WORK, Hatch
from standtrue.model.reason import Duration
from standtrue.show.pictures.time_axis import Axis, Shift, axis_of
from standtrue.show.words import labels_charts as charts
from standtrue.show.words.reader import Reader, Said

WIDTH_MM = 250.0
EDGE_MM = 4.0
THIN_MM = 0.3
"""What would be narrower is drawn as a line: its number stands below it."""
ROW_MM = 6.0
BELOW_MM = 3.6
"""Room below a row for the numbers of bars that are too narrow to hold them."""
ROOM_MM = 1.0
WORK_FILL, CLOSED_FILL = WORK, CLOSED
NAMES = 0.25
"""The greatest share of the chart's width that the names of its rows may take."""
CLOCK_MM = 10.0
"""Room at the right for the last time."""
FRAME_MM = 0.25
"""How wide a bar's frame is."""


@frozen
class Look:
    """How a kind of step is drawn: the fill, hatch and frame of its bar."""

    fill: str = WHITE
    hatch: Hatch | None = None
    dash: tuple[float, ...] = ()


_MOVE, _AROUND = Look(BLACK), Look()
STYLES: dict[str, Look] = {
    "enter": _MOVE,
    "move": _MOVE,
    "leave": _MOVE,
    "lift": Look(hatch=Hatch(BLACK, 90, 1.0, 0.15)),
    "set up": _AROUND,
    "carry": _AROUND,
    "put away": _AROUND,
    "wait": Look(dash=(1.0, 0.8)),
    "scan": Look(hatch=Hatch(BLACK, 0, 0.9, 0.2, dots=True)),
    "work": Look(WORK_FILL),
    "confirm": Look(dash=(0.3, 0.6)),
    "calibration": Look(BLUE),
    "drive": Look(hatch=Hatch(GREEN, 45, 1.2, 0.3)),
    "sent out": Look(hatch=Hatch(PURPLE, 45, 1.4, 0.2, cross=True), dash=(1.0, 0.8)),
}
"""Of each kind of step: fill, hatch and frame, so that none rests on color alone. The number in a bar says the rest."""


Listed = tuple[str, str]
"""Numbers of the chart, and what they are in few words."""


@frozen
class Bar:
    """One step: its number and words, when it runs at the midpoints (seconds), where, and by whom.

    `when` is that in words: from, to.
    """

    number: int
    kind: str
    words: str
    start_s: float
    end_s: float
    place: str
    people: tuple[str, ...]
    when: tuple[str, str] = ("", "")


def time_chart_svg(
    title: str, bars: Sequence[Bar], reader: Reader, *, shift: Shift | None = None, width_mm: float = WIDTH_MM
) -> str:
    """The chart alone as one SVG, for a page. Time runs to the right, to scale: by the clock of `shift`, if any."""
    body: list[str] = []
    y, axis = _rows(body, bars, width_mm, EDGE_MM, reader, shift)
    y = _kinds(body, bars, axis, width_mm, y + 4.0, reader)
    told = _told(bars, reader)
    return document((width_mm, y), body, title=title, told=told, language=reader.language, mark="chart", kind="chart")


def time_page_svg(
    page: Page, bars: Sequence[Bar], listed: Sequence[Listed], reader: Reader, *, shift: Shift | None = None
) -> str:
    """The chart as a picture by itself, on one page, with what its numbers are below it."""

    def draw(wide: float, room: float) -> Drawn | None:
        body: list[str] = []
        y, axis = _rows(body, bars, wide, 0.0, reader, shift)
        y = _kinds(body, bars, axis, wide, y + 4.0, reader)
        y = _list(body, listed, wide, y + 1.0)
        return Drawn(tuple(body), y, charts.as_long(reader)) if y <= room else None

    return page_svg(evolve(page, told=_told(bars, reader)), draw)


def _told(bars: Sequence[Bar], reader: Reader) -> str:
    return " ".join(charts.bar_sentence(reader, b.place, **_said(b)) for b in bars)


def _said(bar: Bar) -> dict[str, Said]:
    """What the words of a bar name."""
    start, end = bar.when if any(bar.when) else (Duration(bar.start_s), Duration(bar.end_s))
    return {"number": bar.number, "what": bar.words, "start": start, "end": end}


def _rows(
    body: list[str], bars: Sequence[Bar], width_mm: float, top: float, reader: Reader, shift: Shift | None
) -> tuple[float, Axis]:
    """A row for each place and each person, under the times. Returns where they end, and the axis."""
    places = list(dict.fromkeys(b.place for b in bars))
    people = list(dict.fromkeys(p for b in bars for p in b.people))
    longest = max([words_mm(name, TEXT_MM, True) for name in (*places, *people)], default=20.0)
    left = EDGE_MM + min(longest, NAMES * width_mm) + 3.0
    ends = min((b.start_s for b in bars), default=0.0), max((b.end_s for b in bars), default=0.0)
    axis = axis_of(*ends, width_mm - left - EDGE_MM - CLOCK_MM, reader, shift)
    rows: list[str] = []
    foot = top + (2 if axis.days else 1) * TEXT_MM * LINE + 3.0
    y = foot
    for group in ([(p, [b for b in bars if b.place == p]) for p in places],
                  [(p, [b for b in bars if p in b.people]) for p in people]):  # fmt: skip
        if group:
            rows.append(SVG.line((EDGE_MM, y + 1.0), (width_mm - EDGE_MM, y + 1.0), Pen(width=0.4)))
            y += 2.0
        for name, own in group:
            rows.extend(_name(name, left - EDGE_MM - 3.0, y))
            for lane in _lanes(own):
                rows.extend(_bar(b, left + axis.x(b.start_s), left + axis.x(b.end_s), y, reader) for b in lane)
                narrow = [b for b in lane if not _holds_number(b, axis.x(b.end_s) - axis.x(b.start_s))]
                y += ROW_MM
                if narrow:
                    rows.extend(_numbers(narrow, axis, left, y))
                    y += BELOW_MM
            y += ROOM_MM
            rows.append(SVG.line((left, y), (width_mm - EDGE_MM, y), Pen(width=0.1)))
    body.extend(_times(axis, left, top, foot, y))
    body.extend(rows)
    return y, axis


def _holds_number(bar: Bar, width_mm: float) -> bool:
    """Whether a bar is wide enough for its number at reading size."""
    return words_mm(str(bar.number), TEXT_MM, True) + 2 * FRAME_MM <= width_mm


def _numbers(bars: Sequence[Bar], axis: Axis, left: float, y: float) -> Iterator[str]:
    """The numbers of narrow bars below them: those that stand too near to one another as one list."""
    lists: list[tuple[list[int], float, float]] = []
    for bar in bars:
        numbers, x0, x1 = [bar.number], axis.x(bar.start_s), axis.x(bar.end_s)
        while lists and _spot(lists[-1], axis)[1] + 0.8 > _spot((numbers, x0, x1), axis)[0]:
            before = lists.pop()
            numbers, x0 = [*before[0], *numbers], before[1]
        lists.append((numbers, x0, x1))
    for one in lists:
        start, _ = _spot(one, axis)
        number = SVG.text(_listed(one[0]), (left + start, y + TEXT_MM * 0.8), bold=True)
        yield SVG.group([number], edge=WHITE)


def _spot(one: tuple[list[int], float, float], axis: Axis) -> tuple[float, float]:
    """From where to where a list of numbers is written: in the middle of its bars, within the day they begin in."""
    numbers, x0, x1 = one
    wide = words_mm(_listed(numbers), TEXT_MM, True)
    nights = [s for s in axis.stretches if s.folded]
    least = max((s.x1 for s in nights if s.x1 <= x0 + 1e-6), default=0.0)
    most = min((s.x0 for s in nights if s.x0 >= x1 - 1e-6), default=axis.stretches[-1].x1 + CLOCK_MM)
    start = max(least, min((x0 + x1 - wide) / 2, most - wide))
    return start, start + wide


def _listed(numbers: Sequence[int]) -> str:
    """Numbers in rising order as a list: `3–5, 8`."""
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(str(r[0]) if len(r) == 1 else f"{r[0]}–{r[-1]}" for r in runs)


def _lanes(bars: Sequence[Bar]) -> list[list[Bar]]:
    """Bars of one row, those that run at the same time below one another."""
    lanes: list[list[Bar]] = [[]]
    for bar in sorted(bars, key=lambda b: (b.start_s, b.end_s, b.number)):
        free = next((lane for lane in lanes if not lane or lane[-1].end_s <= bar.start_s), None)
        if free is None:
            lanes.append(free := [])
        free.append(bar)
    return lanes


def _name(name: str, room_mm: float, y: float) -> Iterator[str]:
    """A row's name before it, in two lines at most."""
    lines = wrap(name, room_mm + 0.01, bold=True)
    said = (*lines[:1], f"{lines[1][:-1]}…" if len(lines) > 2 else lines[1]) if len(lines) > 1 else lines
    step = TEXT_MM * LINE
    for k, line in enumerate(said):
        yield SVG.text(line, (EDGE_MM, y + ROW_MM * 0.62 + (k - (len(said) - 1) / 2) * step), bold=True)


def _times(axis: Axis, left: float, top: float, foot: float, bottom: float) -> Iterator[str]:
    """Closed time, then the marks: days over times, each with a line to the bottom."""
    for stretch in axis.stretches:
        if stretch.closed:
            yield SVG.box((left + stretch.x0, foot), (stretch.x1 - stretch.x0, bottom - foot), None, fill=CLOSED_FILL)
        if stretch.folded:
            for x in (stretch.x0, stretch.x1):
                yield SVG.line((left + x, foot), (left + x, bottom), Pen(GRAY, 0.3, (1.0, 0.8)))
    for x, words in axis.days:
        yield SVG.text(words, (left + x, top + TEXT_MM), bold=True)
        yield SVG.line((left + x, top + TEXT_MM * LINE + 0.6), (left + x, foot), Pen(GRAY, 0.3))
    for x, words in axis.marks:
        yield SVG.text(words, (left + x + 0.6, foot - 1.2))
        yield SVG.line((left + x, foot - 1.2 - 0.8 * TEXT_MM), (left + x, bottom), Pen(GRAY, 0.1))


def _bar(bar: Bar, x0: float, x1: float, y: float, reader: Reader) -> str:
    """A bar just as wide as its step is long; what would be too narrow to see is a line at its beginning."""
    look = STYLES[bar.kind]
    wide, high = x1 - x0, ROW_MM - 2 * ROOM_MM
    frame = min(FRAME_MM, wide / 4)
    if wide < THIN_MM:
        drawn = [SVG.box((x0, y + ROOM_MM), (wide, high), Pen(width=THIN_MM), fill=BLACK)]
    else:
        drawn = _box(look, (x0 + frame / 2, y + ROOM_MM), (wide - frame, high), frame)
    if _holds_number(bar, wide):
        at = ((x0 + x1) / 2, y + ROW_MM * 0.69)
        dark = look.fill in (BLUE, BLACK)
        number = SVG.text(str(bar.number), at, bold=True, anchor="middle", color=WHITE if dark else BLACK)
        drawn.append(SVG.group([number], edge=WHITE) if look.hatch else number)
    return SVG.group(drawn, charts.bar_words(reader, **_said(bar)))


def _box(look: Look, at: tuple[float, float], size: tuple[float, float], frame: float) -> list[str]:
    """A bar, or its sample: filled, hatched, framed."""
    drawn = [SVG.box(at, size, Pen(width=frame, dash=look.dash), fill=look.fill)]
    if look.hatch is not None:
        strokes = hatch_lines(shapely.box(*at, at[0] + size[0], at[1] + size[1]), look.hatch)
        drawn.append(SVG.path(strokes, Pen(look.hatch.color, look.hatch.width, dots=look.hatch.dots)))
    return drawn


def _kinds(body: list[str], bars: Sequence[Bar], axis: Axis, width_mm: float, y: float, reader: Reader) -> float:
    """The kinds of bar that are drawn, and what is closed."""
    x = EDGE_MM
    kinds = {charts.step_kind(b.kind, reader): STYLES[b.kind] for b in bars}
    if any(s.closed and not s.folded for s in axis.stretches):
        kinds[charts.closed(reader)] = Look(CLOSED_FILL)
    if any(s.folded for s in axis.stretches):
        kinds[charts.folded(reader)] = Look(CLOSED_FILL, dash=(1.0, 0.8))
    for words, look in kinds.items():
        if x > EDGE_MM and x + 6.0 + words_mm(words) > width_mm - EDGE_MM:
            x, y = EDGE_MM, y + 5.0
        body.extend(_box(look, (x, y), (5.0, 3.2), FRAME_MM))
        body.append(SVG.text(words, (x + 6.0, y + 2.6)))
        x += 9.0 + words_mm(words)
    return y + 6.0


def _list(body: list[str], listed: Sequence[Listed], width_mm: float, y: float) -> float:
    """What the numbers of the chart are, in columns."""
    columns = 3
    room = (width_mm - 2 * EDGE_MM) / columns
    inset = max((words_mm(numbers, bold=True) for numbers, _ in listed), default=0.0) + 2.0
    told = [(numbers, wrap(words, room - inset - 3.0)) for numbers, words in listed]
    height = -(-sum(len(lines) for _, lines in told) // columns) + 1
    column, at, deepest = 0, 0, 0
    for numbers, lines in told:
        if at and at + len(lines) > height and column < columns - 1:
            column, at = column + 1, 0
        x = EDGE_MM + column * room
        body.extend(set_lines((numbers,), (x, y + at * LINE_MM), bold=True))
        body.extend(set_lines(lines, (x + inset, y + at * LINE_MM)))
        at += len(lines)
        deepest = max(deepest, at)
    return y + LINE_MM * deepest

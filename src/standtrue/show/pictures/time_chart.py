"""A time chart of a plan: which step runs when, by place and by person."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from attrs import frozen

from standtrue.draw.backends.svg import SVG, document
from standtrue.draw.canvas import Pen
from standtrue.draw.lettering import LINE, TEXT_MM, wrap
from standtrue.draw.lettering import width_mm as words_mm
from standtrue.draw.styles import BLACK, BLUE, GRAY, GREEN, ORANGE, PURPLE, SKY, WHITE
from standtrue.model.reason import Duration
from standtrue.show.pictures.banner import UNDER_MM, banner, paragraph
from standtrue.show.words import labels_charts as charts
from standtrue.show.words.reader import Reader, Said

WIDTH_MM = 250.0
EDGE_MM = 4.0
LEAST_MM = 4.6
"""No bar is narrower, so that its number can be read: the clock above tells the times."""
ROW_MM = 7.0
ROOM_MM = 1.0
TICK_ROOM_MM = 15.0
NAMES = 0.25
"""The greatest share of the chart's width that the names of its rows may take."""
CLOCK_MM = 6.0
"""Room at the right for the last time."""
FRAME_MM = 0.25
"""How wide a bar's frame is."""

STYLES: dict[str, tuple[str, tuple[float, ...]]] = {
    "enter": (ORANGE, ()),
    "move": (ORANGE, ()),
    "leave": (ORANGE, ()),
    "lift": (ORANGE, (1.0, 0.8)),
    "set up": (WHITE, ()),
    "carry": (WHITE, ()),
    "put away": (WHITE, ()),
    "wait": (WHITE, (1.0, 0.8)),
    "scan": (SKY, ()),
    "work": ("#d0d0d0", ()),
    "confirm": (WHITE, (0.3, 0.6)),
    "calibration": (BLUE, ()),
    "drive": (GREEN, ()),
    "sent out": (PURPLE, (1.0, 0.8)),
}
"""Of each kind of step: fill and dash of its frame. The number in a bar says the rest."""


@frozen
class Bar:
    """One step: its number and words, when it runs at the midpoints (seconds), where, and by whom."""

    number: int
    kind: str
    words: str
    start_s: float
    end_s: float
    place: str
    people: tuple[str, ...]


def time_chart_svg(
    title: str,
    bars: Sequence[Bar],
    reader: Reader,
    *,
    demonstration: bool = False,
    width_mm: float = WIDTH_MM,
    bare: bool = False,
) -> str:
    """The chart as one self-contained SVG. Time runs to the right; short steps are drawn wider than they are long.

    What runs at the same time in one row stands below one another. `bare`: without title and list of steps, for a page
    that has both.
    """
    invented = charts.invented_drawing(reader) if demonstration else ""
    body: list[str] = []
    y = EDGE_MM if bare else _heading(body, (title, charts.time_note(reader)), width_mm, invented)
    y = _rows(body, bars, width_mm, y, reader, turn_deg=-90 if bare else -60)
    y = _kinds(body, bars, y + 4.0, reader)
    if not bare:
        y = _list(body, bars, width_mm, y)
    told = " ".join(charts.bar_sentence(reader, b.place, **_said(b)) for b in bars)
    return document((width_mm, y), body, title=title, told=told, language=reader.language, mark="chart")


def _said(bar: Bar) -> dict[str, Said]:
    """What the words of a bar name."""
    return {"number": bar.number, "what": bar.words, "start": Duration(bar.start_s), "end": Duration(bar.end_s)}


def _rows(body: list[str], bars: Sequence[Bar], width_mm: float, top: float, reader: Reader, *, turn_deg: int) -> float:
    """A row for each place and each person, under the times. Returns where they end."""
    places = list(dict.fromkeys(b.place for b in bars))
    people = list(dict.fromkeys(p for b in bars for p in b.people))
    longest = max([words_mm(name, TEXT_MM, True) for name in (*places, *people)], default=20.0)
    left = EDGE_MM + min(longest, NAMES * width_mm) + 3.0
    edges = _edges(bars, width_mm - left - EDGE_MM - CLOCK_MM)
    ticks = _ticks(bars, edges, reader)
    foot = top + max([TICK_ROOM_MM, *(words_mm(words) + 4.0 for _, words in ticks)])
    y = foot
    for group in ([(p, [b for b in bars if b.place == p]) for p in places],
                  [(p, [b for b in bars if p in b.people]) for p in people]):  # fmt: skip
        if group:
            body.append(SVG.line((EDGE_MM, y + 2.0), (width_mm - EDGE_MM, y + 2.0), Pen(width=0.4)))
            y += 3.0
        for name, own in group:
            body.extend(_name(name, left - EDGE_MM - 3.0, y))
            for lane in _lanes(own):
                body.extend(_bar(b, left + edges[b.number][0], left + edges[b.number][1], y, reader) for b in lane)
                y += ROW_MM
            body.append(SVG.line((left, y), (width_mm - EDGE_MM, y), Pen(width=0.1)))
    body.extend(_times(ticks, left, foot, y, turn_deg))
    return y


def _edges(bars: Sequence[Bar], room_mm: float) -> dict[int, tuple[float, float]]:
    """Where each step's bar begins and ends, by its number: also one that takes no time has room for that."""
    if not bars:
        return {}
    times = sorted({t for b in bars for t in (b.start_s, b.end_s)})
    instants = {t: [b.number for b in bars if b.start_s == b.end_s == t] for t in times}
    spans = {(b.start_s, b.end_s) for b in bars if b.start_s < b.end_s}
    count = sum(span in spans for span in pairwise(times)) + sum(map(len, instants.values()))
    least = min(LEAST_MM, room_mm / max(1, count))
    spare = (room_mm - least * count) / ((times[-1] - times[0]) or 1.0)
    edges: dict[int, tuple[float, float]] = {}
    ends, starts, at = {}, {}, 0.0
    for time, following in zip(times, [*times[1:], None], strict=True):
        ends[time] = at
        for number in instants[time]:
            edges[number] = (at, at + least)
            at += least
        starts[time] = at
        if following is not None:
            at += spare * (following - time) + (least if (time, following) in spans else 0.0)
    edges.update((b.number, (starts[b.start_s], ends[b.end_s])) for b in bars if b.number not in edges)
    return edges


def _lanes(bars: Sequence[Bar]) -> list[list[Bar]]:
    """Bars of one row, those that run at the same time below one another."""
    lanes: list[list[Bar]] = [[]]
    for bar in sorted(bars, key=lambda b: (b.start_s, b.end_s, b.number)):
        free = next((lane for lane in lanes if not lane or lane[-1].end_s <= bar.start_s), None)
        if free is None:
            lanes.append(free := [])
        free.append(bar)
    return lanes


def _heading(body: list[str], said: tuple[str, str], width_mm: float, invented: str) -> float:
    """The title and the note, under what is said of invented data."""
    title, note = said
    y = EDGE_MM
    if invented:
        body.extend(banner(invented, width_mm))
        y = UNDER_MM
    y = paragraph(body, title, (EDGE_MM, y), width_mm - 2 * EDGE_MM, 4.6, bold=True)
    return paragraph(body, note, (EDGE_MM, y + 0.8), width_mm - 2 * EDGE_MM) + 0.5


def _name(name: str, room_mm: float, y: float) -> Iterator[str]:
    """A row's name before it, in two lines at most."""
    lines = wrap(name, room_mm + 0.01, bold=True)
    said = (*lines[:1], f"{lines[1][:-1]}…" if len(lines) > 2 else lines[1]) if len(lines) > 1 else lines
    step = TEXT_MM * LINE
    for k, line in enumerate(said):
        yield SVG.text(line, (EDGE_MM, y + ROW_MM * 0.62 + (k - (len(said) - 1) / 2) * step), bold=True)


def _ticks(bars: Sequence[Bar], edges: dict[int, tuple[float, float]], reader: Reader) -> list[tuple[float, str]]:
    """The time at each step's beginning, and at the end of all: how far to the right, and in words."""
    ends = {(edges[b.number][0], b.start_s) for b in bars}
    if bars:
        ends.add((max(x1 for _, x1 in edges.values()), max(b.end_s for b in bars)))
    return [(at, reader.write(Duration(seconds))) for at, seconds in sorted(ends)]


def _times(ticks: Sequence[tuple[float, str]], left: float, top: float, bottom: float, turn_deg: int) -> Iterator[str]:
    """The times over their lines, where there is room to write them."""
    last = -10.0
    for at, words in ticks:
        x = left + at
        yield SVG.line((x, top - 1.0), (x, bottom), Pen(GRAY, 0.1))
        if x - last >= TEXT_MM * 1.15:
            last = x
            at_end = (x, top - 2.0)
            yield SVG.group([SVG.text(words, at_end)], turned=(turn_deg, at_end))


def _bar(bar: Bar, x0: float, x1: float, y: float, reader: Reader) -> str:
    fill, dash = STYLES[bar.kind]
    box = SVG.box(
        (x0 + 0.15, y + ROOM_MM), (x1 - x0 - 0.3, ROW_MM - 2 * ROOM_MM), Pen(width=FRAME_MM, dash=dash), fill=fill
    )
    size = min(TEXT_MM, 0.92 * (x1 - x0) / words_mm(str(bar.number), 1.0, True))
    at = ((x0 + x1) / 2, y + ROW_MM * 0.64)
    color = WHITE if fill == BLUE else BLACK
    number = SVG.text(str(bar.number), at, size, bold=True, anchor="middle", color=color)
    return SVG.group([box, number], charts.bar_words(reader, **_said(bar)))


def _kinds(body: list[str], bars: Sequence[Bar], y: float, reader: Reader) -> float:
    """The kinds of bar that are drawn."""
    x = EDGE_MM
    kinds = {charts.step_kind(b.kind, reader): STYLES[b.kind] for b in bars}
    for words, (fill, dash) in kinds.items():
        body.append(SVG.box((x, y), (5.0, 3.2), Pen(width=FRAME_MM, dash=dash), fill=fill))
        body.append(SVG.text(words, (x + 6.0, y + 2.6)))
        x += 9.0 + words_mm(words)
    return y + 6.0


def _list(body: list[str], bars: Sequence[Bar], width_mm: float, y: float) -> float:
    """Every step's number and words in columns."""
    columns, row = 3, TEXT_MM * LINE
    room = (width_mm - 2 * EDGE_MM) / columns
    set_lines = [(b.number, wrap(b.words, room - 8.0)) for b in bars]
    height = sum(len(lines) for _, lines in set_lines) / columns + 1
    column, at = 0, 0
    deepest = 0
    for number, lines in set_lines:
        if at >= height and column < columns - 1:
            column, at = column + 1, 0
        x = EDGE_MM + column * room
        body.append(SVG.text(str(number), (x, y + row * (at + 0.78)), bold=True))
        for line in lines:
            body.append(SVG.text(line, (x + 6.0, y + row * (at + 0.78))))
            at += 1
        deepest = max(deepest, at)
    return y + row * deepest + EDGE_MM

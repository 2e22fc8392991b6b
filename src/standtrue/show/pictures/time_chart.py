"""A time chart of a plan: which step runs when, by place and by person."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape
from itertools import pairwise

from attrs import frozen

from standtrue.draw.backends.svg import n
from standtrue.draw.lettering import FONTS, LINE, TEXT_MM, clean, wrap
from standtrue.draw.lettering import width_mm as words_mm
from standtrue.draw.styles import BLACK, BLUE, GRAY, GREEN, ORANGE, PURPLE, SKY, WHITE, YELLOW

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

TIME_NOTE = "Time at the midpoint of every range. Short steps are drawn wider than they are long; the clock says when."
"""What the reader of a chart must know: the chart says so itself unless it is bare."""

STYLES: dict[str, tuple[str, str, str]] = {
    "enter": (ORANGE, "", "move"),
    "move": (ORANGE, "", "move"),
    "leave": (ORANGE, "", "move"),
    "lift": (ORANGE, "1 0.8", "lift travel"),
    "set up": (WHITE, "", "set up, carry, put away"),
    "carry": (WHITE, "", "set up, carry, put away"),
    "put away": (WHITE, "", "set up, carry, put away"),
    "wait": (WHITE, "1 0.8", "wait"),
    "scan": (SKY, "", "scan"),
    "work": ("#d0d0d0", "", "work"),
    "calibration": (BLUE, "", "calibration"),
    "drive": (GREEN, "", "drive on the road"),
    "sent out": (PURPLE, "1 0.8", "sent out"),
}
"""Of each kind of step: fill, dash of its frame, what the legend says. The number in a bar says the rest."""


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
    *,
    demonstration: bool = False,
    width_mm: float = WIDTH_MM,
    bare: bool = False,
) -> str:
    """The chart as one self-contained SVG. Time runs to the right; short steps are drawn wider than they are long.

    What runs at the same time in one row stands below one another. `bare`: without title and list of steps, for a page
    that has both.
    """
    places = list(dict.fromkeys(b.place for b in bars))
    people = list(dict.fromkeys(p for b in bars for p in b.people))
    longest = max([words_mm(name, TEXT_MM, True) for name in (*places, *people)], default=20.0)
    left = EDGE_MM + min(longest, NAMES * width_mm) + 3.0
    edges = _edges(bars, width_mm - left - EDGE_MM - CLOCK_MM)
    body: list[str] = []
    y = EDGE_MM if bare else _heading(body, title, width_mm, demonstration)
    top = y
    y += TICK_ROOM_MM
    rows = [("Place", name, [b for b in bars if b.place == name]) for name in places]
    rows += [("Person", name, [b for b in bars if name in b.people]) for name in people]
    group = ""
    for kind, name, own in rows:
        if kind != group:
            group = kind
            y += 2.0
            body.append(_line(EDGE_MM, y, width_mm - EDGE_MM, y, 0.4))
            y += 1.0
        body.extend(_name(name, left - EDGE_MM - 3.0, y))
        for lane in _lanes(own):
            body.extend(_bar(bar, left + edges[bar.number][0], left + edges[bar.number][1], y) for bar in lane)
            y += ROW_MM
        body.append(_line(left, y, width_mm - EDGE_MM, y, 0.1))
    body.extend(_ticks(bars, edges, left, top, y, -90 if bare else -60))
    y = _kinds(body, bars, y + 4.0)
    if not bare:
        y = _list(body, bars, width_mm, y)
    told = " ".join(f"Step {b.number}: {b.words}, {_clock(b.start_s)} to {_clock(b.end_s)}, {b.place}." for b in bars)
    size = f'width="{n(width_mm)}mm" height="{n(y)}mm" viewBox="0 0 {n(width_mm)} {n(y)}"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} role="img" lang="en" aria-labelledby="chart-title chart-desc" '
        f'font-family="{escape(FONTS)}" font-size="{n(TEXT_MM)}" fill="{BLACK}">\n'
        f'<title id="chart-title">{escape(clean(title))}</title>\n<desc id="chart-desc">{escape(clean(told))}</desc>\n'
        f'<rect width="{n(width_mm)}" height="{n(y)}" fill="{WHITE}"/>\n' + "\n".join(body) + "\n</svg>\n"
    )


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


def _heading(body: list[str], title: str, width_mm: float, demonstration: bool) -> float:
    y = EDGE_MM
    if demonstration:
        frame = f'stroke="{BLACK}" stroke-width="0.6" stroke-dasharray="2.4 1.2"'
        body.append(f'<rect x="0.3" y="0.3" width="{n(width_mm - 0.6)}" height="6.4" fill="{YELLOW}" {frame}/>')
        said = "INVENTED DEMONSTRATION DATA: do not work on a real car by this drawing"
        body.append(_text(said, width_mm / 2, 4.7, size=3.4, bold=True, anchor="middle"))
        y = 9.0
    for line in wrap(title, width_mm - 2 * EDGE_MM, 4.6, bold=True):
        body.append(_text(line, EDGE_MM, y + 4.6, size=4.6, bold=True))
        y += 4.6 * LINE
    body.append(_text(TIME_NOTE, EDGE_MM, y + 3.4))
    return y + 5.0


def _name(name: str, room_mm: float, y: float) -> Iterator[str]:
    """A row's name before it, in two lines at most."""
    lines = wrap(name, room_mm + 0.01, bold=True)
    said = (*lines[:1], f"{lines[1][:-1]}…" if len(lines) > 2 else lines[1]) if len(lines) > 1 else lines
    step = TEXT_MM * LINE
    for k, line in enumerate(said):
        yield _text(line, EDGE_MM, y + ROW_MM * 0.62 + (k - (len(said) - 1) / 2) * step, bold=True)


def _ticks(
    bars: Sequence[Bar],
    edges: dict[int, tuple[float, float]],
    left: float,
    top: float,
    bottom: float,
    turn_deg: int,
) -> Iterator[str]:
    """The time at each step's beginning, and at the end of all, where there is room to write it."""
    last = -10.0
    ends = {(edges[b.number][0], b.start_s) for b in bars}
    if bars:
        end = max(b.end_s for b in bars)
        ends.add((max(x1 for _, x1 in edges.values()), end))
    for at, seconds in sorted(ends):
        x = left + at
        yield _line(x, top + TICK_ROOM_MM - 1.0, x, bottom, 0.1, GRAY)
        if x - last >= TEXT_MM * 1.15:
            last = x
            at_y = top + TICK_ROOM_MM - 2.0
            turn = f' transform="rotate({turn_deg} {n(x)} {n(at_y)})"'
            yield f'<text x="{n(x)}" y="{n(at_y)}"{turn}>{_clock(seconds)}</text>'


def _bar(bar: Bar, x0: float, x1: float, y: float) -> str:
    fill, dash, _ = STYLES[bar.kind]
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    box = f'x="{n(x0 + 0.15)}" y="{n(y + ROOM_MM)}" width="{n(x1 - x0 - 0.3)}" height="{n(ROW_MM - 2 * ROOM_MM)}"'
    ink = WHITE if fill == BLUE else BLACK
    middle = (x0 + x1) / 2
    said = f"{bar.number}: {bar.words}, {_clock(bar.start_s)} to {_clock(bar.end_s)}"
    size = min(TEXT_MM, 0.92 * (x1 - x0) / words_mm(str(bar.number), 1.0, True))
    number = _text(str(bar.number), middle, y + ROW_MM * 0.64, size=size, bold=True, anchor="middle", fill=ink)
    frame = f'stroke="{BLACK}" stroke-width="0.25"{dashed}'
    return f'<g><title>{escape(clean(said))}</title><rect {box} fill="{fill}" {frame}/>{number}</g>'


def _kinds(body: list[str], bars: Sequence[Bar], y: float) -> float:
    """The kinds of bar that are drawn."""
    x = EDGE_MM
    kinds = {STYLES[b.kind][2]: STYLES[b.kind] for b in bars}
    for words, (fill, dash, _) in kinds.items():
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        box = f'x="{n(x)}" y="{n(y)}" width="5" height="3.2" fill="{fill}" stroke="{BLACK}" stroke-width="0.25"{dashed}'
        body.append(f"<rect {box}/>")
        body.append(_text(words, x + 6.0, y + 2.6))
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
        body.append(_text(str(number), x, y + row * (at + 0.78), bold=True))
        for line in lines:
            body.append(_text(line, x + 6.0, y + row * (at + 0.78)))
            at += 1
        deepest = max(deepest, at)
    return y + row * deepest + EDGE_MM


def _clock(seconds: float) -> str:
    minutes = round(seconds / 60)
    return f"{minutes // 60}:{minutes % 60:02d}"


def _line(x0: float, y0: float, x1: float, y1: float, width: float, stroke: str = BLACK) -> str:
    ends = f'x1="{n(x0)}" y1="{n(y0)}" x2="{n(x1)}" y2="{n(y1)}"'
    return f'<line {ends} stroke="{stroke}" stroke-width="{n(width)}"/>'


def _text(
    text: str, x: float, y: float, *, size: float = TEXT_MM, bold: bool = False, anchor: str = "", fill: str = ""
) -> str:
    more = ' font-weight="bold"' if bold else ""
    more += f' text-anchor="{anchor}"' if anchor else ""
    more += f' fill="{fill}"' if fill else ""
    more += f' font-size="{n(size)}"' if size != TEXT_MM else ""
    return f'<text x="{n(x)}" y="{n(y)}"{more}>{escape(clean(text))}</text>'

"""The time chart of a plan: bars to scale that can be told apart, by the clock with its nights folded."""

from __future__ import annotations

import re
from datetime import datetime
from itertools import combinations, pairwise
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.draw.lettering import TEXT_MM, wrap
from standtrue.draw.lettering import width_mm as words_mm
from standtrue.model.order import StepKind
from standtrue.show.pictures.time_axis import FOLD_MM, Shift
from standtrue.show.pictures.time_chart import STYLES, THIN_MM, WIDTH_MM, Bar, time_chart_svg
from standtrue.show.words.reader import ENGLISH, Reader

_BAR = re.compile(
    r'<title>(\d+): [^<]*</title><rect x="([\d.]+)" y="([\d.]+)" width="([\d.]+)"[^>]*stroke-width="([\d.]+)"'
)
_TEXT = re.compile(r'<text x="([\d.]+)" y="([\d.]+)"([^>]*)>([^<]*)</text>')

SPANS = st.lists(st.tuples(st.integers(0, 30), st.integers(0, 30)), min_size=1, max_size=12)

Drawn = dict[int, list[tuple[float, float, float]]]


def chart(spans: list[tuple[int, int]], people: int = 1, shift: Shift | None = None) -> str:
    """Steps by when they start and how long they take, minutes; the whole chart without its list."""
    bars = [
        Bar(i, "work", f"step {i}", 60.0 * start, 60.0 * (start + length), "place 1", (f"person {i % people}",))
        for i, (start, length) in enumerate(spans, start=1)
    ]
    return time_chart_svg("When", bars, ENGLISH, shift=shift)


def drawn(svg: str) -> Drawn:
    """Of each step where its bars begin, end and how low they stand: one at its place, one at its person."""
    found: Drawn = {}
    for number, x, y, width, frame in _BAR.findall(svg):
        # A line has its frame outside, a bar inside.
        edge = float(frame) / 2 if float(width) > THIN_MM / 2 else 0.0
        found.setdefault(int(number), []).append((float(x) - edge, float(x) + float(width) + edge, float(y)))
    return found


@settings(derandomize=True, deadline=None, max_examples=60)
@given(SPANS)
def test_bars_are_to_scale(spans: list[tuple[int, int]]) -> None:
    """One scale for where all begin and how long all are; none is on another."""
    spans = sorted(spans)
    found = drawn(chart(spans, people=2))
    assert sorted(found) == list(range(1, len(spans) + 1))
    first, last = min(s for s, _ in spans), max(s + length for s, length in spans)
    left = found[1][0][0]
    right = max(x1 for own in found.values() for _, x1, _ in own)
    scale = (right - left) / (last - first) if last > first else 0.0
    for i, (start, length) in enumerate(spans, start=1):
        for x0, x1, _ in found[i]:
            assert abs(x0 - left - scale * (start - first)) < 0.05
            assert abs(x1 - x0 - scale * length) < 0.05
    rows: dict[float, list[tuple[float, float]]] = {}
    for x0, x1, y in (bar for own in found.values() for bar in own):
        assert x0 > 0.0
        assert x1 < WIDTH_MM
        rows.setdefault(y, []).append((x0, x1))
    assert all(a[1] <= b[0] + 0.03 for row in rows.values() for a, b in pairwise(sorted(row, key=sum)))


@settings(derandomize=True, deadline=None, max_examples=60)
@given(SPANS)
def test_every_number_can_be_read_and_none_is_on_another(spans: list[tuple[int, int]]) -> None:
    """In its bar or below it, alone or in a list, always at reading size."""
    svg = chart(sorted(spans), people=2)
    lines: dict[float, list[tuple[float, float]]] = {}
    seen: list[int] = []
    for x, y, style, words in _TEXT.findall(svg):
        if re.fullmatch(r"[\d–, ]+", words) and "bold" in style:
            wide = words_mm(words, TEXT_MM, True)
            start = float(x) - (wide / 2 if "middle" in style else 0.0)
            lines.setdefault(float(y), []).append((start, start + wide))
            for part in words.split(", "):
                low, _, high = part.partition("–")
                seen.extend(range(int(low), int(high or low) + 1))
    assert sorted(seen) == sorted([*range(1, len(spans) + 1)] * 2)
    assert all(a[1] <= b[0] for line in lines.values() for a, b in pairwise(sorted(line)))
    assert all(b <= WIDTH_MM for line in lines.values() for _, b in line)


def test_what_runs_at_the_same_time_at_one_place_stands_below_one_another() -> None:
    found = drawn(chart([(0, 10), (2, 5)], people=2))
    assert found[1][0][2] != found[2][0][2]
    assert found[1][0][0] < found[2][0][0] < found[2][0][1] < found[1][0][1]


EIGHT_TO_FIVE = Shift(
    datetime(2026, 3, 2),
    tuple((h * 3600.0, (h + wide) * 3600.0) for d in range(5) for h, wide in ((24 * d + 8, 4), (24 * d + 12.5, 4.5))),
)


def test_nights_are_folded_and_days_marked_and_the_scale_is_one() -> None:
    """An hour is as long on Tuesday as on Monday, and the night between no wider than a fold; noon is to scale."""
    hours = [(15, 1), (16, 1), (24 + 8, 1), (24 + 11, 1), (24 + 12.5, 1)]
    svg = chart([(round(60 * start), 60 * length) for start, length in hours], shift=EIGHT_TO_FIVE)
    bars = [own[0] for _, own in sorted(drawn(svg).items())]
    wide = [x1 - x0 for x0, x1, _ in bars]
    assert max(wide) - min(wide) < 0.05
    assert bars[2][0] - bars[1][1] == pytest.approx(FOLD_MM, abs=0.05)
    assert bars[4][0] - bars[3][1] == pytest.approx(wide[0] / 2, abs=0.05)
    texts = [words for _, _, _, words in _TEXT.findall(svg)]
    assert [t for t in texts if t.endswith("day")] == ["Monday", "Tuesday"]
    assert "15:00" in texts
    assert "08:00" in texts
    assert "closed" in texts
    assert "closed, not to scale" in texts


def test_a_wait_goes_on_through_the_night_and_times_follow_the_reader() -> None:
    bars = [Bar(1, "wait", "cure", 16 * 3600.0, 22 * 3600.0, "place 1", ()),
            Bar(2, "move", "out", 32 * 3600.0, 33 * 3600.0, "outside", ())]  # fmt: skip
    svg = time_chart_svg("When", bars, Reader("us"), shift=EIGHT_TO_FIVE)
    (_, night, _), (morning, _, _) = (own[0] for _, own in sorted(drawn(svg).items()))
    assert morning - FOLD_MM < night < morning
    texts = [words for _, _, _, words in _TEXT.findall(svg)]
    assert "4 p.m." in texts
    assert "8 a.m." in texts
    assert not any(t == "closed" for t in texts)


def test_without_hours_the_axis_is_time_that_has_passed() -> None:
    svg = time_chart_svg("When", [Bar(1, "work", "it", 0.0, 7200.0, "place 1", ())], ENGLISH)
    texts = [words for _, _, _, words in _TEXT.findall(svg)]
    assert {"0", "1 h", "2 h"} <= set(texts)


def test_a_time_is_never_parted_from_its_half_of_the_day() -> None:
    for room in range(10, 60):
        assert not any(line.startswith("p.m.") for line in wrap("drive in: Tuesday 3:50 p.m.", float(room) / 2 + 10.0))


def luminance(color: str) -> float:
    """Relative luminance of an sRGB color (WCAG 2.2, definition of relative luminance)."""
    parts = [int(color[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("kind", get_args(StepKind))
def test_every_kind_of_step_is_drawn_and_its_number_stands_out(kind: str) -> None:
    """WCAG 2.2 success criterion 1.4.3, contrast: 4.5 to 1; over a hatch the number has an edge of white."""
    svg = time_chart_svg("When", [Bar(1, kind, "step", 0.0, 60.0, "place 1", ())], ENGLISH)
    look = STYLES[kind]
    found = re.search(r'<text[^>]*font-weight="bold"[^>]*?(?:fill="(#\w+)")?>1<', svg)
    assert found is not None
    light, dark = sorted((luminance(look.fill), luminance(found.group(1) or "#000000")), reverse=True)
    assert (light + 0.05) / (dark + 0.05) >= 4.5
    assert look.hatch is None or 'paint-order="stroke" stroke="#ffffff"' in svg


def test_kinds_of_step_differ_by_more_than_color() -> None:
    """In gray, as a copy shows them: fills that differ in lightness by 3 to 1, or hatch, or dash."""
    looks = list(dict.fromkeys(STYLES.values()))
    for one, two in combinations(looks, 2):
        light, dark = sorted((luminance(one.fill), luminance(two.fill)), reverse=True)
        hatches = [None if h is None else (h.angle_deg, h.spacing, h.cross, h.dots) for h in (one.hatch, two.hatch)]
        assert hatches[0] != hatches[1] or one.dash != two.dash or (light + 0.05) / (dark + 0.05) > 1.3

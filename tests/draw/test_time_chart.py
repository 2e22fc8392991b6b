"""The time chart of a plan: bars that can be read, in the order in which they run, whoever works at the same time."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.model.order import StepKind
from standtrue.show.pictures.time_chart import LEAST_MM, STYLES, WIDTH_MM, Bar, time_chart_svg
from standtrue.show.words.reader import ENGLISH

_BAR = re.compile(r'<title>(\d+): [^<]*</title><rect x="([\d.]+)" y="([\d.]+)" width="([\d.]+)"')

SPANS = st.lists(st.tuples(st.integers(0, 30), st.integers(0, 30)), min_size=1, max_size=12)


def drawn(spans: list[tuple[int, int]], people: int = 1) -> dict[int, list[tuple[float, float, float]]]:
    """Of each step where its bars begin, end and how low they stand: one at its place, one at its person."""
    spans = sorted(spans)
    bars = [
        Bar(i, "work", f"step {i}", 60.0 * start, 60.0 * (start + length), "place 1", (f"person {i % people}",))
        for i, (start, length) in enumerate(spans, start=1)
    ]
    found: dict[int, list[tuple[float, float, float]]] = {}
    for number, x, y, width in _BAR.findall(time_chart_svg("When", bars, ENGLISH)):
        found.setdefault(int(number), []).append((float(x), float(x) + float(width), float(y)))
    return found


@settings(derandomize=True, deadline=None, max_examples=60)
@given(SPANS)
def test_no_bar_is_on_another_and_each_can_be_read(spans: list[tuple[int, int]]) -> None:
    found = drawn(spans, people=2)
    assert sorted(found) == list(range(1, len(spans) + 1))
    bars = [bar for own in found.values() for bar in own]
    assert all(x1 - x0 >= LEAST_MM - 0.35 and x0 > 0.0 and x1 < WIDTH_MM for x0, x1, _ in bars)
    rows: dict[float, list[tuple[float, float]]] = {}
    for x0, x1, y in bars:
        rows.setdefault(y, []).append((x0, x1))
    assert all(a[1] <= b[0] for row in rows.values() for a, b in pairwise(sorted(row)))


@settings(derandomize=True, deadline=None, max_examples=60)
@given(SPANS)
def test_bars_begin_and_end_in_the_order_of_the_clock(spans: list[tuple[int, int]]) -> None:
    found = drawn(spans)
    ordered = sorted(spans)
    for i, (start, length) in enumerate(ordered, start=1):
        for k, (other, _) in enumerate(ordered, start=1):
            if start + length <= other and i < k:
                assert found[i][0][1] <= found[k][0][0]
            if start < other:
                assert found[i][0][0] < found[k][0][0]


def test_what_runs_at_the_same_time_at_one_place_stands_below_one_another() -> None:
    found = drawn([(0, 10), (2, 5)], people=2)
    assert found[1][0][2] != found[2][0][2]
    assert found[1][0][0] < found[2][0][0] < found[2][0][1] < found[1][0][1]


def luminance(color: str) -> float:
    """Relative luminance of an sRGB color (WCAG 2.2, definition of relative luminance)."""
    parts = [int(color[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("kind", get_args(StepKind))
def test_every_kind_of_step_is_drawn_and_its_number_stands_out(kind: str) -> None:
    """WCAG 2.2 success criterion 1.4.3, contrast: 4.5 to 1."""
    svg = time_chart_svg("When", [Bar(1, kind, "step", 0.0, 60.0, "place 1", ())], ENGLISH)
    fill = STYLES[kind][0]
    found = re.search(rf'fill="{fill}" stroke[^>]*/><text[^>]*font-weight="bold"[^>]*?(?:fill="(#\w+)")?>1<', svg)
    assert found is not None
    light, dark = sorted((luminance(fill), luminance(found.group(1) or "#000000")), reverse=True)
    assert (light + 0.05) / (dark + 0.05) >= 4.5

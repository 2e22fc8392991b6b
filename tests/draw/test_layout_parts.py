"""The laws that the layout's parts keep: wrapping, spreading figures, hatching."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.draw.dimensions import spread
from standtrue.draw.hatching import hatch_lines
from standtrue.draw.lettering import clean, width_mm, wrap
from standtrue.draw.styles import BLACK, Hatch

LAW = settings(derandomize=True, deadline=None, max_examples=60)
PLACES = st.lists(st.floats(0, 150), min_size=1, max_size=12).map(sorted)


@LAW
@given(st.text(max_size=120), st.floats(5, 80))
def test_wrapping_loses_nothing_and_keeps_to_its_room(text: str, room: float) -> None:
    lines = wrap(text, room)
    assert "".join(lines).replace(" ", "") == clean(text).replace(" ", "")
    assert all(width_mm(line) <= room for line in lines)


def test_a_number_stays_with_its_unit() -> None:
    lines = wrap("rear axle center 12 ft 3 3/16 in right and 950 mm up", 26.0)
    assert any("12 ft 3 3/16 in" in line for line in lines)
    assert any("950 mm" in line for line in lines)


def test_what_xml_forbids_or_turns_text_about_is_replaced() -> None:
    assert clean("a\x00b\u202ec\td\n\ufffe") == "a\ufffdb\ufffdc d \ufffd"


@LAW
@given(PLACES)
def test_spread_figures_keep_order_distance_and_mean(places: list[float]) -> None:
    settled = spread(places, 4.0)
    assert all(b - a >= 4.0 - 1e-9 for a, b in pairwise(settled))
    assert sum(settled) / len(settled) == pytest.approx(sum(places) / len(places), abs=1e-6)


def test_figures_far_apart_stay_where_they_are() -> None:
    assert spread([0.0, 10.0, 25.0], 4.0) == pytest.approx((0.0, 10.0, 25.0))


@LAW
@given(st.floats(-90, 90), st.floats(0.5, 3.0), st.booleans(), st.booleans())
def test_hatching_stays_inside_and_fills(angle: float, spacing: float, cross: bool, dots: bool) -> None:
    ring = shapely.Polygon([(0, 0), (20, 1), (24, 15), (3, 12)], [[(8, 5), (8, 8), (12, 8), (12, 5)]])
    strokes = hatch_lines(ring, Hatch(BLACK, 0.0 if dots else angle, spacing, cross=cross and not dots, dots=dots))
    near = ring.buffer(1e-6)
    for a, b in strokes:
        assert near.covers(shapely.Point(a) if a == b else shapely.LineString([a, b]))
    if dots:
        assert len(strokes) == pytest.approx(ring.area / spacing**2, rel=0.35)
    else:
        drawn = sum(math.dist(a, b) for a, b in strokes)
        assert drawn == pytest.approx(ring.area / spacing * (2 if cross else 1), rel=0.2)

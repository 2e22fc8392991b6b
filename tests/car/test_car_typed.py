"""A figure that cannot be is asked back with what was meant, and one that can be never is."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from standtrue.aim.questions import FAR_M
from standtrue.work.car.typed import proposal, typed_value


@pytest.mark.parametrize(
    ("typed", "value"),
    [("3748 mm", 3.748), ("101 3/16 in", 2.5701625), ("0.03 deg", math.radians(0.03)), ("mm", None), ("1..2 mm", None)],
)
def test_a_figure_is_read_in_its_unit(typed: str, value: float | None) -> None:
    assert typed_value(typed) == (value if value is None else pytest.approx(value))


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("37480 mm", "3748 mm"), ("374 mm", "3744 mm"), ("33748 mm", "3748 mm"), ("8374 mm", "3874 mm"), ("9 mm", "")],
)
def test_what_was_meant_is_proposed(typed: str, meant: str) -> None:
    assert proposal(typed, 3.748, FAR_M) == meant


@given(st.integers(0, 20_000), st.integers(200, 12_000))
def test_only_what_is_far_is_asked_back(figure: int, planned: int) -> None:
    asked = proposal(f"{figure} mm", planned / 1000, FAR_M)
    assert (asked is None) == (abs(figure - planned) <= 1000 * FAR_M)
    value = typed_value(asked) if asked else None
    assert value is None or abs(value - planned / 1000) <= max(0.05 * planned / 1000, 0.2 * FAR_M) + 1e-9

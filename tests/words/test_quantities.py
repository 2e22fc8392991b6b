"""Lengths and angles for a reader. The inch is 25.4 mm exactly (1959 agreement); the rest is arithmetic on it."""

from __future__ import annotations

import math
import re
from fractions import Fraction

import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.model.reason import Duration, Ref
from standtrue.place.question.answer import Touch
from standtrue.show.words.place import touch_words
from standtrue.show.words.quantities import angle, length
from standtrue.show.words.reader import ENGLISH, Reader

FINITE = st.floats(-1e4, 1e4)


@pytest.mark.parametrize(
    ("metres", "metric", "us"),
    [
        (0.0, "0 mm", "0 in"),
        (-0.0, "0 mm", "0 in"),
        (-0.0004, "0 mm", "0 in"),
        (0.95, "950 mm", "3 ft 1 3/8 in"),
        (0.9996, "1.000 m", "3 ft 3 3/8 in"),
        (2.744, "2.744 m", "9 ft 1/16 in"),
        (-2.744, "-2.744 m", "-9 ft 1/16 in"),
        (0.0254, "25 mm", "1 in"),
        (0.3048, "305 mm", "1 ft"),
        (2.9083, "2.908 m", "9 ft 6 1/2 in"),
        (0.3048 * 0.99999, "305 mm", "1 ft"),
        (0.0254 / 16, "2 mm", "1/16 in"),
        (12.3456, "12.346 m", "40 ft 6 1/16 in"),
    ],
)
def test_lengths_read_as_a_person_would_write_them(metres: float, metric: str, us: str) -> None:
    assert length(metres) == metric
    assert length(metres, "us") == us


@pytest.mark.parametrize(
    ("degrees", "words"),
    [(0.0, "0.0°"), (-0.01, "0.0°"), (-179.98, "180.0°"), (180.0, "180.0°"), (-180.0, "180.0°"), (359.96, "0.0°"),
     (-54.89, "-54.9°"), (270.0, "-90.0°"), (725.0, "5.0°")],
)  # fmt: skip
def test_angles_keep_to_half_a_turn_either_way(degrees: float, words: str) -> None:
    assert angle(math.radians(degrees), "heading") == words


@pytest.mark.parametrize("value", [math.inf, -math.inf, math.nan])
def test_what_is_not_finite_is_refused(value: float) -> None:
    for write in (length, angle):
        with pytest.raises(ValueError, match="finite"):
            write(value)


def _read_us(words: str) -> Fraction:
    found = re.fullmatch(r"(-?)(?:(\d+) ft)? ?(?:(\d+)(?![\d/]))? ?(?:(\d+)/(\d+))?(?: in)?", words)
    assert found, words
    feet, inches = int(found[2] or 0), int(found[3] or 0)
    part = Fraction(int(found[4]), int(found[5])) if found[4] else Fraction(0)
    assert inches < 12
    assert part < 1
    if found[4]:
        assert math.gcd(int(found[4]), int(found[5])) == 1
    return (-1 if found[1] else 1) * (12 * feet + inches + part) * Fraction(254, 10000)


@settings(derandomize=True, deadline=None, max_examples=200)
@given(FINITE)
def test_feet_and_inches_are_within_a_thirty_second(metres: float) -> None:
    assert abs(_read_us(length(metres, "us")) - Fraction(metres)) <= Fraction(254, 10000) / 32


@settings(derandomize=True, deadline=None, max_examples=200)
@given(FINITE)
def test_metric_is_within_half_a_millimetre(metres: float) -> None:
    number, unit = length(metres).split(" ")
    read = Fraction(number) / (1000 if unit == "mm" else 1)
    assert abs(read - Fraction(metres)) <= Fraction(1, 2000)


@settings(derandomize=True, deadline=None, max_examples=100)
@given(FINITE)
def test_a_minus_changes_only_the_sign(metres: float) -> None:
    for system in ("metric", "us"):
        one, other = length(abs(metres), system), length(-abs(metres), system)
        assert other == one if one.startswith("0 ") else other == f"-{one}"


def test_what_is_enough_never_reads_as_too_little() -> None:
    """A gap of 2 in kept to the hair: 50 mm of 51 mm needed would contradict the fit."""
    near = Touch(Ref("body"), Ref("obstacle", "bench"), "metal", 0.0508, 0.0508, (0.0, 0.0), (0.0508, 0.0))
    assert touch_words(near, ENGLISH).endswith("50 mm (50 mm needed)")
    assert touch_words(near, Reader("us")).endswith("2 in (2 in needed)")
    assert touch_words(evolve(near, separation_m=0.0504), ENGLISH).endswith("50 mm (51 mm needed)")


def test_a_span_whose_ends_read_the_same_is_one_figure() -> None:
    assert Reader(units="us").span(Duration(58.8), Duration(59.2)) == "59 s"
    assert Reader(language="es").span(Duration(60.0), Duration(300.0)) == "60 s a 5 min"

"""Quantities as people write them."""

from __future__ import annotations

import contextlib
import math
from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.documents.faults import RefusedError
from standtrue.documents.quantities import (
    exact_number,
    parse_angle,
    parse_duration,
    parse_length,
    parse_light,
    parse_mass,
    parse_speed,
    split_quantity,
)
from standtrue.show.words.quantities import length
from standtrue.show.words.reader import ENGLISH

# 1 in = 25.4 mm, 1 ft = 0.3048 m, 1 yd = 0.9144 m, 1 mi = 1609.344 m, all exactly: international yard and
# pound agreement, 1959; NIST SP 811 (2008), appendix B.8. The rest is arithmetic on these.
LENGTHS = [
    ("1 in", 0.0254),
    ("1 ft", 0.3048),
    ("1 yd", 0.9144),
    ("1 mi", 1609.344),
    ("2450 mm", 2.45),
    ("245 cm", 2.45),
    ("2.45 m", 2.45),
    ("2.45m", 2.45),
    ("16 ft", 4.8768),
    ("9 ft 6 1/2 in", 2.9083),
    ("9 ft 6-1/2 in", 2.9083),
    ("9' 6 1/2\"", 2.9083),
    ("9'-6 1/2\"", 2.9083),
    ("9′ 6½″", 2.9083),
    ("9’ 6 ½”", 2.9083),
    ("9'6''", 2.8956),
    ("9ft6in", 2.8956),
    ("9 Feet 6 Inches", 2.8956),
    ("9 ft 6½ in", 2.9083),
    ("6 1/2 in", 0.1651),
    ("6.5 in", 0.1651),
    ("6 1⁄2 in", 0.1651),
    ("⅞ in", 0.022225),
    ("1/16 in", 0.0015875),
    ("8 ft 2 7/16 in", 2.5003125),  # 98.4375 in x 25.4 mm: read wrongly by a general units library
    ("-6 1/2 in", -0.1651),
    ("−6 in", -0.1524),
    ("+6 in", 0.1524),
    ("2 m 45 cm", 2.45),
    ("2 m 45 cm 5 mm", 2.455),
    (".5 m", 0.5),
    ("5. m", 5.0),
    ("1e3 mm", 1.0),
    ("0 ft", 0.0),
    ("3\u00a0ft", 0.9144),
]


@pytest.mark.parametrize(("text", "metres"), LENGTHS)
def test_lengths_are_exact(text: str, metres: float) -> None:
    assert parse_length(text) == metres


@pytest.mark.parametrize(
    ("value", "units", "metres"),
    [
        (1, "in", 0.0254),
        (1.5, "in", 0.0381),
        (0.1, "in", 0.00254),
        (2450, "mm", 2.45),
        (2450.1, "mm", 2.4501),
        (7, "ft", 2.1336),
        (7.0, "ft", 2.1336),
        (245.5, "cm", 2.455),
        (2.45, "m", 2.45),
        (-3, "m", -3.0),
    ],
)
def test_bare_lengths_are_in_the_units_of_the_document(value: float, units: str, metres: float) -> None:
    assert parse_length(value, units) == metres


def test_a_bare_length_needs_units() -> None:
    with pytest.raises(RefusedError) as refused:
        parse_length(3)
    assert refused.value.code == "units-missing"


# 1 lb = 0.45359237 kg exactly: international yard and pound agreement, 1959; NIST SP 811 (2008), appendix B.8.
@pytest.mark.parametrize(
    ("parse", "value", "expected"),
    [
        (parse_mass, "1 lb", 0.45359237),
        (parse_mass, "4200 lb", 1905.087954),
        (parse_mass, "1.6 t", 1600.0),
        (parse_mass, 1560, 1560.0),
        (parse_duration, 15, 900.0),
        (parse_duration, 1.5, 90.0),
        (parse_duration, "40 s", 40.0),
        (parse_duration, "1.5 h", 5400.0),
        (parse_duration, "1 h 30 min", 5400.0),
        (parse_angle, 180, math.pi),
        (parse_angle, "90 deg", math.pi / 2),
        (parse_angle, "90°", math.pi / 2),
        (parse_angle, "30 arcmin", math.radians(0.5)),
        (parse_angle, "0° 30'", math.radians(0.5)),
        (parse_angle, "-0.5 rad", -0.5),
        (parse_angle, "5 mrad", 0.005),
        (parse_speed, 1.5, 1.5),
        (parse_speed, "36 km/h", 10.0),
        (parse_speed, "1 mph", 0.44704),  # 1609.344 / 3600 exactly
        (parse_light, "500 lux", 500.0),
        (parse_light, 500, 500.0),
    ],
)
def test_other_quantities(parse: Callable[[object], float], value: object, expected: float) -> None:
    assert parse(value) == expected


@pytest.mark.parametrize(
    ("value", "code"),
    [
        (math.nan, "not-finite"),
        (-math.inf, "not-finite"),
        ("nan m", "not-finite"),
        ("Infinity mm", "not-finite"),
        ("inf", "not-finite"),
        (True, "wrong-type"),
        (None, "wrong-type"),
        ([1], "wrong-type"),
        ({}, "wrong-type"),
        ("", "not-a-quantity"),
        ("   ", "not-a-quantity"),
        ("abc", "not-a-quantity"),
        ("ft", "not-a-quantity"),
        ("12", "unknown-unit"),
        ("6 1/2", "unknown-unit"),
        ("12 parsec", "unknown-unit"),
        ("12 kg", "unknown-unit"),
        ("12 in 3 ft", "not-a-quantity"),
        ("3 ft 12 in", "not-a-quantity"),
        ("3 ft 3 ft", "not-a-quantity"),
        ("3 ft 6", "not-a-quantity"),
        ("3 6 in", "not-a-quantity"),
        ("3 ft and 6 in", "not-a-quantity"),
        ("1/0 in", "not-a-quantity"),
        ("2,450 mm", "not-a-quantity"),
        ("2,450 m", "not-a-quantity"),
        ("--3 m", "not-a-quantity"),
        ("1e999 m", "too-large"),
        ("٣ m", "not-a-quantity"),
        ("3 m" + " " * 200, "not-a-quantity"),
        (10**400, "too-large"),
    ],
)
def test_nonsense_is_refused(value: object, code: str) -> None:
    with pytest.raises(RefusedError) as refused:
        parse_length(value, "m")
    assert refused.value.code == code
    assert refused.value.what
    assert ENGLISH.reason(refused.value.remedy).endswith(".")


def test_split_quantity() -> None:
    assert split_quantity("2.3 bar") == (2.3, "bar")
    assert split_quantity(" -10 °C ") == (-10.0, "°C")
    assert split_quantity("45210 mi") == (45210.0, "mi")
    assert split_quantity("1/2 tank") == (0.5, "tank")
    assert split_quantity("7") == (7.0, "")
    for text in ("full", "", "1/0 bar", "3 bar 4 bar and then a great deal of further text"):
        with pytest.raises(RefusedError):
            split_quantity(text)


metres = st.floats(-1000, 1000)


@settings(derandomize=True, deadline=None)
@given(metres)
def test_feet_and_inches_come_back_to_half_a_sixteenth(length_m: float) -> None:
    text = length(length_m, "us")
    back = parse_length(text)
    assert abs(Fraction(back) - Fraction(length_m)) <= Fraction(254, 320_000) + Fraction(1, 10**12)
    assert length(back, "us") == text


@settings(derandomize=True, deadline=None)
@given(metres)
def test_millimetres_come_back_to_half_of_one(length_m: float) -> None:
    back = parse_length(length(length_m))
    assert abs(back - length_m) <= 0.0005 + 1e-12
    assert length(back) == length(length_m)


@settings(derandomize=True, deadline=None)
@given(st.integers(0, 500), st.integers(0, 11), st.integers(0, 63), st.sampled_from((2, 4, 8, 16, 32, 64)))
def test_feet_inches_and_fractions_are_exact(feet: int, inches: int, top: int, bottom: int) -> None:
    part = Fraction(top % bottom, bottom)
    exact = (12 * feet + inches + part) * Fraction(254, 10_000)
    written = f"{feet} ft {inches} {part.numerator}/{part.denominator} in"
    assert parse_length(written) == float(exact)
    assert parse_length(f"{feet}' {inches} {part.numerator}/{part.denominator}\"") == float(exact)


@settings(derandomize=True, deadline=None)
@given(st.floats(-1e6, 1e6), st.sampled_from(("mm", "cm", "in", "ft", "m")))
def test_bare_and_quoted_agree(value: float, unit: str) -> None:
    if "e" not in repr(value) and value >= 0:
        assert parse_length(value, unit) == parse_length(f"{value!r} {unit}")
    assert Fraction(repr(value)) == exact_number(value)


@settings(derandomize=True, deadline=None, max_examples=300)
@given(st.text(alphabet="0123456789 ./'\"-+eftinmcd½¼°,", max_size=20))
def test_any_text_is_a_length_or_refused(text: str) -> None:
    with contextlib.suppress(RefusedError):
        assert math.isfinite(parse_length(text))

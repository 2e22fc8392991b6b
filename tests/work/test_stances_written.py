"""Stances as people write them: in both systems, bare or with units, with points or commas."""

from __future__ import annotations

import math

import pytest

from standtrue.model.reason import because
from standtrue.work.ask import UnansweredError
from standtrue.work.stances import read_place

REMEDY = because("write-stance", example="")


@pytest.mark.parametrize(
    ("text", "x_m", "y_m", "degrees"),
    [
        ("9.8,4.7,90", 9.8, 4.7, 90),
        (" 9.8 , 4.7 , -90 ", 9.8, 4.7, -90),
        ("9.8 m, 470 cm, 90 deg", 9.8, 4.7, 90),
        ("17 ft, 7 ft 6 in, 0", 17 * 0.3048, 7.5 * 0.3048, 0),
        ("17', 7'6\", 90°", 17 * 0.3048, 7.5 * 0.3048, 90),
        ("17 ft, 90 1/2 in, 180", 17 * 0.3048, 90.5 * 0.0254, 180),
        ("9,8; 4,7; 90", 9.8, 4.7, 90),
        ("-0.5;12 ft 1/2 in;450", -0.5, 144.5 * 0.0254, 90),
        ("1e1,2,3", 10, 2, 3),
    ],
)
def test_what_is_meant(text: str, x_m: float, y_m: float, degrees: float) -> None:
    place = read_place(text, "--to", REMEDY)
    assert (place.x_m, place.y_m) == pytest.approx((x_m, y_m), abs=1e-12)
    assert math.degrees(place.heading_rad) == pytest.approx(degrees, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "not-a-stance"),
        ("1,2", "not-a-stance"),
        ("1,2,3,4", "not-a-stance"),
        ("9,8,4,7,90", "not-a-stance"),
        ("17 fx, 7 ft, 0", "not-a-stance"),
        ("17 kg, 7 ft, 0", "not-a-stance"),
        ("17 ft, 7 ft, 90 mm", "not-a-stance"),
        ("here", "not-a-stance"),
        ("nan,1,2", "not-finite"),
        ("1,inf,2", "not-finite"),
    ],
)
def test_what_is_refused(text: str, code: str) -> None:
    with pytest.raises(UnansweredError) as refused:
        read_place(text, "--to", REMEDY)
    (fault,) = refused.value.faults
    assert (fault.code, fault.field, fault.value) == (code, "--to", text)
    assert fault.remedy in (REMEDY, because("write-finite-numbers"))

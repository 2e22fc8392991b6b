"""Lengths and angles as a reader wants to see them: metric, or US feet and inches to 1/16.

One place for it, so that a screen, a drawing and a table say the same figure in the same way.
"""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Literal

System = Literal["metric", "us"]
Language = Literal["en", "es"]
Paper = Literal["letter", "a4"]

INCH_M = Fraction(254, 10000)
"""An inch, exactly (international yard and pound agreement of 1959)."""


def format_length(metres: float, system: System = "metric") -> str:
    """A length for a reader.

    Metric: whole millimetres below one metre (`950 mm`), metres to the millimetre from there
    (`2.744 m`). US: feet and inches to the nearest 1/16 inch, reduced (`9 ft 6 1/2 in`). Halves go
    away from zero; nothing ever reads as minus zero. Raises ValueError if `metres` is not finite.
    """
    if not math.isfinite(metres):
        raise ValueError("a length to be written must be finite")
    return _feet_and_inches(metres) if system == "us" else _metric(metres)


def format_angle(radians: float) -> str:
    """An angle in degrees to a tenth, above -180 and up to 180: `12.5°`. Raises ValueError if not finite."""
    if not math.isfinite(radians):
        raise ValueError("an angle to be written must be finite")
    tenths = _half_away(Fraction(math.degrees(radians)) * 10) % 3600
    if tenths > 1800:
        tenths -= 3600
    return f"{'-' if tenths < 0 else ''}{abs(tenths) // 10}.{abs(tenths) % 10}°"


def _metric(metres: float) -> str:
    millimetres = _half_away(Fraction(metres) * 1000)
    sign = "-" if millimetres < 0 else ""
    whole, rest = divmod(abs(millimetres), 1000)
    return f"{sign}{whole}.{rest:03d} m" if whole else f"{sign}{rest} mm"


def _feet_and_inches(metres: float) -> str:
    sixteenths = _half_away(Fraction(metres) / INCH_M * 16)
    sign = "-" if sixteenths < 0 else ""
    feet, rest = divmod(abs(sixteenths), 12 * 16)
    inches, part = divmod(rest, 16)
    words = [f"{feet} ft"] if feet else []
    if part:
        words.append(f"{f'{inches} ' if inches else ''}{Fraction(part, 16)} in")
    elif inches or not feet:
        words.append(f"{inches} in")
    return sign + " ".join(words)


def _half_away(value: Fraction) -> int:
    """The nearest integer, halves away from zero."""
    rounded = math.floor(abs(value) + Fraction(1, 2))
    return -rounded if value < 0 else rounded

"""Quantities as a reader reads them: metric or US customary, with the decimal sign and the lists of the language."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import lru_cache
from typing import Literal, cast, get_args

from standtrue.model.reader_units import INCH_M, System
from standtrue.model.reason import Angle, Duration, Length, Light, Mass, Number, Share, Speed

Rounding = Literal["", "up", "down", "tape", "heading", "fine", "fine-up", "fine-down"]
ROUNDINGS: tuple[Rounding, ...] = get_args(Rounding)

FINE: Mapping[Rounding, Rounding] = {"fine": "", "fine-up": "up", "fine-down": "down"}
"""How tolerances and deviations are rounded, which are small."""

POUND_KG = Fraction(45359237, 100000000)
"""A pound, exactly (international yard and pound agreement of 1959)."""


BARELY = 1e-6
"""How near to a step a value may lie and still be that step, in steps: rounding up is not to add one for rounding."""


def write(quantity: object, rounding: Rounding, units: System) -> str:
    """A quantity with its unit. Raises TypeError for what is none."""
    if isinstance(quantity, Length):
        return length(quantity.metres, units, rounding)
    if isinstance(quantity, Angle):
        return angle(quantity.radians, rounding)
    if isinstance(quantity, Duration):
        return duration(quantity.seconds)
    if isinstance(quantity, Mass):
        return mass(quantity.kilograms, units, rounding)
    if isinstance(quantity, Light):
        return f"{decimal(quantity.lux, 0, rounding)} lux"
    if isinstance(quantity, Speed):
        return speed(quantity.metres_per_s, units, rounding)
    if isinstance(quantity, Share):
        return f"{decimal(100.0 * quantity.of_one, 0, rounding)} %"
    if isinstance(quantity, Number):
        return decimal(quantity.value, quantity.digits, rounding)
    raise TypeError(f"{type(quantity).__name__} cannot be written for a reader")


def length(metres: float, units: System = "metric", rounding: Rounding = "") -> str:
    """A length for a reader.

    Metric: whole millimeters below one meter (`950 mm`), meters to the millimeter from there (`2.744 m`). US: feet and
    inches to the nearest 1/16 inch, reduced (`9 ft 6 1/2 in`). Halves go away from zero; nothing ever reads as minus
    zero. Raises ValueError if `metres` is not finite.
    """
    if not math.isfinite(metres):
        raise ValueError("a length to be written must be finite")
    if rounding in FINE:
        return small_length(metres, units, FINE[rounding])
    if rounding in ("up", "down"):
        step = tape_step_m(units)
        steps = metres / step
        whole = math.ceil(steps - BARELY) if rounding == "up" else math.floor(steps + BARELY)
        metres = whole * step
    return _feet_and_inches(metres) if units == "us" else _metric(metres)


def tape_step_m(units: System) -> float:
    """The finest mark of the tape in hand."""
    return float(INCH_M / 16) if units == "us" else 0.001


def small_length(metres: float, units: System, rounding: Rounding = "") -> str:
    """A tolerance, a deviation: tenths of a millimeter, or sixteenths of an inch; rounded by its size, sign apart.

    What is less than one of these and not 0 says so.
    """
    step = float(INCH_M / 16) if units == "us" else 0.0001
    steps = abs(metres) / step
    whole = int(decimal(steps, 0, rounding))
    if whole == 0 and steps > BARELY:
        return "<1/16 in" if units == "us" else "<0.1 mm"
    if units == "us":
        return _feet_and_inches(math.copysign(whole * step, metres))
    return f"{decimal(math.copysign(whole / 10, metres), 1)} mm".replace(".0 mm", " mm")


def angle(radians: float, rounding: Rounding = "") -> str:
    """An angle in tenths of a degree; in hundredths, rounded by its size, where it is a tolerance or a deviation.

    A heading is written above -180 and up to 180. Raises ValueError if `radians` is not finite.
    """
    if not math.isfinite(radians):
        raise ValueError("an angle to be written must be finite")
    degrees = math.degrees(radians)
    if rounding == "heading":
        tenths = _half_away(Fraction(degrees) * 10) % 3600
        return f"{decimal((tenths - 3600 if tenths > 1800 else tenths) / 10, 1)}°"
    if rounding not in FINE:
        return f"{decimal(degrees, 1, rounding)}°"
    size = float(decimal(abs(degrees), 2, FINE[rounding]))
    return f"{decimal(math.copysign(size, degrees), 2)}°"


def mass(kilograms: float, units: System, rounding: Rounding = "") -> str:
    """A mass in whole kilograms or pounds."""
    if units == "us":
        return f"{decimal(float(Fraction(kilograms) / POUND_KG), 0, rounding)} lb"
    return f"{decimal(kilograms, 0, rounding)} kg"


def speed(metres_per_s: float, units: System, rounding: Rounding = "") -> str:
    """A speed in whole km/h or mph."""
    if units == "us":
        return f"{decimal(metres_per_s * 3600.0 / float(INCH_M * 63360), 0, rounding)} mph"
    return f"{decimal(metres_per_s * 3.6, 0, rounding)} km/h"


def duration(seconds: float) -> str:
    """A time: `20 s`, `5 min`, `2 h 05 min`; never in clock form."""
    if seconds < 90.0:
        return f"{round(seconds)} s"
    whole = round(seconds / 60)
    hours, rest = divmod(whole, 60)
    if not hours:
        return f"{whole} min"
    return f"{hours} h {rest:02d} min" if rest else f"{hours} h"


def decimal(value: float, digits: int = 0, rounding: Rounding = "") -> str:
    """A number with so many digits behind the point, halves away from zero; never minus zero.

    Both languages here write a decimal point, as the trade does on both sides of the border (CLDR `es_US`).
    """
    if not math.isfinite(value):
        raise ValueError("a number to be written must be finite")
    scaled = value * 10**digits
    if rounding == "up":
        whole = math.ceil(scaled - BARELY)
    elif rounding == "down":
        whole = math.floor(scaled + BARELY)
    else:
        whole = _half_away(Fraction(value) * 10**digits)
    return f"{whole / 10**digits + 0.0:.{digits}f}"


@lru_cache(maxsize=512)
def _listed(parts: tuple[str, ...], style: str, locale: str) -> str:
    from babel.lists import format_list

    return format_list(parts, style=cast(Literal["standard", "or"], style), locale=locale)


def listed(parts: Sequence[str], style: Literal["standard", "or"], language: str) -> str:
    """`a, b and c` or `a, b or c`, as the language lists them; without a comma before the last."""
    if len(parts) < 2:
        return "".join(parts)
    joined = _listed(tuple(parts), style, "en_US" if language == "en" else language)
    return joined.replace(", and ", " and ").replace(", or ", " or ") if language == "en" else joined


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

"""Units of what a card's conditions ask: converted exactly where both are known units of one quantity.

Factors: NIST SP 811 (2008), appendix B.8; the pound, inch and foot of 1959 are exact in kilograms and meters.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from attrs import frozen

_POUND = Fraction(45359237, 100_000_000)
_INCH = Fraction(254, 10_000)
_GRAVITY = Fraction(980665, 100_000)


@frozen
class Scale:
    """A unit of a quantity: how many base units it is, and where its zero lies in them."""

    quantity: str
    factor: Fraction
    zero: Fraction = Fraction(0)


def _all(quantity: str, *units: tuple[str, Fraction | int]) -> dict[str, Scale]:
    return {name: Scale(quantity, Fraction(factor)) for names, factor in units for name in names.split()}


_CELSIUS = Scale("temperature", Fraction(1), Fraction(27315, 100))
_FAHRENHEIT = Scale("temperature", Fraction(5, 9), Fraction(45967, 100) * Fraction(5, 9))

UNITS: Mapping[str, Scale] = {
    **_all("pressure", ("pa", 1), ("kpa", 1000), ("mpa", 10**6), ("mbar hpa", 100), ("bar", 10**5)),
    **_all("pressure", ("psi lbf/in2 lbf/in²", _POUND * _GRAVITY / _INCH**2)),
    **_all("light", ("lux lx", 1), ("fc foot-candle foot-candles footcandle footcandles", 1 / (12 * _INCH) ** 2)),
    **_all("mass", ("kg", 1), ("g", Fraction(1, 1000)), ("t", 1000), ("lb lbs", _POUND)),
    **_all("length", ("m", 1), ("cm", Fraction(1, 100)), ("mm", Fraction(1, 1000)), ("in", _INCH), ("ft", 12 * _INCH)),
    **_all("voltage", ("v", 1), ("mv", Fraction(1, 1000))),
    **_all("time", ("s", 1), ("min", 60), ("h", 3600)),
    **dict.fromkeys(("c", "°c", "degc", "celsius"), _CELSIUS),
    **dict.fromkeys(("f", "°f", "degf", "fahrenheit"), _FAHRENHEIT),
    "k": Scale("temperature", Fraction(1)),
}
"""By the spelling in small letters without spaces."""


def converted(value: float, unit: str, to: str, difference: bool = False) -> float | None:
    """A value in another unit of the same quantity; None where either is not known, or they measure different things.

    `difference`: of two values, such as an uncertainty, to which a zero does not matter. One spelling is no change.
    """
    one, other = _plain(unit), _plain(to)
    if one == other:
        return value
    start, end = UNITS.get(one), UNITS.get(other)
    if start is None or end is None or start.quantity != end.quantity:
        return None
    base = Fraction(value) * start.factor
    if not difference:
        base += start.zero - end.zero
    return float(base / end.factor)


def _plain(unit: str) -> str:
    """A unit as it is looked up: small letters, no spaces, `deg` for the sign."""
    return "".join(unit.casefold().split()).replace("deg.", "deg").replace("º", "°")

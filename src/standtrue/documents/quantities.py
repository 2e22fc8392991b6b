"""Quantities as people write them, read exactly.

Everything is read with exact fractions and rounded to a float once. The inch is 25.4 mm exactly and the
pound 0.45359237 kg exactly (international yard and pound agreement, 1959; NIST SP 811, appendix B).
Results are metres, radians, kilograms, seconds, metres a second, lux.
"""

from __future__ import annotations

import math
import re
import unicodedata
from fractions import Fraction
from typing import Literal

from attrs import frozen

from standtrue.documents.faults import RefusedError, nearest, value_text, wrong_type
from standtrue.model.reader_units import INCH_M
from standtrue.model.reason import Reason, Term, because
from standtrue.model.setup import Figure

Dimension = Literal["length", "angle", "mass", "duration", "speed", "light"]

FOOT_M = 12 * INCH_M
MILE_M = 5280 * FOOT_M
POUND_KG = Fraction(45_359_237, 100_000_000)


@frozen
class Scale:
    """The units of one dimension in terms of its base unit, by every name they go by, and what a bare number means."""

    dimension: Dimension
    units: dict[str, Fraction]
    bare: str | None
    shown: tuple[str, ...]


def _units(*rows: tuple[Fraction | int, str]) -> dict[str, Fraction]:
    return {name: Fraction(factor) for factor, names in rows for name in names.split()}


SCALES: dict[Dimension, Scale] = {
    "length": Scale(
        "length",
        _units(
            (Fraction(1, 1000), "mm millimeter millimeters millimetre millimetres"),
            (Fraction(1, 100), "cm centimeter centimeters centimetre centimetres"),
            (1, "m meter meters metre metres"),
            (1000, "km kilometer kilometers kilometre kilometres"),
            (INCH_M, 'in inch inches "'),
            (FOOT_M, "ft foot feet '"),
            (3 * FOOT_M, "yd yard yards"),
            (MILE_M, "mi mile miles"),
        ),
        None,
        ("mm", "cm", "m", "in", "ft"),
    ),
    # Degrees are the base here, so that compound angles stay exact; `parse_angle` turns them into radians.
    "angle": Scale(
        "angle",
        _units(
            (1, "deg degree degrees °"),
            (Fraction(1, 60), "arcmin arcminute arcminutes '"),
            (Fraction(1, 3600), 'arcsec arcsecond arcseconds "'),
        ),
        "deg",
        ("deg", "rad", "arcmin"),
    ),
    "mass": Scale(
        "mass",
        _units(
            (1, "kg kilogram kilograms"),
            (Fraction(1, 1000), "g gram grams"),
            (1000, "t tonne tonnes"),
            (POUND_KG, "lb lbs pound pounds"),
        ),
        "kg",
        ("kg", "lb", "t"),
    ),
    "duration": Scale(
        "duration",
        _units(
            (1, "s sec secs second seconds"),
            (60, "min mins minute minutes"),
            (3600, "h hr hrs hour hours"),
        ),
        "min",
        ("s", "min", "h"),
    ),
    "speed": Scale(
        "speed",
        _units(
            (1, "m/s"),
            (Fraction(1000, 3600), "km/h kph kmh"),
            (MILE_M / 3600, "mph mi/h"),
            (FOOT_M, "ft/s"),
        ),
        "m/s",
        ("m/s", "km/h", "mph"),
    ),
    "light": Scale("light", _units((1, "lux lx")), "lux", ("lux",)),
}

LENGTH_UNITS: tuple[str, ...] = ("m", "cm", "mm", "ft", "in")
"""What `units` may say."""


def unit_called(word: object) -> str | None:
    """The unit of bare lengths that goes by a word, such as `millimeters`; None where it is none of `LENGTH_UNITS`."""
    lengths = SCALES["length"].units
    said = word.strip().translate(_MARKS) if isinstance(word, str) else ""
    factor = lengths.get(said.lower() if len(said) > 2 else said)
    return next((unit for unit in LENGTH_UNITS if lengths[unit] == factor), None)


_NUMBER = r"(?:[0-9]+(?:[ -]+[0-9]+/[0-9]+)|[0-9]+/[0-9]+|(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?)"
_TERM = re.compile(rf"\s*-?\s*({_NUMBER})\s*((?:[^\W\d_]+(?:/[^\W\d_]+)?|[\"'°]))", re.UNICODE)
_RANGE = re.compile(r"([0-9.]+)\s*(?:-|to|a)\s*([0-9.]+)(?![0-9/])\s*([^\W\d_]*)")
"""Two numbers with a dash between them, where one was asked: a range, as people write it."""

_LONE_NUMBER = re.compile(rf"\s*{_NUMBER}\s*")
_MARKS = str.maketrans(
    {"″": '"', "“": '"', "”": '"', "′": "'", "‘": "'", "’": "'", "−": "-", "–": "-", "⁄": "/", "º": "°"}
)
_LONGEST_TEXT = 100


def finite_number(value: object) -> int | float:
    """The value, if it is a finite number and no boolean. Raises `RefusedError`."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise wrong_type(value, Term("a number"), because("write-a-number"))
    if isinstance(value, float) and not math.isfinite(value):
        raise RefusedError("not-finite", because("number-not-finite"), because("write-measured-number"))
    if isinstance(value, int) and abs(value) > 10**300:
        raise _too_large()
    return value


def exact_number(value: int | float) -> Fraction:
    """A number as the person wrote it: 0.1 is one tenth, not the nearest binary fraction."""
    return Fraction(value) if isinstance(value, int) else Fraction(repr(value))


def parse_length(value: object, units: str | None = None) -> float:
    """A length in metres: a quoted quantity, or a bare number in `units`. Raises `RefusedError`.

    >>> parse_length("9 ft 6 1/2 in")
    2.9083
    """
    return _parse("length", value, units)


def parse_angle(value: object) -> float:
    """An angle in radians: a quoted quantity, or a bare number of degrees. Raises `RefusedError`."""
    if isinstance(value, str):
        radians = re.fullmatch(r"\s*([+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+))\s*(m?)rad\s*", value[:_LONGEST_TEXT])
        if radians:
            return float(Fraction(radians[1]) / (1000 if radians[2] else 1))
    return math.radians(_parse("angle", value, "deg"))


def typed_figure(value: int | float | str, dimension: Dimension, units: str) -> Figure:
    """A length or an angle as it was typed, with its runs of digits; fractions of a unit are left as they are."""
    factors = SCALES[dimension].units
    base = math.pi / 180 if dimension == "angle" else 1.0
    if not isinstance(value, str):
        text = repr(value)
        return Figure(text, _runs(text.lstrip("-"), len(text) - len(text.lstrip("-")), float(factors[units]) * base))
    runs: list[tuple[int, int, float]] = []
    for term in _TERM.finditer(value):
        unit = factors.get(term[2].translate(_MARKS))
        if unit is not None:
            runs += _runs(term[1], term.start(1), float(unit) * base)
    return Figure(value, tuple(runs))


def _runs(number: str, start: int, unit: float) -> tuple[tuple[int, int, float], ...]:
    """A number's leading run of digits, its decimals with it; none of a mere fraction or of a power of ten."""
    found = re.match(r"[0-9]+(?:\.[0-9]+)?(?![0-9.eE/])", number)
    return () if found is None else ((start, start + found.end(), unit),)


def parse_mass(value: object) -> float:
    """A mass in kilograms: a quoted quantity, or a bare number of kilograms. Raises `RefusedError`."""
    return _parse("mass", value, "kg")


def parse_duration(value: object) -> float:
    """A duration in seconds: a quoted quantity, or a bare number of minutes. Raises `RefusedError`."""
    return _parse("duration", value, "min")


def parse_speed(value: object) -> float:
    """A speed in metres a second: a quoted quantity, or a bare number of metres a second. Raises `RefusedError`."""
    return _parse("speed", value, "m/s")


def parse_light(value: object) -> float:
    """An illuminance in lux: a quoted quantity, or a bare number of lux. Raises `RefusedError`."""
    return _parse("light", value, "lux")


def split_quantity(text: str) -> tuple[float, str]:
    """Any number with any unit behind it, such as `2.3 bar`: number and unit as written. Raises `RefusedError`."""
    found = re.fullmatch(rf"\s*([+-]?)\s*({_NUMBER})\s*([^\d\s].{{0,30}})?\s*", _plain(text))
    if not found:
        raise RefusedError("not-a-quantity", because("no-number-with-unit"), because("write-number-with-unit"))
    return float(_signed(found[1], _number(found[2]))), (found[3] or "").strip()


def _parse(dimension: Dimension, value: object, bare: str | None) -> float:
    if isinstance(value, str):
        return _rounded(_parse_text(SCALES[dimension], value, bare))
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise wrong_type(value, _TERMS[dimension], because("write-quantity-as-in", examples=_EXAMPLES[dimension]))
    number = finite_number(value)
    if bare is None:
        remedy = because("write-as-in", examples=_EXAMPLES[dimension])
        raise RefusedError("units-missing", because("bare-length-without-units"), remedy)
    factor = SCALES[dimension].units[bare]
    if isinstance(number, float) and number.is_integer():
        number = int(number)
    if isinstance(number, int):  # one division of integers: rounded once, and quick
        return _rounded(Fraction(number * factor.numerator, factor.denominator))
    return number if factor == 1 else _rounded(exact_number(number) * factor)


def _rounded(value: Fraction) -> float:
    try:
        return value.numerator / value.denominator
    except OverflowError:
        raise _too_large() from None


def _too_large() -> RefusedError:
    return RefusedError("too-large", because("number-too-large"), because("write-measured-number"))


def _plain(text: str) -> str:
    """The text with typographic marks, vulgar fractions and odd spaces made plain."""
    if len(text) > _LONGEST_TEXT:
        raise _unread(because("quantity-too-long"), because("write-as-in", examples=_EXAMPLES["length"]))
    marked = text.translate(_MARKS)
    spaced = "".join(
        f" {c}" if unicodedata.category(c) == "No" and "⁄" in unicodedata.normalize("NFKC", c) else c for c in marked
    )
    return unicodedata.normalize("NFKC", spaced).replace("⁄", "/").replace("''", '"').strip()


def _without_commas(plain: str) -> str:
    """The text with decimal commas as points and without commas between thousands.

    One comma before three digits may be either: it is refused, with both ways to write it.
    """
    number = re.compile(r"(?<![\d.,])[0-9]+(?:,[0-9]+)+(?:\.[0-9]+)?(?![\d,])")

    def told(found: re.Match[str]) -> str:
        whole, *groups = found[0].partition(".")[0].split(",")
        thousands = all(len(group) == 3 for group in groups) and len(whole) <= 3
        if len(groups) == 1 and thousands and whole != "0":
            if "." in found[0]:
                return found[0].replace(",", "")
            ways = (f"{whole}{groups[0]}", f"{whole}.{groups[0]}")
            raise _unread(because("comma-in-number"), because("write-one-number", ways=ways))
        if len(groups) == 1 and "." not in found[0]:
            return f"{whole}.{groups[0]}"
        return found[0].replace(",", "") if thousands else found[0]

    told_all = number.sub(told, plain)
    if "," in told_all:
        raise _unread(because("comma-in-number"), because("write-decimal-point"))
    return told_all


def _signed(sign: str, value: Fraction) -> Fraction:
    return -value if sign == "-" else value


def _parse_text(scale: Scale, text: str, bare: str | None) -> Fraction:
    plain, examples = _plain(text), _EXAMPLES[scale.dimension]
    as_in = because("write-as-in", examples=examples)
    if re.fullmatch(r"[+-]?\s*(?:nan|inf|infinity)\b.*", plain, re.IGNORECASE):
        raise RefusedError("not-finite", because("number-not-finite"), because("write-measured-number"))
    plain = _without_commas(plain)
    if apart := _RANGE.fullmatch(plain):
        low, high = (f'"{number} {apart[3]}"' if apart[3] else number for number in (apart[1], apart[2]))
        raise _unread(because("range-as-list"), because("write-form", form=f"[{low}, {high}]"))
    sign, rest = (plain[0], plain[1:]) if plain[:1] in ("+", "-") else ("", plain)
    if _LONE_NUMBER.fullmatch(rest):
        remedy = because("write-unit-too", examples=(f'"{plain} {bare}"',) if bare else examples)
        raise RefusedError("unknown-unit", because("quantity-without-unit"), remedy)
    total, at, larger = Fraction(0), 0, None
    while at < len(rest):
        found = _TERM.match(rest, at)
        if not found or (at == 0 and found[0].lstrip().startswith("-")):
            raise _unread(because("quantity-unread", text=value_text(text), asked=_TERMS[scale.dimension]), as_in)
        number, factor = _number(found[1]), _factor(scale, found[2])
        if larger is not None and (factor >= larger or number * factor >= larger):
            remedy = because("write-larger-unit-first", examples=examples)
            raise _unread(because("quantity-parts-wrong", text=value_text(text)), remedy)
        total, at, larger = total + number * factor, found.end(), factor
        if not rest[at:].strip():
            break
    if larger is None:
        raise _unread(because("quantity-empty"), as_in)
    return _signed(sign, total)


def _unread(what: Reason, remedy: Reason) -> RefusedError:
    return RefusedError("not-a-quantity", what, remedy)


_EXAMPLES: dict[Dimension, tuple[str, ...]] = {
    "length": ('"2450 mm"', '"8 ft 2 7/16 in"'),
    "angle": ('"30 deg"', '"0.5 rad"'),
    "mass": ('"1500 kg"', '"4200 lb"'),
    "duration": ('"40 s"', '"1 h 30 min"'),
    "speed": ('"25 mph"', '"40 km/h"'),
    "light": ('"500 lux"',),
}

_TERMS: dict[Dimension, Term] = {
    "length": Term("a length"),
    "angle": Term("an angle"),
    "mass": Term("a mass"),
    "duration": Term("a duration"),
    "speed": Term("a speed"),
    "light": Term("a light level"),
}


def _number(text: str) -> Fraction:
    """`6 1/2`, `6-1/2`, `1/2`, `6.5`: exactly."""
    try:
        whole, _, part = re.sub(r"[ -]+(?=[0-9]+/)", " ", text).rpartition(" ")
        return Fraction(part) + (Fraction(whole) if whole else 0)
    except ZeroDivisionError:
        raise _unread(because("fraction-over-zero"), because("write-fraction-again")) from None


def _factor(scale: Scale, name: str) -> Fraction:
    found = scale.units.get(name, scale.units.get(name.lower()))
    if found is not None:
        return found
    elsewhere = next((s.dimension for s in SCALES.values() if name in s.units), None)
    what = because("unit-unknown", unit=name)
    if elsewhere is not None:
        what = because("unit-of-another-kind", unit=name, found=_TERMS[elsewhere], asked=_TERMS[scale.dimension])
    near = None if elsewhere else nearest(name, scale.units)
    raise RefusedError("unknown-unit", what, because("use-a-unit", near=near, units=scale.shown))

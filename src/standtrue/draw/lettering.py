"""Lettering: text made safe for a drawing, how wide it will be at most, and wrapping that never cuts.

Which font a reader has is not known, so widths are those of a wide sans-serif: text may come out
narrower than estimated, not wider.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

FONTS = "'Noto Sans', Arial, Helvetica, 'Liberation Sans', 'DejaVu Sans', sans-serif"

TEXT_MM = 3.2
"""The type size of every ordinary text, millimetres: 9.07 pt. Nothing is smaller."""

LINE = 1.22
"""Line spacing over type size."""

LINE_MM = TEXT_MM * LINE
"""The height of a line of ordinary text."""

_WIDTHS: dict[str, float] = {
    c: width
    for chars, width in (
        ("ijl'|", 0.30),
        (" \u00a0.,:;IJ", 0.34),
        ("!()[]-/\\ftr", 0.42),
        ('"`*', 0.51),
        ("cksvxyz?_", 0.59),
        ("EFLPTY", 0.64),
        ("ABKRSVXZ$", 0.70),
        ("CDGHNOQU&", 0.80),
        ("#+<=>~^w", 0.84),
        ("M", 0.87),
        ("m%@W", 1.0),
    )
    for c in chars
}
"""Advance widths over the type size, of the widest common sans-serif rounded up; 0.64 for what is not named."""

_QUANTITY = re.compile(r"(?<=[0-9]) (?=[0-9]+/[0-9]|ft\b|in\b|mm\b|m\b|[ap]\.m\.)|(?<=[0-9] ft) (?=[0-9])")

_BIDI = "\u200e\u200f\u202a-\u202e\u2066-\u2069\u061c"
_NO_CHARACTERS = "".join(f"{chr(plane + 0xFFFE)}{chr(plane + 0xFFFF)}" for plane in range(0, 0x110000, 0x10000))
_FORBIDDEN = re.compile(f"[\0-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufdd0-\ufdef{_NO_CHARACTERS}{_BIDI}]")


@lru_cache(maxsize=4096)
def clean(text: str) -> str:
    """The text on one line, without what XML forbids or what would turn the text round it about."""
    return " ".join(_FORBIDDEN.sub("\ufffd", text).split())


@lru_cache(maxsize=4096)
def _em(c: str) -> float:
    """The width of one character over the type size, rather too wide than too narrow."""
    code = ord(c)
    if code <= 0xA0:
        return _WIDTHS.get(c, 0.64)
    if unicodedata.combining(c):
        return 0.3
    if c in "°·–±×²³":
        return 0.65
    if code < 0x530:
        return 0.95
    if unicodedata.east_asian_width(c) in "WF":
        return 1.4 if code >= 0x1F000 else 1.1
    return 1.3


@lru_cache(maxsize=16384)
def width_mm(text: str, size_mm: float = TEXT_MM, bold: bool = False) -> float:
    """The greatest width, millimetres, that the text may take at this type size."""
    return sum(map(_em, text)) * size_mm * (1.12 if bold else 1.0)


@lru_cache(maxsize=16384)
def wrap(text: str, room_mm: float, size_mm: float = TEXT_MM, bold: bool = False) -> tuple[str, ...]:
    """The text in lines of at most `room_mm`: broken between words, within a word only where it must be.

    A number stays with its unit, a time with its half of the day.
    """
    lines: list[str] = []
    line = ""
    for word in _words(text):
        joined = f"{line} {word}" if line else word
        if width_mm(joined, size_mm, bold) <= room_mm:
            line = joined
            continue
        if line:
            lines.append(line)
        *full, line = _pieces(word, room_mm, size_mm, bold)
        lines.extend(full)
    lines.append(line)
    return tuple(line.replace("\u00a0", " ") for line in lines)


def _words(text: str) -> list[str]:
    return _QUANTITY.sub("\u00a0", clean(text)).split(" ")


def _pieces(word: str, room_mm: float, size_mm: float, bold: bool) -> list[str]:
    pieces = [""]
    for c in word:
        if pieces[-1] and width_mm(pieces[-1] + c, size_mm, bold) > room_mm and not unicodedata.combining(c):
            pieces.append("")
        pieces[-1] += c
    return pieces


def least_room(text: str, size_mm: float = TEXT_MM, bold: bool = False) -> float:
    """The width of its longest word: no narrower room takes the text without breaking a word."""
    return max(width_mm(word, size_mm, bold) for word in _words(text))

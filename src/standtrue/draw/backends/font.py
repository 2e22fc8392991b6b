"""The one font of everything on paper, and text made fit for it: nothing unprintable, nothing that cannot break."""

from __future__ import annotations

import re
import struct
import unicodedata
from functools import cache, lru_cache
from pathlib import Path

import typst

from standtrue.draw.lettering import clean, width_mm

FONT = "Noto Sans"
"""The family's name, as templates and drawings for paper call it."""

TYPESET = Path(__file__).with_name("typeset")
"""The folder of what all templates share and, in `fonts`, of the font."""

LACKING = "\ufffd"
"""Stands for a character that the font does not have."""

BREAK = "\u200b"
"""The zero-width space: a line may break there."""

_MARK = "\ufeff"
"""The byte order mark: never to be seen, and forbidden in PDF/UA."""

_SPELLED = {
    "\u2190": "<-",
    "\u2192": "->",
    "\u2194": "<->",
    "\u2212": "-",
    "\u2248": "~",
    "\u2260": "!=",
    "\u2264": "<=",
    "\u2265": ">=",
    "\u25cf": "\u2022",
    "\u2713": "yes",
}
"""Common signs that the font lacks, in letters that it has."""

_LONGEST_WORD_MM = 34.0
"""A word that may be wider than this at drawing size may break anywhere: no column is narrower at paper size."""

_QUANTITY = re.compile(r"(?<=[0-9]) (?=%|[0-9]+/[0-9]|ft\b|in\b|mm\b|m\b)|(?<=[0-9] ft) (?=[0-9])")
"""Spaces at which no line may break: a number stays with its unit."""


@cache
def fonts() -> typst.Fonts:
    """The font's files and no others: none of the machine's, none of the typesetter's own."""
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(TYPESET / "fonts")])


@cache
def glyphs() -> frozenset[str]:
    """Every character that both weights of the font can print."""
    regular, bold = (_mapped((TYPESET / "fonts" / f"NotoSans-{w}.ttf").read_bytes()) for w in ("Regular", "Bold"))
    return (regular & bold) - {_MARK}


def legible(text: str) -> str:
    """The text on one line in characters that the font has; what it lacks is spelled out, or shown as `LACKING`."""
    return "".join(map(_printable, unicodedata.normalize("NFC", clean(text.replace(_MARK, "")))))


@lru_cache(maxsize=8192)
def breakable(text: str) -> str:
    """The text, legible, numbers held to their units, and long words free to break, so that none is ever cut."""
    words = _QUANTITY.sub("\u00a0", legible(text)).split(" ")
    return " ".join(map(_with_breaks, words))


@cache
def _printable(c: str) -> str:
    if c in glyphs():
        return c
    for spelled in (_SPELLED.get(c, ""), unicodedata.normalize("NFKC", c), unicodedata.normalize("NFKD", c)):
        if spelled and all(part in glyphs() for part in spelled):
            return spelled
    return LACKING


def _with_breaks(word: str) -> str:
    if width_mm(word, bold=True) <= _LONGEST_WORD_MM:
        return word
    return "".join(c if i == 0 or unicodedata.combining(c) else BREAK + c for i, c in enumerate(word))


def _mapped(font: bytes) -> frozenset[str]:
    """The characters of a TrueType font's Unicode map (OpenType specification, table `cmap`, format 4)."""
    tables = {font[at : at + 4]: at for at in range(12, 12 + 16 * struct.unpack_from(">H", font, 4)[0], 16)}
    cmap = struct.unpack_from(">I", font, tables[b"cmap"] + 8)[0]
    count = struct.unpack_from(">H", font, cmap + 2)[0]
    starts = (cmap + struct.unpack_from(">I", font, cmap + 8 + 8 * i)[0] for i in range(count))
    segments = next(at for at in starts if struct.unpack_from(">H", font, at)[0] == 4)
    double = struct.unpack_from(">H", font, segments + 6)[0]
    ends, firsts, deltas, offsets = (
        struct.unpack_from(f">{double // 2}H", font, segments + 14 + skip + i * double)
        for i, skip in enumerate((0, 2, 2, 2))
    )
    found = set()
    for i, (first, end, delta, offset) in enumerate(zip(firsts, ends, deltas, offsets, strict=True)):
        for code in range(first, min(end, 0xFFFE) + 1):
            glyph = code
            if offset:
                where = segments + 16 + 3 * double + 2 * i + offset + 2 * (code - first)
                glyph = struct.unpack_from(">H", font, where)[0]
            if (glyph + delta) % 0x10000 if glyph or not offset else 0:
                found.add(chr(code))
    return frozenset(found)

"""Text for an encoding that lacks some of its signs: they are written plainly."""

from __future__ import annotations

import codecs
import unicodedata
from collections.abc import Mapping

PLAIN: Mapping[str, str] = {
    "–": "-", "—": "-", "−": "-", "…": "...", "’": "'", "‘": "'", "“": '"', "”": '"', "«": '"', "»": '"',
    "·": ".", "•": "*", "×": "x", "≤": "<=", "≥": ">=", "≈": "~", "→": "->", "←": "<-", "°": " deg", "²": "2",
    "³": "3", "µ": "u", "μ": "u", "±": "+-", "¿": "", "¡": "", "ß": "ss", "½": "1/2", "¼": "1/4", "¾": "3/4",
}  # fmt: skip
"""What stands for a sign where the encoding lacks it. Letters lose their accents; of others `?` is left."""

ERRORS = "standtrue-plain"


def _plainly(error: UnicodeError) -> tuple[str, int]:
    """What to write for the signs that an encoding lacks; a handler of `codecs`."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    lacking = error.object[error.start : error.end]
    return "".join(map(_plain, lacking)), error.end


def _plain(sign: str) -> str:
    if sign in PLAIN:
        return PLAIN[sign]
    base = "".join(part for part in unicodedata.normalize("NFKD", sign) if part.isascii())
    return base or "?"


def plain(text: str, encoding: str) -> str:
    """The text as it can be written in an encoding; one that nobody knows counts as ASCII."""
    try:
        return text.encode(encoding, ERRORS).decode(encoding)
    except LookupError:
        return text.encode("ascii", ERRORS).decode("ascii")


codecs.register_error(ERRORS, _plainly)

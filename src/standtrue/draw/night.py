"""What each color becomes on a screen whose reader's system is dark; paper, and what is printed, stays black on white.

A picture says its colors as attributes; rules of a style sheet win over those, so that one sheet serves all pictures.
"""

from __future__ import annotations

from collections.abc import Mapping

from standtrue.draw.styles import (
    BLACK,
    BLUE,
    CLOSED,
    FAINT_INK,
    GRAY,
    LIGHT,
    ORANGE,
    PURPLE,
    TINT_BLUE,
    TINT_VERMILION,
    TONE,
    VERMILION,
    WHITE,
    WORK,
    YELLOW,
)

NIGHT: Mapping[str, str] = {
    BLACK: "#efece4",
    WHITE: "#16181b",
    GRAY: "#b9b4a8",
    FAINT_INK: "#85827a",
    TONE: "#202327",
    BLUE: "#56b4e9",
    PURPLE: "#cc79a7",
    YELLOW: "#3d2f0a",
    TINT_BLUE: "#16324a",
    TINT_VERMILION: "#43240f",
    LIGHT: "#4a4f55",
    WORK: "#3c4045",
    CLOSED: "#202327",
}
"""By the color on paper; the others stay: they stand out from both grounds."""

_NAMES = {
    "ink": BLACK,
    "paper": WHITE,
    "soft": GRAY,
    "blue": BLUE,
    "orange": ORANGE,
    "vermilion": VERMILION,
    "notice": YELLOW,
}
"""The colors of the page about a picture, as its style sheets call them."""


def picture_css() -> str:
    """The rules of every picture."""
    rules = (f'[{part}="{day}"]{{{part}:{dark}}}' for day, dark in NIGHT.items() for part in ("fill", "stroke"))
    return _dark("".join(rules))


def page_css() -> str:
    """The colors of a page by name, and those of the pictures in it."""
    named = "".join(f"--{name}:{day};" for name, day in _NAMES.items())
    dark = "".join(f"--{name}:{NIGHT.get(day, day)};" for name, day in _NAMES.items())
    return f":root{{color-scheme:light dark;{named}}}{_dark(f':root{{{dark}}}')}{picture_css()}"


def _dark(rules: str) -> str:
    return f"@media screen and (prefers-color-scheme:dark){{{rules}}}"

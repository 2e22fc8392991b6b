"""The banner over a picture of invented data, and paragraphs set one line below another."""

from __future__ import annotations

from standtrue.draw.backends.svg import SVG
from standtrue.draw.canvas import Pen
from standtrue.draw.lettering import LINE, TEXT_MM, wrap
from standtrue.draw.styles import YELLOW

UNDER_MM = 9.0
"""Where what stands under the banner begins."""

_BASE = 0.78
"""How far below its top a line's base is, in parts of the line."""


def banner(words: str, width_mm: float) -> tuple[str, ...]:
    """The banner across the top of a picture as wide as this."""
    frame = SVG.box((0.3, 0.3), (width_mm - 0.6, 6.4), Pen(width=0.6, dash=(2.4, 1.2)), fill=YELLOW)
    return frame, SVG.text(words, (width_mm / 2, 4.7), 3.4, bold=True, anchor="middle")


def paragraph(
    body: list[str],
    words: str,
    at: tuple[float, float],
    room_mm: float,
    size: float = TEXT_MM,
    *,
    bold: bool = False,
) -> float:
    """Set words into a column that begins there, and return where they end."""
    x, y = at
    for line in wrap(words, room_mm, size, bold=bold):
        body.append(SVG.text(line, (x, y + size * LINE * _BASE), size, bold=bold))
        y += size * LINE
    return y

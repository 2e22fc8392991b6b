"""A QR code (ISO/IEC 18004) as a picture on paper: what a telephone reads off it is text, with no address to go to."""

from __future__ import annotations

from itertools import groupby

import segno

from standtrue.draw.backends.pdf import Picture

QUIET = 4
"""So many modules stay white about a code, as the standard demands."""

LEAST_MODULE_MM = 0.5
"""A module is no smaller: it can still be read in a copy at 100 dots an inch, where it is two dots wide."""


def qr_picture(text: str, width_mm: float, alternative: str) -> Picture:
    """The code, `width_mm` wide with what must stay white about it; a seventh of it may be lost (level M).

    Raises ValueError for a text that is too long for modules of `LEAST_MODULE_MM`.
    """
    code = segno.make(text, encoding="utf-8", error="m", micro=False, boost_error=False)
    rows = [bytes(row) for row in code.matrix]
    side = len(rows) + 2 * QUIET
    if width_mm / side < LEAST_MODULE_MM:
        raise ValueError(f"{len(text)} characters need a code wider than {width_mm:g} mm")
    boxes = "".join(f"M{x + QUIET} {y + QUIET}h{n}v1h-{n}z" for y, row in enumerate(rows) for x, n in _runs(row))
    return Picture(
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width_mm:g}mm" height="{width_mm:g}mm" '
        f'viewBox="0 0 {side} {side}">\n<path d="{boxes}" fill="#000000"/>\n</svg>\n',
        alternative,
    )


def _runs(row: bytes) -> list[tuple[int, int]]:
    """Where dark modules begin in a row, and how many stand side by side."""
    found, at = [], 0
    for dark, run in groupby(row):
        long = len(list(run))
        if dark:
            found.append((at, long))
        at += long
    return found

"""The back end of paper: data and a template in, PDF out. Pages for people's hands, tagged for screen readers
(PDF/UA-1).

Text is always data: a template shows strings, and nothing in a string is ever read as markup. No clock, no chance:
the same data gives the same bytes.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import get_args

import typst
from attrs import frozen

from standtrue.draw.backends.font import FONT, LACKING, breakable, fonts, legible
from standtrue.model.reader_units import Paper

PaperSize = Paper
PAPER_SIZES: tuple[PaperSize, ...] = get_args(PaperSize)

COLUMN_MM = 87.0
"""The width of one of two columns, on Letter and on A4."""

PACKAGE = Path(__file__).parents[2]
"""Where templates lie; each imports what all share by its path from here."""

WIDEST_MM, TALLEST_MM = 180.0, 200.0
"""What a picture may take: no more than a page of either size has."""

_SIZE = re.compile(r'<svg\b[^>]*?\swidth="([0-9.]+)mm" height="([0-9.]+)mm"')
_FAMILY = re.compile(r'font-family="[^"]*"')


@frozen
class Picture:
    """A drawing as SVG, printed at its own size (`width` and `height` of its root, millimetres), never shrunk.

    `alternative` says in words what it shows, for those who do not see it; `caption` stands under it.
    Raises ValueError if the drawing states no size, is larger than a page, or has no alternative.
    """

    svg: str
    alternative: str
    caption: str = ""

    def __attrs_post_init__(self) -> None:
        width, height = self.size_mm
        if not (0.0 < width <= WIDEST_MM and 0.0 < height <= TALLEST_MM):
            raise ValueError(f"a picture on paper is at most {WIDEST_MM:g} x {TALLEST_MM:g} mm")
        if not self.alternative.strip():
            raise ValueError("a picture on paper needs an alternative in words")

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height as printed, millimetres."""
        found = _SIZE.search(self.svg)
        if found is None:
            raise ValueError("a picture on paper states its width and height in mm")
        return float(found[1]), float(found[2])


Data = None | bool | float | str | Picture | Mapping[str, "Data"] | Sequence["Data"]
"""What a template may be given. Numbers are for drawing only: every figure to be read comes as text."""


def typeset(template: Path, data: Mapping[str, Data], paper: PaperSize, language: str = "en") -> bytes:
    """The PDF that the template, a file of this package, makes of the data, in which every word is of this language.

    Raises ValueError for a paper size that is not known.
    """
    if paper not in PAPER_SIZES:
        raise ValueError(f"paper is one of {', '.join(PAPER_SIZES)}")
    given = json.dumps(_ready(data), ensure_ascii=False, sort_keys=True)
    made = typst.compile(
        str(template),
        root=str(PACKAGE),
        font_paths=fonts(),
        ignore_system_fonts=True,
        pdf_standards="ua-1",
        sys_inputs={
            "data": given,
            "paper": paper,
            "language": language,
            "lacking": LACKING if LACKING in given else "",
        },
    )
    assert isinstance(made, bytes)
    return made


def _ready(value: Data) -> object:
    """The data with every text legible, for JSON."""
    if isinstance(value, str):
        return breakable(value)
    if isinstance(value, Picture):
        return _picture(value)
    if isinstance(value, Mapping):
        return {key: _ready(item) for key, item in value.items()}
    if isinstance(value, Sequence):
        return [_ready(item) for item in value]
    return value


def _picture(picture: Picture) -> dict[str, object]:
    width, height = picture.size_mm
    lines = (_FAMILY.sub(f'font-family="{FONT}"', line) for line in picture.svg.splitlines())
    return {
        "svg": "\n".join(map(legible, lines)),
        "alternative": legible(picture.alternative),
        "caption": breakable(picture.caption),
        "width": width,
        "height": height,
    }
